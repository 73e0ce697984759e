package reconcile

import (
	"slices"

	"layshaft/catalog"
)

// Short names of what a mate may answer.
const (
	unknown = catalog.Unknown
	holds   = catalog.Holds
	broken  = catalog.Broken
)

// mate is a catalogue mate with its ends resolved to spots.
type mate struct {
	rec  *catalog.Mate
	a, b int
}

// layMates resolves the family's mates. A doubted mate decides nothing.
func (w *work) layMates() {
	recs := w.ix.Mates(w.job.Family)
	w.mates = slices.Grow(w.mates, len(recs))
	for _, m := range recs {
		a, okA := w.at[m.A.Position]
		b, okB := w.at[m.B.Position]
		if !okA || !okB || a == b || m.Standing == catalog.Doubted {
			continue
		}
		if w.spots[a].has == missing || w.spots[b].has == missing {
			continue
		}
		w.spots[a].mates = append(w.spots[a].mates, int32(len(w.mates)))
		w.spots[b].mates = append(w.spots[b].mates, int32(len(w.mates)))
		w.mates = append(w.mates, mate{rec: m, a: a, b: b})
	}
}

// other is the spot at the far end of a mate, seen from spot i.
func (m *mate) other(i int) int {
	if m.a == i {
		return m.b
	}
	return m.a
}

// seat is the mate's seat at spot i.
func (m *mate) seat(i int) catalog.Seat {
	if m.a == i {
		return m.rec.A
	}
	return m.rec.B
}

// from evaluates the mate with v at spot i and o at the other end.
func (m *mate) from(i int, v, o catalog.Value) catalog.Verdict {
	if m.a == i {
		return m.holds(v, o)
	}
	return m.holds(o, v)
}

// holds compares the value at A with the value at B.
func (m *mate) holds(a, b catalog.Value) catalog.Verdict { return m.rec.Judge(a, b) }

func sameValue(a, b catalog.Value) bool { return a.Same(b) }

// value of a part at a seat; sizes measured or treated on this job come first.
func (w *work) value(p *catalog.Part, sizes []*catalog.Attribute, seat catalog.Seat) catalog.Value {
	for _, a := range sizes {
		if a.Name == seat.Name && a.At == seat.At {
			return a.Value
		}
	}
	if p == nil {
		return catalog.Value{}
	}
	if a, ok := w.ix.Attribute(p.ID, seat.Name, seat.At); ok {
		return a.Value
	}
	return catalog.Value{}
}

// keptValue is the value of the part that was in the box.
func (w *work) keptValue(s *spot, seat catalog.Seat) catalog.Value {
	return w.value(s.base, s.sizes, seat)
}
