package kitlist

import (
	"strings"

	"layshaft/catalog/quantity"
)

// maxSides is how many lengths one group of sides can hold; more is a grade list or a part number.
const (
	maxSides  = 4
	maxGrades = 24
)

// scanSizes finds lengths that are sure: groups joined by x, values with a unit, fractions of an inch, ring triples.
func (e *entry) scanSizes() {
	for i := e.body; i < e.b; i++ {
		if e.at[i].role != none || !e.sizeStart(i) {
			continue
		}
		if b := e.sides(i); b > i {
			i = b - 1
		} else if b := e.triple(i); b > i {
			i = b - 1
		} else if b := e.single(i); b > i {
			i = b - 1
		}
	}
}

// sizeStart says that a number at i would not be the tail of a word or number.
func (e *entry) sizeStart(i int) bool {
	if !e.is(i, cDigits) && !((e.text(i) == "." || e.text(i) == ",") && e.is(i+1, cDigits)) {
		return false
	}
	switch p := e.text(i - 1); {
	case i == e.body || p == "" || p == " ":
		return true
	case e.is(i-1, cLetters):
		return p == "id" || p == "od" || p == "o" || p == "thk" || p == "dia" || p == "d" || p == "k" && e.cageSides(i)
	case e.is(i-1, cDigits):
		return false
	case p == "-":
		return !e.is(i-2, cLetters) && !e.is(i-2, cDigits)
	case p == "." || p == ",":
		return !e.is(i-2, cDigits)
	}
	return true
}

// cageSides says that three sides follow the K of a needle cage whose size no table holds.
func (e *entry) cageSides(i int) bool {
	return !e.sticky(i-2, -1) && e.text(i+1) == "x" && e.is(i+2, cDigits) && e.text(i+3) == "x" && e.is(i+4, cDigits)
}

// sides reads "a x b x c" and gives the atom after it, or i.
func (e *entry) sides(i int) int {
	m, n, ok := e.measure(i)
	if !ok {
		return i
	}
	g := SizeGroup{Measures: []Measure{m}, Start: m.Start}
	first, b := n, n.b
	style := -1
	for len(g.Measures) < maxSides {
		j, s, ok := e.times(b)
		if !ok || style >= 0 && s != style {
			break
		}
		next, nn, ok := e.measure(j)
		if !ok || e.countBehind(first, n, nn, s) || nn.whole() && nn.value() < 0 || nn.whole() && nn.value() >= 1000 {
			break
		}
		if style < 0 && (!e.sideStyle(first, s, i) || e.rows(first, nn)) {
			break
		}
		style, b = s, nn.b
		g.Measures = append(g.Measures, next)
	}
	if len(g.Measures) < 2 || e.is(b, cLetters) && (len(g.Measures) < 3 && e.text(b) != "x" || len(e.text(b)) > 3 || confused[rune(e.text(b)[0])] != 0) {
		return i
	}
	e.addSize(g, i, b)
	return b
}

// rows tells "rollers 2 x 21", two rows, from the size of one roller.
func (e *entry) rows(a, b num) bool {
	if k := e.skip(e.body); a.a > k && (e.small(k) > 0 || numberWords[e.text(k)] > 0) {
		return false // "44 loose needles 3x20"
	}
	return e.rollers(a.a) && !e.thing(e.body, a.a, "bearing") && a.whole() && a.value() <= 4 && b.whole() && b.value() >= 10 && b.value() <= 60 && e.tailAt(b.b)
}

// tailAt says that nothing but prices and signs stands behind atom i.
func (e *entry) tailAt(i int) bool { return e.skip(i) >= e.tail() }

// countBehind tells the count in "1,85 mm x 2" from a second side.
func (e *entry) countBehind(first, n, next num, style int) bool {
	return style == 1 && n.b > 0 && first.b > first.a+1 && (e.at[first.b-1].class == cLetters || e.at[first.b-1].text == `"`) && next.whole() && next.value() <= 50 &&
		e.at[next.b-1].class == cDigits && e.skip(next.b) >= e.b
}

// times reads the sign between two sides at atom i: where the next number starts, and how it is spaced.
func (e *entry) times(i int) (next, style int, ok bool) {
	j := e.skip(i)
	before := j > i
	if i > e.body && e.text(i-1) == "mmx" && e.is(j, cDigits) {
		return j, 0, true
	}
	if t := e.text(j); t != "x" && t != "*" && t != "by" {
		return i, 0, false
	}
	k := e.skip(j + 1)
	after := k > j+1
	switch {
	case before && after:
		return k, 1, true
	case !before && !after:
		return k, 0, true
	case before:
		return k, 2, true
	}
	return k, 3, true
}

// sideStyle tells "30x62" and "30 x 62" from the counts "2x 30x62", "30x62 x2" and "2 x 25 mm seal".
func (e *entry) sideStyle(first num, style, i int) bool {
	if style >= 2 {
		return false
	}
	if e.text(i-1) == "(" && style == 1 && first.whole() && first.value() <= 4 && e.rollers(i) {
		return false // "needles (2 x 22)"
	}
	if p := e.text(e.back(i)); style == 1 && (p == ":" || p == ",") && first.whole() && first.value() >= 0 && first.value() <= 4 {
		return false // "circlips: 2 x 25 mm"
	}
	if style == 1 && i == e.body && first.whole() && first.value() >= 0 && first.value() <= 6 {
		return false
	}
	return true
}

