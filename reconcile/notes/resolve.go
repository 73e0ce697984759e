package notes

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"layshaft/catalog"
	"layshaft/reconcile/match"
)

// found is what a thing was resolved to.
type found struct {
	places   []*place
	quantity int    // pieces of a single position; 0 all
	why      string // how it was taken, when it is not plain
	loose    bool   // told by one word of its name only
	code     Code   // set when it could not be resolved
	problem  string
}

func ask(code Code, places []*place, format string, args ...any) found {
	return found{code: code, places: places, problem: fmt.Sprintf(format, args...)}
}

// resolve looks a thing up among the positions.
func (n *note) resolve(t *thing) found {
	switch {
	case t.class != "":
		return n.class(t)
	case t.whole || t.complete && !t.plainKinds() || t.rest && !t.kinds() && t.gears == 0:
		return n.group(t)
	}
	if headKind(t) == "gear pair" && t.gears == 0 {
		return ask(Several, nil, "a pair of what is not said")
	}
	if n.eitherPair(t) {
		return ask(Several, nil, "the two gears, or the synchro between them")
	}
	c := n.candidates(t, t.used())
	if len(c) == 0 && len(t.features) > 0 {
		t = &thing{slots: t.slots, gears: t.gears, ordinal: t.ordinal, count: t.count, all: t.all, both: t.both, plural: t.plural, rest: t.rest}
		c = n.candidates(t, nil)
	}
	if k := headKind(t); len(c) == 0 && (k == "nut" || k == "bolt") && sided(t) {
		u := *t // "nut LH" is its thread
		u.slots = withoutSides(t.slots)
		return n.resolve(&u)
	}
	if len(c) == 0 {
		if p := cmp.Or(n.worded1(t), n.spokenOne(t)); p != nil {
			f := counted(t, p)
			f.loose = true
			return f
		}
		return n.wheel(t)
	}
	if t.rest {
		c = slices.DeleteFunc(slices.Clone(c), func(p *place) bool { return n.said(p.pos.ID) })
	}
	return n.choose(t, c)
}

const pluralWhy = "the plural is taken for all of them"

// choose settles on one position, or on all of them when the words say so.
func (n *note) choose(t *thing, c []*place) found {
	_, pack := slotsOf(t, t.used())
	if len(c) == 1 && t.plain() && t.plural && generic[headKind(t)] && c[0].pos.Quantity == 1 {
		if more := n.several(headKind(t)); len(more) > 0 {
			return ask(Several, append(more, c[0]), "there is one, and there are several of another kind")
		}
	}
	if len(c) == 1 {
		return counted(t, c[0])
	}
	if !t.all && !t.rest {
		c = withoutSpecial(t, c)
		if len(c) == 1 {
			return counted(t, c[0])
		}
	}
	if t.count > 1 && t.count != effective(c) && t.count != pieces(c) {
		if best := n.nearest(t, c); best != nil && t.count <= best.pos.Quantity {
			return counted(t, best)
		}
		return ask(Count, c, "the gearbox has %d such places and %d pieces, not %d", effective(c), pieces(c), t.count)
	}
	if t.both && effective(c) != 2 {
		return ask(Several, c, "both of which: %d places answer to it", effective(c))
	}
	if t.count == 1 && t.plural && !t.all {
		return ask(Several, c, "which of them is not said")
	}
	ranged := popcount(t.gears) > 1
	if pack && !t.plural && !t.all && t.gears == 0 && headKind(t) != "gasket set" && !unlike(c) {
		pack = false // "hub and sleeve": of which of them is not said
	}
	if t.all || t.both || pack || ranged || t.count > 1 || t.rest {
		return found{places: c}
	}
	if t.plural {
		if best := n.nearest(t, c); best != nil && best.pos.Quantity > 1 {
			return found{places: []*place{best}}
		}
		if k := headKind(t); scattered[k] && !sameShaft(t, c) && (c[0].heads[k] || c[0].wide[k]) {
			return ask(Several, c, "say all of them, or which")
		}
		return found{places: c, why: pluralWhy}
	}
	if best := cmp.Or(mainCase(t, c), n.nearest(t, c)); best != nil {
		return counted(t, best)
	}
	if halves(c) {
		return found{places: c, why: "cup and cone are one bearing"}
	}
	if f, ok := n.unnamedShaft(t, c); ok {
		return f
	}
	return ask(Several, c, "%d places answer to it", len(c))
}

