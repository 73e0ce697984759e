package reconcile

import "layshaft/catalog"

// ruleMeasuredOut reports reuse that a reading speaks against: a verdict of
// renew, or a recorded size outside the wear limits of the catalogue.
func ruleMeasuredOut(w *work, r *Rule) {
	for i := range w.spots {
		s := &w.spots[i]
		if s.choice != Reuse {
			continue
		}
		f := r.at(w, s)
		if s.reject != nil {
			f.say("the "+s.name(), because("the decision is to reuse the "+s.name()+", and the measurement says renew", s.reject.Note))
		} else if l, v := w.outside(s); l != nil {
			f.Attribute, f.Expected, f.Found = l.What, limitWords(l), w.show(v)
			f.Blocking = s.pos.Blocking
			f.say("the "+s.name(), "the decision is to reuse the "+s.name()+" with "+l.What+" "+w.show(v)+"; the limit entered is "+limitWords(l))
		} else {
			continue
		}
		f.Remedy = &Remedy{Text: "Decide replace, or measure again.", Parts: s.accept()}
		w.add(f)
	}
}

// outside finds a recorded size that a wear limit does not allow.
func (w *work) outside(s *spot) (*catalog.Limit, catalog.Value) {
	for _, a := range s.dec.Sizes {
		if l := w.limitAt(s, a); l != nil && !allows(l, a.Value) {
			return l, a.Value
		}
	}
	return nil, catalog.Value{}
}

func limitWords(l *catalog.Limit) string {
	switch {
	case l.WearMin != nil && l.WearMax != nil:
		return span(l.WearMin.String(), l.WearMax.String())
	case l.WearMin != nil:
		return "at least " + l.WearMin.String()
	case l.WearMax != nil:
		return "at most " + l.WearMax.String()
	}
	return "not known"
}
