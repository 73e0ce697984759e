package reconcile

import (
	"cmp"
	"slices"
	"time"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

// ShortageRow is a shortage as other systems pull it.
type ShortageRow struct {
	// Key is stable: job and position.
	Key      string             `json:"key" cbor:"1,keyasint"`
	Job      JobID              `json:"job" cbor:"2,keyasint"`
	Position catalog.PositionID `json:"position" cbor:"3,keyasint"`
	// Label is the shop's word for the position.
	Label    string `json:"label,omitempty" cbor:"4,keyasint,omitempty"`
	Quantity int    `json:"quantity" cbor:"5,keyasint,omitempty"` // pieces short
	// Unit of the best part: piece, pair or set, SetOf pieces each.
	Unit     catalog.SaleUnit     `json:"unit,omitempty" cbor:"6,keyasint,omitempty"`
	SetOf    int                  `json:"setOf,omitempty" cbor:"7,keyasint,omitempty"`
	State    ShortageState        `json:"state,omitempty" cbor:"8,keyasint,omitempty"`
	Blocking bool                 `json:"blocking,omitempty" cbor:"9,keyasint,omitempty"`
	Possible bool                 `json:"possible,omitempty" cbor:"10,keyasint,omitempty"`
	Accept   []catalog.PartID     `json:"accept,omitempty" cbor:"11,keyasint,omitempty"`
	Wanted   []*catalog.Attribute `json:"wanted,omitempty" cbor:"12,keyasint,omitempty"`
	OnOrder  int                  `json:"onOrder,omitempty" cbor:"13,keyasint,omitempty"`
	NeededBy quantity.Date        `json:"neededBy,omitzero" cbor:"14,keyasint,omitzero"`
	Chain    []*Hop               `json:"chain,omitempty" cbor:"15,keyasint,omitempty"`
	Because  string               `json:"because,omitempty" cbor:"16,keyasint,omitempty"`
	// Supplier of the first offer, the part's number there, and the price of one
	// unit, without freight; empty without offers.
	Supplier catalog.SupplierID `json:"supplier,omitempty" cbor:"17,keyasint,omitempty"`
	Number   string             `json:"number,omitempty" cbor:"18,keyasint,omitempty"`
	Price    quantity.Money     `json:"price,omitzero" cbor:"19,keyasint,omitzero"`
	// Revisions from which the row first looked like this.
	JobRev     uint64 `json:"jobRevision,omitempty" cbor:"20,keyasint,omitempty"`
	CatalogRev uint64 `json:"catalogueRevision,omitempty" cbor:"21,keyasint,omitempty"`
	// Offers for the best part in this quantity, the least landed cost first.
	Offers []*RowOffer `json:"offers,omitempty" cbor:"22,keyasint,omitempty"`
	// Governs: of what keeps the case open, nothing is known to take longer.
	Governs bool `json:"governs,omitempty" cbor:"23,keyasint,omitempty"`
}

// rowsOf shows the shortages of a report as rows.
func rowsOf(ix *catalog.Index, h *Head, r *Report) []*ShortageRow {
	rows := make([]*ShortageRow, len(r.Shortages))
	longest := longestLead(ix, r)
	for i, s := range r.Shortages {
		row := &ShortageRow{Key: s.ID, Job: h.ID, Position: s.Position, Label: string(s.Position), Quantity: s.Quantity,
			Unit: catalog.UnitPiece, State: s.State, Blocking: s.Blocking, Possible: s.Possible, Accept: s.Accept, Wanted: s.Wanted,
			OnOrder: s.OnOrder, NeededBy: h.NeededBy, Chain: s.Chain, Because: s.Because, JobRev: r.JobRev, CatalogRev: r.CatalogRev}
		if p, ok := ix.Position(h.Family, s.Position); ok && p.Name != "" {
			row.Label = p.Name
		}
		if len(s.Accept) > 0 {
			row.describe(ix, s.Accept[0])
		}
		days, known := leadOf(ix, s)
		row.Governs = known && keepsOpen(s) && days == longest
		rows[i] = row
	}
	return rows
}

// describe adds how the best part is sold and what suppliers ask for it.
func (r *ShortageRow) describe(ix *catalog.Index, id catalog.PartID) {
	p, ok := ix.Part(id)
	if !ok {
		return
	}
	if p.Unit != "" {
		r.Unit = p.Unit
	}
	for _, c := range p.Contents {
		r.SetOf += c.Count
	}
	units := r.Quantity
	if r.SetOf > 1 {
		units = (units + r.SetOf - 1) / r.SetOf
	}
	if r.Offers = offersFor(ix, p, units); len(r.Offers) > 0 {
		best := r.Offers[0]
		r.Supplier, r.Number, r.Price = best.Supplier, best.Number, best.Price
	}
}

// ShortageChange is the newest thing that happened to one shortage.
type ShortageChange struct {
	// No numbers changes without gaps, in the order in which they were kept.
	No uint64 `json:"no" cbor:"1,keyasint"`
	// Gone: the shortage has ended; of the row only key, job and position stay.
	Gone bool        `json:"gone,omitempty" cbor:"2,keyasint,omitempty"`
	At   time.Time   `json:"at" cbor:"3,keyasint"`
	Row  ShortageRow `json:"row" cbor:"4,keyasint"`
}

// Feed holds the newest change of every shortage there ever was, by number. It
// is never changed: With makes the next one.
type Feed struct {
	changes []*ShortageChange
	byKey   map[string]*ShortageChange
	last    uint64
}

// NewFeed makes a feed of the newest changes, one a key.
func NewFeed(changes []*ShortageChange) *Feed { return (&Feed{}).With(changes) }

// With returns the feed after some changes. Later ones of a key replace earlier
// ones.
func (f *Feed) With(changes []*ShortageChange) *Feed {
	next := &Feed{byKey: make(map[string]*ShortageChange, len(f.byKey)+len(changes)), last: f.last}
	for _, list := range [][]*ShortageChange{f.changes, changes} {
		for _, c := range list {
			if old := next.byKey[c.Row.Key]; old == nil || old.No < c.No {
				next.byKey[c.Row.Key] = c
			}
			next.last = max(next.last, c.No)
		}
	}
	next.changes = make([]*ShortageChange, 0, len(next.byKey))
	for _, c := range next.byKey {
		next.changes = append(next.changes, c)
	}
	slices.SortFunc(next.changes, func(a, b *ShortageChange) int { return cmp.Compare(a.No, b.No) })
	return next
}

// Last is the number of the newest change; 0 when there is none.
func (f *Feed) Last() uint64 { return f.last }

// Of a key; nil when there was never such a shortage.
func (f *Feed) Of(key string) *ShortageChange { return f.byKey[key] }

// After lists the changes with greater numbers, ascending. It must not be changed.
func (f *Feed) After(no uint64) []*ShortageChange {
	i, _ := slices.BinarySearchFunc(f.changes, no+1, func(c *ShortageChange, n uint64) int { return cmp.Compare(c.No, n) })
	return f.changes[i:]
}
