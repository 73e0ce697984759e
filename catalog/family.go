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
	ID   FamilyID `json:"id"`
	Name string   `json:"name"`
	Box  Box      `json:"box"`
	// CentreDistance between the two shafts that carry the speed gears.
	CentreDistance quantity.Length `json:"centreDistance"`
	// Shafts in drawing order, the input shaft first.
	Shafts []*Shaft `json:"shafts"`
	// Wheels are all toothed wheels whose counts tell variants apart.
	Wheels []*Wheel `json:"wheels"`
	// Meshes pair the wheels.
	Meshes []*Mesh `json:"meshes"`
	// Speeds in order from the lowest, reverse last.
	Speeds []*Speed `json:"speeds"`
	Note   string   `json:"note,omitempty"`
	Provenance
	Stamp
}

// Shaft is an axis of the drawing.
type Shaft struct {
	ID   string `json:"id"`
	Name string `json:"name"`
	// Offset of the axis below that of the input shaft; 0 for coaxial shafts.
	Offset quantity.Length `json:"offset"`
}

// Wheel is one toothed wheel: a gear of its own or one gear of a cluster.
type Wheel struct {
	ID    string `json:"id"`
	Label string `json:"label"`
	// Position of the part that carries the wheel.
	Position PositionID `json:"position"`
	// At is the seat of the part's "teeth" attribute; empty for a single gear.
	At string `json:"at,omitempty"`
	// CaseClosed: can be counted without opening the case.
	CaseClosed bool `json:"caseClosed,omitempty"`
}

// Mesh pairs a driving with a driven wheel.
type Mesh struct {
	ID      string `json:"id"`
	Driving string `json:"driving"` // wheel
	Driven  string `json:"driven"`  // wheel
	// CentreDistance of this mesh; 0 means the family's. Reverse meshes with an
	// idler between carry Idler instead and have no centre distance.
	CentreDistance quantity.Length `json:"centreDistance,omitempty"`
	// NormalModule; 0 when not known.
	NormalModule quantity.Length `json:"normalModule,omitempty"`
	// Helix angle at the reference cylinder; 0 for spur or not known.
	Helix quantity.Angle `json:"helix,omitempty"`
	// Idler wheels between driving and driven, in order of power flow. One wheel
	// for a plain idler, two (driven, then driving) for a two-step idler.
	Idler []string `json:"idler,omitempty"`
}

// Speed is a gear that can be engaged.
type Speed struct {
	Name string `json:"name"` // "1st" ... "5th", "reverse"
	// Meshes in order of power flow; empty for direct drive.
	Meshes  []string `json:"meshes,omitempty"`
	Reverse bool     `json:"reverse,omitempty"`
}

// Table and Key implement Record.
func (f *Family) Table() Table { return TableFamily }
func (f *Family) Key() string  { return string(f.ID) }

// Variant is one build of a family.
type Variant struct {
	ID     VariantID `json:"id"`
	Family FamilyID  `json:"family"`
	Name   string    `json:"name"`
	// Teeth counts per wheel of the family; a missing wheel is not known.
	Teeth []*ToothCount `json:"teeth,omitempty"`
	// Without lists positions that this variant does not have.
	Without []PositionID `json:"without,omitempty"`
	Note    string       `json:"note,omitempty"`
	Provenance
	Stamp
}

// ToothCount is the number of teeth of one wheel.
type ToothCount struct {
	Wheel string `json:"wheel"`
	Teeth int    `json:"teeth"`
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
	ID       PositionID `json:"id"`
	Family   FamilyID   `json:"family"`
	Name     string     `json:"name"` // the shop's word: "Countershaft front bearing"
	Assembly Assembly   `json:"assembly"`
	// Kind of part that goes here; see PartKind.
	Kind PartKind `json:"kind"`
	// Quantity of pieces fitted here, 1 or more.
	Quantity int  `json:"quantity"`
	Life     Life `json:"life"`
	// Critical: a wrong part here can lock the gearbox or hurt somebody.
	Critical bool `json:"critical,omitempty"`
	// Blocking: without it the case cannot be closed.
	Blocking bool `json:"blocking,omitempty"`
	// Outside: can be seen or is missing before the case is opened.
	Outside bool `json:"outside,omitempty"`
	// Shaft that carries it on the drawing; empty for parts beside the shafts.
	Shaft string `json:"shaft,omitempty"`
	// From is the distance of its left face from the bell housing's face, Width
	// its length along the shaft; both 0 when it has no place on the drawing.
	From  quantity.Length `json:"from,omitempty"`
	Width quantity.Length `json:"width,omitempty"`
	// Places are words that kit lists use for this place: "front", "3rd", "2-3".
	Places []string `json:"places,omitempty"`
	Order  int      `json:"order"` // order in lists, by assembly
	Note   string   `json:"note,omitempty"`
	Provenance
	Stamp
}

// Table and Key implement Record.
func (p *Position) Table() Table { return TablePosition }
func (p *Position) Key() string  { return key(string(p.Family), string(p.ID)) }
