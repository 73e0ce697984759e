package catalog

import "layshaft/catalog/quantity"

// Box is the layout of a gearbox.
type Box string

const (
	// Longitudinal: input and main shaft in line, countershaft beside them.
	Longitudinal Box = "longitudinal"
	// Transaxle: input and output shaft side by side, final drive in the case.
	Transaxle Box = "transaxle"
)

// Family is one gearbox design: one case, one set of positions, one centre
// distance.
type Family struct {
	ID   FamilyID `json:"id" cbor:"1,keyasint,omitempty"`
	Name string   `json:"name" cbor:"2,keyasint,omitempty"`
	Box  Box      `json:"box" cbor:"3,keyasint,omitempty"`
	// CentreDistance between the two shafts that carry the speed gears.
	CentreDistance quantity.Length `json:"centreDistance" cbor:"4,keyasint,omitempty"`
	// Shafts in drawing order, the input shaft first.
	Shafts []*Shaft `json:"shafts" cbor:"5,keyasint,omitempty"`
	// Wheels are all toothed wheels whose counts tell variants apart.
	Wheels []*Wheel `json:"wheels" cbor:"6,keyasint,omitempty"`
	// Meshes pair the wheels.
	Meshes []*Mesh `json:"meshes" cbor:"7,keyasint,omitempty"`
	// Speeds in order from the lowest, reverse last.
	Speeds []*Speed `json:"speeds" cbor:"8,keyasint,omitempty"`
	Note   string   `json:"note,omitempty" cbor:"9,keyasint,omitempty"`
	Provenance
	Stamp
}

// Shaft is an axis of the drawing.
type Shaft struct {
	ID   string `json:"id" cbor:"1,keyasint,omitempty"`
	Name string `json:"name" cbor:"2,keyasint,omitempty"`
	// Offset of the axis below that of the input shaft; 0 for coaxial shafts.
	Offset quantity.Length `json:"offset" cbor:"3,keyasint,omitempty"`
}

// Wheel is one toothed wheel: a gear of its own or one gear of a cluster.
type Wheel struct {
	ID    string `json:"id" cbor:"1,keyasint,omitempty"`
	Label string `json:"label" cbor:"2,keyasint,omitempty"`
	// Position of the part that carries the wheel.
	Position PositionID `json:"position" cbor:"3,keyasint,omitempty"`
	// At is the seat of the part's "teeth" attribute; empty for a single gear.
	At string `json:"at,omitempty" cbor:"4,keyasint,omitempty"`
	// CaseClosed: can be counted without opening the case.
	CaseClosed bool `json:"caseClosed,omitempty" cbor:"5,keyasint,omitempty"`
}

// Mesh pairs a driving with a driven wheel.
type Mesh struct {
	ID      string `json:"id" cbor:"1,keyasint,omitempty"`
	Driving string `json:"driving" cbor:"2,keyasint,omitempty"` // wheel
	Driven  string `json:"driven" cbor:"3,keyasint,omitempty"`  // wheel
	// CentreDistance of this mesh; 0 means the family's. Reverse meshes with an
	// idler between carry Idler instead and have no centre distance.
	CentreDistance quantity.Length `json:"centreDistance,omitempty" cbor:"4,keyasint,omitempty"`
	// NormalModule; 0 when not known.
	NormalModule quantity.Length `json:"normalModule,omitempty" cbor:"5,keyasint,omitempty"`
	// Helix angle at the reference cylinder; 0 for spur or not known.
	Helix quantity.Angle `json:"helix,omitempty" cbor:"6,keyasint,omitempty"`
	// Idler wheels between driving and driven, in order of power flow. One wheel
	// for a plain idler, two (driven, then driving) for a two-step idler.
	Idler []string `json:"idler,omitempty" cbor:"7,keyasint,omitempty"`
}

// Speed is a gear that can be engaged.
type Speed struct {
	Name string `json:"name" cbor:"1,keyasint,omitempty"` // "1st" ... "5th", "reverse"
	// Meshes in order of power flow; empty for direct drive.
	Meshes  []string `json:"meshes,omitempty" cbor:"2,keyasint,omitempty"`
	Reverse bool     `json:"reverse,omitempty" cbor:"3,keyasint,omitempty"`
}

// Table and Key implement Record.
func (f *Family) Table() Table { return TableFamily }
func (f *Family) Key() string  { return string(f.ID) }

