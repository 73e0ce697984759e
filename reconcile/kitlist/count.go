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

var numberWords = wordNumbers("numbers")

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
	if n == 0 && e.text(i) == "0" && e.at[i].role == none && !e.sticky(i-1, -1) && e.hasAt(e.skip(i+1), mUnit) {
		h, _ := e.hitAt(e.skip(i+1), mUnit)
		e.zero, e.none = "quantity", true
		e.claim(i, h.b, rCount)
		return h.b
	}
	if n == 0 || e.sticky(i-1, -1) {
		return i
	}
	if b := e.glued(i, n); b > i {
		return b
	}
	if e.text(i+1) == "no" || e.text(i+1) == "nr" { // "2no bearings"
		if k := i + 2; e.text(k) == "." || e.text(k) == " " || k >= e.b {
			return e.addCount(count{a: i, b: k, n: n, unit: "piece", strength: worded, rule: e.raw(i, k)})
		}
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
	if p := e.back(i); p > e.body && e.tailAt(i+1) && e.thing(e.body, p) && n <= 99 {
		if h, ok := e.find(p, p+1, mAll); ok && h.b == p+1 {
			return e.addCount(count{a: i, b: i + 1, n: n, strength: worded, rule: e.raw(p, i+1)}) // "cones all 5"
		}
	}
	if k := e.skip(j + 1); e.text(j) == "of" && n < 1000 && (e.roleOf(k) == rDesignation || e.namedSoon(j+1) || k >= e.b && i > e.body) {
		return e.addCount(count{a: i, b: j + 1, n: n, strength: sign, rule: e.raw(i, j+1)})
	}
	if k := e.skip(j + 1); onlyWords[e.text(j)] && j > i+1 && n < 100 && (k >= e.b || e.text(k) == ",") && e.thing(e.body, i) {
		return e.addCount(count{a: i, b: j + 1, n: n, unit: "piece", strength: worded, rule: e.raw(i, j+1)})
	}
	if t := e.text(j); n < 1000 && (t == "@" || t == "at" && e.roleOf(e.skip(j+1)) == rPrice && e.thing(e.body, i)) {
		return e.addCount(count{a: i, b: i + 1, n: n, strength: sign, rule: e.raw(i, j+1)})
	}
	if e.partly(i, j) {
		return e.addCount(count{a: i, b: i + 1, n: n, strength: worded, rule: e.raw(i, j+1)})
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

// partly says that a word for what came stands behind the number at i, and the entry counts what is still to come:
// "1 issued 1 on order", "2 here, 1 to follow".
func (e *entry) partly(i, j int) bool {
	if j == i+1 || !e.is(j, cLetters) || e.at[j].word.remark&(rmSupply|rmHere|rmStock|rmWithin) == 0 || e.at[j].word.remark&(rmNeg|rmFuture) != 0 {
		return false
	}
	for _, h := range e.hits {
		if p := e.back(h.a); (h.meaning == mBackOrder || h.meaning == mUnavailable || h.meaning == mExcluded) && p != i && p > e.body && (e.number(p) > 0 || numberWords[e.text(p)] > 0) && (h.b <= i || h.a > j) {
			return true
		}
	}
	return false
}

// gluedUnits stand behind a count and a dash or a dot: "2-off", "3-pack", "4st."
var gluedUnits = map[string]string{"off": "piece", "pack": "set", "set": "set", "pk": "set", "pce": "piece", "piece": "piece"}

// glued reads "2-off seals", "3-pack" and "2St. Lager".
func (e *entry) glued(i, n int) int {
	if e.text(i+1) == "st" && n%10 != 1 {
		b := i + 2
		if e.text(b) == "." {
			b++
		}
		return e.addCount(count{a: i, b: b, n: n, unit: "piece", strength: worded, rule: e.raw(i, b)})
	}
	unit := gluedUnits[e.text(i+2)]
	if e.text(i+1) != "-" || unit == "" || e.sticky(i+3, 1) {
		return i
	}
	c := count{a: i, b: i + 3, n: n, unit: unit, strength: worded, rule: e.raw(i, i+3)}
	if unit == "set" {
		c.n, c.pack = 0, n
	}
	return e.addCount(c)
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
		} else if w := numberWords[e.text(k)]; w > 0 {
			c.pack, c.b = w, k+1
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
		if j := e.skip(h.b); e.small(j) > 0 && (e.tailAt(j+1) || e.endsCell(j+1)) && i > e.body {
			return e.addCount(count{a: i, b: j + 1, pack: e.small(j), unit: "set", strength: worded, rule: e.raw(i, j+1)})
		}
	}
	if h, ok := e.hitAt(e.skip(i+1), mMultiplier); ok && numberWords[e.text(i)] > 0 && !e.sticky(i-1, -1) { // "one per gear"
		return e.addCount(count{a: i, b: i + 1, n: numberWords[e.text(i)], strength: worded, rule: e.raw(i, h.b), each: true})
	}
	n, b := e.wordNumber(i)
	if end := e.perSet(i, n, e.skip(b)); n > 0 && end > i && !e.sticky(i-1, -1) {
		return end // "three in each"
	}
	if h, ok := e.hitAt(e.skip(b), mUnit, mSetOf); ok && n > 0 && !e.claimed(h) && !e.sticky(i-1, -1) {
		return e.unitCount(i, n, h) // "one of each"
	}
	if k := e.skip(b); n > 0 && e.is(k, cLetters) && (placeWords[e.text(k)] || placeEnds[e.text(k)]) && !partWords[e.text(k)] && len(e.traits) > 0 && e.traits[0].at < i && e.at[e.traits[len(e.traits)-1].at].word.plural && !e.sticky(i-1, -1) {
		return e.addCount(count{a: i, b: b, n: n, strength: bare, rule: e.raw(i, b)}) // "washers, one large and one small"
	}
	if n > 0 && e.joinsAt(max(e.back(i), e.body)) && e.hasAt(e.skip(i+1), mFor) && e.thing(e.body, i) {
		return e.addCount(count{a: i, b: i + 1, n: n, strength: bare, rule: e.text(i)}) // "four rings and one for fifth"
	}
	if n > 0 && !e.sticky(i-1, -1) && !e.sticky(b, 1) && (e.namedSoon(b) || e.standsAlone(i) || e.roleOf(e.skip(e.skip(b)+1)) == rDesignation && e.is(e.skip(b), cLetters) && len(e.text(e.skip(b))) > 1 && !articles[e.text(e.skip(b))] || e.skip(b) >= e.tail() && (e.countable(i) && (n > 1 || e.d.mostCounted) || e.thing(e.body, i) && identifies(e.roleOf(e.back(i))))) {
		return e.addCount(count{a: i, b: b, n: n, strength: bare, rule: e.raw(i, b)})
	}
	return i
}

// wordNumber reads a number in words at atom i, "four", "forty-four", "cuarenta y cuatro": its value and the atom behind.
func (e *entry) wordNumber(i int) (n, b int) {
	if k := e.skip(i + 1); e.text(i) == "neuf" && e.is(k, cLetters) && e.at[k].word.plural {
		return 9, i + 1 // elsewhere it says "new"
	}
	if n = numberWords[e.text(i)]; n < 20 || n > 90 {
		return n, i + 1
	}
	k := i + 1
	if e.text(k) == "-" {
		k++
	} else if k = e.skip(k); andWords[e.text(k)] {
		k = e.skip(k + 1)
	}
	if m := numberWords[e.text(k)]; m > 0 && m < 10 && e.is(k, cLetters) {
		return n + m, k + 1
	}
	return n, i + 1
}

// packWords are followed by what one pack holds: "pack 5".
var packWords = wordSet("packWords")

// bracketCount reads "(2)" and "[2]"; after loose rollers, or beside another count, it is the pack.
func (e *entry) bracketCount(i int) int {
	if t := e.text(i); t != "(" && t != "[" {
		return i
	}
	j := e.skip(i + 1)
	if t := e.text(j); t == "x" || articles[t] && e.is(e.skip(j+1), cDigits) {
		j = e.skip(j + 1)
	}
	if h, ok := e.hitAt(j, mUnit); ok && h.arg == "set" && e.small(e.skip(h.b)) > 0 && e.text(e.skip(e.skip(h.b)+1)) == ")" { // "(pk 5)"
		k := e.skip(h.b)
		return e.addCount(count{a: i, b: e.skip(k+1) + 1, pack: e.small(k), unit: "set", strength: worded, rule: e.raw(i, e.skip(k+1)+1)})
	}
	n := e.small(j)
	k := e.skip(j + 1)
	if w, b := e.wordNumber(j); n == 0 && w > 0 {
		n, k = w, e.skip(b) // "(five)"
	}
	if n == 0 || n > 999 {
		return i
	}
	if m := e.small(e.skip(k + 1)); e.text(k) == "x" && m > 0 && n <= 9 && m <= 99 && (e.setNamed(i) || e.rollers(i)) { // "(2 x 22 pcs)"
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
	if t := e.text(k); t == "no" || t == "nr" {
		if c.unit, k = "piece", e.skip(k+1); e.text(k) == "." {
			k = e.skip(k + 1)
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
