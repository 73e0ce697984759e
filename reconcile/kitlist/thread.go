package kitlist

import (
	"slices"
	"strconv"

	"layshaft/catalog/quantity"
)

// scanThreads finds "M30x1,5 LH", "M8x60", "M 12 x 1.25", "3/8-16 UNC", "G1/4".
func (e *entry) scanThreads() {
	for i := e.body; i < e.b; i++ {
		if e.at[i].role != none {
			continue
		}
		var b int
		switch t := e.text(i); {
		case t == "m" && !e.sticky(i-1, -1):
			b = e.metricThread(i)
		case t == "g" || t == "r" || t == "rp":
			b = e.pipeThread(i)
		case e.is(i, cDigits):
			b = e.inchThread(i)
		}
		if b > i {
			i = b - 1
		}
	}
}

func (e *entry) metricThread(i int) int {
	j := i + 1
	if e.text(j) == " " && e.at[j].width == 1 {
		j++
	}
	n, ok := e.num(j)
	if !ok || n.lead || n.fraction {
		return i
	}
	d := length(n, quantity.Millimetre, "")
	if d < quantity.MM || d > 150*quantity.MM || j > i+1 && !e.thing(e.body, e.b, "fastener") {
		return i
	}
	if e.is(n.b, cLetters) && e.text(n.b) != "x" && e.text(n.b) != "lh" && e.text(n.b) != "l" {
		return i
	}
	if e.text(n.b) == "-" && e.is(n.b+1, cDigits) { // M3021-7 is a part number
		return i
	}
	t := Thread{Diameter: Measure{Raw: e.raw(n.a, n.b), Length: d, Unit: quantity.Millimetre, Start: e.start(n.a), End: e.end(n.b)}}
	b, first := n.b, -1
	for range 2 {
		k, style, ok := e.times(b)
		if !ok || style >= 2 || first >= 0 && style != first {
			break
		}
		first = style
		m, mn, ok := e.measure(k)
		if !ok || mn.fraction || mn.whole() && mn.value() > 500 {
			break
		}
		m.Unit, m.Length = quantity.Millimetre, length(mn, quantity.Millimetre, "")
		if m.Length <= 6*quantity.MM && m.Length*3 < d && t.Pitch.Length == 0 {
			t.Pitch = m
		} else {
			t.Length = m
		}
		b = mn.b
	}
	return e.addThread(t, i, b)
}

// addThread looks for the hand after the thread and keeps it.
func (e *entry) addThread(t Thread, a, b int) int {
	if h, ok := e.hitAt(e.skip(b), mLeft); ok {
		t.Left, b = true, h.b
	}
	t.Raw, t.Start, t.End = e.raw(a, b), e.start(a), e.end(b)
	e.threads = append(e.threads, t)
	e.claim(a, b, rThread)
	return b
}

// hitAt finds a phrase of one of the meanings that starts at atom i.
func (e *entry) hitAt(i int, ms ...meaning) (hit, bool) {
	for _, h := range e.hits[e.hitsFrom(i):] {
		if h.a > i {
			break
		}
		if slices.Contains(ms, h.meaning) {
			return h, true
		}
	}
	return hit{}, false
}

// pipeThread reads "G1/4" and "G 3/8".
func (e *entry) pipeThread(i int) int {
	if e.sticky(i-1, -1) {
		return i
	}
	b, ok := e.simpleFraction(i + 1)
	if !ok {
		return i
	}
	n := num{text: e.at[i+1].text + "/" + e.at[b-1].text, fraction: true}
	return e.addThread(Thread{Diameter: Measure{Raw: e.raw(i+1, b), Length: length(n, quantity.Inch, ""), Unit: quantity.Inch,
		Start: e.start(i + 1), End: e.end(b)}}, i, b)
}

var inchSeries = map[string]bool{"unc": true, "unf": true, "unef": true, "bsf": true, "bsw": true, "bsp": true, "bspp": true, "bspt": true, "npt": true, "whit": true}

// inchThread reads "3/8-16 UNC", "5/16 UNF", "1/4 BSP", "3/8 x 16".
func (e *entry) inchThread(i int) int {
	b, ok := e.simpleFraction(i)
	if !ok || e.sticky(i-1, -1) {
		return i
	}
	n := num{text: e.at[i].text + "/" + e.at[b-1].text, fraction: true}
	t := Thread{Diameter: Measure{Raw: e.raw(i, b), Length: length(n, quantity.Inch, ""), Unit: quantity.Inch, Start: e.start(i), End: e.end(b)}}
	if e.text(b) == `"` {
		b++
	}
	if e.text(b) == "-" && e.is(b+1, cDigits) {
		if v, err := strconv.Atoi(e.text(b + 1)); err == nil && v >= 8 && v <= 40 {
			t.TPI, b = v, b+2
		}
	}
	if j := e.skip(b); inchSeries[e.text(j)] {
		b = j + 1
	} else if t.TPI == 0 {
		return i
	}
	return e.addThread(t, i, b)
}
