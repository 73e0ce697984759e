package reconcile

import "layshaft/catalog"

// option is one part that may be at a position when the case closes.
type option struct {
	part  *catalog.Part
	sizes []*catalog.Attribute
}

// options of a position as its neighbours see it; none when nothing is known.
// Demand that is only possible counts when open is set: else the part in the
// box does.
func (w *work) options(s *spot, open bool) func(yield func(option) bool) {
	return func(yield func(option) bool) {
		renewed := s.need > 0 && !s.back && (open || !w.graph.maybe[newNode(s.index)])
		if !renewed {
			if s.base != nil && s.has == present && s.kept() {
				yield(option{s.base, s.sizes})
			}
			return
		}
		if s.stuck {
			return
		}
		for i := range s.cands {
			if c := &s.cands[i]; c.live && !yield(option{c.part, s.sizesOn(c)}) {
				return
			}
		}
	}
}

// sizesOn are the sizes measured on the very part that a decision names.
func (s *spot) sizesOn(c *cand) []*catalog.Attribute {
	if c.tier == chosen {
		return s.sizes
	}
	return nil
}

// narrow rules out candidates that no choice at a neighbouring position can
// satisfy (arc consistency), until nothing changes. A position where nothing is
// left takes in parts of other variants and all begins again; when even these
// do not serve, it is stuck and says so.
func (w *work) narrow(which func(*spot) bool) {
	for again := true; again; {
		again = false
		for i := range w.spots {
			if s := &w.spots[i]; which(s) {
				for k := range s.cands {
					s.cands[k].live = true
				}
			}
		}
		for changed := true; changed && !again; {
			changed = false
			for k := range w.mates {
				m := &w.mates[k]
				for _, i := range [2]int{m.a, m.b} {
					s := &w.spots[i]
					if s.stuck || s.firm || !which(s) || !w.revise(m, s, &w.spots[m.other(i)]) {
						continue
					}
					changed = true
					if !s.anyLive() {
						w.relax(s, which)
						again = true
					}
				}
				if again {
					break
				}
			}
		}
	}
}

// relax lets a position without candidates have more. Where it has all there are,
// its neighbours take in parts of other variants before it is given up, so that the
// order in which mates are looked at decides nothing.
func (w *work) relax(s *spot, which func(*spot) bool) {
	switch {
	case s.cands[0].tier == chosen:
		s.firm = true // it was decided: the clash is reported, the part stays
	case !s.widened && !s.open:
		w.widen(s)
	default:
		s.stuck = !w.widenAround(s, which)
	}
}

// widenAround widens the neighbours of a position and reports whether there was one
// to widen.
func (w *work) widenAround(s *spot, which func(*spot) bool) bool {
	found := false
	for _, id := range s.mates {
		o := &w.spots[w.mates[id].other(s.index)]
		if !which(o) || o.widened || o.open || o.stuck || o.firm || len(o.cands) == 0 || o.cands[0].tier == chosen {
			continue
		}
		w.widen(o)
		found = true
	}
	return found
}

func (s *spot) anyLive() bool {
	for i := range s.cands {
		if s.cands[i].live {
			return true
		}
	}
	return false
}

// revise rules out the candidates of s that break m with every option of o.
func (w *work) revise(m *mate, s, o *spot) bool {
	changed := false
	open := w.graph.maybe[newNode(s.index)]
	for i := range s.cands {
		c := &s.cands[i]
		if !c.live {
			continue
		}
		v := w.value(c.part, s.sizesOn(c), m.seat(s.index))
		ok, found := false, false
		for x := range w.options(o, open) {
			found = true
			if ok = m.from(s.index, v, w.value(x.part, x.sizes, m.seat(o.index))) != broken; ok {
				break
			}
		}
		if found && !ok {
			c.live, changed = false, true
		}
	}
	return changed
}
