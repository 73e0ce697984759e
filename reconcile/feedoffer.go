package reconcile

import (
	"cmp"
	"slices"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

// RowOffer is what one supplier asks for a shortage.
type RowOffer struct {
	Supplier catalog.SupplierID `json:"supplier" cbor:"1,keyasint"`
	Number   string             `json:"number,omitempty" cbor:"2,keyasint,omitempty"` // the supplier's own
	Units    int                `json:"units" cbor:"3,keyasint"`                      // sold for it: packs and minimum kept
	// Price of one unit at that quantity; Landed is the whole order for this
	// shortage alone, with freight and the fee for a small order; zero when they
	// are in another currency.
	Price  quantity.Money    `json:"price" cbor:"4,keyasint"`
	Landed quantity.Money    `json:"landed,omitzero" cbor:"5,keyasint,omitzero"`
	Lead   quantity.LeadTime `json:"lead" cbor:"6,keyasint"`
}

// offersFor lists what suppliers ask for units of a part: the least landed cost
// first, the shop's currency before others, what can't be added up last.
func offersFor(ix *catalog.Index, p *catalog.Part, units int) []*RowOffer {
	var out []*RowOffer
	for _, o := range ix.Offers(p.ID) {
		if len(o.Breaks) == 0 {
			continue
		}
		n := max(units, o.Minimum, 1)
		if pack := max(o.Pack, 1); n%pack != 0 {
			n += pack - n%pack
		}
		row := &RowOffer{Supplier: o.Supplier, Units: n, Price: o.Breaks[0].Price, Lead: o.Lead}
		for _, b := range o.Breaks {
			if b.From <= n {
				row.Price = b.Price
			}
		}
		for _, num := range p.Numbers {
			if num.Issuer == string(o.Supplier) && row.Number == "" {
				row.Number = num.Text
			}
		}
		if s, ok := ix.Supplier(o.Supplier); ok {
			row.Landed = landed(s, row.Price, n)
		}
		out = append(out, row)
	}
	home := ix.Currency()
	slices.SortStableFunc(out, func(a, b *RowOffer) int {
		return cmp.Or(compareBool(a.Landed.IsZero(), b.Landed.IsZero()),
			compareBool(a.Landed.Currency != home, b.Landed.Currency != home), cmp.Compare(a.Landed.Currency, b.Landed.Currency),
			cmp.Compare(a.Landed.Minor, b.Landed.Minor), cmp.Compare(a.Lead.Worst, b.Lead.Worst), cmp.Compare(a.Supplier, b.Supplier))
	})
	return out
}

// landed is what n units cost in an order of their own; zero when it can't be
// added up.
func landed(s *catalog.Supplier, price quantity.Money, n int) quantity.Money {
	sum, err := price.Times(int64(n))
	if err != nil {
		return quantity.Money{}
	}
	goods := sum
	below := func(bound quantity.Money) bool {
		c, err := goods.Compare(bound)
		return err == nil && c < 0
	}
	for _, extra := range []struct {
		charge quantity.Money
		due    bool
	}{
		{s.SmallOrderFee, below(s.MinimumOrder)},
		{s.Freight, s.FreeFrom.IsZero() || below(s.FreeFrom)},
	} {
		if extra.charge.IsZero() || !extra.due {
			continue
		}
		if sum, err = sum.Add(extra.charge); err != nil {
			return quantity.Money{}
		}
	}
	return sum
}

// leadOf is the shortest worst case in working days in which anything that would
// end the shortage comes; not known without offers.
func leadOf(ix *catalog.Index, s *Shortage) (days int, known bool) {
	for _, id := range s.Accept {
		for _, o := range ix.Offers(id) {
			if !known || o.Lead.Worst < days {
				days, known = o.Lead.Worst, true
			}
		}
	}
	return days, known
}

// longestLead among the shortages that keep the case open.
func longestLead(ix *catalog.Index, r *Report) int {
	longest := 0
	for _, s := range r.Shortages {
		if days, _ := leadOf(ix, s); keepsOpen(s) {
			longest = max(longest, days)
		}
	}
	return longest
}

func keepsOpen(s *Shortage) bool { return s.Blocking && !s.Possible }
