package reconcile

// ruleAbsent reports what was missing on arrival, covered or not.
func ruleAbsent(w *work, r *Rule) {
	for i := range w.spots {
		s := &w.spots[i]
		if s.choice != Absent || !w.certain(s) || s.open {
			continue
		}
		f := r.at(w, s)
		if s.cover == s.need {
			f.Severity, f.Blocking = Note, false
			f.say("", "the box came without the "+s.name()+"; it is supplied")
		} else {
			f.say("the "+s.name(), "the box came without the "+s.name()+", and nothing supplies it yet")
			f.Remedy = w.fit(s, "Order")
		}
		w.add(f)
	}
}
