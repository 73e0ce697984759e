package reconcile

// ruleExcluded reports parts in demand that a list names as not supplied.
func ruleExcluded(w *work, r *Rule) {
	w.eachShort(r.Code, func(s *spot) {
		i := w.told[s.index]
		f := r.at(w, s)
		f.Place = w.lines[i].Place
		f.say("the "+s.name(), w.lineName(i)+" says that it is not supplied; wanted: "+count(s.need-s.cover)+"; "+w.why(s))
		f.Remedy = w.fit(s, "Order")
		w.add(f)
	})
}