// sameShaft: the shaft is named, and they are all of one kind on it.
func sameShaft(t *thing, c []*place) bool {
	return t.shaft() != "" && !slices.ContainsFunc(c, func(p *place) bool { return p.pos.Kind != c[0].pos.Kind || !p.shafts[t.shaft()] })
}

// mainCase is what "case" alone means (common practice).
func mainCase(t *thing, c []*place) *place {
	if !t.plain() || headKind(t) != "case" || t.plural {
		return nil
	}
	main := slices.DeleteFunc(slices.Clone(c), func(p *place) bool { return p.pos.Kind != "case" || !p.named["main"] && fold(p.pos.Name) != "case" })
	if len(main) != 1 {
		return nil
	}
	return main[0]
}

// several are the places of a narrower kind that take more than one.
func (n *note) several(kind string) []*place {
	return slices.DeleteFunc(slices.Clone(n.places), func(p *place) bool { return !p.wide[kind] || p.heads[kind] || p.pos.Quantity < 2 })
}

// eitherPair: "2-3" without a kind may be two gears or what the hub between them
// carries.
func (n *note) eitherPair(t *thing) bool {
	if t.kinds() || popcount(t.gears) != 2 || len(t.features) > 0 {
		return false
	}
	pairs := 0
	for i := range t.items {
		if t.items[i].role == asGears && popcount(t.items[i].gears) == 2 {
			pairs++
		}
	}
	return pairs == 1 && slices.ContainsFunc(n.places, func(p *place) bool { return p.pos.Kind == "synchro hub" && p.gears == t.gears })
}

// unlike: every place is of a kind of its own.
func unlike(c []*place) bool {
	kinds := map[catalog.PartKind]bool{}
	for _, p := range c {
		kinds[p.pos.Kind] = true
	}
	return len(kinds) == len(c)
}

// withoutSpecial: "bearings" of a shaft are those that carry it, unless all are
// named.
func withoutSpecial(t *thing, c []*place) []*place {
	if headKind(t) != "bearing" {
		return c
	}
	rest := slices.DeleteFunc(slices.Clone(c), func(p *place) bool { return special[p.pos.Kind] && !p.heads["bearing"] })
	if len(rest) == 0 {
		return c
	}
	return rest
}

// headKind is the kind named last.
func headKind(t *thing) string {
	head := ""
	for _, s := range t.slots {
		if k := firstKind(s); k != "" && (head == "" || !shaftOnly(s)) {
			head = k
		}
	}
	return head
}

// nearest is the one position whose name says least beyond the words; nil when
// there is no single one or the words are a bare kind that several have.
func (n *note) nearest(t *thing, c []*place) *place {
	if t.plain() {
		return n.named(t, c)
	}
	if words := n.words(t); len(words) > 2 {
		if said := slices.DeleteFunc(slices.Clone(c), func(p *place) bool { return !p.wrote(words) }); len(said) == 1 {
			return said[0]
		}
	}
	slots, _ := slotsOf(t, t.used())
	var best *place
	least, tie := 1<<30, false
	for _, p := range c {
		u := unsaid(p, slots, t)
		switch {
		case u < least:
			best, least, tie = p, u, false
		case u == least:
			tie = true
		}
	}
	if tie {
		return nil
	}
	return best
}

// named is the place that is called just what was written.
func (n *note) named(t *thing, c []*place) *place {
	written := strings.TrimSuffix(fold(strings.TrimSpace(n.text[t.start:t.end])), "s")
	for _, p := range c {
		if strings.TrimSuffix(fold(p.pos.Name), "s") == written {
			return p
		}
	}
	return nil
}

