package reconcile

// ruleNotAvailable reports parts in demand that can't be had.
func ruleNotAvailable(w *work, r *Rule) {
	w.eachShort(r.Code, func(s *spot) {
		f := r.at(w, s)
		if i := w.denied[s.index]; i >= 0 {
			f.Place = w.lines[i].Place
			f.say("the "+s.name(), w.lineName(i)+" says that it can't be had; wanted: "+count(s.need-s.cover)+"; "+w.why(s))
		} else {
			f.say("the "+s.name(), "no part for the "+s.name()+" can be bought new any more; wanted: "+count(s.need-s.cover)+"; "+w.why(s))
		}
		f.Remedy = w.fit(s, "Ask another source for, or repair or treat:")
		w.add(f)
	})
}
