package kitlist

import "strconv"

// count is one statement of quantity found in an entry.
type count struct {
	a, b     int    // atoms
	n        int    // 0 when it only gives the pack or the unit
	pack     int    // 0 when not said
	unit     string // "piece", "pair", "set"
	rule     string
	strength int  // the strongest count of an entry wins
	each     bool // counts for one side, hub or gear only
}

// Strengths of the ways to write a count.
const (
	weak    = 2
	bare    = 4
	trailer = 6
	bracket = 7
	sign    = 8
	worded  = 9
	column  = 10
)

var numberWords = map[string]int{"two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "both": 2, "zwei": 2, "drei": 3, "vier": 4,
	"funf": 5, "deux": 2, "trois": 3, "quatre": 4, "dos": 2, "one": 1, "eine": 1, "ein": 1, "une": 1, "una": 1, "tres": 3, "cuatro": 4, "cinco": 5,
	"single": 1, "seven": 7, "eight": 8, "nine": 9, "ten": 10, "eleven": 11, "twelve": 12, "sechs": 6, "sieben": 7, "acht": 8, "neun": 9, "zehn": 10,
	"zwolf": 12, "sept": 7, "huit": 8, "dix": 10, "douze": 12, "seis": 6, "siete": 7, "ocho": 8, "nueve": 9, "diez": 10, "doce": 12}

// maxCount is the largest count read without doubt; loose rollers come by the hundred, nothing by the ten thousand.
const maxCount = 9999

// scanCounts finds every statement of quantity.
func (e *entry) scanCounts() {
	for i := e.body; i < e.b; i++ {
		if e.at[i].role != none {
			continue
		}
		b := i
		switch e.at[i].class {
		case cDigits:
			b = e.countAt(i)
		case cLetters:
			if b = e.timesCount(i); b == i {
				b = e.wordCount(i)
			}
		case cPunct:
			if b = e.timesCount(i); b == i {
				b = e.bracketCount(i)
			}
		}
		if b > i {
			i = b - 1
		}
	}
	e.scanBareUnits()
}

// small reads a count at atom i, 0 when there is none.
func (e *entry) small(i int) int {
	if !e.is(i, cDigits) || len(e.at[i].text) > 4 || e.at[i].role != none || e.at[i].text[0] == '0' {
		return 0
	}
	n, err := strconv.Atoi(e.at[i].text)
	if err != nil || n > maxCount {
		return 0
	}
	return n
}

// countAt reads "2x", "2 off", "2 ea", "2 pr", "3 sets", "2 of each".
func (e *entry) countAt(i int) int {
	n := e.small(i)
	if n == 0 || e.sticky(i-1, -1) {
		return i
	}
	j := e.skip(i + 1)
	if t := e.text(j); (t == "x" || t == "*") && (!e.is(j+1, cPunct) || e.text(j+1) == "," && !e.is(j+2, cDigits)) && n < 1000 {
		if k := e.skip(j + 1); e.rollers(i) && e.small(k) >= 10 && e.tailAt(k+1) {
			return e.addCount(count{a: i, b: k + 1, n: n, pack: e.small(k), unit: "set", strength: sign, rule: e.raw(i, k+1)})
		} else if j == i+1 && i > e.body && e.is(i-1, cSpace) && (k >= e.b || e.text(k) == "," || e.text(k) == ";" || e.roleOf(k) == rPrice || e.text(k) == "(") {
			return e.addCount(count{a: i, b: j + 1, n: n, strength: sign, rule: e.raw(i, j+1)})
		} else if k < e.b && (j == i+1 || e.at[k].class == cLetters || k > j+1) {
			return e.addCount(count{a: i, b: j + 1, n: n, strength: sign, rule: e.raw(i, j+1)})
		}
	}
	if k := e.skip(j + 1); e.text(j) == "of" && n < 1000 && (e.roleOf(k) == rDesignation || e.namedSoon(j+1)) {
		return e.addCount(count{a: i, b: j + 1, n: n, strength: sign, rule: e.raw(i, j+1)})
	}
	if e.text(j) == "@" && n < 1000 {
		return e.addCount(count{a: i, b: i + 1, n: n, strength: sign, rule: e.raw(i, j+1)})
	}
	if b := e.perSet(i, n, j); b > i {
		return b
	}
	if h, ok := e.hitAt(j, mUnit, mSetOf); ok && !e.claimed(h) {
		return e.unitCount(i, n, h)
	}
	if h, ok := e.hitAt(j, mMultiplier); ok {
		return e.addCount(count{a: i, b: i + 1, n: n, strength: worded, rule: e.raw(i, h.b), each: true})
	}
	return i
}

