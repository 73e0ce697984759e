package reconcile

import (
	"cmp"
	"maps"
	"slices"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

// WhatIf is what changes from one report to another on the same gearbox: two kits,
// a kit against singles, or two decisions.
type WhatIf struct {
	// A and B are the reports compared.
	A, B *Report
	// Gone are findings of A that B does not have, New those of B alone, Same those
	// of B that A has as well; all in the order of their report. A finding is the
	// same when it says the same fact: code, position, part and text of the line.
	Gone, New, Same []*Finding
	// Shortages that differ in pieces, state or acceptable parts, by position.
	Shortages []*ShortageDiff
	// Surplus that differs in pieces, by part.
	Surplus []*SurplusDiff
	// CostA and CostB are what is short and could be ordered, by the least prices
	// offered in the shop's currency; UnpricedA and UnpricedB count the positions
	// that nobody offers anything for.
	CostA, CostB         quantity.Money
	UnpricedA, UnpricedB int
}

// ShortageDiff is one position; A or B is nil where nothing is short.
type ShortageDiff struct {
	Position catalog.PositionID
	A, B     *Shortage
}

// SurplusDiff is the pieces of one part that are over.
type SurplusDiff struct {
	Part catalog.PartID
	A, B int
}

// CompareReports says what changes from a to b, both reports over the catalogue ix.
func CompareReports(ix *catalog.Index, a, b *Report) *WhatIf {
	w := &WhatIf{A: a, B: b}
	inA, inB := findingIDs(a), findingIDs(b)
	for _, f := range a.Findings {
		if !inB[f.ID] {
			w.Gone = append(w.Gone, f)
		}
	}
	for _, f := range b.Findings {
		if inA[f.ID] {
			w.Same = append(w.Same, f)
		} else {
			w.New = append(w.New, f)
		}
	}
	w.Shortages = shortageChanges(ix, a, b)
	w.Surplus = surplusChanges(a, b)
	w.CostA, w.UnpricedA = orderCost(ix, a)
	w.CostB, w.UnpricedB = orderCost(ix, b)
	return w
}

func findingIDs(r *Report) map[string]bool {
	out := make(map[string]bool, len(r.Findings))
	for _, f := range r.Findings {
		out[f.ID] = true
	}
	return out
}

func shortageChanges(ix *catalog.Index, a, b *Report) []*ShortageDiff {
	by := map[catalog.PositionID]*ShortageDiff{}
	at := func(id catalog.PositionID) *ShortageDiff {
		if by[id] == nil {
			by[id] = &ShortageDiff{Position: id}
		}
		return by[id]
	}
	for _, s := range a.Shortages {
		at(s.Position).A = s
	}
	for _, s := range b.Shortages {
		at(s.Position).B = s
	}
	order := map[catalog.PositionID]int{}
	for i, p := range ix.Positions(b.Family) {
		order[p.ID] = i
	}
	out := slices.SortedFunc(maps.Values(by), func(x, y *ShortageDiff) int {
		return cmp.Or(cmp.Compare(order[x.Position], order[y.Position]), cmp.Compare(x.Position, y.Position))
	})
	return slices.DeleteFunc(out, func(c *ShortageDiff) bool {
		return c.A != nil && c.B != nil && c.A.Quantity == c.B.Quantity && c.A.State == c.B.State &&
			c.A.Possible == c.B.Possible && slices.Equal(c.A.Accept, c.B.Accept)
	})
}

func surplusChanges(a, b *Report) []*SurplusDiff {
	by := map[catalog.PartID]*SurplusDiff{}
	at := func(id catalog.PartID) *SurplusDiff {
		if by[id] == nil {
			by[id] = &SurplusDiff{Part: id}
		}
		return by[id]
	}
	for _, s := range a.Surplus {
		at(s.Part).A += s.Pieces
	}
	for _, s := range b.Surplus {
		at(s.Part).B += s.Pieces
	}
	out := slices.SortedFunc(maps.Values(by), func(x, y *SurplusDiff) int { return cmp.Compare(x.Part, y.Part) })
	return slices.DeleteFunc(out, func(c *SurplusDiff) bool { return c.A == c.B })
}

// orderCost is the least price of what could be ordered now or after an answer;
// possible demand, what is in treatment and what is chosen by measuring are left
// out.
func orderCost(ix *catalog.Index, r *Report) (quantity.Money, int) {
	currency := ix.Currency()
	sum, unpriced := quantity.Money{Currency: currency}, 0
	for _, s := range r.Shortages {
		if s.Possible || s.State == InTreatment || s.State == AfterMeasuring {
			continue
		}
		var least quantity.Money
		priced := false
		for _, id := range s.Accept {
			if p, ok := ix.LeastPrice(id, currency); ok && (!priced || p.Minor < least.Minor) {
				least, priced = p, true
			}
		}
		if !priced {
			unpriced++
		}
		sum.Minor += least.Minor * int64(s.Quantity)
	}
	return sum, unpriced
}
