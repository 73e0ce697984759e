package reconcile

import (
	"fmt"
	"slices"
)

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
	w.told, w.denied = slices.Repeat([]int{-1}, len(w.spots)), slices.Repeat([]int{-1}, len(w.spots))
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

// ruleExcluded reports parts in demand that a list names as not supplied.
func ruleExcluded(w *work, r *Rule) {
	w.eachShort(r.Code, func(s *spot) {
		i := w.told[s.index]
		f := r.at(w, s)
		f.Place = w.lines[i].Place
		f.say("the "+s.name(), w.lineName(i)+" says that it is not supplied; wanted: "+count(s.need-s.cover)+"; "+w.why(s))
		f.Remedy = w.fit(s, "Order")
		w.add(f)
	})
}

// ruleNotAvailable reports parts in demand that can't be had.
func ruleNotAvailable(w *work, r *Rule) {
	w.eachShort(r.Code, func(s *spot) {
		f := r.at(w, s)
		if i := w.denied[s.index]; i >= 0 {
			f.Place = w.lines[i].Place
			f.say("the "+s.name(), w.lineName(i)+" says that it can't be had; wanted: "+count(s.need-s.cover)+"; "+w.why(s))
		} else {
			f.say("the "+s.name(), "no part for the "+s.name()+" can be bought new any more; wanted: "+count(s.need-s.cover)+"; "+w.why(s))
		}
		f.Remedy = w.fit(s, "Ask another source for, or repair or treat:")
		w.add(f)
	})
}

// ruleQuantityShort reports positions that get fewer pieces than they need.
func ruleQuantityShort(w *work, r *Rule) {
	w.eachShort(r.Code, func(s *spot) {
		f := r.at(w, s)
		f.Expected, f.Found = count(s.need), count(s.cover)
		f.Place = w.lines[w.units[w.uses[s.uses[0]].unit].line].Place
		f.say("the "+s.name(), fmt.Sprintf("%s wanted, %d supplied", count(s.need), s.cover))
		f.Remedy = w.fit(s, fmt.Sprintf("Order %d more:", s.need-s.cover))
		w.add(f)
	})
}

// ruleNotInKit reports demand that no line of the lists serves.
func ruleNotInKit(w *work, r *Rule) {
	w.eachShort(r.Code, func(s *spot) {
		f := r.at(w, s)
		f.say("the "+s.name(), "nothing in the lists or on hand serves the "+s.name()+" ("+count(s.need)+"); "+w.why(s))
		f.Remedy = w.fit(s, "Order")
		w.add(f)
	})
}

// ruleSelectFitOpen reports positions whose grade is not known yet.
func ruleSelectFitOpen(w *work, r *Rule) {
	w.eachShort(r.Code, func(s *spot) {
		f := r.at(w, s)
		grades := 0
		for i := range w.units {
			if s.takes(w.units[i].part) {
				grades += w.units[i].pieces
			}
		}
		fact := "the " + s.name() + " is open until " + s.untilClosed() + "; " + w.why(s)
		if grades > 0 {
			fact += "; " + count(grades) + " on hand to choose from"
		}
		f.say("the "+s.name(), fact)
		f.Remedy = &Remedy{Text: upperFirst(w.whatToMeasure(s)) + ".", Parts: s.accept()}
		w.add(f)
	})
}

// untilClosed says what an open stack waits for.
func (s *spot) untilClosed() string {
	if s.gauge == nil || s.gauge.Readings == nil {
		return "it is measured"
	}
	if _, void := s.gauge.Void(); void {
		return "it is measured again"
	}
	return "a grade inside the window is chosen"
}

// ruleAbsent reports what was missing on arrival, covered or not.
func ruleAbsent(w *work, r *Rule) {
	for i := range w.spots {
		s := &w.spots[i]
		if s.choice != Absent || !w.certain(s) || s.open {
			continue
		}
		f := r.at(w, s)
		if s.cover == s.need {
			f.Severity, f.Blocking = Note, false
			f.say("", "the box came without the "+s.name()+"; it is supplied")
		} else {
			f.say("the "+s.name(), "the box came without the "+s.name()+", and nothing supplies it yet")
			f.Remedy = w.fit(s, "Order")
		}
		w.add(f)
	}
}
