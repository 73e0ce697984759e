package reconcile

import (
	"slices"

	"layshaft/catalog"
)

// ruleSizeUnknown reports neighbours of which it can't be said whether they go
// together, where the catalogue does not vouch for both.
func ruleSizeUnknown(w *work, r *Rule) {
	for i := range w.spots {
		if s := &w.spots[i]; s.doubt != "" && s.need == 0 && s.has != missing {
			f := r.at(w, s)
			f.say("the "+s.name(), "which "+s.name()+" is in the box is not known, since "+s.doubt)
			f.Remedy = &Remedy{Text: "Look at it and record what was found."}
			w.add(f)
		}
	}
	for k := range w.mates {
		w.unknownMate(r, &w.mates[k])
	}
}

// unknownMate reports the first pair of parts of which a mate can't be judged.
func (w *work) unknownMate(r *Rule, m *mate) {
	a, b := &w.spots[m.a], &w.spots[m.b]
	for _, x := range w.toCome(a) {
		for _, y := range w.toCome(b) {
			va, vb := w.value(x.part, x.sizes, m.rec.A), w.value(y.part, y.sizes, m.rec.B)
			if m.holds(va, vb) != unknown || w.vouched(a, x, m.rec.A) && w.vouched(b, y, m.rec.B) {
				continue
			}
			if va.Stated() && !vb.Stated() {
				a, b, x = b, a, y
			}
			seat := m.seat(a.index)
			f := r.at(w, a)
			f.Part, f.Attribute = x.part.ID, w.attribute(seat)
			f.say("the "+a.name(), "the "+w.attribute(seat)+" of "+label(x.part)+" is not known, and the "+b.name()+" depends on it")
			f.Remedy = &Remedy{Text: because("Measure or look up the "+w.attribute(seat)+" of "+label(x.part), w.howTo(seat)) + "."}
			w.add(f)
			return
		}
	}
}

// toCome is what is fitted: the parts supplied, and for what is still short the
// one that would be ordered first.
func (w *work) toCome(s *spot) []option {
	if w.certain(s) && !s.open {
		var out []option
		for _, c := range w.inUse(s) {
			out = append(out, option{c.part, s.sizesOn(c)})
		}
		return out
	}
	if s.now.part == nil {
		return nil
	}
	return []option{s.now}
}

// vouched: the catalogue states that the part fitted fits this variant, and its
// size was not changed here.
func (w *work) vouched(s *spot, x option, seat catalog.Seat) bool {
	if hasSize(x.sizes, seat) || s.treated && s.state == FittedReused && resizes(s.dec.Treatment) {
		return false
	}
	return slices.ContainsFunc(w.variants, func(v catalog.VariantID) bool {
		return slices.ContainsFunc(w.ix.Fits(v, s.id), func(f *catalog.Fitment) bool { return f.Part == x.part.ID })
	})
}

func (w *work) howTo(seat catalog.Seat) string {
	if def, ok := w.ix.AttributeDef(seat.Name); ok {
		return def.HowTo
	}
	return ""
}
