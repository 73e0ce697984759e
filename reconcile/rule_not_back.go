package reconcile

// ruleNotBack reports parts at a treatment shop.
func ruleNotBack(w *work, r *Rule) {
	for i := range w.spots {
		s := &w.spots[i]
		if !s.back || s.cover >= s.need {
			continue
		}
		f := r.at(w, s)
		f.say("the "+s.name(), "the "+s.name()+" is not back: "+w.whenBack(s))
		f.Remedy = &Remedy{Text: "Ask the treatment shop for the date."}
		w.add(f)
	}
}
