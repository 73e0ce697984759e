package reconcile

import "slices"

// eachShort calls fn for every position that is short for the reason of a code.
// Each short position has one such code.
func (w *work) eachShort(code string, fn func(*spot)) {
	for i := range w.spots {
		if s := &w.spots[i]; s.code == code {
			fn(s)
		}
	}
}

// shortCode says which rule speaks about a position that is short: the most
// telling fact first.
func (w *work) shortCode(s *spot) string {
	switch {
	case s.open:
		return "select-fit-open"
	case s.choice == Absent:
		return "absent-on-arrival"
	case w.denied[s.index] >= 0:
		return "not-available"
	case w.told[s.index] >= 0:
		return "excluded-by-kit"
	case w.mistaken[s.index] || s.stuck:
		return "" // another finding about the position says it
	case s.cover > 0:
		return "quantity-short"
	case s.oneTime():
		return "one-time-missing"
	case len(s.cands) > 0 && !s.stuck && !slices.ContainsFunc(s.cands, func(c cand) bool { return !c.part.NotAvailable }):
		return "not-available"
	case w.haveKit():
		return "not-in-kit"
	}
	return ""
}

// findNamed notes a line that names a part for a position and says that
// it is not supplied, or that it can't be had.
func (w *work) findNamed() {
	w.told, w.denied = filled(w.told, len(w.spots), -1), filled(w.denied, len(w.spots), -1)
	for i, l := range w.lines {
		if !l.Excluded && !l.NotAvailable {
			continue
		}
		id := l.Part
		if id == "" && len(l.Candidates) > 0 {
			id = l.Candidates[0].Part
		}
		for _, s := range w.takers[w.part(id)] {
			if l.NotAvailable {
				w.denied[s.index] = w.sooner(w.denied[s.index], i)
			}
			if l.Excluded {
				w.told[s.index] = w.sooner(w.told[s.index], i)
			}
		}
	}
}

// sooner picks one of two lines by what they say, so that the order of a list
// decides nothing; a may be -1.
func (w *work) sooner(a, b int) int {
	if a < 0 || placeWords(w.lines[b]) < placeWords(w.lines[a]) {
		return b
	}
	return a
}

func (w *work) haveKit() bool {
	return slices.ContainsFunc(w.lines, func(l *SupplyLine) bool { return l.Place != nil && l.Outcome != NoItem })
}

// why is the last step of the shortest chain in words.
func (w *work) why(s *spot) string {
	chain := w.chain(w.node(s))
	return chain[len(chain)-1].Reason
}
