package reconcile

import (
	"slices"

	"layshaft/catalog"
)

// pairs calls fn for positions of two kinds that a mate or a bond ties together.
func (w *work) pairs(a, b catalog.PartKind, fn func(a, b *spot)) {
	for i := range w.spots {
		s := &w.spots[i]
		if s.pos.Kind != a || s.has == missing {
			continue
		}
		var done []int
		tie := func(o int) {
			if w.spots[o].pos.Kind == b && w.spots[o].has != missing && !slices.Contains(done, o) {
				done = append(done, o)
				fn(s, &w.spots[o])
			}
		}
		for _, id := range s.mates {
			tie(w.mates[id].other(i))
		}
		for _, bond := range w.ix.BondsAt(w.job.Family, s.id) {
			for _, id := range bond.Positions {
				if o, ok := w.at[id]; ok {
					tie(o)
				}
			}
		}
	}
}

// oneSided tells which of two goes back while the other is renewed; nil when
// both or none are renewed.
func oneSided(w *work, a, b *spot) (kept, renewed *spot) {
	na, nb := w.certain(a), w.certain(b)
	switch {
	case na && !nb && b.state != FittedNone:
		return b, a
	case nb && !na && a.state != FittedNone:
		return a, b
	}
	return nil, nil
}

func (w *work) bonded(a, b *spot) bool {
	return slices.ContainsFunc(w.ix.BondsAt(w.job.Family, a.id), func(x *catalog.Bond) bool {
		return slices.Contains(x.Positions, b.id)
	})
}

// fitting lists what the catalogue states for a position of the job's variants.
func (w *work) fitting(s *spot) []catalog.PartID {
	var out []catalog.PartID
	for _, v := range w.variants {
		for _, f := range w.ix.Fits(v, s.id) {
			if !slices.Contains(out, f.Part) {
				out = append(out, f.Part)
			}
		}
	}
	return out
}
