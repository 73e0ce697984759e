package catalog

// Fitment states that a part fits a position of a variant.
type Fitment struct {
	Variant  VariantID  `json:"variant" cbor:"1,keyasint,omitempty"`
	Position PositionID `json:"position" cbor:"2,keyasint,omitempty"`
	Part     PartID     `json:"part" cbor:"3,keyasint,omitempty"`
	// Standard: the part this variant left the maker with.
	Standard bool `json:"standard,omitempty" cbor:"4,keyasint,omitempty"`
	// Quantity overrides the position's; 0 means the position's.
	Quantity int `json:"quantity,omitempty" cbor:"5,keyasint,omitempty"`
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
	Position PositionID   `json:"position" cbor:"1,keyasint,omitempty"`
	Name     AttributeKey `json:"key" cbor:"2,keyasint,omitempty"`
	At       string       `json:"at,omitempty" cbor:"3,keyasint,omitempty"`
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
	ID       string   `json:"id" cbor:"1,keyasint,omitempty"`
	Family   FamilyID `json:"family" cbor:"2,keyasint,omitempty"`
	A        Seat     `json:"a" cbor:"3,keyasint,omitempty"`
	B        Seat     `json:"b" cbor:"4,keyasint,omitempty"`
	Relation Relation `json:"relation" cbor:"5,keyasint,omitempty"`
	// Min and Max of A - B for Window, in the unit of the values (nm, count).
	Min int64 `json:"min,omitempty" cbor:"6,keyasint,omitempty"`
	Max int64 `json:"max,omitempty" cbor:"7,keyasint,omitempty"`
	// Reason is a sentence for people: "the bearing's bore sits on the shaft's seat".
	Reason string `json:"reason" cbor:"8,keyasint,omitempty"`
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
	ID        string       `json:"id" cbor:"1,keyasint,omitempty"`
	Family    FamilyID     `json:"family" cbor:"2,keyasint,omitempty"`
	Kind      BondKind     `json:"kind" cbor:"3,keyasint,omitempty"`
	Positions []PositionID `json:"positions" cbor:"4,keyasint,omitempty"` // two or more
	// Advice: the rebuilder may override with a reason; otherwise it is hard.
	Advice bool   `json:"advice,omitempty" cbor:"5,keyasint,omitempty"`
	Reason string `json:"reason" cbor:"6,keyasint,omitempty"`
	Provenance
	Stamp
}

// Table and Key implement Record.
func (b *Bond) Table() Table { return TableBond }
func (b *Bond) Key() string  { return key(string(b.Family), b.ID) }

// Disturbance: reaching one position undoes another.
type Disturbance struct {
	Family FamilyID   `json:"family" cbor:"1,keyasint,omitempty"`
	Reach  PositionID `json:"reach" cbor:"2,keyasint,omitempty"`
	Undoes PositionID `json:"undoes" cbor:"3,keyasint,omitempty"`
	Reason string     `json:"reason" cbor:"4,keyasint,omitempty"`
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
	ID   string           `json:"id" cbor:"1,keyasint,omitempty"`
	Old  PartID           `json:"old" cbor:"2,keyasint,omitempty"`
	New  PartID           `json:"new" cbor:"3,keyasint,omitempty"`
	Kind SupersessionKind `json:"kind" cbor:"4,keyasint,omitempty"`
	// Companions are needed as well when New is used in place of Old.
	Companions []*Content `json:"companions,omitempty" cbor:"5,keyasint,omitempty"`
	// SerialFrom and SerialTo bound a split, inclusive; empty means open.
	SerialFrom string `json:"serialFrom,omitempty" cbor:"6,keyasint,omitempty"`
	SerialTo   string `json:"serialTo,omitempty" cbor:"7,keyasint,omitempty"`
	Reason     string `json:"reason,omitempty" cbor:"8,keyasint,omitempty"`
	Provenance
	Stamp
}

// Table and Key implement Record.
func (s *Supersession) Table() Table { return TableSupersession }
func (s *Supersession) Key() string  { return s.ID }
