package reconcile

import (
	"slices"

	"layshaft/catalog"
)

// ruleBondSplit reports decisions that keep one part of a bond while another is
// renewed.
func ruleBondSplit(w *work, r *Rule) {
	for _, b := range w.ix.Bonds(w.job.Family) {
		var renewed *spot
		for _, id := range b.Positions {
			if i, ok := w.at[id]; ok && w.certain(&w.spots[i]) && !w.onlyBy(&w.spots[i], CauseBond) && renewed == nil {
				renewed = &w.spots[i]
			}
		}
		if renewed == nil {
			continue
		}
		for _, id := range b.Positions {
			i, ok := w.at[id]
			if !ok || &w.spots[i] == renewed {
				continue
			}
			s := &w.spots[i]
			switch s.choice {
			case Reuse, Rework, SendOut:
				w.splitBond(r, b, s, renewed)
			}
		}
	}
}

func (w *work) splitBond(r *Rule, b *catalog.Bond, s, renewed *spot) {
	f := r.at(w, s)
	decided := "the decision on the " + s.name() + " is " + choiceWords(s.choice)
	if w.waived(b, s) {
		f.Severity, f.Blocking = Note, false
		f.say("", decided+" ("+s.dec.Why+") although the "+renewed.name()+" is renewed; "+since("advice is to renew both", b.Reason))
	} else {
		f.say("the "+s.name(), decided+", and it is "+bondReason(b, renewed))
		f.Remedy = w.fit(s, "Renew it too:")
	}
	if len(f.Chain) == 0 {
		f.Chain = w.chain(w.node(renewed))
	}
	w.add(f)
}

// onlyBy: nothing but the given cause demands a new part at s.
func (w *work) onlyBy(s *spot, cause string) bool {
	return !slices.ContainsFunc(w.graph.in[newNode(s.index)], func(id int32) bool {
		return w.graph.edges[id].cause != cause
	})
}
