package notes

import (
	"fmt"
	"slices"
	"strings"

	"layshaft/catalog"
	"layshaft/reconcile/match"
)

// apply looks every statement's things up and proposes what is said of them.
func (n *note) apply(statements []*statement) {
	last := map[int]*thing{} // of each sentence
	var before *thing
	group := &siblings{}
	line := -1
	due := noDay // the last day named
	for k, s := range statements {
		if s.narrows != nil {
			n.merged.doubt(n, s)
		}
		j := judge(s.items)
		due = j.sameDay(due)
		if s.unclear && j.ask == "" {
			j.ask = "it is not clear what the last words take in"
		}
		if s.bare {
			j = judgement{choice: Replace}
			if n.unclearAfter(s, statements[k+1:]) {
				j = judgement{ask: "what is said of it in the same breath is not understood"}
			}
			if slices.ContainsFunc(s.lists, (*list).unreadable) {
				j = judgement{ask: "not all that stands with it is understood"}
			}
			if slices.ContainsFunc(s.lists, (*list).guessed) {
				j = judgement{ask: "it is named without a word, and not spelt as it is known"}
			}
		}
		prev := last[s.sentence]
		if prev == nil && len(s.lists[0].things) == 1 && families[headKind(s.lists[0].things[0])] && s.line == line {
			prev = before // "keys new. springs too"
		}
		line = s.line
		kin := prev // whose kind a bare gear has
		if s.head != nil {
			kin = s.head
			if prev == nil {
				prev = s.head
			}
		}
		if prev == nil && (s.correct || s.lists[0].its() || s.soft && s.lists[0].rest()) {
			prev = before
		}
		for li, l := range s.lists {
			if len(l.things)+len(l.except) > maxList {
				n.question(TooLong, l.start, l.end, nil, "more things in one breath than are read")
				continue
			}
			n.siblings(l, s.sentence, group)
			if kin == nil {
				kin = prev
			}
			n.borrow(l, s.lists[li+1:], kin, s.head)
			n.list(s, l, j, prev)
			for _, t := range l.things {
				prev, before = t, t
				if s.head == nil {
					kin = t
				}
			}
			group.of(l, s.sentence)
		}
		last[s.sentence] = prev
		if j.dueAsk != "" && j.ask == "" {
			n.question(DueDay, s.start, s.end, nil, j.dueAsk)
		}
	}
}

// unclearAfter reports whether things said after a bare name, in the same sentence, are not found: they may be what is
// said of it ("rear cover: new gasket, cover ok"), so the name alone must not stand for "wanted new".
func (n *note) unclearAfter(s *statement, later []*statement) bool {
	for _, o := range later {
		if o.sentence != s.sentence {
			return false
		}
		for _, l := range o.lists {
			prev := s.lists[len(s.lists)-1]
			for _, t := range l.things {
				if len(prev.things) > 0 && n.lookUp(t, o.context, prev.things[len(prev.things)-1]).code != "" {
					return true
				}
			}
		}
	}
	return false
}

// partOfFailed reports whether a thing only goes on with one that was not found: "joints d'arbre et de sélecteur".
func (n *note) partOfFailed(failed, t *thing) bool {
	if failed == nil || failed.end > t.start {
		return false
	}
	for _, w := range strings.Fields(fold(n.text[failed.end:t.start])) {
		if e, ok := phrases[w]; ok && e.role == asOf {
			return true
		}
	}
	return false
}

