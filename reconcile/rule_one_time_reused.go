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
