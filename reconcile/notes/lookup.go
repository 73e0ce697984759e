package notes

import (
	"slices"
	"strings"

	"layshaft/catalog"
	"layshaft/reconcile/match"
)

// lookUp resolves a thing; what is missing is taken from the heading, then from
// the thing before it.
func (n *note) lookUp(t *thing, context *heading, prev *thing) found {
	if t.fixed != nil {
		return found{places: t.fixed}
	}
	if context != nil && !n.narrow && n.stands(t, context) {
		return n.lookUnder(t, context, prev)
	}
	if f, ok := n.owned(t, prev); ok {
		return f
	}
	if f, ok := n.belonging(t, prev); ok {
		return f
	}
	if t.plural && !t.all && !t.both && t.gears == 0 && prev != nil && prev.gears != 0 && t.shaft() == "" && slices.Contains(gearThings, headKind(t)) {
		u := *t // "3-4 fork ok, pads worn"
		u.gears = prev.gears
		if f := n.resolve(&u); f.code == "" {
			f.why = besideWhy
			return f
		}
	}
	f := n.resolve(t)
	switch {
	case f.code == NoPosition:
		return n.otherwise(t, prev, f)
	case f.code == Count && prev != nil && (t.with || t.its || attached[headKind(t)]):
		if p := akin(f.places, prev.at, 1); p != nil {
			return counted(t, p)
		}
	case f.code != Several || prev == nil || t.gears != 0 || t.all || t.both || t.whole || t.rest:
	default:
		return n.beside(t, prev, f)
	}
	return f
}

// lookUnder looks first among what stands under a heading.
func (n *note) lookUnder(t *thing, context *heading, prev *thing) found {
	if context.gears() && !t.kinds() { // "3rd pair: driving ok"
		u := *t
		u.gears = context.things[0].gears
		return n.resolve(&u)
	}
	n.narrow = true
	f := n.among(n.under(context), func() found { return n.lookUp(t, nil, prev) })
	n.narrow = false
	if f.code == "" {
		return f
	}
	words := n.words(t)
	if hit := slices.DeleteFunc(n.under(context), func(p *place) bool {
		return !p.wrote(words) || !strings.HasSuffix(fold(p.pos.Name), words[len(words)-1])
	}); len(hit) == 1 && t.plain() && headKind(t) == "case" {
		return counted(t, hit[0]) // "extension: bush worn, housing ok"
	}
	if g := n.lookUp(t, nil, prev); !context.gears() || t.gears != 0 || g.code == "" && len(g.places) == 1 {
		return g
	}
	return f
}

// owned reads what belongs to, or lies on, the thing before it: "its sleeve",
// "the bearings on it".
func (n *note) owned(t, prev *thing) (found, bool) {
	if prev == nil {
		return found{}, false
	}
	if t.on && prev.shaft() != "" && t.shaft() == "" {
		u := *t
		u.on, u.its, u.slots = false, false, append(slices.Clone(t.slots), shaftSlot(prev.shaft()))
		if f := n.resolve(&u); f.code == "" {
			f.why = "on what stands before it"
			return f, true
		}
	}
	if !t.with && !t.its || t.gears != 0 || sided(t) || t.all {
		return found{}, false
	}
	u := *t
	u.gears = prev.gears
	for _, s := range prev.slots {
		if len(s) > 0 && s[0].Side {
			u.slots = append(slices.Clone(u.slots), s)
		}
	}
	if s := prev.shaft(); s != "" && t.shaft() == "" {
		u.slots = append(slices.Clone(u.slots), shaftSlot(s))
	}
	f := n.resolve(&u)
	return f, f.code == ""
}

// otherwise tries what no position answers to as several things, by its words as
// they stand, and as the rest of a name that the thing before it began.
func (n *note) otherwise(t, prev *thing, f found) found {
	if g, ok := n.split(t); ok {
		return g
	}
	if g, ok := n.written(t); ok {
		return g
	}
	if n.joined(prev, t) && !t.kinds() && t.gears == 0 { // "speedo drive + driven"
		if p := akin(slices.DeleteFunc(slices.Clone(n.places), func(p *place) bool { return !p.speaks(t) }), prev.at, 1); p != nil {
			return found{places: []*place{p}, why: besideWhy}
		}
	}
	return f
}

