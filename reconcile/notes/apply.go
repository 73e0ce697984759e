package notes

import (
	"fmt"
	"slices"
	"strings"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

// thread is what the statements before one leave to be referred to.
type thread struct {
	last   map[int]*thing // of each sentence
	before *thing
	crowd  int      // things of the list before
	pair   []*thing // the last two that are one place each
	group  siblings
	line   int           // of the statement before
	due    quantity.Date // the last day named
}

// apply looks every statement's things up and proposes what is said of them.
func (n *note) apply(statements []*statement) {
	th := thread{last: map[int]*thing{}, line: -1}
	for k, s := range statements {
		if s.narrows != nil {
			n.merged.doubt(n, s)
		}
		s.crowd = th.crowd
		if th.line == s.line {
			s.pair = th.pair
		}
		j := n.judged(s, statements[k+1:], &th)
		prev, kin := th.refers(s)
		if th.line == s.line && prev == nil {
			s.before = th.before
		}
		th.line = s.line
		for li, l := range s.lists {
			if len(l.things)+len(l.except) > maxList {
				n.question(TooLong, l.start, l.end, nil, "more things in one breath than are read")
				continue
			}
			n.siblings(l, s.sentence, &th.group)
			if kin == nil {
				kin = prev
			}
			n.borrow(l, s.lists[li+1:], kin, s.head)
			n.list(s, l, j, prev)
			for _, t := range l.things {
				prev, th.crowd = t, len(l.things)
				if len(t.at) == 1 {
					th.pair = append(th.pair[max(0, len(th.pair)-1):len(th.pair):len(th.pair)], t)
				}
				if !t.with && !t.its {
					th.before = t
				}
				if s.head == nil {
					kin = t
				}
			}
			th.group.of(l, s.sentence)
		}
		th.last[s.sentence] = prev
		if j.dueAsk != "" && j.ask == "" {
			n.question(DueDay, s.start, s.end, nil, j.dueAsk)
		}
	}
}

// judged settles what a statement says; things named without a word are wanted
// new, unless what stands beside them is not understood.
func (n *note) judged(s *statement, later []*statement, th *thread) judgement {
	j := judge(s.items)
	if j.choice == SendOut && j.due.IsZero() && j.dueAsk == "" && (s.later || len(s.days) > 0) {
		if len(s.days) == 1 && n.today.Compare(s.days[0].date) < 0 {
			j.due = s.days[0].date // "plating outside, ten days, say 24 March"
		} else {
			j.ask = "which day it is back is not clear"
		}
	}
	th.due = j.sameDay(th.due)
	switch {
	case !s.bare && s.unclear && j.ask == "":
		j.ask = "it is not clear what the last words take in"
	case !s.bare:
	case slices.ContainsFunc(s.lists, (*list).guessed):
		return judgement{ask: "it is named without a word, and not spelt as it is known"}
	case slices.ContainsFunc(s.lists, (*list).unreadable):
		return judgement{ask: "not all that stands with it is understood"}
	case n.unclearAfter(s, later):
		return judgement{ask: "what is said of it in the same breath is not understood"}
	default:
		return judgement{choice: Replace}
	}
	return j
}

// refers gives the thing before that a statement goes on with, and the one whose
// kind its bare gears have.
func (th *thread) refers(s *statement) (prev, kin *thing) {
	prev = th.last[s.sentence]
	if prev == nil && len(s.lists[0].things) == 1 && families[headKind(s.lists[0].things[0])] && s.line == th.line {
		prev = th.before // "keys new. springs too"
	}
	kin = prev
	if s.head != nil {
		kin = s.head
		if prev == nil {
			prev = s.head
		}
	}
	if prev == nil && (s.correct || s.lists[0].its() || s.soft && s.lists[0].rest()) {
		prev = th.before
	}
	return prev, kin
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
	out, ok := n.takenOut(s, l, prev)
	if !ok {
		return
	}
	var lost, before *thing // the one before in the list; lost when it was not found
	for _, t := range l.things {
		f := n.find(t, s, j, prev)
		switch {
		case n.partOfFailed(lost, t) || len(l.things) > 1 && strings.HasSuffix(headKind(t), "shaft") && n.partOfFailed(before, t):
			n.question(NotUnderstood, t.start, t.end, f.places, "it goes on with what was not found")
		case t.unread && f.code == "" && s.bare && selectFit(f.places) && n.timely(t.end):
			n.propose(s, t, f, judgement{choice: Undecided}, out)
		case t.unread:
			n.failed[s.sentence] = true
			n.question(NotUnderstood, min(t.start, s.start), max(t.end, s.end), f.places, "not all of it is understood")
		case t.rest && n.failed[s.sentence]:
			n.question(Several, t.start, t.end, nil, "what stands before is not clear, so neither is the rest")
		case s.bare && f.code == "" && (n.onlyShaft(t) || t.plural && t.plain() && len(f.places) == 1 && f.places[0].pos.Quantity == 1):
			n.question(NotUnderstood, t.start, t.end, f.places, "it may be what stands over other lines")
		case len(f.places) == 1 && f.code == "" && f.quantity == 0 && t.plural && f.places[0].pos.Quantity > 1 && j.count == 0 && n.thatOne(s.items):
			n.question(Count, s.start, s.end, f.places, "which of them, and how many, is not said")
		case f.loose && s.bare:
			n.question(NotUnderstood, t.start, t.end, f.places, "a word of its name is not enough when nothing is said of it")
		case f.code != "":
			n.failed[s.sentence] = true
			n.question(f.code, t.start, t.end, f.places, f.problem)
		case j.ask != "":
			n.question(Open, s.start, s.end, f.places, j.ask)
		case j.count > 0 && (len(f.places) > 1 || len(s.lists)+len(l.things) > 2) && j.count != pieces(f.places):
			n.question(Count, s.start, s.end, f.places, "which of them is not said")
		default:
			n.propose(s, t, f, j, out)
		}
		prev, lost, before = t, nil, t
		if t.at = nil; f.code == "" {
			t.at = f.places
		}
		if f.code == "" && len(f.places) == 1 && t.gears == 0 && slices.Contains(gearThings, headKind(t)) {
			t.gears = f.places[0].gears // what follows may go with it
		}
		if f.code != "" {
			lost = t
		}
	}
}

// takenOut are the positions that a list excepts; not ok when an exception is not
// clear, so that nothing of the list is.
func (n *note) takenOut(s *statement, l *list, prev *thing) (map[catalog.PositionID]bool, bool) {
	out := map[catalog.PositionID]bool{}
	base := n.base(s, l, prev)
	if len(base) == 0 {
		return out, true // what it is taken from is asked about
	}
	for _, t := range l.except {
		n.inheritKind(t, l.things)
		f := n.among(base, func() found { return n.lookUp(t, nil, nil) })
		if f.code != "" {
			f = spoken(t, base, f)
		}
		switch {
		case f.code != "" && t.apart:
			continue // it is no part of the list, and read by itself
		case f.code != "" && len(l.things) == 1 && l.things[0].whole && headKind(t) == "shaft":
			continue // what lies on a shaft is without the shaft
		case f.code != "":
			n.question(f.code, min(l.start, t.start), max(l.end, t.end), f.places, "the exception is not clear, so nothing is taken from the list: "+f.problem)
			return nil, false
		}
		t.fixed = f.places
		for _, p := range f.places {
			out[p.pos.ID] = true
		}
	}
	return out, true
}

// headed looks a thing up among the kind that heads its line: "seals: input" is
// the input shaft's seal.
func (n *note) headed(s *statement, t *thing, f found) found {
	all := *s.head
	all.all = true
	kin := n.resolve(&all).places
	hit := slices.DeleteFunc(slices.Clone(kin), func(p *place) bool { return !p.speaks(t) && !p.wrote(n.words(t)) })
	hit = withoutSpecial(s.head, hit)
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
