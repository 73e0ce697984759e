package catalog

// PartKind is the trade's word for a kind of part, lower case: "ball bearing".
// The set is open; kinds below are known to rules and drawings.
type PartKind string

// Class groups kinds that rules treat alike.
type Class string

const (
	ClassShaft     Class = "shaft"
	ClassGear      Class = "gear"
	ClassBearing   Class = "bearing"
	ClassSynchro   Class = "synchro"
	ClassFriction  Class = "friction"  // lined or coated friction faces
	ClassElastomer Class = "elastomer" // seals, o-rings
	ClassGasket    Class = "gasket"
	ClassSpring    Class = "spring"
	ClassRing      Class = "ring"     // snap rings
	ClassFastener  Class = "fastener" // nuts, bolts, pins
	ClassShim      Class = "shim"
	ClassCase      Class = "case"
	ClassShift     Class = "shift"
	ClassSet       Class = "set" // kits and sets of mixed contents
	ClassFluid     Class = "fluid"
	ClassOther     Class = "other"
)

// kindClasses lists the kinds of the trade (common practice).
var kindClasses = map[PartKind]Class{
	"input shaft": ClassShaft, "main shaft": ClassShaft, "countershaft": ClassShaft,
	"output shaft": ClassShaft, "reverse idler shaft": ClassShaft, "cluster pin": ClassShaft,
	"differential pinion shaft": ClassShaft,

	"gear": ClassGear, "reverse idler": ClassGear, "final drive ring gear": ClassGear,
	"speedometer drive gear": ClassGear, "speedometer driven gear": ClassGear, "gear pair": ClassGear,

	"ball bearing": ClassBearing, "cylindrical roller bearing": ClassBearing,
	"taper roller bearing": ClassBearing, "bearing cup": ClassBearing, "bearing cone": ClassBearing,
	"needle bearing": ClassBearing, "pilot bearing": ClassBearing, "loose roller": ClassBearing,
	"thrust bearing": ClassBearing, "bearing": ClassBearing, "bush": ClassBearing,

	"synchro hub": ClassSynchro, "synchro sleeve": ClassSynchro, "hub and sleeve set": ClassSynchro,
	"synchro key": ClassSynchro, "synchro ring": ClassFriction, "multi-cone ring set": ClassFriction,
	"synchro key spring": ClassSpring, "detent spring": ClassSpring, "inhibitor spring": ClassSpring,

	"oil seal": ClassElastomer, "o-ring": ClassElastomer, "o-ring set": ClassElastomer,
	"gasket": ClassGasket, "gasket set": ClassGasket, "sealing washer": ClassGasket,
	"sealant": ClassFluid,

	"snap ring": ClassRing,
	"nut":       ClassFastener, "bolt": ClassFastener, "screw": ClassFastener, "roll pin": ClassFastener,
	"dowel": ClassFastener, "plug": ClassFastener, "lock plate": ClassFastener,
	"shim": ClassShim, "thrust washer": ClassShim, "washer": ClassOther, "spacer": ClassOther,
	"inner sleeve": ClassOther, "oil slinger": ClassOther, "oil trough": ClassOther,

	"case": ClassCase, "bell housing": ClassCase, "centre plate": ClassCase,
	"extension housing": ClassCase, "top cover": ClassCase, "front bearing retainer": ClassCase,
	"retainer plate": ClassCase, "output flange": ClassOther, "breather": ClassOther,
	"reverse lamp switch": ClassOther,

	"shift fork": ClassShift, "fork pad": ClassShift, "shift rail": ClassShift,
	"detent ball": ClassShift, "interlock pin": ClassShift, "selector shaft": ClassShift,
	"reverse inhibitor": ClassShift, "lever bush": ClassShift, "selector shaft bush": ClassBearing,

	"kit": ClassSet, "set": ClassSet,
}

// Class of a kind; ClassOther when the kind is not known.
func (k PartKind) Class() Class {
	if c, ok := kindClasses[k]; ok {
		return c
	}
	return ClassOther
}

// Known reports whether the kind is one of the trade's words listed here.
func (k PartKind) Known() bool {
	_, ok := kindClasses[k]
	return ok
}