// list proposes one list of a statement.
func (n *note) list(s *statement, l *list, j judgement, prev *thing) {
	out := map[catalog.PositionID]bool{}
	base := n.base(s, l, prev)
	for _, t := range l.except {
		if len(base) == 0 {
			break // what it is taken from is asked about
		}
		n.inheritKind(t, l.things)
		f := n.among(base, func() found { return n.lookUp(t, nil, nil) })
		if f.code != "" {
			f = spoken(t, base, f)
		}
		if f.code != "" && t.apart {
			continue // it is no part of the list, and read by itself
		}
		if f.code != "" && len(l.things) == 1 && l.things[0].whole && headKind(t) == "shaft" {
			continue // what lies on a shaft is without the shaft
		}
		if f.code != "" {
			n.question(f.code, min(l.start, t.start), max(l.end, t.end), f.places, "the exception is not clear, so nothing is taken from the list: "+f.problem)
			return
		}
		t.fixed = f.places
		for _, p := range f.places {
			out[p.pos.ID] = true
		}
	}
	var lost, before *thing // the one before in the list; lost when it was not found
	for _, t := range l.things {
		f := n.lookUp(t, s.context, prev)
		if s.head != nil {
			f = n.headed(s, t, f)
		}
		if t.on && (prev == nil || f.why == "" && len(f.places) > 1) {
			f = ask(Several, f.places, "it is not clear on what")
		}
		switch {
		case n.partOfFailed(lost, t) || len(l.things) > 1 && strings.HasSuffix(headKind(t), "shaft") && n.partOfFailed(before, t):
			n.question(NotUnderstood, t.start, t.end, f.places, "it goes on with what was not found")
		case t.unread:
			n.failed[s.sentence] = true
			n.question(NotUnderstood, min(t.start, s.start), max(t.end, s.end), f.places, "not all of it is understood")
		case t.rest && n.failed[s.sentence]:
			n.question(Several, t.start, t.end, nil, "what stands before is not clear, so neither is the rest")
		case f.loose && s.bare:
			n.question(NotUnderstood, t.start, t.end, f.places, "a word of its name is not enough when nothing is said of it")
		case f.code != "":
			n.failed[s.sentence] = true
			n.question(f.code, t.start, t.end, f.places, f.problem)
		case j.ask != "":
			n.question(Open, s.start, s.end, f.places, j.ask)
		default:
			n.propose(s, t, f, j, out)
		}
		prev, lost, before = t, nil, t
		t.at = f.places
		if f.code != "" {
			lost = t
		}
	}
}

// headed looks a thing up among the kind that heads its line: "seals: input" is
// the input shaft's seal.
func (n *note) headed(s *statement, t *thing, f found) found {
	all := *s.head
	all.all = true
	kin := n.resolve(&all).places
	hit := slices.DeleteFunc(slices.Clone(kin), func(p *place) bool { return !p.speaks(t) && !p.wrote(n.words(t)) })
	switch {
	case f.code == "" && !slices.ContainsFunc(f.places, func(p *place) bool { return !slices.Contains(hit, p) }):
		return f
	case len(hit) == 1:
		return counted(t, hit[0])
	case halves(hit) || len(hit) > 1 && (t.both || t.count > 1) && t.count <= effective(hit):
		return found{places: hit}
	case len(hit) > 1:
		if best := n.nearest(t, hit); best != nil {
			return counted(t, best)
		}
		return ask(Several, hit, "%d places answer to it", len(hit))
	case s.bare || !t.kinds():
		return ask(NoPosition, f.places, "it is not among what heads the line")
	}
	return f
}

// base are the places from which a list's exceptions are taken.
func (n *note) base(s *statement, l *list, prev *thing) []*place {
	if len(l.except) == 0 {
		return nil
	}
	var out []*place
	for _, t := range l.things {
		for _, p := range n.lookUp(t, s.context, prev).places {
			if !slices.Contains(out, p) {
				out = append(out, p)
			}
		}
	}
	return out
}

// spoken finds an exception that does not name its kind: "all gaskets but the
// top cover one".
func spoken(t *thing, base []*place, f found) found {
	hit := slices.DeleteFunc(slices.Clone(base), func(p *place) bool { return !p.speaks(t) })
	if len(hit) == 1 || halves(hit) {
		return found{places: hit}
	}
	return f
}

// among looks up within some of the places.
func (n *note) among(places []*place, look func() found) found {
	all := n.places
	n.places = places
	f := look()
	n.places = all
	return f
}

