package reconcile

// ruleNotInKit reports demand that no line of the lists serves.
func ruleNotInKit(w *work, r *Rule) {
	w.eachShort(r.Code, func(s *spot) {
		f := r.at(w, s)
		f.say("the "+s.name(), "nothing in the lists or on hand serves the "+s.name()+" ("+count(s.need)+"); "+w.why(s))
		f.Remedy = w.fit(s, "Order")
		w.add(f)
	})
}
