package kitlist

import (
	"slices"
	"strings"
)

// build makes the line of one part.
func (e *entry) build(p part, sub int, kind Kind) Line {
	a, b := p.a, p.b
	n := Line{No: e.first + 1, Last: e.last + 1, Sub: sub, Kind: kind, Depth: e.depth, Indent: e.indent,
		Start: e.d.phys[e.first].start, End: e.d.phys[e.last].end}
	if sub > 1 {
		n.Start = e.start(a)
		n.No = e.lineOf(n.Start)
	}
	if b < e.b {
		n.End = e.start(b)
		n.Last = max(n.No, e.lineOf(n.End-1))
	}
	e.gather(&n, p)
	hits := e.hitsFor(p)
	if kind != Noise {
		e.setFlags(&n, p, hits)
	}
	if kind == Item {
		n.Quantity = e.quantity(&n, p, hits)
	}
	return n
}

// lineOf is the physical line, from 1, that holds a byte.
func (e *entry) lineOf(off int) int {
	for k := e.first; k < e.last; k++ {
		if off < e.d.phys[k].next {
			return k + 1
		}
	}
	return e.last + 1
}

// gather copies the finds that lie in the part, or behind the last part when those apply to all.
func (e *entry) gather(n *Line, p part) {
	lo, hi := n.Start, n.End
	in := func(s, t int) bool { return s >= lo && t <= hi }
	n.Numbers = keep(e.numbers, func(t NumberToken) bool { return in(t.Start, t.End) })
	n.Designations = keep(e.designations, func(t Designation) bool { return in(t.Start, t.End) })
	n.Sizes = keep(e.sizes, func(t SizeGroup) bool { return in(t.Start, t.End) })
	n.Threads = keep(e.threads, func(t Thread) bool { return in(t.Start, t.End) })
	n.Teeth = keep(e.teeth, func(t Teeth) bool { return in(t.Start, t.End) })
	n.Gears = keep(e.gears, func(t GearRef) bool { return in(t.Start, t.End) })
	prices := keep(e.prices, func(t Price) bool { return in(t.Start, t.End) })
	slices.SortFunc(prices, func(a, b Price) int { return a.Start - b.Start })
	if len(prices) > 0 {
		price := prices[len(prices)-1]
		if len(prices) > 1 && price.Unit == 0 {
			price.Unit = prices[len(prices)-2].Minor
		}
		n.Price = &price
	}
}

// tailOf is where what may apply to all parts begins in the last one: behind the count that opens it, "lay pin + 46 needles".
func (e *entry) tailOf(p part) int {
	if e.roleOf(p.a) != rCount {
		return p.a
	}
	for _, t := range e.traits {
		if t.at > p.a {
			return t.at
		}
	}
	return p.a
}

func keep[T any](all []T, ok func(T) bool) []T {
	var out []T
	for _, t := range all {
		if ok(t) {
			out = append(out, t)
		}
	}
	return out
}

// hitsFor are the phrases of a part, of its heads, and those behind the last part when they apply to all.
func (e *entry) hitsFor(p part) []hit {
	return keep(e.hits, func(h hit) bool {
		if h.a >= p.a && h.b <= p.b {
			return true
		}
		if p.tails && h.a >= e.tailFrom && h.meaning != mWith && h.meaning != mWithout {
			return true
		}
		return slices.ContainsFunc(p.heads, func(r [2]int) bool { return h.a >= r[0] && h.b <= r[1] })
	})
}

// finish fills in words, spans and the cleaned text, once every phrase is claimed.
func (e *entry) finish(n *Line, p part) {
	lo, hi := e.atomsOf(n)
	w := e.d.words[:0]
	for _, h := range p.heads {
		w = e.words(h[0], h[1], true, w)
	}
	w = e.words(max(lo, e.body), hi, false, w)
	if e.d.words = w; len(w) > 0 {
		n.Words = slices.Clone(w)
	}
	n.Spans = e.spans(lo, hi, n.Kind)
	n.Text = e.clean(max(lo, e.body), hi)
	for k := len(p.heads) - 1; k >= 0; k-- {
		n.Text = e.clean(p.heads[k][0], p.heads[k][1]) + " " + n.Text
	}
	n.Text = strings.TrimRight(n.Text, " ,;&+/")
}

