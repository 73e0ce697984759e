package reconcile

import "layshaft/catalog"

// ruleDisturbed reports seals, gaskets, rings and fasteners that were undone, are
// not scrap by policy, and go back without a word.
func ruleDisturbed(w *work, r *Rule) {
	for i := range w.spots {
		s := &w.spots[i]
		if w.node(s) != outNode(i) || s.oneTime() || s.treated || s.choice == Reuse && (s.dec.Measured != "" || s.dec.Why != "") {
			continue
		}
		sealing := false
		switch s.pos.Kind.Class() {
		case catalog.ClassElastomer, catalog.ClassGasket:
			sealing = true
		case catalog.ClassFastener, catalog.ClassRing:
		default:
			continue
		}
		if !w.graph.asks(outNode(i), func(e *edge) bool {
			return e.cause == CauseDisturbed || sealing && e.cause == CauseFullStrip
		}) {
			continue
		}
		f := r.at(w, s)
		f.say("the "+s.name(), "undone, and nothing says that somebody looked at it; "+w.why(s))
		f.Remedy = &Remedy{Text: "Look at it: renew it, or record why it can go back.", Parts: w.fitting(s)}
		w.add(f)
	}
}
