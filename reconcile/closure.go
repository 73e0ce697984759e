package reconcile

import "layshaft/catalog"

// closure derives what must be renewed, first from what is certain, then what
// would follow from positions that are not decided.
func (w *work) closure() {
	w.graph.reset(len(w.spots))
	for i := range w.spots {
		w.roots(&w.spots[i])
	}
	w.follow(0, false)
	certain := len(w.graph.queue)
	for i := range w.spots {
		w.possibleRoots(&w.spots[i])
	}
	w.follow(certain, true)
	w.graph.keep()
}

// eligible: something new can go in here.
func (s *spot) eligible() bool { return s.has != missing && s.choice != NotFitted }

func (s *spot) oneTime() bool { return s.pos.Life == catalog.OneTime }

// roots adds what the job itself says about a position.
func (w *work) roots(s *spot) {
	if !s.eligible() {
		return
	}
	switch s.choice {
	case Replace:
		w.graph.add(edge{-1, newNode(s.index), CauseDecision, decisionWords(s.dec)}, false)
	case Absent:
		w.graph.add(edge{-1, newNode(s.index), CauseAbsent, because("the box came without it", s.dec.Why)}, false)
	case Reuse, Rework, SendOut:
		w.takeOut(-1, s, CauseDecision, decisionWords(s.dec), false)
	}
	if s.reject != nil && (s.choice == Reuse || s.choice == Undecided || s.choice == "") {
		w.graph.add(edge{-1, newNode(s.index), CauseMeasuredOut, s.reject.words()}, false)
	}
	if w.job.FullStrip && !s.pos.Outside {
		w.takeOut(-1, s, CauseFullStrip, "the whole box was stripped", false)
	}
}

// possibleRoots adds what an open decision may bring: a position marked
// undecided, and on a full strip every wear part that nobody decided on.
func (w *work) possibleRoots(s *spot) {
	node := newNode(s.index)
	if !s.eligible() || w.graph.reached(node) {
		return
	}
	switch {
	case s.choice == Undecided:
		w.graph.add(edge{-1, node, CauseUndecided, because("not decided yet", s.dec.Why)}, true)
	case s.choice == "" && s.pos.Life == catalog.Wear && w.job.FullStrip && !s.pos.Outside:
		w.graph.add(edge{-1, node, CauseUndecided, "a wear part was taken out and nothing is decided"}, true)
	}
}

// takeOut says that the part at s was taken out. A one-time part is scrap then.
func (w *work) takeOut(from int, s *spot, cause, reason string, possible bool) {
	if !s.eligible() {
		return
	}
	if !s.oneTime() {
		w.graph.add(edge{from, outNode(s.index), cause, reason}, possible)
		return
	}
	if cause == CauseDisturbed {
		cause = CauseOneTime
	}
	w.graph.add(edge{from, newNode(s.index), cause, reason + "; a one-time part is scrap once it was disturbed"}, possible)
}

// follow takes nodes off the queue until nothing changes.
func (w *work) follow(head int, possible bool) {
	for ; head < len(w.graph.queue); head++ {
		node := int(w.graph.queue[head])
		s := &w.spots[node/2]
		w.followDisturbances(node, s, possible)
		if node == newNode(s.index) {
			w.followBonds(node, s, possible)
			w.followStacks(node, s, "a new part in it", possible)
			w.followMates(node, s, possible)
			w.followCompanions(node, s, possible)
		} else if s.treated {
			w.followStacks(node, s, "a treated part in it", possible)
			w.followMates(node, s, possible)
		}
	}
}

func (w *work) followDisturbances(node int, s *spot, possible bool) {
	if w.graph.undone[s.index] {
		return
	}
	w.graph.undone[s.index] = true
	for _, d := range w.ix.Undoes(w.job.Family, s.id) {
		if i, ok := w.at[d.Undoes]; ok && i != s.index {
			w.takeOut(node, &w.spots[i], CauseDisturbed, since("reaching the "+s.name()+" undoes it", d.Reason), possible)
		}
	}
}

// followBonds renews what belongs together. An advised bond gives way to a
// reuse that carries a reason.
func (w *work) followBonds(node int, s *spot, possible bool) {
	for _, b := range w.ix.BondsAt(w.job.Family, s.id) {
		for _, id := range b.Positions {
			i, ok := w.at[id]
			if !ok || i == s.index || !w.spots[i].eligible() || w.waived(b, &w.spots[i]) {
				continue
			}
			w.graph.add(edge{node, newNode(i), CauseBond, bondReason(b, s)}, possible)
		}
	}
}

// waived reports that a reuse with a reason stands against an advised bond.
func (w *work) waived(b *catalog.Bond, s *spot) bool {
	return b.Advice && s.choice == Reuse && s.dec.Why != ""
}

func bondReason(b *catalog.Bond, s *spot) string {
	kind := "renewed together with the " + s.name()
	if b.Kind == catalog.SoldTogether {
		kind = "sold only together with the " + s.name()
	}
	return since(kind, b.Reason)
}

func (w *work) followStacks(node int, s *spot, why string, possible bool) {
	for _, st := range w.ix.StacksOf(w.job.Family, s.id) {
		i, ok := w.at[st.Position]
		if ok && i != s.index && w.spots[i].eligible() {
			w.graph.add(edge{node, newNode(i), CauseStack,
				"the stack " + quoted(st.Name) + " is open again: " + why + " (" + s.name() + ")"}, possible)
		}
	}
}

// followMates renews a worn or one-time part that can't stay beside a part with
// other sizes.
func (w *work) followMates(node int, s *spot, possible bool) {
	mine, part := w.decided(s)
	if !mine {
		return
	}
	for _, id := range s.mates {
		m := &w.mates[id]
		o := &w.spots[m.other(s.index)]
		if o.base == nil || !o.eligible() || !o.kept() || !o.soft() || o.treated {
			continue
		}
		v, there := w.value(part, s.sizes, m.seat(s.index)), w.keptValue(o, m.seat(o.index))
		if m.from(s.index, v, there) != broken {
			continue
		}
		w.graph.add(edge{node, newNode(o.index), CauseMate, since(
			w.attribute(m.seat(o.index))+" "+w.want(m, o.index, v)+" is wanted, the one in the box has "+w.show(there), m.rec.Reason)}, possible)
	}
}

// decided is the part that a decision puts at s, or the kept part when its
// sizes were changed here.
func (w *work) decided(s *spot) (bool, *catalog.Part) {
	if s.treated {
		return len(s.sizes) > 0, s.base
	}
	if s.dec == nil || s.dec.Part == "" || s.choice != Replace && s.choice != Absent {
		return false, nil
	}
	p, ok := w.ix.Part(s.dec.Part)
	return ok, p
}

// soft parts are renewed when a neighbour changes its size; gears, shafts and
// cases are not: there a person looks at the decision that caused it.
func (s *spot) soft() bool {
	switch s.pos.Life {
	case catalog.Wear, catalog.OneTime, catalog.SelectFit:
		return true
	}
	return false
}