func (n *note) propose(s *statement, t *thing, f found, j judgement, out map[catalog.PositionID]bool) {
	for _, p := range f.places {
		if out[p.pos.ID] {
			continue
		}
		if j.count > 0 && j.count < p.pos.Quantity && len(f.places) == 1 {
			f.quantity = j.count
		}
		c := Proposal{Position: p.pos.ID, Choice: j.choice, Quantity: f.quantity, Treatment: j.treatment, Due: j.due,
			Start: min(t.start, s.start), End: max(t.end, s.end), Why: n.why(s, t, f, p)}
		if len(s.lists) > 1 || s.carried {
			c.Start, c.End = t.start, t.end
		}
		if j.choice == Reuse && j.to > j.from {
			c.Measured = clip(strings.TrimSpace(n.text[j.from:j.to]))
		}
		n.merged.add(n, &c, s, j.explicit || s.bare, len(f.places) == 1)
	}
}

// why says how the note was read, in words.
func (n *note) why(s *statement, t *thing, f found, p *place) string {
	why := fmt.Sprintf("%q is the %s", clip(n.text[t.start:t.end]), lowerFirst(p.pos.Name))
	if len(f.places) > 1 {
		why = fmt.Sprintf("%q takes in the %s", clip(n.text[t.start:t.end]), lowerFirst(p.pos.Name))
	}
	if f.why != "" {
		why += " (" + f.why + ")"
	}
	if s.bare {
		return why + "; named without a word, so it is read as wanted new"
	}
	var said []string
	for _, it := range s.items {
		if it.role != asPron && it.role != asToo {
			said = append(said, n.text[it.start:it.end])
		}
	}
	return why + "; said of it: " + clip(strings.Join(said, " "))
}

