package notes

import (
	"slices"
	"strings"
)

// back: "both new" and "all of them new" speak of the things of the sentence,
// whatever was said of each.
func (p *parser) back(v *verdict, r *run) bool {
	both := r.both
	lists, things := slices.Clone(p.pending), 0
	kept := p.statements[:len(p.statements):len(p.statements)]
	of := p.sentence
	if len(lists) == 0 && p.last != nil {
		of = p.last.sentence // "m/s good, c/s chipped. Both new"
	}
	for len(kept) > 0 && kept[len(kept)-1].sentence == of {
		lists = append(slices.Clone(kept[len(kept)-1].lists), lists...)
		kept = kept[:len(kept)-1]
	}
	for _, l := range lists {
		things += len(l.things)
	}
	if both && things == 1 && lists[0].things[0].plural && len(lists[0].things[0].items) > 0 {
		lists[0].things[0].both, things = true, 2 // "bearings of the countershaft, both new"
	} else if t := lists; both && things == 1 && sided(t[0].things[0]) {
		other := t[0].things[0] // "the left one noisy but do both"
		other.slots, other.both, things = withoutSides(other.slots), true, 2
	}
	if !v.explicit && !(both || r.count > 0) || both && things != 2 || things < 2 || r.count > 0 && r.count != things {
		return false
	}
	for _, l := range lists {
		for _, t := range l.things {
			t.unread = false
		}
	}
	context := p.context
	if len(kept) < len(p.statements) {
		context = p.statements[len(kept)].context
	}
	p.statements, p.pending = kept, nil
	p.add(lists, v.items).context = context
	return true
}

// goesFurther: something is said after run k, before any comma.
func goesFurther(runs []run, k int) bool { return k+1 < len(runs) && runs[k+1].kind != runComma }

// verdict closes what waits, begins a new rule for what follows, or says more
// of the last things.
func (p *parser) verdict(runs []run, k int) {
	v := runs[k].verdict
	afterThing, beforeThing := kindAt(runs, k-1) == runThings, kindAt(runs, k+1) == runThings
	if p.corrects(runs, k) {
		return
	}
	if v.only(asNot) && beforeThing && p.last != nil && p.last.sentence == p.sentence && kindAt(runs, k+2) != runVerdict {
		return // see things
	}
	if beforeThing && v.only(asTreat) && ofFeature(runs[k+1].list) && (len(p.pending) > 0 || p.prefix == nil && p.last == nil && p.own()) {
		runs[k+1].kind = runUnknown // "main case: insert drain thread"
		runs[k+1].feature = true
		p.suffixed = true
		p.closePending(v)
		return
	}
	if v.items[0].arg == "or" && v.only(asMaybe) && beforeThing {
		markUnread(runs[k+1].list.things) // "the seal or the yoke": which of them is not said
	}
	switch {
	case headed(runs, k) && !afterThing:
		p.flush()
		p.prefix = v
	case p.prefix != nil:
		p.under(runs, k, afterThing, beforeThing)
	case afterThing && len(p.pending) > 0, len(p.pending) > 0 && !(beforeThing && v.explicit):
		p.suffixed = true
		p.closePending(v)
	case beforeThing:
		p.prefix = p.turn(v)
		p.flush()
	case v.only(asDue, asDate) && p.last == nil:
		p.n.remark(runs[k].start, runs[k].end)
	case kindAt(runs, k-1) == runUnknown && kindAt(runs, k-2) != runVerdict && !v.only(asDue, asDate):
		if p.last != nil && p.last.sentence == p.sentence && (v.explicit || !p.last.explicit()) {
			p.last.unclear = true // it may be what is said of the part
		}
		p.n.question(NotUnderstood, runs[k-1].start, runs[k].end, nil, "it is not understood of what this is said")
	case p.last == nil && p.own():
		p.closePending(v)
	default:
		if kindAt(runs, k-1) == runComma && runs[k-1].but && p.ones(v) {
			return
		}
		if p.last != nil && kindAt(runs, k-1) == runComma && runs[k-1].but && !v.explicit && v.has(asGood) != v.has(asBad) && !p.last.explicit() {
			p.last.items = slices.DeleteFunc(slices.Clone(p.last.items), func(it item) bool { return it.role == asGood || it.role == asBad }) // "marked but ok"
		}
		p.refine(v, runs[k].start, runs[k].end)
	}
}

// ones: "both dry, but new ones anyway" speaks of all that the sentence names.
func (p *parser) ones(v *verdict) bool {
	return v.explicit && len(v.items) > 0 && strings.Contains(fold(p.n.text[v.items[0].start:v.items[len(v.items)-1].end]), "ones") && p.back(v, &run{})
}