// unsaid counts what a position's name says and the words do not.
func unsaid(p *place, slots [][]match.Sense, t *thing) int {
	u := 0
	for _, name := range p.slots {
		said := p.gears != 0 && p.pos.Kind != "gear" && len(name) == 1 && name[0] == "gear" // "reverse gear needle cage"
		for _, s := range slots {
			for _, x := range s {
				said = said || slices.Contains(name, x.Name) || x.Kind && p.wide[x.Name] && slices.ContainsFunc(name, func(w string) bool { return p.heads[w] }) ||
					x.Shaft != "" && shaftWord(name, x.Shaft)
			}
		}
		if !said {
			u++
		}
	}
	if p.gears != 0 && t.gears == 0 {
		u++
	}
	if special[p.pos.Kind] && !slices.ContainsFunc(slots, func(s []match.Sense) bool {
		return slices.ContainsFunc(s, func(x match.Sense) bool { return x.Kind && p.heads[x.Name] })
	}) {
		u += 2
	}
	return u
}

// special bearings are called by their own names, never just "bearing".
var special = map[catalog.PartKind]bool{"pilot bearing": true, "loose roller": true, "needle bearing": true, "thrust bearing": true}

func shaftWord(name []string, shaft string) bool {
	return slices.ContainsFunc(name, func(w string) bool {
		return w == shaft || w == shaft+" shaft" || shaft == "counter" && w == "countershaft"
	})
}

// unnamedShaft: without a shaft's name, a gear or a side means the other shafts,
// for the countershaft is always named (common practice).
func (n *note) unnamedShaft(t *thing, c []*place) (found, bool) {
	if n.family.Box != catalog.Longitudinal || t.shaft() != "" || t.gears == 0 && !sided(t) {
		return found{}, false
	}
	rest := slices.DeleteFunc(slices.Clone(c), func(p *place) bool { return p.shafts["counter"] })
	if len(rest) == 0 || len(rest) == len(c) {
		return found{}, false
	}
	if len(rest) > 1 {
		best := n.nearest(t, rest)
		if best == nil {
			return found{}, false
		}
		rest = []*place{best}
	}
	f := counted(t, rest[0])
	f.why = "the countershaft is not named, so it is not the countershaft's"
	return f, true
}

func sided(t *thing) bool {
	return slices.ContainsFunc(t.slots, func(s []match.Sense) bool { return len(s) > 0 && s[0].Side })
}

// counted checks a stated count against one position.
func counted(t *thing, p *place) found {
	q := p.pos.Quantity
	switch {
	case t.one && t.count == 0 && !t.plural && q > 1:
		return found{places: []*place{p}, quantity: 1}
	case t.count == 0 || t.count == q:
		return found{places: []*place{p}}
	case t.count < q:
		return found{places: []*place{p}, quantity: t.count}
	}
	return ask(Count, []*place{p}, "%s takes %d, not %d", p.pos.Name, q, t.count)
}

func pieces(c []*place) int {
	n := 0
	for _, p := range c {
		n += p.pos.Quantity
	}
	return n
}

// effective counts places, a cup and its cone as one bearing.
func effective(c []*place) int {
	cups, cones, others := 0, 0, 0
	for _, p := range c {
		switch p.pos.Kind {
		case "bearing cup":
			cups++
		case "bearing cone":
			cones++
		default:
			others++
		}
	}
	return others + max(cups, cones)
}

func halves(c []*place) bool { return len(c) == 2 && effective(c) == 1 }

func popcount(g uint16) int {
	n := 0
	for ; g != 0; g &= g - 1 {
		n++
	}
	return n
}

// wheel finds a gear that is cut into another part: "counter 2nd" of a cluster.
func (n *note) wheel(t *thing) found {
	shaft := t.shaft()
	if t.gears == 0 || shaft == "" || t.kinds() && headKind(t) != "gear" {
		return ask(NoPosition, nil, "no position of this gearbox answers to it")
	}
	var out []*place
	for _, w := range n.wheels {
		if w.gears&t.gears != 0 && w.gears&^t.gears == 0 && w.place.shafts[shaft] && !slices.Contains(out, w.place) {
			out = append(out, w.place)
		}
	}
	if len(out) != 1 {
		return ask(NoPosition, out, "no position of this gearbox answers to it")
	}
	return found{places: out, why: "that gear is part of the " + lowerFirst(out[0].pos.Name)}
}

func lowerFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToLower(s[:1]) + s[1:]
}