// atomsOf gives the atoms of a line's byte range.
func (e *entry) atomsOf(n *Line) (int, int) {
	lo := e.d.phys[e.first].a
	for int(e.at[lo].start) < n.Start {
		lo++
	}
	hi := lo
	for hi < len(e.at) && int(e.at[hi].end) <= n.End {
		hi++
	}
	return lo, hi
}

// words makes words of the letters that were not read as anything else; places and flags stay words too, since names
// of parts can hold them.
func (e *entry) words(a, b int, inherited bool, out []Word) []Word {
	for i := a; i < b; i++ {
		at := e.at[i]
		if at.class != cLetters || at.role != none && at.role != rWords && at.role != rFlag {
			continue
		}
		j := i + 1
		for j+1 < b && e.at[j].class == cPunct && strings.Contains("/'-", e.at[j].text) && e.at[j+1].class == cLetters &&
			(e.at[j].role == none || e.at[j].role == rWords) && (e.at[j+1].role == none || e.at[j+1].role == rWords) {
			j += 2
		}
		out = append(out, Word{Text: e.raw(i, j), Folded: e.folded(i, j), Start: e.start(i), End: e.end(j), Inherited: inherited})
		if at.role == none && !inherited {
			e.claim(i, j, rWords)
		}
		i = j - 1
	}
	return out
}

func (e *entry) folded(i, j int) string {
	if j == i+1 {
		return e.at[i].text
	}
	var b strings.Builder
	for ; i < j; i++ {
		b.WriteString(e.at[i].text)
	}
	return b.String()
}

// spans covers the atoms [a,b), one span for each find.
func (e *entry) spans(a, b int, kind Kind) []Span {
	out := e.d.spans[:0]
	group := int32(0)
	for i := a; i < b; i++ {
		at := e.at[i]
		r := roles[at.role]
		switch {
		case at.class == cBad:
			r = RoleNoise
		case kind == Noise && at.role != rSpace && at.role != rMarker && at.role != rPrice && at.class != cSpace:
			r = RoleNoise
		case at.role != none:
		case at.class == cSpace:
			r = RoleSpace
		case at.class == cPunct:
			r = RolePunct
		}
		if n := len(out); n > 0 && out[n-1].Role == r && group == at.group && (at.group != 0 || at.class != cLetters) {
			out[n-1].End = int(at.end)
		} else {
			out = append(out, Span{int(at.start), int(at.end), r})
		}
		group = at.group
	}
	e.d.spans = out
	return slices.Clone(out)
}

// clean is the text of atoms [a,b) without leaders, separators and invisible characters, blanks as one.
func (e *entry) clean(a, b int) string {
	s := e.d.text8[:0]
	space := false
	for i := a; i < b; i++ {
		at := e.at[i]
		if at.class == cSpace || at.class == cBad || at.role == rPunct || at.role == rMarker || e.leader(i) {
			space = len(s) > 0
			continue
		}
		if space {
			s = append(s, ' ')
			space = false
		}
		s = append(s, e.d.text[at.start:at.end]...)
	}
	e.d.text8 = s
	return string(s)
}

// leader says that atom i is one of two dots or more in a row, or of three with blanks between.
func (e *entry) leader(i int) bool {
	t := e.at[i].text
	if t == "…" {
		return true
	}
	if t != "." && t != "_" && t != "·" {
		return false
	}
	if i > e.a && e.at[i-1].text == t || i+1 < e.b && e.at[i+1].text == t {
		return true
	}
	spaced := func(k, step int) bool {
		return k+2*step >= e.a && k+2*step < e.b && e.at[k+step].class == cSpace && e.at[k+2*step].text == t
	}
	return spaced(i, 1) && (spaced(i, -1) || spaced(i+2, 1)) || spaced(i, -1) && spaced(i-2, -1)
}