// lookUp resolves a thing; what is missing is taken from the heading, then from
// the thing before it.
func (n *note) lookUp(t *thing, context *heading, prev *thing) found {
	if t.fixed != nil {
		return found{places: t.fixed}
	}
	if context != nil && !n.narrow && n.stands(t, context) {
		n.narrow = true
		f := n.among(n.under(context), func() found { return n.lookUp(t, nil, prev) })
		n.narrow = false
		if f.code == "" {
			return f
		}
		if g := n.lookUp(t, nil, prev); !context.gears() || t.gears != 0 || g.code == "" && len(g.places) == 1 {
			return g
		}
		return f
	}
	own := t.with || t.its
	if t.on && prev != nil && prev.shaft() != "" && t.shaft() == "" {
		u := *t
		u.on, u.its, u.slots = false, false, append(slices.Clone(t.slots), shaftSlot(prev.shaft()))
		if f := n.resolve(&u); f.code == "" {
			f.why = "on what stands before it"
			return f
		}
	}
	if own && prev != nil && t.gears == 0 && !sided(t) && !t.all {
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
		if f := n.resolve(&u); f.code == "" {
			return f
		}
	}
	if f, ok := n.belonging(t, prev); ok {
		return f
	}
	f := n.resolve(t)
	if f.code == NoPosition {
		if g, ok := n.split(t); ok {
			return g
		}
		if g, ok := n.written(t); ok {
			return g
		}
		if n.joined(prev, t) && !t.kinds() && t.gears == 0 { // "speedo drive + driven"
			if p := akin(slices.DeleteFunc(slices.Clone(n.places), func(p *place) bool { return !p.speaks(t) }), prev.at, 1); p != nil {
				return found{places: []*place{p}, why: "taken with what stands before it"}
			}
		}
	}
	if f.code == Count && own && prev != nil {
		if p := akin(f.places, prev.at, 1); p != nil {
			return counted(t, p)
		}
	}
	if f.code != Several || prev == nil || t.gears != 0 || t.all || t.both || t.whole || t.rest {
		return f
	}
	u := *t
	u.gears = prev.gears
	if s := prev.shaft(); s != "" && t.shaft() == "" {
		u.slots = append(slices.Clone(t.slots), shaftSlot(s))
	}
	if bare := generic[headKind(t)] && prev.gears == 0; !bare || t.its {
		if g := n.resolve(&u); g.code == "" && (len(g.places) == 1 || unlike(g.places)) {
			g.why = "taken with what stands before it"
			return g
		}
	}
	least := 2
	if own || attached[headKind(t)] || n.joined(prev, t) {
		least = 1
	}
	if p := akin(n.callable(t, f.places), prev.at, least); p != nil {
		return found{places: []*place{p}, why: "taken with what stands before it"}
	}
	if !attached[headKind(t)] {
		return f
	}
	u = *t
	u.slots = append(slices.Clone(prev.slots), t.slots...)
	if g := n.resolve(&u); g.code == "" && len(g.places) == 1 {
		g.why = "taken with what stands before it"
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
			f.why = "taken with what stands before it"
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
	if i <= from || !kind(&items[i-1]) || kind(&items[i]) && firstKind(items[i].senses) == "gear" {
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
		return t.gears == 0 && t.kinds()
	}
	return t.shaft() == "" && !slices.Contains(h.things, t)
}

// under a heading stand the places that the words of one of its things tell.
func (n *note) under(h *heading) []*place {
	var out []*place
	for _, p := range n.places {
		if slices.ContainsFunc(h.things, p.speaks) {
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

// borrow completes things that name only gears or sides: "front and rear
// bearings", "rings 1st and 2nd", "needles 1-4 new, 5th ok".
func (n *note) borrow(l *list, later []*list, prev, head *thing) {
	for i, t := range l.things {
		if t.rest && !t.kinds() && t.gears == 0 && len(t.slots) == 0 && prev != nil {
			if generic[headKind(prev)] && len(prev.at) > 0 {
				t.slots = append(t.slots, []match.Sense{{Name: string(prev.at[0].pos.Kind), Kind: true}})
				continue
			}
			t.slots = append(t.slots, withoutSides(prev.slots)...)
			continue
		}
		if i+1 < len(l.things) && t.kinds() && t.gears == 0 && !t.all && l.things[i+1].gears != 0 {
			n.ahead(t, l.things[i+1])
		}
		if k := len(l.things); i+1 < k && l.things[k-1].on {
			t.its, t.on = true, true
		}
		if t.kinds() || t.whole || t.rest || t.gears == 0 && !sided(t) && !t.ones {
			continue
		}
		t.unread = t.unread || t.ones && prev == nil
		from, shared := n.lender(l, later, i, prev)
		if from == nil {
			continue
		}
		t.slots = append(t.slots, slices.DeleteFunc(withoutSides(from.slots), shaftOnly)...)
		t.plural = t.plural || from.plural && (shared && t.gears == 0 || t.ones)
		if s := from.shaft(); (shared || from == head || from == prev) && s != "" && t.shaft() == "" {
			t.slots = append(t.slots, shaftSlot(s))
		}
		if shared && from.shaft() == "" && t.shaft() != "" {
			from.slots = append(from.slots, shaftSlot(t.shaft()))
		}
	}
}

func withoutSides(slots [][]match.Sense) [][]match.Sense {
	return slices.DeleteFunc(slices.Clone(slots), func(s []match.Sense) bool { return len(s) > 0 && s[0].Side })
}

// lender of a kind: the next thing when both share its plural, else one before
// in the list, the next thing, or the thing said before in the sentence.
func (n *note) lender(l *list, later []*list, i int, prev *thing) (from *thing, shared bool) {
	next := func() *thing {
		for _, t := range l.things[i+1:] {
			if t.kinds() {
				return t
			}
		}
		for _, m := range later {
			if len(m.things) > 0 && m.things[0].kinds() {
				return m.things[0]
			}
		}
		return nil
	}
	after := next()
	if after != nil && after.plural && (after.gears != 0 || sided(after)) {
		return after, true
	}
	for k := i - 1; k >= 0; k-- {
		if l.things[k].kinds() {
			return l.things[k], false
		}
	}
	if after != nil && l.things[i].shaft() == "" {
		return after, true
	}
	if prev != nil && prev.kinds() && (l.things[i].shaft() == "" || l.things[i].ones) {
		return prev, false
	}
	return nil, false
}

// inheritKind gives an exception the kind that it is taken from: "all rings
// except the 5th".
func (n *note) inheritKind(t *thing, from []*thing) {
	if t.kinds() || len(from) == 0 || t.gears == 0 && !sided(t) {
		return
	}
	for _, s := range from[len(from)-1].slots {
		if firstKind(s) != "" && !shaftOnly(s) {
			t.slots = append(t.slots, s)
		}
	}
}
