package reconcile

// ruleSelectFitOpen reports positions whose grade is not known yet.
func ruleSelectFitOpen(w *work, r *Rule) {
	w.eachShort(r.Code, func(s *spot) {
		f := r.at(w, s)
		grades := 0
		for i := range w.units {
			if s.takes(w.units[i].part) {
				grades += w.units[i].pieces
			}
		}
		fact := "the " + s.name() + " is open until " + s.untilClosed() + "; " + w.why(s)
		if grades > 0 {
			fact += "; " + count(grades) + " on hand to choose from"
		}
		f.say("the "+s.name(), fact)
		f.Remedy = &Remedy{Text: upperFirst(w.whatToMeasure(s)) + ".", Parts: s.accept()}
		w.add(f)
	})
}

// untilClosed says what an open stack waits for.
func (s *spot) untilClosed() string {
	if s.gauge == nil || s.gauge.Readings == nil {
		return "it is measured"
	}
	if _, void := s.gauge.Void(); void {
		return "it is measured again"
	}
	return "a grade inside the window is chosen"
}
