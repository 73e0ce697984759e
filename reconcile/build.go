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

// tighten drops candidates of a position that can't
// stand beside what was allocated next to it, as long as one is left.
func (w *work) tighten(s *spot) {
	if s.need == 0 || len(s.cands) < 2 || s.back {
		return
	}
	to := make([]int, len(s.cands)) // where a candidate moves, -1 when dropped
	kept := make([]cand, 0, len(s.cands))
	for i := range s.cands {
		to[i] = -1
		if w.standsBeside(s, &s.cands[i]) || w.inUseAs(s, i) {
			to[i] = len(kept)
			kept = append(kept, s.cands[i])
		}
	}
	if len(kept) == 0 {
		return
	}
	s.cands = kept
	for _, u := range s.uses {
		w.uses[u].cand = to[w.uses[u].cand]
	}
}

// crossed: no candidate goes together with all that was allocated around.
func (w *work) crossed(s *spot) bool {
	for i := range s.cands {
		if s.cands[i].tier == chosen || w.standsBeside(s, &s.cands[i]) {
			return false
		}
	}
	return len(s.cands) > 0
}

func (w *work) inUseAs(s *spot, cand int) bool {
	return slices.ContainsFunc(s.uses, func(u int32) bool { return w.uses[u].cand == cand })
}

// standsBeside: the candidate breaks no mate with a part that was allocated.
func (w *work) standsBeside(s *spot, c *cand) bool {
	for _, id := range s.mates {
		m := &w.mates[id]
		o := &w.spots[m.other(s.index)]
		v := w.value(c.part, s.sizesOn(c), m.seat(s.index))
		for _, u := range o.uses {
			x := &o.cands[w.uses[u].cand]
			if m.from(s.index, v, w.value(x.part, o.sizesOn(x), m.seat(o.index))) == broken {
				return false
			}
		}
	}
	return true
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
