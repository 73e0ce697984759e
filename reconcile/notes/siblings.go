package notes

import "slices"

// siblings are things that were named in one breath for the same gears: after
// "2/3 hub and sleeve new" a bare "4/5" is the hub and the sleeve of those.
type siblings struct {
	sentence int
	things   []*thing
}

// of remembers a list whose things all have kinds and are for the same gears.
func (g *siblings) of(l *list, sentence int) {
	if sentence != g.sentence {
		g.sentence, g.things = sentence, nil
	}
	var out []*thing
	gears := uint16(0)
	for _, t := range l.things {
		if !t.kinds() || t.all || t.rest || t.its || t.with || t.gears != 0 && gears != 0 && t.gears != gears {
			out = nil
			break
		}
		gears |= t.gears
		out = append(out, t)
	}
	switch {
	case len(out) > 1 && gears != 0:
		g.things = out
	case slices.ContainsFunc(l.things, (*thing).kinds) && !slices.ContainsFunc(l.things, func(t *thing) bool { return t.sibling }):
		g.things = nil
	}
}

// siblings makes a bare gear of the same sentence one of each kind.
func (n *note) siblings(l *list, sentence int, g *siblings) {
	if sentence != g.sentence || len(g.things) == 0 || slices.ContainsFunc(l.things, func(t *thing) bool {
		return t.gears == 0 || t.kinds() || len(t.slots) > 0 || t.all || t.rest
	}) {
		return
	}
	var out []*thing
	for _, t := range l.things {
		for _, kin := range g.things {
			u := *t
			u.slots, u.plural, u.sibling = slices.Clone(kin.slots), kin.plural, true
			out = append(out, &u)
		}
	}
	l.things = out
}

// ahead gives a kind that several gears have the gears of the thing that follows
// it in the list: "keys and springs 1-2".
func (n *note) ahead(t, next *thing) {
	if !next.kinds() || t.shaft() != "" || sided(t) || t.plural && !n.joined(t, next) {
		return
	}
	if f := n.resolve(t); f.code == Several || len(f.places) > 1 {
		u := *t
		u.gears = next.gears
		if g := n.resolve(&u); g.code == "" {
			t.gears = next.gears
		}
	}
}
