package reconcile

import "layshaft/catalog"

// ruleTreatmentSize reports sizes that a treatment changed and that a neighbour
// does not follow, and sizes that were not taken again.
func ruleTreatmentSize(w *work, r *Rule) {
	for _, c := range w.clashes() {
		if c.m.hand() || !c.treatedAt(c.a) && !c.treatedAt(c.b) {
			continue
		}
		s, other := c.subject()
		f := r.at(w, s)
		x := misfit{c.m, other, w.want(c.m, s.index, w.valueAt(other, c.m.seat(other.index))), w.show(w.valueAt(s, c.m.seat(s.index)))}
		w.mismatch(f, s, s.now.part, []misfit{x})
		f.say("the "+s.name(), w.whatIs(s)+" with "+w.misfitWords(s, []misfit{x}))
		f.Remedy = w.instead(s, other)
		w.add(f)
	}
	for i := range w.spots {
		s := &w.spots[i]
		if s.treated && s.has != missing && !w.certain(s) && resizes(s.dec.Treatment) {
			w.sizeAfter(r, s)
		}
	}
}

// sizeAfter speaks about one treated position: its size is not recorded, or a
// new part beside it must follow and is not supplied.
func (w *work) sizeAfter(r *Rule, s *spot) {
	for _, id := range s.mates {
		m := &w.mates[id]
		o, seat := &w.spots[m.other(s.index)], m.seat(s.index)
		v := w.keptValue(s, seat)
		if v.Kind != catalog.KindLength || o.state == FittedNone {
			continue
		}
		f := r.at(w, s)
		f.Attribute, f.Found = w.attribute(seat), w.show(v)
		switch {
		case !hasSize(s.sizes, seat) && len(s.dec.Sizes) == 0 && (s.choice == Rework || s.dec.Returned):
			f.Found = ""
			f.say("the "+s.name(), "the "+f.Attribute+" of the "+s.name()+" after treatment ("+s.dec.Treatment+") is not recorded, and the "+o.name()+" depends on it")
			f.Remedy = &Remedy{Text: "Measure it and record the size."}
		case hasSize(s.sizes, seat) && w.certain(o) && o.cover < o.need && !o.stuck && w.causedBy(o, CauseMate):
			f.say("the "+s.name(), "treatment ("+s.dec.Treatment+") brings the "+f.Attribute+" of the "+s.name()+" to "+w.show(v)+
				"; the "+o.name()+" must follow and is not supplied")
			f.Remedy = w.fit(o, "For the "+o.name()+" fit")
		default:
			continue
		}
		w.add(f)
		return
	}
}
