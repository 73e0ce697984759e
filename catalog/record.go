package catalog

import "time"

// Identifiers are short lower-case words chosen by the shop ("cs-front-bearing").
// They are stable: other systems keep them.
type (
	// FamilyID names a gearbox design.
	FamilyID string
	// VariantID names one build of a family; unique over all families.
	VariantID string
	// PositionID names a place in a family; unique inside its family only.
	PositionID string
	// PartID names a part; unique over the catalogue. It is not a part number.
	PartID string
	// SupplierID names a supplier.
	SupplierID string
)

// Table names a kind of record, in the catalogue or in a job.
type Table string

// The catalogue's tables, in the order in which they are checked and exported.
const (
	TableFamily       Table = "families"
	TableVariant      Table = "variants"
	TablePosition     Table = "positions"
	TableAttribute    Table = "attributes"
	TablePart         Table = "parts"
	TableFitment      Table = "fitments"
	TableMate         Table = "mates"
	TableBond         Table = "bonds"
	TableDisturbance  Table = "disturbances"
	TableStack        Table = "stacks"
	TableLimit        Table = "limits"
	TableFeature      Table = "features"
	TableSupersession Table = "supersessions"
	TableSupplier     Table = "suppliers"
	TableOffer        Table = "offers"
	TableWord         Table = "words"
	TableAlias        Table = "aliases"
)

// Standing says how well a fact is established.
type Standing string

const (
	// Confirmed: this shop has seen it on its own bench.
	Confirmed Standing = "confirmed"
	// Stated: a source says so; nobody here has tried it.
	Stated Standing = "stated"
	// Derived: computed from dimensions or a designation.
	Derived Standing = "derived"
	// Doubted: somebody has a reason against it. It stays visible.
	Doubted Standing = "doubted"
)

// Rank orders standings: Confirmed 3, Stated 2, Derived 1, Doubted and unknown 0.
func (s Standing) Rank() int {
	switch s {
	case Confirmed:
		return 3
	case Stated:
		return 2
	case Derived:
		return 1
	}
	return 0
}

// Provenance says how well a fact is established and by whom it was said.
type Provenance struct {
	Standing Standing `json:"standing,omitempty" cbor:"101,keyasint,omitempty"`
	// Source is a note: a list, a measurement, a person's role.
	Source string `json:"source,omitempty" cbor:"102,keyasint,omitempty"`
}

// Stamp is set by the store when an edit is committed; zero before that.
type Stamp struct {
	Rev uint64    `json:"rev,omitempty" cbor:"111,keyasint,omitempty"` // revision of the last edit of this record
	By  string    `json:"by,omitempty" cbor:"112,keyasint,omitempty"`  // who made that edit
	At  time.Time `json:"at,omitzero" cbor:"113,keyasint,omitzero"`    // when
}

// StampRef returns the stamp itself, so that a store can set it.
func (s *Stamp) StampRef() *Stamp { return s }

// Record is one row of a table: what an edit replaces as a whole.
type Record interface {
	Table() Table
	// Key is unique in the table and never empty in a valid record.
	Key() string
	StampRef() *Stamp
}

// key joins parts of a compound key; '/' is not allowed in identifiers.
func key(parts ...string) string {
	n := len(parts) - 1
	for _, p := range parts {
		n += len(p)
	}
	b := make([]byte, 0, n)
	for i, p := range parts {
		if i > 0 {
			b = append(b, '/')
		}
		b = append(b, p...)
	}
	return string(b)
}