// goesOn completes a thing by the one that the sentence before on the same line
// ended with: "3rd ring worn. 1 and 2 fine", "rear bearing noisy. Front good".
func (n *note) goesOn(t, before *thing, f found) found {
	u := *t
	switch k := headKind(before); {
	case t.class != "" || t.whole || t.rest || t.all || t.complete:
	case n.onlyShaft(t) && strings.HasSuffix(k, "bearing"):
		u.slots = append(slices.DeleteFunc(withoutSides(before.slots), shaftOnly), t.slots...)
		return n.oneOf(&u, ask(Several, f.places, "the shaft, or its %s", k))
	case t.kinds():
		near := attached[headKind(t)] || sided(t) || t.with || t.its || headKind(t) == k || strings.HasSuffix(k, " "+headKind(t))
		if (f.code == Several || f.code == Count) && near {
			return n.beside(t, before, f)
		}
	case t.gears != 0 && len(t.slots) == 0 && len(t.features) == 0 && k != "gear" && slices.Contains(gearThings, k):
		u.slots = slices.DeleteFunc(withoutSides(before.slots), shaftOnly)
		g := n.oneOf(&u, ask(Several, f.places, "the gear, or the %s", k))
		if g.code == "" {
			t.slots = u.slots
		}
		return g
	case t.gears == 0 && len(t.slots) > 0 && f.code != "" && k != "":
		u.slots, u.gears = append(withoutSides(before.slots), t.slots...), before.gears
		return n.oneOf(&u, f)
	}
	return f
}

// oneOf resolves a completed thing, or gives what was found without.
func (n *note) oneOf(u *thing, f found) found {
	g := n.resolve(u)
	if g.code != "" {
		return f
	}
	g.why = besideWhy
	return g
}

// bothOf are the places that go with the last two: "drain plug ok, filler plug ok,
// both washers new".
func (n *note) bothOf(pair []*thing, f found) found {
	var out []*place
	for _, t := range pair {
		if p := akin(f.places, t.at, 1); p != nil && !slices.Contains(out, p) {
			out = append(out, p)
		}
	}
	if len(out) != 2 {
		return f
	}
	return found{places: out, why: besideWhy}
}

const besideWhy = "taken with what stands before it"

// beside tells what several positions answer to by the thing before it: by its
// gears and shaft, by what their names share, by its words.
func (n *note) beside(t, prev *thing, f found) found {
	if attached[headKind(t)] || headKind(t) == "washer" {
		if p := akin(n.callable(t, f.places), prev.at, 2); p != nil && n.joined(prev, t) {
			return found{places: []*place{p}, why: besideWhy} // "bolt + washer"
		}
	}
	u := *t
	u.gears = prev.gears
	if s := prev.shaft(); s != "" && t.shaft() == "" {
		u.slots = append(slices.Clone(t.slots), shaftSlot(s))
	}
	if bare := generic[headKind(t)] && prev.gears == 0; !bare || t.its {
		if g := n.resolve(&u); g.code == "" && (len(g.places) == 1 || unlike(g.places)) && (t.its || headKind(t) != "snap ring" || len(n.candidates(&u, u.used())) == 1) {
			g.why = besideWhy
			return g
		}
	}
	least := 2
	if t.with || t.its || attached[headKind(t)] || n.joined(prev, t) {
		least = 1
	}
	if p := akin(n.callable(t, f.places), prev.at, least); p != nil {
		return found{places: []*place{p}, why: besideWhy}
	}
	if !attached[headKind(t)] {
		return f
	}
	u = *t
	u.slots = append(slices.Clone(prev.slots), t.slots...)
	if g := n.resolve(&u); g.code == "" && len(g.places) == 1 {
		g.why = besideWhy
		return g
	}
	return f
}

// callable are the places that a general word such as "ring" may mean when it
// goes with what stands before it: those whose names have it.
func (n *note) callable(t *thing, c []*place) []*place {
	if k := headKind(t); generic[k] && len(t.slots) == 1 {
		return slices.DeleteFunc(slices.Clone(n.places), func(p *place) bool { return !p.named[k] || !p.heads[k] && !p.wide[k] })
	}
	return c
}

// joined: nothing but "and" stands between two things.
func (n *note) joined(prev, t *thing) bool {
	if prev == nil || prev.end > t.start || prev.start < 0 {
		return false
	}
	between := n.text[prev.end:t.start]
	if strings.TrimSpace(between) == "/" {
		return true
	}
	for _, it := range n.rd.itemize(lex(between), noDay) {
		if it.role != asAnd && it.role != asStop && it.role != asMarker {
			return false
		}
	}
	return len(between) < 12
}