// perSet reads "3 per set" and "3 pcs. per set": what one set holds.
func (e *entry) perSet(i, n, j int) int {
	if h, ok := e.hitAt(j, mUnit); ok && h.arg == "piece" {
		j = e.skip(h.b)
		for e.text(j) == "." {
			j = e.skip(j + 1)
		}
	}
	h, ok := e.hitAt(j, mPerSet)
	if !ok || e.claimed(h) {
		return i
	}
	return e.addCount(count{a: i, b: h.b, pack: n, unit: "set", strength: worded, rule: e.raw(i, h.b)})
}

func (e *entry) claimed(h hit) bool { return !e.free(h.a, h.b) }

// unitCount reads a number with its unit: pieces, pairs, sets, dozens.
func (e *entry) unitCount(i, n int, h hit) int {
	c := count{a: i, b: h.b, n: n, unit: h.arg, strength: worded, rule: e.raw(i, h.b)}
	switch h.arg {
	case "pair":
		c.pack = 2
	case "dozen":
		c.n, c.unit = n*12, "piece"
	}
	if h.meaning == mSetOf {
		c.unit = "set"
		if k := e.skip(h.b); e.small(k) > 0 {
			c.pack, c.b = e.small(k), k+1
		}
	}
	return e.addCount(c)
}

// timesCount reads "x2", "x 2", "* 2", "@ 2 off" and the misread "X l".
func (e *entry) timesCount(i int) int {
	if t := e.text(i); t != "x" && t != "*" || e.text(i-1) == "*" || e.is(i-1, cDigits) || e.is(i-1, cLetters) {
		return i
	}
	j := e.skip(i + 1)
	n := e.small(j)
	rule := "x" + e.text(j)
	if t := e.text(j); n == 0 && (t == "l" || t == "i") && e.skip(j+1) == e.b && e.at[j].role == none {
		n, rule = 1, "x l read as x 1"
	}
	if n == 0 || e.is(j+1, cLetters) && e.text(j+1) != "x" || e.text(j+1) == "-" && e.sticky(j+1, 1) || (e.text(j+1) == "." || e.text(j+1) == ",") && e.is(j+2, cDigits) {
		return i
	}
	return e.addCount(count{a: i, b: j + 1, n: n, strength: sign, rule: rule})
}

// wordCount reads "qty 2", "qty: 2", "set of 3", "set/3", "two".
func (e *entry) wordCount(i int) int {
	if h, ok := e.hitAt(i, mSetOf); ok && !e.claimed(h) {
		j := e.skip(h.b)
		n, end := e.small(j), j+1
		if w := numberWords[e.text(j)]; n == 0 && w > 0 {
			n = w
		}
		if n > 0 {
			return e.addCount(count{a: i, b: end, pack: n, unit: "set", strength: worded, rule: e.raw(i, end)})
		}
	}
	if h, ok := e.hitAt(i, mCount); ok && !e.claimed(h) {
		j := e.skip(h.b)
		for e.text(j) == ":" || e.text(j) == "." || e.text(j) == "=" || e.text(j) == "-" {
			j = e.skip(j + 1)
		}
		if n := e.small(j); n > 0 && !e.sticky(j+1, 1) && (h.arg == "" || n < 100 && (e.namedSoon(j+1) || e.skip(j+1) >= e.tail())) {
			return e.addCount(count{a: i, b: j + 1, n: n, strength: worded, rule: e.raw(i, j+1)})
		}
	}
	if h, ok := e.hitAt(i, mUnit); ok && h.arg == "piece" && eachWords[Fold(e.raw(h.a, h.b))] {
		if j := e.skip(h.b); e.small(j) > 0 && e.small(j) <= 50 && e.tailAt(j+1) {
			return e.addCount(count{a: i, b: j + 1, n: e.small(j), unit: "piece", strength: worded, rule: e.raw(i, j+1)})
		}
	}
	if h, ok := e.hitAt(i, mUnit); ok && h.arg == "set" && packWords[e.text(h.b-1)] && !e.claimed(h) {
		if j := e.skip(h.b); e.small(j) > 0 && e.tailAt(j+1) && i > e.body {
			return e.addCount(count{a: i, b: j + 1, pack: e.small(j), unit: "set", strength: worded, rule: e.raw(i, j+1)})
		}
	}
	if h, ok := e.hitAt(e.skip(i+1), mMultiplier); ok && numberWords[e.text(i)] > 0 && !e.sticky(i-1, -1) { // "one per gear"
		return e.addCount(count{a: i, b: i + 1, n: numberWords[e.text(i)], strength: worded, rule: e.raw(i, h.b), each: true})
	}
	if h, ok := e.hitAt(e.skip(i+1), mUnit, mSetOf); ok && numberWords[e.text(i)] > 0 && !e.claimed(h) && !e.sticky(i-1, -1) {
		return e.unitCount(i, numberWords[e.text(i)], h) // "one of each"
	}
	if n := numberWords[e.text(i)]; n > 0 && !e.sticky(i-1, -1) && !e.sticky(i+1, 1) && (e.namedSoon(i+1) || e.standsAlone(i)) {
		return e.addCount(count{a: i, b: i + 1, n: n, strength: bare, rule: e.text(i)})
	}
	return i
}