// turn closes what waits with the condition at a verdict's head and gives what
// is said of the things that follow: "shaft - bent? check the bearing".
func (p *parser) turn(v *verdict) *verdict {
	k := slices.IndexFunc(v.items, func(it item) bool { return it.role == asVerb || it.role == asTreat || it.role == asTreatOut })
	if len(p.pending) == 0 || k <= 0 || !slices.ContainsFunc(v.items[:k], func(it item) bool { return it.role == asGood || it.role == asBad || it.role == asMaybe }) {
		return v
	}
	p.closePending(&verdict{items: v.items[:k]})
	return &verdict{items: v.items[k:], explicit: true}
}

// under a verdict that stands before its things.
func (p *parser) under(runs []run, k int, afterThing, beforeThing bool) {
	v := runs[k].verdict
	if p.prefix.only(asNo) && !v.only(asNo) { // "no flange and no nut in the crate"
		for _, s := range p.statements {
			if s.sentence == p.sentence && len(s.items) == 1 && s.items[0].role == asNo {
				s.items = append(s.items[:1:1], v.items...)
				s.end = max(s.end, runs[k].end)
			}
		}
		return
	}
	switch {
	case beforeThing && p.last != nil && p.last.sentence == p.sentence && v.only(asTreat) && (p.prefix.has(asVerb)) && ofFeature(runs[k+1].list):
		p.refine(v, runs[k].start, runs[k].end) // "main case: chase drain plug thread"
		runs[k+1].kind = runUnknown
	case afterThing && beforeThing && v.explicit && !p.last.carriedHere(p):
		p.prefix = v
	case afterThing && p.last != nil && p.last.carried && !v.only(asDue, asDate):
		p.last.items, p.last.carried = v.items, false
		p.last.end = runs[k].end
	case !afterThing && beforeThing && v.explicit:
		p.prefix = v
	default:
		p.refine(v, runs[k].start, runs[k].end)
	}
}

// ofFeature: a treatment is done to a thread or seat, not to a part.
func ofFeature(l *list) bool { return len(l.things) == 1 && len(l.things[0].features) > 0 }

func (s *statement) carriedHere(p *parser) bool {
	return s != nil && s.carried && s.sentence == p.sentence
}

// corrects: "no," and "correction" take back what was said.
func (p *parser) corrects(runs []run, k int) bool {
	v := runs[k].verdict
	if v.has(asCorrect) || v.only(asNo) && (kindAt(runs, k+1) == runComma || k+1 == len(runs)) {
		p.correct = true
	} else if len(v.items) > 1 && v.items[0].role == asNo && v.items[1].role == asVerb && Choice(v.items[1].arg) != Replace {
		p.correct = true // "no keep the 3rd"
		v.items = v.items[1:]
	}
	return v.only(asCorrect, asNo) && p.correct
}

// refine adds to what was said of the last things.
func (p *parser) refine(v *verdict, start, end int) {
	if v.only(asToo, asPron, asCorrect) {
		if p.last == nil && v.has(asToo) {
			p.n.question(NotUnderstood, start, end, nil, "what it is the same as is not said")
		}
		return
	}
	if p.last != nil && v.items[0].role == asPron && len(v.items) > 1 {
		if l := p.wide(); len(l.except) > 0 { // "all new except the 5th, that is fine"
			p.add([]*list{{things: l.except, start: l.start, end: l.end}}, v.items[1:])
			return
		}
	}
	if p.last == nil {
		if !v.only(asGood, asBad, asMeasured, asDue, asDate, asNot, asNo, asInHouse) {
			p.n.question(NotUnderstood, start, end, nil, "it is not said of which part")
		} else {
			p.n.remark(start, end)
		}
		return
	}
	if p.correct {
		s := p.add(p.last.lists, v.items)
		s.start, s.end = start, end
		return
	}
	if p.last.bare {
		p.last.bare = false
	}
	said := p.last.items
	p.last.items = append(said[:len(said):len(said)], v.items...)
	p.last.end = max(p.last.end, end)
	if !v.only(asDue, asDate, asTreat, asTreatOut) {
		return
	}
	for _, s := range p.statements { // "sent out: the shaft, the gear. Back Friday."
		if s != p.last && s.sentence == p.last.sentence && slices.EqualFunc(s.items, said, func(a, b item) bool { return a.start == b.start }) {
			s.items = p.last.items
		}
	}
}

// explicit: its words state a choice or a treatment.
func (s *statement) explicit() bool {
	return slices.ContainsFunc(s.items, func(it item) bool { return it.role == asVerb || it.role == asTreat || it.role == asTreatOut })
}
