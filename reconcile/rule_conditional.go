package reconcile

// ruleConditional reports decisions on places that this variant does not have.
func ruleConditional(w *work, r *Rule) {
	for i := range w.spots {
		s := &w.spots[i]
		if s.has != missing || s.choice == "" || s.choice == NotFitted || s.choice == Undecided {
			continue
		}
		f := r.at(w, s)
		f.Blocking = false
		f.say("the "+s.name(), "the job says "+choiceWords(s.choice)+" for the "+s.name()+", and this variant has no such position")
		f.Remedy = &Remedy{Text: "Look whether the variant is the right one; else take the decision back."}
		w.add(f)
	}
}