// packWords are followed by what one pack holds: "pack 5".
var packWords = map[string]bool{"pack": true, "pk": true, "pkt": true, "packet": true, "ve": true, "pckg": true, "packung": true}

// standsAlone says that a number word is a clause of its own ("rear bearing, one"), or stands before a size.
func (e *entry) standsAlone(i int) bool {
	p, k := e.back(i), e.skip(i+1)
	if e.roleOf(k) == rSize || e.roleOf(k) == rDesignation {
		return true
	}
	if e.text(k) == "of" && e.skip(k+1) >= e.b {
		return true
	}
	if t := e.text(p); (t == "-" || t == ":" || t == "=") && k >= e.b && p < i-1 {
		return true // "poppet balls - three"
	}
	return e.text(p) == "," && (k >= e.b || e.text(k) == ",")
}

// bracketCount reads "(2)" and "[2]"; after loose rollers, or beside another count, it is the pack.
func (e *entry) bracketCount(i int) int {
	if t := e.text(i); t != "(" && t != "[" {
		return i
	}
	j := e.skip(i + 1)
	if t := e.text(j); t == "x" {
		j = e.skip(j + 1)
	}
	if h, ok := e.hitAt(j, mUnit); ok && h.arg == "set" && e.small(e.skip(h.b)) > 0 && e.text(e.skip(e.skip(h.b)+1)) == ")" { // "(pk 5)"
		k := e.skip(h.b)
		return e.addCount(count{a: i, b: e.skip(k+1) + 1, pack: e.small(k), unit: "set", strength: worded, rule: e.raw(i, e.skip(k+1)+1)})
	}
	n := e.small(j)
	k := e.skip(j + 1)
	if n == 0 || n > 999 {
		return i
	}
	if m := e.small(e.skip(k + 1)); e.text(k) == "x" && m > 0 && n <= 9 && m <= 99 && e.setNamed(i) { // "(2 x 22 pcs)"
		n, k = n*m, e.skip(e.skip(k+1)+1)
	}
	if e.text(k) == "x" {
		k = e.skip(k + 1)
	}
	c := count{a: i, b: k + 1, n: n, strength: bracket, rule: e.raw(i, min(k+1, e.b))}
	if h, ok := e.hitAt(k, mUnit); ok {
		c.unit = h.arg
		k = e.skip(h.b)
		for e.text(k) == "." {
			k = e.skip(k + 1)
		}
		if h.arg == "pair" {
			c.pack = 2
		}
	}
	if e.is(k, cLetters) && e.at[k].word.thing != "" && e.thing(e.body, i, e.at[k].word.thing) && e.text(e.skip(k+1)) == ")" {
		c.unit, k = "piece", e.skip(k+1) // "(3 struts)"
	}
	if t := e.text(k); t != ")" && t != "]" {
		return i
	}
	c.b, c.rule = k+1, e.raw(i, k+1)
	return e.addCount(c)
}

func (e *entry) addCount(c count) int {
	e.counts = append(e.counts, c)
	r := rCount
	if c.n == 0 {
		r = rPack
	}
	e.claim(c.a, c.b, r)
	return c.b
}

// scanBareUnits reads "pr", "pair of", "Satz", "set" without a number.
func (e *entry) scanBareUnits() {
	for _, h := range e.hits {
		if h.meaning != mUnit || e.claimed(h) || h.arg == "piece" {
			continue
		}
		if h.arg == "set" && !(h.a == e.body || e.skip(h.b) >= e.b) {
			continue // "gasket set" inside a name says nothing of the count
		}
		c := count{a: h.a, b: h.b, unit: h.arg, strength: weak, rule: e.raw(h.a, h.b)}
		switch h.arg {
		case "pair":
			c.pack = 2
		case "dozen", "half":
			c.n, c.unit, c.strength = map[string]int{"dozen": 12, "half": 6}[h.arg], "piece", bare
		case "set":
			if h.b-h.a == 1 && h.a != e.body {
				e.counts = append(e.counts, c) // stays a word of the name: "circlip set"
				continue
			}
		}
		e.addCount(c)
	}
}

