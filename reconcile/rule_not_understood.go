package reconcile

// ruleNotUnderstood reports lines that could not be read at all.
func ruleNotUnderstood(w *work, r *Rule) {
	w.eachLine(func(i int, l *SupplyLine) {
		if l.Outcome == Question && len(l.Candidates) == 0 && !l.Excluded && !l.NotAvailable {
			f := r.onLine(l)
			f.say(w.lineName(i), because("nothing in the catalogue answers to "+quoted(placeWords(l)), l.Why))
			f.Remedy = &Remedy{Text: "Say which part it is, or that it is none of ours."}
			w.add(f)
		}
	})
}