// akin is the one of some places whose name shares most with that of the place
// before: "speedo gear and its o-ring".
func akin(places, before []*place, least int) *place {
	if len(before) != 1 {
		return nil
	}
	var best *place
	most, tie := 0, false
	for _, p := range places {
		n := 0
		for w := range p.named {
			if before[0].named[w] {
				n++
			}
		}
		switch {
		case n > most:
			best, most, tie = p, n, false
		case n == most:
			tie = true
		}
	}
	if tie || most < least {
		return nil
	}
	return best
}

// belonging reads a bare general kind by the thing before it: "keys and
// springs" are synchro key springs, "detent balls and springs" detent springs.
func (n *note) belonging(t, prev *thing) (found, bool) {
	if prev == nil || len(t.slots) != 1 || !generic[headKind(t)] || prev.gears != 0 && t.gears == 0 && t.plural && !prev.plural {
		return found{}, false
	}
	first, _, _ := strings.Cut(headKind(prev), " ")
	for _, kind := range []string{headKind(prev) + " " + headKind(t), first + " " + headKind(t)} {
		u := *t
		u.slots = [][]match.Sense{{{Name: kind, Kind: true}}}
		if u.gears == 0 {
			u.gears = prev.gears
		}
		if f := n.resolve(&u); f.code == "" {
			f.why = besideWhy
			return f, true
		}
	}
	return found{}, false
}

// attached kinds are named after what they hold or close: "front cover missing,
// gasket new".
var attached = map[string]bool{"gasket": true, "bolt": true, "screw": true, "nut": true, "o-ring": true, "oil seal": true, "sealing washer": true}

// split reads things that follow each other without a mark: "input bearing
// input seal". Every one of them must be clear.
func (n *note) split(t *thing) (found, bool) {
	var out found
	parts := 0
	for from := 0; from < len(t.items); {
		to := from
		for to < len(t.items) && !boundary(t.items, from, to) {
			to++
		}
		l, _ := n.parseList(t.items[from:to], 0)
		if l == nil || len(l.things) != 1 || l.things[0].plain() || l.things[0].plural {
			return out, false
		}
		f := n.resolve(l.things[0])
		if f.code != "" || f.quantity != 0 {
			return out, false
		}
		out.places = append(out.places, f.places...)
		parts++
		from = to
	}
	out.why = "several things one after the other"
	return out, parts > 1
}

// boundary: a kind is complete before item i, and a place word with another kind
// begins there.
func boundary(items []item, from, i int) bool {
	kind := func(it *item) bool { return it.role == asThing && firstKind(it.senses) != "" && !shaftOnly(it.senses) }
	gears := i > from+1 && items[i-1].role == asGears && kind(&items[i-2]) && i+1 < len(items) && items[i+1].role == asGears // "hub 5 sleeve 5"
	if i <= from || !kind(&items[i-1]) && !gears || kind(&items[i]) && firstKind(items[i].senses) == "gear" {
		return false
	}
	for k := i; k < len(items); k++ {
		if kind(&items[k]) {
			return true
		}
	}
	return false
}

// stands reports whether a thing is to be looked for under a heading.
func (n *note) stands(t *thing, h *heading) bool {
	if h.gears() {
		return t.gears == 0 && (t.kinds() || len(t.slots) > 0 && !sided(t))
	}
	return t.shaft() == "" && !slices.Contains(h.things, t)
}

// under a heading stand the places that the words of one of its things tell.
func (n *note) under(h *heading) []*place {
	var out []*place
	for _, p := range n.places {
		if h.gears() && (p.takes(h.things[0].gears) || h.things[0].gears == gearBit(0) && p.pos.Assembly == catalog.AssemblyReverse) || !h.gears() && slices.ContainsFunc(h.things, p.speaks) {
			out = append(out, p)
		}
	}
	return out
}

// speaks reports whether everything that a thing says is among a place's words.
func (p *place) speaks(t *thing) bool {
	hit := p.takes(t.gears)
	for _, s := range t.slots {
		hit = hit && slices.ContainsFunc(s, func(x match.Sense) bool {
			return p.words[x.Name] || x.Shaft != "" && p.shafts[x.Shaft] || slices.Contains(strings.Fields(string(p.pos.Kind)), x.Name)
		})
	}
	return hit
}

func shaftSlot(shaft string) []match.Sense {
	name := shaft + " shaft"
	if shaft == "counter" {
		name = "countershaft"
	}
	return []match.Sense{{Name: name, Kind: true, Shaft: shaft}}
}