// namedSoon says that a part is named within the next three words after atom i.
func (e *entry) namedSoon(i int) bool {
	for n := 0; i < e.b && n < 3; i++ {
		if e.at[i].class == cLetters {
			n++
			if e.thing(i, i+1) {
				return true
			}
		} else if t := e.text(i); t == "," || t == ";" || t == ")" {
			return false
		}
	}
	return false
}

// scanBareCounts reads a bare number as a count: at the start of the entry or of one of its parts when a word follows,
// at the end only in a quantity column.
func (e *entry) scanBareCounts() {
	tail := e.tail()
	e.misreadCount()
	lead := e.lead()
	if e.nameFirst(tail) {
		return
	}
	for i := e.body; i < tail; i++ {
		n := e.small(i)
		if n == 0 || !e.is(i+1, cSpace) && i+1 < e.b && e.text(i+1) != "/" && e.text(i+1) != "+" && e.text(i+1) != "," || e.sticky(i-1, -1) {
			continue
		}
		p := e.back(i)
		if e.thing(p, p+1, "fastener") && n >= 6 && n <= 80 && e.gap(i) == 1 && !(e.d.endCount && e.d.endGap == 1 && e.skip(i+1) >= tail) {
			e.ask("thread-or-spanner", e.raw(p, i+1)+": a thread, the size of a spanner, or a count?", p, i+1)
			continue
		}
		if e.text(p) == "-" && e.gap(i) > 0 && n <= 99 && e.text(e.skip(i+1)) == "-" && e.is(i+1, cSpace) && e.is(e.skip(i+1)+1, cSpace) {
			e.addCount(count{a: i, b: i + 1, n: n, strength: trailer, rule: "number between dashes"})
			continue
		}
		if e.columned(i, n) {
			e.addCount(count{a: i, b: i + 1, n: n, strength: trailer, rule: "number in a column"})
			continue
		}
		switch {
		case e.skip(i+1) >= tail && i > e.body:
			e.trailingCount(i, n)
		case p < lead && e.is(e.skip(i+1), cLetters) && n <= 999 && e.roleOf(e.skip(i+1)) != rThread:
			if n <= 50 || e.namedSoon(i+1) {
				e.addCount(count{a: i, b: i + 1, n: n, strength: bare, rule: "number before the name"})
			}
		case p < lead && e.roleOf(e.skip(i+1)) == rPlace && n <= 50 && e.namedSoon(i+1):
			e.addCount(count{a: i, b: i + 1, n: n, strength: bare, rule: "number before the place"})
		case p < lead && e.roleOf(e.skip(i+1)) == rDesignation && n <= 50:
			e.addCount(count{a: i, b: i + 1, n: n, strength: bare, rule: "number before the designation"})
		case p >= e.body && n <= 999 && (e.text(p) == "," || e.at[p].class == cLetters || e.text(p) == "&" || e.text(p) == "+" || e.text(p) == ":" || e.text(p) == ";" || e.text(p) == "/" && p < i-1) && e.namedSoon(i+1) && e.is(e.skip(i+1), cLetters):
			e.addCount(count{a: i, b: i + 1, n: n, strength: bare, rule: "number before the name"})
		case (e.text(i+1) == "/" || e.text(i+1) == "+") && e.small(i+2) > 0 && e.skip(i+3) >= tail && (e.gap(i) >= 2 || len(e.designations) == 2 || len(e.sizes) == 2):
			e.addCount(count{a: i, b: i + 1, n: n, strength: trailer, rule: "count of the first"})
			e.addCount(count{a: i + 2, b: i + 3, n: e.small(i + 2), strength: trailer, rule: "count of the second"})
		}
	}
}

// misreadOne reads a lone "l" behind a leader or a wide gap at the end as one.
func (e *entry) misreadOne() bool {
	i := e.b - 1
	if t := e.text(i); t != "l" && t != "i" && t != "|" || e.roleOf(i) != none || i <= e.body+1 {
		return false
	}
	p := e.back(i)
	if !(e.text(p) == "." && e.text(p-1) == ".") && e.gap(i) < 2 {
		return false
	}
	e.ask("misread", "was the count "+e.raw(i, i+1)+" read rightly as 1?", i, i+1)
	e.addCount(count{a: i, b: i + 1, n: 1, strength: trailer, rule: e.raw(i, i+1) + " read as 1"})
	return true
}

