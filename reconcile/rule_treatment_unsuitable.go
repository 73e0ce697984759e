package reconcile

import "slices"

// ruleTreatmentUnsuitable reports treatments that ruin the kind of part.
func ruleTreatmentUnsuitable(w *work, r *Rule) {
	for i := range w.spots {
		s := &w.spots[i]
		if !s.treated || s.has == missing {
			continue
		}
		kind := s.pos.Kind
		if s.base != nil {
			kind = s.base.Kind
		}
		steps := steps(s.dec.Treatment)
		i := slices.IndexFunc(steps, func(t treatment) bool { return slices.Contains(t.ruins, kind.Class()) })
		if i < 0 {
			continue
		}
		t := steps[i]
		f := r.at(w, s)
		f.say("the "+s.name(), "the decision on the "+s.name()+" is "+choiceWords(s.choice)+" ("+s.dec.Treatment+"); that ruins a "+string(kind)+": "+t.why)
		f.Remedy = &Remedy{Text: "Decide replace, or another treatment.", Parts: w.fitting(s)}
		w.add(f)
	}
}
