package kitlist

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
	return e.text(p) == "," && (k >= e.b || e.text(k) == "," || atWords[e.text(k)] && e.is(e.skip(k+1), cDigits))
}

// atWords stand before the price of one.
var atWords = wordSet("atWords")

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
		if n == 0 || !e.is(i+1, cSpace) && i+1 < e.b && e.text(i+1) != "/" && e.text(i+1) != "+" && e.text(i+1) != "," && !(e.text(i+1) == "." && i+2 == e.b) || e.sticky(i-1, -1) {
			continue
		}
		p := e.back(i)
		if e.thing(p, p+1, "fastener") && n >= 6 && n <= 80 && e.gap(i) == 1 && !(e.d.endCount && e.d.endGap == 1 && e.skip(i+1) >= tail) {
			e.ask("thread-or-spanner", e.raw(p, i+1)+": a thread, the size of a spanner, or a count?", p, i+1)
			continue
		}
		if k := e.skip(i + 1); i == lead && !e.d.rows && n <= 99 && e.text(k) == "-" && e.breaksClause(k) && e.namedSoon(k+1) {
			e.addCount(count{a: i, b: i + 1, n: n, strength: bare, rule: "number before a dash"})
			continue
		}
		if e.text(p) == "-" && e.gap(i) > 0 && n <= 99 && e.text(e.skip(i+1)) == "-" && e.is(i+1, cSpace) && e.is(e.skip(i+1)+1, cSpace) {
			e.addCount(count{a: i, b: i + 1, n: n, strength: trailer, rule: "number between dashes"})
			continue
		}
		if k := e.skip(i + 1); e.text(p) == "-" && e.breaksClause(p) && n <= 99 && (k > i+1 && (e.text(k) == "(" || e.hasAt(k, mConditional)) || e.text(k) == "," && e.is(k+1, cSpace)) && e.thing(e.body, p) {
			e.addCount(count{a: i, b: i + 1, n: n, strength: trailer, rule: "number behind a dash"})
			continue
		}
		if k := e.skip(i + 1); n <= 12 && trailing[e.text(k)] && !andWords[e.text(k)] && e.roleOf(e.skip(k+1)) == rPlace && e.thing(e.body, i) && !e.is(p, cDigits) {
			e.addCount(count{a: i, b: i + 1, n: n, strength: bare, rule: "number before the gears"})
			continue
		}
		if e.columned(i, n) {
			e.addCount(count{a: i, b: i + 1, n: n, strength: trailer, rule: "number in a column"})
			continue
		}
		if t := e.text(e.skip(i + 1)); (t == "," || t == ";" || t == "-") && n >= 2 && n <= 99 && p > e.body && e.pluralBefore(p) && e.is(e.skip(e.skip(i+1)+1), cLetters) {
			e.addCount(count{a: i, b: i + 1, n: n, strength: trailer, rule: "number after the plural"})
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
	if p < e.body || !e.leader(p) && e.gap(i) < 2 {
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
	if n > 999 || e.gap(i) < 2 && e.skip(i+1) < e.b && e.at[i+1].width < 3 || e.skip(i+1) < e.b && e.at[i+1].width < 2 {
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
	if t == "0" && e.roleOf(e.body) == none && (e.is(e.body+1, cSpace) || e.text(e.body+1) == "x" && e.is(e.body+2, cSpace)) && e.namedSoon(e.body+1) {
		b := e.body + 1
		if e.text(b) == "x" {
			b++
		}
		e.zero, e.none = "quantity", true
		e.claim(e.body, b, rCount)
		return
	}
	d := confused[rune((t + " ")[0])]
	if t == "o" && e.roleOf(e.body) == none && e.is(e.body+1, cSpace) && e.at[e.body+1].width >= 2 && e.d.counted && e.namedSoon(e.body+1) {
		e.ask("misread", "was the count "+e.raw(e.body, e.body+1)+" read rightly as 0?", e.body, e.body+1)
		e.zero, e.none = "quantity", true
		e.claim(e.body, e.body+1, rCount)
		return
	}
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
		if from := e.status(i); from < i {
			i = from
			continue
		}
		if open := e.remark(i); open < i {
			i = open
			continue
		}
		if a.text == "." && i == e.b && e.is(i-2, cDigits) && e.is(i-3, cSpace) {
			i-- // "detent springs, 3."
			continue
		}
		if a.role != rPrice && a.class != cSpace && a.class != cBad && a.role != rPunct && !e.leader(i-1) {
			break
		}
		i--
	}
	return i
}

// status is the start of the words behind a wide gap at the end, "here" or "coming weds", when a number stands before the
// gap; i when there are none.
func (e *entry) status(i int) int {
	if len(e.cells) > 0 || i != e.b || e.at[i-1].class != cLetters {
		return i
	}
	k, words := i-1, 0
	for ; k > e.body && e.gap(k) < 2; k-- {
		if e.at[k].class == cDigits || e.at[k].class == cPunct {
			return i
		}
	}
	for j := k; j < i; j++ {
		if e.at[j].class == cLetters {
			words++
		}
	}
	if k <= e.body || words > 3 || e.thing(k, i) || !e.is(e.back(k), cDigits) || e.has(k, i, mUnit, mMultiplier) {
		return i
	}
	return k
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
		if p := e.back(i); !e.thing(from, i) || !e.is(p, cLetters) && e.text(p) != ":" && e.text(p) != "=" {
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

// countable says that a number at atom i, behind a name, does not say which one: "bearings for type 4", "box no 2".
func (e *entry) countable(i int) bool {
	p := e.back(i)
	return p > e.body && e.is(p, cLetters) && e.gap(i) > 0 && e.thing(e.body, i) && e.at[p].word.stance == neutral && e.at[p].word.remark&^rmAll == 0 && !whichWords[e.at[p].text] && !serialWords[e.at[p].text] && !sizePrefix[e.at[p].text]
}

// whichWords stand before a number that says which one.
var whichWords = wordSet("whichWords")

// pluralBefore says that a name in the plural ends at atom p, or before the comma there.
func (e *entry) pluralBefore(p int) bool {
	if e.text(p) == "," {
		p = e.back(p)
	}
	return p >= e.body && e.is(p, cLetters) && e.at[p].word.plural
}

// trailingCount reads a bare number at the end: in a column, after a leader or a wide gap.
func (e *entry) trailingCount(i, n int) {
	p := e.back(i)
	leader := p >= e.body && e.leader(p) || (e.text(p) == "-" || e.text(p) == ">") && e.gap(i) > 0 || e.text(p) == ":" || e.text(p) == "="
	switch {
	case n > 999 && !leader:
	case e.pluralBefore(p) && n >= 2 && (n <= 12 || n <= 99 && e.rollers(i)):
		if e.thing(p, i, "synchro", "gear", "fork", "hub") {
			e.ask("count-or-gear", e.raw(p, i+1)+": how many, or for which gear?", p, i+1)
		}
		e.addCount(count{a: i, b: i + 1, n: n, strength: trailer, rule: "number after the plural"})
	case n >= 2 && n <= 99 && len(e.traits) > 0 && e.at[e.traits[0].at].word.plural && e.countable(i):
		e.addCount(count{a: i, b: i + 1, n: n, strength: trailer, rule: "number at the end, after a plural"})
	case e.text(p) == "," && n >= 2 && len(e.traits) > 0 && e.at[e.traits[len(e.traits)-1].at].word.plural && identifies(e.roleOf(e.back(p))):
		e.addCount(count{a: i, b: i + 1, n: n, strength: trailer, rule: "number at the end, after a plural"})
	case e.text(p) == ";" && len(e.traits) > 0 && n <= 99:
		e.addCount(count{a: i, b: i + 1, n: n, strength: trailer, rule: "number at the end, after a semicolon"})
	case e.text(p) == "," && n == 1 && len(e.traits) > 0 && e.gap(i) == 1:
		e.addCount(count{a: i, b: i + 1, n: n, strength: trailer, rule: "number at the end, after a comma"})
	case leader, e.gap(i) >= 2, e.d.commaCount && e.text(p) == ",", e.d.endCount && e.gap(i) >= e.d.endGap && !e.prefixed(p, n):
		e.addCount(count{a: i, b: i + 1, n: n, strength: trailer, rule: "number at the end"})
	}
}
