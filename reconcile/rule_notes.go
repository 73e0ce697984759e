package reconcile

import (
	"slices"
	"strconv"
	"strings"

	"layshaft/catalog"
)

func places(n int) string {
	if n == 1 {
		return "1 position"
	}
	return strconv.Itoa(n) + " positions"
}

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

// ruleAlternatives says which alternative of a list serves and why.
func ruleAlternatives(w *work, r *Rule) {
	if w.unproven {
		f := r.general()
		f.Severity = Check
		f.say("the lists", "they bring more alternatives than can be tried out; another choice among them may cover more")
		f.Remedy = &Remedy{Text: "Say on the lines which alternative is meant."}
		w.add(f)
	}
	for i := range w.units {
		u := &w.units[i]
		l := w.lines[u.line]
		if l.Alternative == 0 || u.used == 0 || u.content && w.repeatsLine(i) {
			continue
		}
		var others []string
		for k := range w.units {
			if o := &w.units[k]; o.group == u.group && o.option != u.option && !slices.Contains(others, w.lineName(o.line)) {
				others = append(others, w.lineName(o.line))
			}
		}
		if len(others) == 0 {
			continue
		}
		s := w.placeOf(i)
		f := r.at(w, s)
		f.Blocking = false
		f.Part, f.Place = u.part.ID, l.Place
		slices.Sort(others)
		f.say("", w.lineName(u.line)+" is the alternative that serves, at the "+s.name()+w.becauseOfSizes(s, u.part)+"; "+list(others)+" stays over by design")
		w.add(f)
	}
}

// repeatsLine: an earlier unit of the same line is in use, so the line was
// spoken about.
func (w *work) repeatsLine(i int) bool {
	return slices.ContainsFunc(w.units[:i], func(u unit) bool { return u.line == w.units[i].line && u.used > 0 })
}

// placeOf is the first position that a unit in use serves.
func (w *work) placeOf(unit int) *spot {
	for _, u := range w.uses {
		if u.unit == unit {
			return &w.spots[u.spot]
		}
	}
	return &w.spots[0]
}

// becauseOfSizes names the first mate that decides at a position.
func (w *work) becauseOfSizes(s *spot, p *catalog.Part) string {
	for _, id := range s.mates {
		m := &w.mates[id]
		o := &w.spots[m.other(s.index)]
		if o.now.part != nil && m.from(s.index, w.value(p, nil, m.seat(s.index)), w.valueAt(o, m.seat(o.index))) == holds {
			return " (" + w.attribute(m.seat(s.index)) + " " + w.want(m, s.index, w.valueAt(o, m.seat(o.index))) + " because " + w.whatIs(o) + ")"
		}
	}
	return ""
}

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

// ruleSurplus reports parts of lists that nothing needs; what one set brings
// besides is one finding.
func ruleSurplus(w *work, r *Rule) {
	for i, x := range w.surplus {
		if !w.plainSurplus(x) || x.Set != "" && slices.ContainsFunc(w.surplus[:i], func(o *Surplus) bool {
			return o.Line == x.Line && o.Set == x.Set && w.plainSurplus(o)
		}) {
			continue
		}
		f := r.onLine(w.lines[x.Line])
		f.Part = x.Part
		if x.Set == "" {
			f.say("", w.lineName(x.Line)+" leaves "+count(x.Pieces)+" over: "+x.Message)
		} else {
			f.Part = x.Set
			f.say("", w.lineName(x.Line)+" brings, in "+w.labelOf(x.Set)+", what nothing needs: "+w.restOf(x))
		}
		f.Remedy = returnIt(x)
		w.add(f)
	}
}

// plainSurplus: no other finding speaks of it, and it is worth a word.
func (w *work) plainSurplus(x *Surplus) bool {
	l := w.lines[x.Line]
	return (x.Reason == SurplusReused || x.Reason == SurplusNotNeeded) && l.Source != FromShelf && !l.Conditional &&
		!slices.Contains(w.flaws, flaw{"empty", x.Part, x.Line})
}

// restOf lists what a set brings and nothing needs.
func (w *work) restOf(x *Surplus) string {
	var names []string
	for _, o := range w.surplus {
		if o.Line == x.Line && o.Set == x.Set && w.plainSurplus(o) {
			names = append(names, strconv.Itoa(o.Pieces)+" "+w.labelOf(o.Part))
		}
	}
	return list(names)
}

func returnIt(x *Surplus) *Remedy {
	if x.ReturnBy == "" {
		return &Remedy{Text: "Return it or put it on the shelf."}
	}
	return &Remedy{Text: "Return it by " + x.ReturnBy + " or put it on the shelf."}
}
