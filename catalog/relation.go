package catalog

// Fitment states that a part fits a position of a variant.
type Fitment struct {
	Variant  VariantID  `json:"variant"`
	Position PositionID `json:"position"`
	Part     PartID     `json:"part"`
	// Standard: the part this variant left the maker with.
	Standard bool `json:"standard,omitempty"`
	// Quantity overrides the position's; 0 means the position's.
	Quantity int `json:"quantity,omitempty"`
	Provenance
	Stamp
}

// Table and Key implement Record.
func (f *Fitment) Table() Table { return TableFitment }
func (f *Fitment) Key() string {
	return key(string(f.Variant), string(f.Position), string(f.Part))
}

// Seat points at one attribute of whatever part is fitted at a position.
type Seat struct {
	Position PositionID   `json:"position"`
	Name     AttributeKey `json:"key"`
	At       string       `json:"at,omitempty"`
}

// Relation is how a mate compares its two seats.
type Relation string

const (
	Equal  Relation = "equal"  // A = B: sizes, counts or text
	Less   Relation = "less"   // A < B
	Window Relation = "window" // Min <= A - B <= Max
)

// Mate is a rule between an attribute at one position and an attribute at
// another position of one family.
type Mate struct {
	ID       string   `json:"id"`
	Family   FamilyID `json:"family"`
	A        Seat     `json:"a"`
	B        Seat     `json:"b"`
	Relation Relation `json:"relation"`
	// Min and Max of A - B for Window, in the unit of the values (nm, count).
	Min int64 `json:"min,omitempty"`
	Max int64 `json:"max,omitempty"`
	// Reason is a sentence for people: "the bearing's bore sits on the shaft's seat".
	Reason string `json:"reason"`
	Provenance
	Stamp
}

// Table and Key implement Record.
func (m *Mate) Table() Table { return TableMate }
func (m *Mate) Key() string  { return key(string(m.Family), m.ID) }

// BondKind says why positions belong together.
type BondKind string

const (
	// WornTogether: run in together; renewing one without the other is bad practice.
	WornTogether BondKind = "worn-together"
	// SoldTogether: one cannot be had without the other.
	SoldTogether BondKind = "sold-together"
)

// Bond names positions whose parts are renewed together.
type Bond struct {
	ID        string       `json:"id"`
	Family    FamilyID     `json:"family"`
	Kind      BondKind     `json:"kind"`
	Positions []PositionID `json:"positions"` // two or more
	// Advice: the rebuilder may override with a reason; otherwise it is hard.
	Advice bool   `json:"advice,omitempty"`
	Reason string `json:"reason"`
	Provenance
	Stamp
}

// Table and Key implement Record.
func (b *Bond) Table() Table { return TableBond }
func (b *Bond) Key() string  { return key(string(b.Family), b.ID) }

// Disturbance: reaching one position undoes another.
type Disturbance struct {
	Family FamilyID   `json:"family"`
	Reach  PositionID `json:"reach"`
	Undoes PositionID `json:"undoes"`
	Reason string     `json:"reason"`
	Provenance
	Stamp
}

// Table and Key implement Record.
func (d *Disturbance) Table() Table { return TableDisturbance }
func (d *Disturbance) Key() string {
	return key(string(d.Family), string(d.Reach), string(d.Undoes))
}

// SupersessionKind is an edge kind of the supersession graph.
type SupersessionKind string

const (
	Replaces      SupersessionKind = "replaces"        // new serves everywhere old did
	OneWay        SupersessionKind = "one-way"         // new also fits where old did; not back
	Equals        SupersessionKind = "equals"          // both ways
	SplitBySerial SupersessionKind = "split-by-serial" // which successor depends on a serial number
)

// Supersession is one edge of the supersession graph.
type Supersession struct {
	ID   string           `json:"id"`
	Old  PartID           `json:"old"`
	New  PartID           `json:"new"`
	Kind SupersessionKind `json:"kind"`
	// Companions are needed as well when New is used in place of Old.
	Companions []*Content `json:"companions,omitempty"`
	// SerialFrom and SerialTo bound a split, inclusive; empty means open.
	SerialFrom string `json:"serialFrom,omitempty"`
	SerialTo   string `json:"serialTo,omitempty"`
	Reason     string `json:"reason,omitempty"`
	Provenance
	Stamp
}

// Table and Key implement Record.
func (s *Supersession) Table() Table { return TableSupersession }
func (s *Supersession) Key() string  { return s.ID }
