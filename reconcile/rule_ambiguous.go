package reconcile

import "layshaft/catalog"

// ruleAmbiguous reports lines that may mean several parts.
func ruleAmbiguous(w *work, r *Rule) {
	w.eachLine(func(i int, l *SupplyLine) {
		if l.Outcome == Question && len(l.Candidates) > 0 && !l.Excluded && !l.NotAvailable {
			f := r.onLine(l)
			var ids []catalog.PartID
			var names []string
			for _, c := range l.Candidates {
				ids = append(ids, c.Part)
				names = append(names, w.labelOf(c.Part))
			}
			if len(names) > 3 {
				names = append(names[:3], "others")
			}
			f.say(w.lineName(i), because(quoted(placeWords(l))+" may mean "+either(names), l.Why))
			f.Remedy = &Remedy{Text: "Choose which part it is.", Parts: ids}
			w.add(f)
		}
	})
}
