package reconcile

import (
	"slices"

	"layshaft/catalog"
)

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