// Variant is one build of a family.
type Variant struct {
	ID     VariantID `json:"id" cbor:"1,keyasint,omitempty"`
	Family FamilyID  `json:"family" cbor:"2,keyasint,omitempty"`
	Name   string    `json:"name" cbor:"3,keyasint,omitempty"`
	// Teeth counts per wheel of the family; a missing wheel is not known.
	Teeth []*ToothCount `json:"teeth,omitempty" cbor:"4,keyasint,omitempty"`
	// Without lists positions that this variant does not have.
	Without []PositionID `json:"without,omitempty" cbor:"5,keyasint,omitempty"`
	Note    string       `json:"note,omitempty" cbor:"6,keyasint,omitempty"`
	Provenance
	Stamp
}

// ToothCount is the number of teeth of one wheel.
type ToothCount struct {
	Wheel string `json:"wheel" cbor:"1,keyasint,omitempty"`
	Teeth int    `json:"teeth" cbor:"2,keyasint,omitempty"`
}

// Table and Key implement Record.
func (v *Variant) Table() Table { return TableVariant }
func (v *Variant) Key() string  { return string(v.ID) }

// Life is a position's policy on a rebuild.
type Life string

const (
	OneTime   Life = "one-time"   // disturbed once, then scrap
	Wear      Life = "wear"       // replaced by policy or on measurement
	Hard      Life = "hard"       // reused after inspection; dear, long lead
	SelectFit Life = "select-fit" // bought by grade after measuring
	Inspect   Life = "inspect"    // reused unless broken or worn
)

// Assembly groups positions for people.
type Assembly string

const (
	AssemblyInput   Assembly = "input shaft"
	AssemblyMain    Assembly = "main shaft"
	AssemblyCounter Assembly = "countershaft"
	AssemblyOutput  Assembly = "output shaft" // transaxles
	AssemblyReverse Assembly = "reverse"
	AssemblyShift   Assembly = "shift"
	AssemblyCase    Assembly = "case"
	AssemblySeals   Assembly = "seals and fasteners"
	AssemblyDiff    Assembly = "differential"
)

// Position is a place in the family where a part goes.
type Position struct {
	ID       PositionID `json:"id" cbor:"1,keyasint,omitempty"`
	Family   FamilyID   `json:"family" cbor:"2,keyasint,omitempty"`
	Name     string     `json:"name" cbor:"3,keyasint,omitempty"` // the shop's word: "Countershaft front bearing"
	Assembly Assembly   `json:"assembly" cbor:"4,keyasint,omitempty"`
	// Kind of part that goes here; see PartKind.
	Kind PartKind `json:"kind" cbor:"5,keyasint,omitempty"`
	// Quantity of pieces fitted here, 1 or more.
	Quantity int  `json:"quantity" cbor:"6,keyasint,omitempty"`
	Life     Life `json:"life" cbor:"7,keyasint,omitempty"`
	// Critical: a wrong part here can lock the gearbox or hurt somebody.
	Critical bool `json:"critical,omitempty" cbor:"8,keyasint,omitempty"`
	// Blocking: without it the case cannot be closed.
	Blocking bool `json:"blocking,omitempty" cbor:"9,keyasint,omitempty"`
	// Outside: can be seen or is missing before the case is opened.
	Outside bool `json:"outside,omitempty" cbor:"10,keyasint,omitempty"`
	// Shaft that carries it on the drawing; empty for parts beside the shafts.
	Shaft string `json:"shaft,omitempty" cbor:"11,keyasint,omitempty"`
	// From is the distance of its left face from the bell housing's face, Width
	// its length along the shaft; both 0 when it has no place on the drawing.
	From  quantity.Length `json:"from,omitempty" cbor:"12,keyasint,omitempty"`
	Width quantity.Length `json:"width,omitempty" cbor:"13,keyasint,omitempty"`
	// Places are words that kit lists use for this place: "front", "3rd", "2-3".
	Places []string `json:"places,omitempty" cbor:"14,keyasint,omitempty"`
	Order  int      `json:"order" cbor:"15,keyasint,omitempty"` // order in lists, by assembly
	Note   string   `json:"note,omitempty" cbor:"16,keyasint,omitempty"`
	Provenance
	Stamp
}

// Table and Key implement Record.
func (p *Position) Table() Table { return TablePosition }
func (p *Position) Key() string  { return key(string(p.Family), string(p.ID)) }
