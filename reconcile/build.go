package reconcile

import "slices"

// build says for every position which part is in the case when it closes.
func (w *work) build() {
	for i := range w.spots {
		w.tighten(&w.spots[i])
	}
	for i := range w.spots {
		s := &w.spots[i]
		s.state, s.now = w.fitted(s)
	}
}

// tighten drops candidates of a position that is still short when they can't
// stand beside what was allocated next to it, as long as one is left.
func (w *work) tighten(s *spot) {
	if s.need == 0 || s.cover >= s.need || len(s.cands) < 2 || s.back {
		return
	}
	ok := func(c cand) bool {
		for _, id := range s.mates {
			m := &w.mates[id]
			o := &w.spots[m.other(s.index)]
			for _, u := range o.uses {
				x := &o.cands[w.uses[u].cand]
				if m.from(s.index, w.value(c.part, s.sizesOn(&c), m.seat(s.index)),
					w.value(x.part, o.sizesOn(x), m.seat(o.index))) == broken {
					return false
				}
			}
		}
		return true
	}
	if len(s.uses) == 0 && slices.ContainsFunc(s.cands, ok) {
		s.cands = slices.DeleteFunc(s.cands, func(c cand) bool { return !ok(c) })
	}
}

func (w *work) fitted(s *spot) (FittedState, option) {
	switch {
	case s.has == missing || s.choice == NotFitted:
		return FittedNone, option{}
	case s.need > 0 && !s.back && w.graph.maybe[newNode(s.index)]:
		return FittedUnknown, option{}
	case s.need > 0 && !s.back:
		if c := w.goesIn(s); c != nil {
			return FittedNew, option{c.part, s.sizesOn(c)}
		}
		return FittedNew, option{}
	case s.base == nil:
		return FittedUnknown, option{nil, s.sizes}
	case s.choice == "" && !s.found:
		return FittedStandard, option{s.base, s.sizes}
	}
	return FittedReused, option{s.base, s.sizes}
}

// goesIn is the new part when it is known: supplied, decided on, or the only one
// that would do.
func (w *work) goesIn(s *spot) *cand {
	best := -1
	for _, u := range s.uses {
		if best < 0 || w.uses[u].pieces > w.uses[best].pieces {
			best = int(u)
		}
	}
	switch {
	case best >= 0:
		return &s.cands[w.uses[best].cand]
	case len(s.cands) > 0 && (s.cands[0].tier == chosen || len(s.cands) == 1) && !s.open:
		return &s.cands[0]
	}
	return nil
}
