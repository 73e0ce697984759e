package reconcile

import "slices"

// ruleDuplicate reports parts that are supplied although something else covers
// the position.
func ruleDuplicate(w *work, r *Rule) {
	for _, x := range w.surplus {
		if x.Reason != SurplusDuplicate || w.lines[x.Line].Source == FromShelf {
			continue
		}
		p := w.part(x.Part)
		takers := w.takers[p]
		s := takers[slices.IndexFunc(takers, func(s *spot) bool { return !s.open && !s.back })]
		f := r.at(w, s)
		f.Blocking, f.Part, f.Place = false, x.Part, w.lines[x.Line].Place
		f.say("", w.lineName(x.Line)+" gives "+count(x.Pieces)+" more of "+label(p)+" than the "+s.name()+" needs"+w.coveredBy(s, x.Line))
		f.Remedy = returnIt(x)
		w.add(f)
	}
}

// coveredBy names another line that covers a position, and wonders when it has
// the same text.
func (w *work) coveredBy(s *spot, line int) string {
	if len(s.uses) == 0 {
		return ""
	}
	other := w.units[w.uses[s.uses[0]].unit].line
	if other == line {
		return ""
	}
	text := "; " + w.lineName(other) + " covers it"
	if l := w.lines[line]; l.Place != nil && placeWords(w.lines[other]) == placeWords(l) {
		text += " with the same text: see whether the list was pasted twice"
	}
	return text
}
