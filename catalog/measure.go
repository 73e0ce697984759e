package catalog

import "layshaft/catalog/quantity"

// StackMethod is how the room for a select-fit part is found.
type StackMethod string

const (
	MethodDepth     StackMethod = "depth-and-height" // depth, height, gasket, gauge block
	MethodTrialPlay StackMethod = "trial-play"       // trial shim and indicator, end play wanted
	MethodTrialLoad StackMethod = "trial-preload"    // trial shim and indicator, preload wanted
	MethodFeeler    StackMethod = "feeler"           // gap at the cover without shim
	MethodSolder    StackMethod = "crushed-wire"     // crushed soft wire
	MethodGroove    StackMethod = "groove"           // fill a ring groove
	MethodTorque    StackMethod = "turning-torque"   // turning torque per grade
	MethodHoldDown  StackMethod = "hold-down"        // cover gap plus nip
)

// Stack is a select-fit recipe.
type Stack struct {
	ID     string   `json:"id" cbor:"1,keyasint,omitempty"`
	Family FamilyID `json:"family" cbor:"2,keyasint,omitempty"`
	Name   string   `json:"name" cbor:"3,keyasint,omitempty"`
	// Position of the part that sets it: the shim, ring or washer. Its grades are
	// the parts that fit the position, by their thickness.
	Position PositionID `json:"position" cbor:"4,keyasint,omitempty"`
	// Members are the positions whose parts set the room; a new part in any of
	// them opens the stack.
	Members []PositionID `json:"members" cbor:"5,keyasint,omitempty"`
	Method  StackMethod  `json:"method" cbor:"6,keyasint,omitempty"`
	// Min and Max of the resulting end play; negative is preload. Aim lies inside.
	// For turning torque the window is in TorqueMin and TorqueMax instead.
	Min quantity.Length `json:"min" cbor:"7,keyasint,omitempty"`
	Max quantity.Length `json:"max" cbor:"8,keyasint,omitempty"`
	Aim quantity.Length `json:"aim" cbor:"9,keyasint,omitempty"`
	// ThickerOpens: a thicker shim increases play (shim between case and cover).
	ThickerOpens   bool            `json:"thickerOpens,omitempty" cbor:"10,keyasint,omitempty"`
	TorqueMin      quantity.Torque `json:"torqueMin,omitempty" cbor:"11,keyasint,omitempty"`
	TorqueMax      quantity.Torque `json:"torqueMax,omitempty" cbor:"12,keyasint,omitempty"`
	TorquePerGrade quantity.Torque `json:"torquePerGrade,omitempty" cbor:"13,keyasint,omitempty"`
	// Gasket clamped thickness and its standard uncertainty, both 0 when none.
	Gasket      quantity.Length `json:"gasket,omitempty" cbor:"14,keyasint,omitempty"`
	GasketSigma quantity.Length `json:"gasketSigma,omitempty" cbor:"15,keyasint,omitempty"`
	// MaxCount of shims at once, 1 when only one is allowed.
	MaxCount int `json:"maxCount" cbor:"16,keyasint,omitempty"`
	// Thinnest single shim allowed in a stack of two or more; 0 means no rule.
	Thinnest quantity.Length `json:"thinnest,omitempty" cbor:"17,keyasint,omitempty"`
	// Span between the bearings and the case's material, for the temperature check.
	Span     quantity.Length `json:"span,omitempty" cbor:"18,keyasint,omitempty"`
	Material string          `json:"material,omitempty" cbor:"19,keyasint,omitempty"` // "aluminium", "cast iron"
	// Preferred side when the window allows a choice: "loose", "tight" or "".
	Preferred string `json:"preferred,omitempty" cbor:"20,keyasint,omitempty"`
	Note      string `json:"note,omitempty" cbor:"21,keyasint,omitempty"`
	Provenance
	Stamp
}

// Table and Key implement Record.
func (s *Stack) Table() Table { return TableStack }
func (s *Stack) Key() string  { return key(string(s.Family), s.ID) }