// triple reads a seal or bearing written "35-50-8" or "40 60 10": bore, outside, width.
func (e *entry) triple(i int) int {
	g := SizeGroup{Start: e.start(i)}
	b, sep := i, ""
	for k := range 3 {
		n, ok := e.num(b)
		if !ok || n.lead || n.fraction || len(n.text) > 6 || n.whole() && (n.value() < 3 || n.value() > 400) {
			return i
		}
		g.Measures = append(g.Measures, Measure{Raw: e.raw(n.a, n.b), Length: length(n, quantity.Millimetre, ""), Start: e.start(n.a), End: e.end(n.b)})
		b = n.b
		if k == 2 {
			break
		}
		s := e.text(b)
		if s != "-" && (s != "/" || !e.thing(e.body, e.b, "seal")) && (s != " " || e.at[b].width != 1) || sep != "" && s != sep {
			return i
		}
		sep = s
		b++
	}
	d, o, w := g.Measures[0].Length, g.Measures[1].Length, g.Measures[2].Length
	if !(d < o && w < d && o < 3*d) || !e.alone(i, b) || e.is(b+1, cDigits) && e.at[b].class == cSpace && e.at[b].width == 1 || sep == " " && e.is(e.back(i), cDigits) {
		return i
	}
	if !e.thing(e.body, e.b, "seal", "bearing", "cup") && !e.placed {
		return i
	}
	e.addSize(g, i, b)
	return b
}

// single reads one length with a unit, or a fraction of an inch, and the values listed after it.
func (e *entry) single(i int) int {
	m, n, ok := e.measure(i)
	if !ok || m.Unit == "" || n.fraction && !e.inchContext(n) {
		return i
	}
	if n.whole() && n.value() > 2000 {
		return i
	}
	g := SizeGroup{Measures: []Measure{m}, Start: m.Start}
	b := e.grades(&g, n.b)
	e.addSize(g, i, b)
	return b
}

// inchContext tells 3/4 inch from the gears 3/4: a fraction alone is a length only with its mark or beside a whole number.
func (e *entry) inchContext(n num) bool {
	return strings.Contains(n.text, " ") || e.text(n.b-1) == `"` || e.is(n.b-1, cLetters) || e.thing(e.body, e.b, "fastener")
}

// grades appends further values written with "/", ",", "-" or blanks: ".093/.096/.099", ".05 .10 .15", "1,95-2,10".
func (e *entry) grades(g *SizeGroup, b int) int {
	for len(g.Measures) < maxGrades {
		j := e.skip(b)
		if t := e.text(j); t == "/" || t == "-" || t == ";" || t == "," && j+1 != b+1 {
			j = e.skip(j + 1)
		} else if t == "," && e.text(j+1) == " " {
			j = e.skip(j + 1)
		} else if j == b {
			break
		}
		if !e.sizeStart(j) && e.text(j-1) != "-" && e.text(j-1) != "/" || !e.free(j, j+1) {
			break
		}
		m, n, ok := e.measure(j)
		if !ok || n.whole() || n.fraction {
			break
		}
		if m.Unit == "" {
			m.Unit = g.Measures[0].Unit
			m.Length = length(n, m.Unit, e.d.unit)
		}
		g.Measures = append(g.Measures, m)
		g.Grades = true
		b = n.b
	}
	return b
}

// scanGrades finds bare decimal numbers that only the part beside them makes lengths: shims, washers, rings, gaskets.
func (e *entry) scanGrades() {
	if !e.thing(e.body, e.b, "shim", "washer", "snapring", "seal", "bush") && !e.has(e.body, e.b, mSelect) {
		return
	}
	for i := e.body; i < e.b; i++ {
		if e.at[i].role != none || !e.sizeStart(i) && e.text(i-1) != "-" {
			continue
		}
		m, n, ok := e.measure(i)
		if !ok || n.whole() || n.fraction || n.decimals > 4 || !e.free(n.a, n.b) {
			continue
		}
		g := SizeGroup{Measures: []Measure{m}, Start: m.Start}
		b := e.grades(&g, n.b)
		e.addSize(g, i, b)
		if m.Unit == "" && e.d.opts.Unit == "" && m.Length > 0 && n.lead && e.d.unit != quantity.Inch {
			e.ask("unit", "is "+g.raw(e)+" in millimetres or in inches?", i, b)
		}
		i = b - 1
	}
}

func (g SizeGroup) raw(e *entry) string { return e.d.text[g.Start:g.Measures[len(g.Measures)-1].End] }

// addSize finishes a group: one unit said at its end counts for all, and inch fractions turn bare sides into inches.
func (e *entry) addSize(g SizeGroup, a, b int) {
	var u quantity.Unit
	for _, m := range g.Measures {
		if m.Unit != "" {
			u = m.Unit
		}
	}
	for k := range g.Measures {
		if m := &g.Measures[k]; m.Unit == "" && u != "" {
			if l, err := quantity.ParseLengthIn(strings.TrimSpace(leading(m.Raw)), u); err == nil {
				m.Unit, m.Length = u, l
			}
		}
	}
	g.Raw, g.End = e.raw(a, b), e.end(b)
	e.sizes = append(e.sizes, g)
	e.claim(a, b, rSize)
}

// leading puts a zero before a decimal mark that begins a number.
func leading(s string) string {
	if s != "" && (s[0] == '.' || s[0] == ',') {
		return "0" + s
	}
	return s
}
