package reconcile

// ruleOneTimeMissing reports one-time parts in demand that nothing supplies.
func ruleOneTimeMissing(w *work, r *Rule) {
	w.eachShort("one-time-missing", func(s *spot) {
		f := r.at(w, s)
		f.say("the "+s.name(), "nothing supplies the "+s.name()+" ("+count(s.need)+"); "+w.why(s))
		f.Remedy = w.fit(s, "Order")
		w.add(f)
	})
}
