package reconcile

import (
	"slices"
	"strings"

	"layshaft/catalog"
)

// ruleSuperseded shows numbers that were replaced, with the path, and asks where
// the successor depends on something that is not recorded.
func ruleSuperseded(w *work, r *Rule) {
	for i := range w.spots {
		s := &w.spots[i]
		if s.need == 0 || s.back || w.possible(s) {
			continue
		}
		w.supersededSupply(r, s)
		w.supersededChoice(r, s)
		w.serialSplit(r, s)
	}
}

// supersededSupply: what was allocated is a successor or has one.
func (w *work) supersededSupply(r *Rule, s *spot) {
	for _, id := range s.uses {
		u := &w.uses[id]
		c := &s.cands[u.cand]
		line := w.units[u.unit].line
		f := r.at(w, s)
		f.Blocking = false
		f.Part, f.Place = c.part.ID, w.lines[line].Place
		switch {
		case len(c.path) > 0:
			f.say("", w.lineName(line)+" gives "+label(c.part)+" for the "+s.name()+": "+w.pathWords(c.path))
		case w.replaced(c.part):
			last := w.lastHeir(c.part)
			f.say("", w.lineName(line)+" gives "+label(c.part)+", which was replaced since ("+w.pathWords(last.path)+"); it still fits the "+s.name())
		default:
			continue
		}
		w.homeless(f, c.path)
		w.add(f)
	}
}

// supersededChoice: the first choice for what is short is a successor, or has
// one.
func (w *work) supersededChoice(r *Rule, s *spot) {
	if s.cover >= s.need || len(s.cands) == 0 || s.open {
		return
	}
	c := &s.cands[0]
	f := r.at(w, s)
	f.Blocking = false
	f.Part = c.part.ID
	switch {
	case len(c.path) > 0:
		f.say("", "for the "+s.name()+" order "+label(c.part)+": "+w.pathWords(c.path))
	case w.replaced(c.part):
		f.say("", "for the "+s.name()+" "+label(c.part)+" is wanted, which was replaced since ("+w.pathWords(w.lastHeir(c.part).path)+")")
	default:
		return
	}
	w.homeless(f, c.path)
	w.add(f)
}

// homeless notes companions that no position of the gearbox takes.
func (w *work) homeless(f *Finding, path []*catalog.Supersession) {
	for _, in := range companionsOf(path) {
		p, ok := w.ix.Part(in.Part)
		if ok && slices.ContainsFunc(w.spots, func(s spot) bool { return w.goesAt(p, &s) }) {
			continue
		}
		f.Severity = Check
		f.say("the companion", strings.TrimSuffix(lowerFirst(f.Message), ".")+"; it needs "+w.labelOf(in.Part)+
			", for which the catalogue has no position here")
		f.Remedy = &Remedy{Text: "Find out where it goes and order it too.", Parts: []catalog.PartID{in.Part}}
	}
}

func (w *work) lastHeir(p *catalog.Part) heir {
	heirs := w.succession(p).heirs
	return heirs[len(heirs)-1]
}

// pathWords: "A was replaced by B; B also serves for C".
func (w *work) pathWords(path []*catalog.Supersession) string {
	words := make([]string, len(path))
	for i, e := range path {
		verb := " was replaced by "
		switch e.Kind {
		case catalog.OneWay:
			verb = " may be replaced by "
		case catalog.Equals:
			verb = " is the same as "
		case catalog.SplitBySerial:
			verb = " was replaced, for this serial number, by "
		}
		words[i] = since(w.labelOf(e.Old)+verb+w.labelOf(e.New), e.Reason)
	}
	return strings.Join(words, "; ")
}

// serialSplit asks for the serial number.
func (w *work) serialSplit(r *Rule, s *spot) {
	if s.cover >= s.need || len(s.cands) == 0 || s.open {
		return
	}
	for _, t := range w.succession(s.cands[0].part).troubles {
		if t.code != "serial" {
			continue
		}
		var ids []catalog.PartID
		var ranges []string
		for _, e := range t.edges {
			ids = append(ids, e.New)
			ranges = append(ranges, w.labelOf(e.New)+" "+serialWords(e))
		}
		f := r.at(w, s)
		f.Severity, f.Part = Check, t.old.ID
		have := "the serial number of the unit is not recorded"
		if w.job.Serial != "" {
			have = "the serial number " + w.job.Serial + " is in none of the ranges, or in two"
		}
		f.say("the serial number", "the successor of "+label(t.old)+" at the "+s.name()+" depends on it ("+list(ranges)+"), and "+have)
		f.Remedy = &Remedy{Text: "Read the serial number and enter it in the job.", Parts: ids}
		w.add(f)
	}
}

func serialWords(e *catalog.Supersession) string {
	switch {
	case e.SerialFrom == "":
		return "up to " + e.SerialTo
	case e.SerialTo == "":
		return "from " + e.SerialFrom
	}
	return "from " + e.SerialFrom + " to " + e.SerialTo
}
