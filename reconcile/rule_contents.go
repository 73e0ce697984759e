package reconcile

import "slices"

// ruleContents reports sets that the catalogue knows no contents of.
func ruleContents(w *work, r *Rule) {
	for i, x := range w.flaws {
		if x.code != "empty" || slices.Contains(w.flaws[:i], x) {
			continue
		}
		f := r.onLine(w.lines[x.line])
		f.Part = x.id
		f.say(w.lineName(x.line), "what "+w.labelOf(x.id)+" contains is not entered in the catalogue; it covers nothing")
		f.Remedy = &Remedy{Text: "Open it, and enter its contents."}
		w.add(f)
	}
}