// Limit is an inspection limit.
type Limit struct {
	ID       string     `json:"id" cbor:"1,keyasint,omitempty"`
	Family   FamilyID   `json:"family" cbor:"2,keyasint,omitempty"`
	Position PositionID `json:"position" cbor:"3,keyasint,omitempty"`
	// What is measured: "ring gap", "journal diameter".
	What string `json:"what" cbor:"4,keyasint,omitempty"`
	// NewMin to NewMax is the range of a new part; both 0 when not known.
	NewMin quantity.Length `json:"newMin,omitempty" cbor:"5,keyasint,omitempty"`
	NewMax quantity.Length `json:"newMax,omitempty" cbor:"6,keyasint,omitempty"`
	// WearMin and WearMax bound what may be reused; nil means no bound that side.
	WearMin *quantity.Length `json:"wearMin,omitempty" cbor:"7,keyasint,omitempty"`
	WearMax *quantity.Length `json:"wearMax,omitempty" cbor:"8,keyasint,omitempty"`
	// Instrument and its resolution.
	Instrument string          `json:"instrument,omitempty" cbor:"9,keyasint,omitempty"`
	Resolution quantity.Length `json:"resolution,omitempty" cbor:"10,keyasint,omitempty"`
	// Attribute whose size is measured, when the reading is the size of a seat.
	Name AttributeKey `json:"key,omitempty" cbor:"11,keyasint,omitempty"`
	At   string       `json:"at,omitempty" cbor:"12,keyasint,omitempty"`
	Provenance
	Stamp
}

// Table and Key implement Record.
func (l *Limit) Table() Table { return TableLimit }
func (l *Limit) Key() string  { return key(string(l.Family), l.ID) }

// FeatureKind is the kind of observation that a feature takes.
type FeatureKind string

const (
	FeatureCount FeatureKind = "count"  // splines, bolts, lugs
	FeatureRatio FeatureKind = "ratio"  // by turning a speed
	FeatureYesNo FeatureKind = "yes/no" // has a cable drive
	FeatureSize  FeatureKind = "size"   // a length with reading accuracy
	FeatureMark  FeatureKind = "mark"   // cast or stamped text, a bearing designation
)

// Feature is something that tells variants apart. Tooth counts need no
// feature: every wheel of the family is one.
type Feature struct {
	ID     string      `json:"id" cbor:"1,keyasint,omitempty"`
	Family FamilyID    `json:"family" cbor:"2,keyasint,omitempty"`
	Label  string      `json:"label" cbor:"3,keyasint,omitempty"`
	Kind   FeatureKind `json:"kind" cbor:"4,keyasint,omitempty"`
	// CaseClosed: can be seen with the case closed.
	CaseClosed bool `json:"caseClosed,omitempty" cbor:"5,keyasint,omitempty"`
	// Effort in minutes, for choosing what to look at next.
	Effort int `json:"effort" cbor:"6,keyasint,omitempty"`
	// Sigma of reading a size; ErrorRate (per thousand) of a wrong reading of any kind.
	Sigma     quantity.Length `json:"sigma,omitempty" cbor:"7,keyasint,omitempty"`
	ErrorRate int             `json:"errorRate,omitempty" cbor:"8,keyasint,omitempty"`
	// Speed whose ratio is turned, for FeatureRatio.
	Speed string `json:"speed,omitempty" cbor:"9,keyasint,omitempty"`
	// Values per variant; a variant without a row is not known.
	Values []*FeatureValue `json:"values,omitempty" cbor:"10,keyasint,omitempty"`
	Note   string          `json:"note,omitempty" cbor:"11,keyasint,omitempty"`
	Provenance
	Stamp
}

// FeatureValue is what a feature shows on one variant.
type FeatureValue struct {
	Variant VariantID `json:"variant" cbor:"1,keyasint,omitempty"`
	Value   Value     `json:"value" cbor:"2,keyasint,omitempty"`
}

// Table and Key implement Record.
func (f *Feature) Table() Table { return TableFeature }
func (f *Feature) Key() string  { return key(string(f.Family), f.ID) }