// lead is the first atom behind prices at the start of the entry.
func (e *entry) lead() int {
	i := e.body
	for k := i; k < e.b; k++ {
		if e.at[k].role == rPrice {
			i = k + 1
		} else if e.at[k].class != cSpace && e.at[k].class != cPunct {
			break
		}
	}
	return i
}

// columned says that a number stands set off behind a part number that opens the entry: "4502-A     1    2nd gear".
func (e *entry) columned(i, n int) bool {
	if n > 999 || e.gap(i) < 2 && e.skip(i+1) < e.b && e.at[i+1].end-e.at[i+1].start < 3 || e.skip(i+1) < e.b && (e.at[i+1].end-e.at[i+1].start < 2) {
		return false
	}
	digits := 0
	for k := e.body; k < i; k++ {
		if e.at[k].class == cSpace {
			return digits >= 3 && e.skip(k) == i && e.roleOf(e.body) == none
		}
		if e.at[k].class == cDigits {
			digits += len(e.at[k].text)
		}
	}
	return false
}

// prefixed says that a large number behind capitals is rather a part number: "VD 300".
func (e *entry) prefixed(p, n int) bool {
	return n >= 100 && e.is(p, cLetters) && e.upper(p) && e.at[p].word.thing == "" && e.at[p].end-e.at[p].start <= 3
}

// misreadCount reads "l  Bearing" as one in a list whose lines open with counts, and asks; other letters that stand
// there for a digit are only asked about.
func (e *entry) misreadCount() {
	t := e.text(e.body)
	if e.misreadOne() {
		return
	}
	d := confused[rune((t + " ")[0])]
	if len(t) != 1 || d == 0 || t == "o" || e.roleOf(e.body) != none || !e.is(e.body+1, cSpace) || !e.d.counted || !e.namedSoon(e.body+1) {
		return
	}
	e.ask("misread", "was the count "+e.raw(e.body, e.body+1)+" read rightly as "+string(d)+"?", e.body, e.body+1)
	e.addCount(count{a: e.body, b: e.body + 1, n: int(d - '0'), strength: bare, rule: e.raw(e.body, e.body+1) + " read as " + string(d)})
}

// tail is the end of the entry without the prices, leaders and separators behind it.
func (e *entry) tail() int {
	i := e.b
	for i > e.body {
		a := e.at[i-1]
		if open := e.remark(i); open < i {
			i = open
			continue
		}
		if a.role != rPrice && a.class != cSpace && a.class != cBad && a.role != rPunct && !e.leader(i-1) {
			break
		}
		i--
	}
	return i
}

// remark is the start of a bracket that ends at atom i and only says when or whether: "(4x4 only)"; i when there is none.
func (e *entry) remark(i int) int {
	if e.text(i-1) != ")" {
		return i
	}
	open := i - 1
	for open > e.body && e.text(open) != "(" {
		open--
	}
	if open > e.body && e.has(open, i, mConditional, mVariant, mExcluded, mUnavailable, mBackOrder, mSelect, mStandard, mIncluded) && !e.within(open, i, rCount) {
		return open
	}
	return i
}

// nameFirst reads "keys 9 springs 6": every name is followed by its count, the last one at the end.
func (e *entry) nameFirst(tail int) bool {
	var at []int
	from := e.body
	for i := e.body; i < tail; i++ {
		if e.small(i) == 0 || e.sticky(i-1, -1) || e.sticky(i+1, 1) {
			continue
		}
		if !e.thing(from, i) || !e.is(e.back(i), cLetters) {
			return false
		}
		at = append(at, i)
		from = i + 1
	}
	if len(at) < 2 || e.skip(from) < tail {
		return false
	}
	for _, i := range at {
		e.addCount(count{a: i, b: i + 1, n: e.small(i), strength: trailer, rule: "number after the name"})
	}
	return true
}

// trailingCount reads a bare number at the end: in a column, after a leader or a wide gap.
func (e *entry) trailingCount(i, n int) {
	p := e.back(i)
	leader := e.text(p) == "." && e.text(p-1) == "." || e.text(p) == "…" || e.text(p) == "-" && e.gap(i) > 0 || e.text(p) == ":" || e.text(p) == "="
	switch {
	case n > 999 && !leader:
	case leader, e.gap(i) >= 2, e.d.commaCount && e.text(p) == ",", e.d.endCount && e.gap(i) >= e.d.endGap && !e.prefixed(p, n):
		e.addCount(count{a: i, b: i + 1, n: n, strength: trailer, rule: "number at the end"})
	}
}
