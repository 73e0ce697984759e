package notes

import (
	"slices"
	"strings"

	"layshaft/catalog"
)

// selectFit: all are chosen after measuring.
func selectFit(c []*place) bool {
	return len(c) > 0 && !slices.ContainsFunc(c, func(p *place) bool { return p.pos.Life != catalog.SelectFit })
}

// timely: what follows on the line says when: "shim: when the case is shut".
func (n *note) timely(at int) bool {
	line, _, _ := strings.Cut(n.text[at:], "\n")
	words := strings.Fields(strings.Trim(fold(line), " :-,.="))
	return len(words) > 0 && timeWords[words[0]]
}

// timeWords begin what is said of a time.
var timeWords = map[string]bool{"when": true, "after": true, "once": true, "later": true, "last": true, "till": true, "until": true, "on": true, "at": true,
	"erst": true, "nach": true, "beim": true, "wenn": true, "apres": true, "quand": true, "lors": true, "al": true, "cuando": true, "despues": true}

// onlyShaft: a shaft is named by its place alone, "input", so that it may be
// what else lies there.
func (n *note) onlyShaft(t *thing) bool {
	if len(t.slots) != 1 || !shaftOnly(t.slots[0]) || t.gears != 0 || t.whole || t.complete || t.rest {
		return false
	}
	written := fold(n.text[t.start:t.end])
	for _, w := range []string{"shaft", "shft", "welle", "arbre", "eje", "/s", "gear", "cluster", "lay"} {
		if strings.Contains(written, w) {
			return false
		}
	}
	return true
}

// thatOne: it is said of a single one.
func (n *note) thatOne(items []item) bool {
	return slices.ContainsFunc(items, func(it item) bool {
		return it.role == asPron && strings.HasSuffix(fold(n.text[it.start:it.end]), " one")
	})
}

// find looks a thing of a statement up: by itself, by what heads its line, and
// by what stands before.
func (n *note) find(t *thing, s *statement, j judgement, prev *thing) found {
	f := n.lookUp(t, s.context, prev)
	switch {
	case s.head != nil:
		f = n.headed(s, t, f)
	case s.before != nil:
		f = n.goesOn(t, s.before, f)
	}
	f = n.above(t, s, prev, f)
	if t.both && f.code == Several && len(s.pair) == 2 {
		f = n.bothOf(s.pair, f)
	}
	f = n.narrowed(t, s, prev, n.namesakes(t, f))
	switch {
	case t.them && s.crowd > 1:
		f = ask(Several, f.places, "it is not clear on which of them")
	case f.code == NoPosition && !s.bare && (j.choice == Reuse || j.choice == Undecided) && assemblyOf(t) != "":
		f = n.group(t) // "diff: left alone"
	}
	if t.on && (prev == nil || f.why == "" && len(f.places) > 1) {
		f = ask(Several, f.places, "it is not clear on what")
	}
	return f
}

// above tells several places apart by what headed the line before: "5th: hub ok.
// Keys ok".
func (n *note) above(t *thing, s *statement, prev *thing, f found) found {
	if s.above == nil || !n.stands(t, s.above) || f.code != Several && f.why != pluralWhy && !(t.plain() && generic[headKind(t)]) {
		return f
	}
	g := n.lookUnder(t, s.above, prev)
	if g.code != "" {
		return f
	}
	if s.above.gears() {
		t.gears = s.above.things[0].gears
	}
	return g
}

// namesakes asks where another place is called just what was written: "pinion
// shaft" is first the differential's.
func (n *note) namesakes(t *thing, f found) found {
	words := n.words(t)
	if f.code != "" || len(f.places) != 1 || len(words) < 2 || t.gears != 0 {
		return f
	}
	ends := func(p *place) bool { return p.wrote(words) && strings.HasSuffix(fold(p.pos.Name), words[len(words)-1]) }
	if ends(f.places[0]) {
		return f
	}
	if other := slices.DeleteFunc(slices.Clone(n.places), func(p *place) bool { return !ends(p) }); len(other) > 0 {
		return ask(Several, append(other, f.places[0]), "another part is called so too")
	}
	return f
}

// narrowed keeps a plural that is taken for all of its kind to what stands before
// it on the line: "idler chewed. Thrust washers fine".
func (n *note) narrowed(t *thing, s *statement, prev *thing, f found) found {
	const unclear = "what stands before is not clear, so neither is which of them"
	if f.why == pluralWhy && prev != nil {
		if p := akin(f.places, prev.at, 2); p != nil && n.joined(prev, t) {
			return found{places: []*place{p}, why: besideWhy} // "idler shaft + needles"
		}
		if k := headKind(t); (k == "bearing cone" || k == "bearing cup") && (strings.HasSuffix(headKind(prev), "bearing") || strings.HasPrefix(headKind(prev), "bearing c")) {
			near := slices.DeleteFunc(slices.Clone(f.places), func(p *place) bool {
				return !slices.ContainsFunc(prev.at, func(q *place) bool { return q.pos.Assembly == p.pos.Assembly })
			})
			if len(near) == 0 {
				return ask(Several, f.places, unclear)
			}
			return found{places: near, why: besideWhy} // "carrier bearings pitted, cones and cups new"
		}
	}
	if f.why == pluralWhy && s.before != nil {
		if p := akin(f.places, s.before.at, 2); p != nil {
			return found{places: []*place{p}, why: besideWhy}
		}
		if k := headKind(t); len(s.before.at) == 0 && (scattered[k] || k == "thrust washer") {
			return ask(Several, f.places, unclear)
		}
	}
	if f.code == "" && !t.all && generic[headKind(t)] && len(f.places) > 2 && n.failed[s.sentence] {
		return ask(Several, f.places, unclear)
	}
	return f
}
