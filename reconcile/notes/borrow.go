package notes

import (
	"slices"

	"layshaft/reconcile/match"
)

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
		if i > 0 {
			share(l.things[i-1], t)
		}
		if i+1 < len(l.things) && t.gears != 0 && len(t.slots) == 0 && n.joined(t, l.things[i+1]) {
			if next := l.things[i+1]; next.gears != 0 && !next.kinds() && next.items[0].role == asGears {
				t.slots = append(t.slots, next.slots...) // "3rd + 5th driven"
			}
		}
		if k := len(l.things); i+1 < k && l.things[k-1].on {
			t.its, t.on = true, true
		}
		if i+1 < len(l.things) && !t.kinds() && len(t.slots) > 0 && t.gears == 0 && !sided(t) && t.shaft() == "" && n.joined(t, l.things[i+1]) && l.things[i+1].plural && len(l.things[i+1].slots) > 1 {
			next := l.things[i+1].slots // "drain + filler plugs"
			if last := next[len(next)-1]; firstKind(last) != "" {
				t.slots, l.things[i+1].plural = append(t.slots, last), false
			}
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
		if (shared || i > 0 && from == l.things[i-1] && n.joined(from, t)) && from.shaft() == "" && t.shaft() != "" {
			from.slots = append(from.slots, shaftSlot(t.shaft()))
		}
	}
}

// share gives the two halves of a bearing the same place: "front cups and cones",
// "cups and cones, rear".
func share(a, b *thing) {
	if ka, kb := headKind(a), headKind(b); ka+kb != "bearing cupbearing cone" && ka+kb != "bearing conebearing cup" {
		return
	}
	told := func(t *thing) [][]match.Sense {
		return slices.DeleteFunc(slices.Clone(t.slots), func(s []match.Sense) bool {
			return !shaftOnly(s) && !(len(s) > 0 && s[0].Side)
		})
	}
	switch ta, tb := told(a), told(b); {
	case len(ta) == 0:
		a.slots = append(a.slots, tb...)
	case len(tb) == 0:
		b.slots = append(b.slots, ta...)
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
