package reconcile

// ruleUnconfirmed reports lines in use that a person should confirm.
func ruleUnconfirmed(w *work, r *Rule) {
	w.eachLine(func(i int, l *SupplyLine) {
		if l.Outcome == Likely && !l.Answered && l.supplies() {
			f := r.onLine(l)
			f.Part = l.Part
			f.say(w.lineName(i), because(quoted(placeWords(l))+" was read as "+w.labelOf(l.Part), l.Why))
			f.Remedy = &Remedy{Text: "Confirm the part or choose another."}
			w.add(f)
		}
	})
}
