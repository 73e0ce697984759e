package reconcile

// ruleOneTimeReused reports one-time parts that a decision would put back.
func ruleOneTimeReused(w *work, r *Rule) {
	for i := range w.spots {
		s := &w.spots[i]
		if s.oneTime() && s.choice == Reuse && w.certain(s) {
			f := r.at(w, s)
			f.say("the "+s.name(), "the decision is to reuse the "+s.name()+", a part that is scrap once it was disturbed")
			f.Remedy = w.fit(s, "Fit a new one:")
			w.add(f)
		}
	}
}

// ruleOneTimeMissing reports one-time parts in demand that nothing supplies.
func ruleOneTimeMissing(w *work, r *Rule) {
	w.eachShort("one-time-missing", func(s *spot) {
		f := r.at(w, s)
		f.say("the "+s.name(), "nothing supplies the "+s.name()+" ("+count(s.need)+"); "+w.why(s))
		f.Remedy = w.fit(s, "Order")
		w.add(f)
	})
}
