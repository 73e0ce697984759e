package notes

import (
	"slices"
	"strings"
)

// heading is what a line or block stands under.
type heading struct {
	things []*thing
}

// shaft heading: "countershaft:".
func (h *heading) shaft() bool { return len(h.things) == 1 && assemblyOf(h.things[0]) != "" }

// gears heading: "3rd/4th:".
func (h *heading) gears() bool {
	return len(h.things) == 1 && h.things[0].gears != 0 && (!h.things[0].kinds() || headKind(h.things[0]) == "gear" || headKind(h.things[0]) == "gear pair" || synchro(h.things[0]))
}

// own makes the part that heads this line what is spoken of: "input shaft:
// splines fine, keep".
func (p *parser) own() bool {
	h := p.context
	if h == nil || h == p.block || !h.things[0].kinds() && h.things[0].gears != 0 || slices.ContainsFunc(h.things, func(t *thing) bool { return t.plural }) {
		return false
	}
	p.pending = []*list{{things: h.things, start: h.things[0].start, end: h.things[len(h.things)-1].end}}
	return true
}

// headed: a colon follows, perhaps after words that say nothing.
func headed(runs []run, k int) bool {
	for k++; kindAt(runs, k) == runUnknown; k++ {
	}
	return kindAt(runs, k) == runColon
}

// colon: a heading for what follows.
func (p *parser) colon(runs []run, k int, eol bool) {
	last := k+1 == len(runs) && eol
	before := k - 1
	for kindAt(runs, before) == runUnknown {
		before--
	}
	if last && k > 0 && !hasThings(runs[:k]) && hasVerdict(runs[:k]) {
		p.over(runs, k)
		return
	}
	if before < k-1 && kindAt(runs, before) == runVerdict && !p.n.fillers(runs[before+1].start, runs[k-1].end) && !p.leading(runs, before, k) {
		if kindAt(runs, before-1) == runThings {
			return // "case cracked at the bore: to the welder"
		}
		p.n.question(NotUnderstood, runs[before].start, runs[k-1].end, nil, "it is not understood what is said of what follows")
		p.prefix, p.suffixed = nil, true
		return
	}
	if before < 0 && k > 0 && !p.n.fillers(runs[0].start, runs[k-1].end) {
		p.strange = true
	}
	for i := range k {
		p.doubt = p.doubt || runs[i].kind == runThings && runs[i].list.unreadable() && kindAt(runs, k+1) == runThings
	}
	switch kindAt(runs, before) {
	case runVerdict:
		if before == 1 && p.foretold(runs, k) {
			return
		}
		if before == k-1 || before == 0 {
			p.prefix = runs[before].verdict
		}
	case runThings:
		p.heads(runs, k, last)
		if p.prefix != nil && p.prefix == p.carry && len(p.pending) > 0 {
			p.add(p.pending, p.prefix.items) // it heads nothing
			p.pending = nil
		}
	}
}

func hasVerdict(runs []run) bool {
	return slices.ContainsFunc(runs, func(r run) bool { return r.kind == runVerdict })
}

// over is a line that heads others and names no part: what it says holds for all
// that follow, and is asked of each where words of it are not understood.
func (p *parser) over(runs []run, k int) {
	v, clear := &verdict{}, true
	for i := range k {
		switch r := &runs[i]; r.kind {
		case runVerdict:
			v.items, v.explicit = append(v.items, r.verdict.items...), v.explicit || r.verdict.explicit
		case runUnknown:
			clear = clear && p.n.fillers(r.start, r.end)
		}
	}
	if !v.explicit && !clear {
		p.carry, p.prefix = nil, nil
		return
	}
	if !clear && !p.leading(runs, 0, k) {
		p.n.question(NotUnderstood, runs[0].start, runs[k-1].end, nil, "it is not understood what is said of what follows")
		v = &verdict{items: []item{{role: asMaybe, start: runs[0].start, end: runs[0].end}}}
	}
	p.carry, p.prefix, p.context, p.block = v, nil, nil, nil
}

// foretold: "3-4 all good: hub, sleeve, rings" says of the parts that follow what
// it says of their gears.
func (p *parser) foretold(runs []run, k int) bool {
	if kindAt(runs, 0) != runThings || kindAt(runs, k+1) != runThings || p.last == nil || len(p.last.lists) != 1 || p.last.lists[0] != runs[0].list {
		return false
	}
	h := &heading{things: runs[0].list.things}
	if len(h.things) != 1 || !h.gears() && !h.shaft() || len(runs[k+1].list.things) == 0 || !runs[k+1].list.things[0].kinds() {
		return false
	}
	p.statements, p.last = p.statements[:len(p.statements)-1], nil
	p.context, p.prefix = h, runs[1].verdict
	return true
}

