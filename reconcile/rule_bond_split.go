package reconcile

import "layshaft/catalog"

// ruleBondSplit reports decisions that keep one part of a bond while another is
// renewed.
func ruleBondSplit(w *work, r *Rule) {
	for _, b := range w.ix.Bonds(w.job.Family) {
		for _, id := range b.Positions {
			i, ok := w.at[id]
			if !ok || w.spots[i].has == missing {
				continue
			}
			s := &w.spots[i]
			switch s.choice {
			case Reuse, Rework, SendOut:
				if renewed := w.leader(b, s); renewed != nil {
					w.splitBond(r, b, s, renewed)
				}
			}
		}
	}
}

// leader is the first position of a bond, s apart, that is renewed for a reason of
// its own; nil when there is none.
func (w *work) leader(b *catalog.Bond, s *spot) *spot {
	for _, id := range b.Positions {
		if i, ok := w.at[id]; ok && i != s.index && w.certain(&w.spots[i]) && !w.onlyBy(&w.spots[i], CauseBond) {
			return &w.spots[i]
		}
	}
	return nil
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
	return !w.graph.asks(newNode(s.index), func(e *edge) bool { return e.cause != cause })
}