// leading: the line begins with a choice, and what stands between it and the
// colon only says where from or what for: "missing from the tray:".
func (p *parser) leading(runs []run, before, k int) bool {
	if kindAt(runs, before) != runVerdict {
		return false
	}
	v := runs[before].verdict
	if before != 0 || !v.explicit || v.has(asNot) || v.has(asMaybe) || v.has(asPron) {
		return false
	}
	words := 0
	for _, t := range lex(p.n.text[v.items[len(v.items)-1].end:runs[k].start]) {
		e, known := phrases[t.text]
		if known && e.role == asClause {
			break
		}
		if known && (verdictRole(e.role) || e.role == asExcept || e.role == asBut || e.role == asOnly) {
			return false
		}
		words++
	}
	return words <= 6
}

// heads makes the things before a colon the heading of what follows, unless it
// is said of them.
func (p *parser) heads(runs []run, k int, last bool) {
	next := kindAt(runs, k+1)
	if next == runThings && len(runs[k+1].list.things) == 0 {
		return // "keys: all but 4/5"
	}
	if len(p.pending) == 0 {
		return
	}
	if next == runVerdict && !newHeaded(runs, k+1) {
		if h := (&heading{things: p.pending[len(p.pending)-1].things}); len(p.pending)*len(h.things) == 1 && (h.gears() || h.shaft() && !h.things[0].kinds()) {
			p.context = h // "diff: not opened, bearings quiet"
		}
		return
	}
	l := p.pending[len(p.pending)-1]
	t := l.things[0]
	drop := func() { p.pending = p.pending[:len(p.pending)-1] }
	switch {
	case len(l.things) == 1 && next == runThings && t.headKind() && (t.plural && (p.prefix == nil || p.prefix == p.carry) && shared[headKind(t)] || lacksKind(runs[k+1].list)):
		p.head = t
		drop()
		return
	case len(l.things) == 1 && next == runThings && t.gears != 0 && slices.Contains(gearThings, headKind(t)) && !strings.HasPrefix(headKind(t), "gear") && lacksKind(runs[k+1].list):
		u := *t // "rings 1-5: only 2 is bad"
		u.gears = 0
		p.head = &u
		drop()
		return
	case len(l.things) == 1 && (assemblyOf(t) != "" || (t.gears != 0 || !t.plural) && (t.kinds() || t.gears != 0) && (last || next != runUnknown)):
	case len(l.things) > 1 && (next == runVerdict || next == runThings && runs[k+1].list.things[0].kinds()):
	case len(l.things) == 1 && next == runThings && (t.kinds() || len(t.slots) > 0 && runs[k+1].list.things[0].kinds()):
	default:
		return
	}
	p.context = &heading{things: l.things}
	drop()
	if last {
		p.carry = nil
	}
}

// newHeaded: after the colon a choice is stated of other things: "cover: new
// gasket".
func newHeaded(runs []run, k int) bool {
	return runs[k].verdict.explicit && kindAt(runs, k+1) == runThings && len(runs[k+1].list.things) > 0 && runs[k+1].list.things[0].kinds()
}

// shared kinds sit in many places, so that a line under their plural tells them
// apart: "seals: input, selector".
var shared = map[string]bool{"oil seal": true, "gasket": true, "bearing": true, "ball bearing": true, "bolt": true, "nut": true, "shim": true,
	"synchro ring": true, "synchro hub": true, "synchro sleeve": true, "shift fork": true, "shift rail": true, "needle bearing": true, "gear": true,
	"thrust washer": true, "snap ring": true, "roll pin": true, "fork pad": true, "o-ring": true, "washer": true, "sealing washer": true,
	"plug": true, "spring": true, "pin": true, "cover": true, "bush": true, "synchro key": true, "synchro key spring": true}

// lacksKind: the first thing is told by gears, sides or a shaft alone.
func lacksKind(l *list) bool {
	return len(l.things) > 0 && !l.things[0].kinds() && (l.things[0].gears != 0 || sided(l.things[0]) || l.things[0].shaft() != "")
}
