package kitlist

// serialWords may stand between "from" and the number of a box or a year.
var serialWords = wordSet("serialWords")

// scanSerials reads the boxes that a line is for: "up to box no. 41200", "from 1998", "ab Nr. 5001", "pre-98". They
// make the line one of several variants and are never counts.
func (e *entry) scanSerials() {
	for _, h := range e.hits {
		if h.meaning != mFrom && h.meaning != mUpTo {
			continue
		}
		i := e.skip(h.b)
		for e.is(i, cLetters) && serialWords[e.text(i)] || i > h.b && (e.text(i) == "." || e.text(i) == "/" || e.text(i) == "#" || e.text(i) == ":" || e.text(i) == "'") || e.text(i) == "-" && i == h.b || e.text(i) == "º" || e.text(i) == "°" {
			i = e.skip(i + 1)
		}
		b, ok := e.serial(i, h.b)
		if !ok || !e.free(h.a, b) {
			continue
		}
		e.serials = append(e.serials, serial{a: h.a, b: b, text: h.arg + " " + e.raw(i, b)})
		e.claim(h.a, b, rFlag)
	}
	e.openYears()
	e.openPeriods()
}

// openPeriods reads cells such as "9001 -" and "- 8912": boxes built from or until a month.
func (e *entry) openPeriods() {
	for _, c := range e.cells {
		a, b := e.tight(c)
		if a >= b || e.within(a, b, rNumber) || e.within(a, b, rFlag) {
			continue
		}
		from, upto := e.text(b-1) == "-", e.text(a) == "-"
		k, digits := a, ""
		if upto {
			k = e.skip(a + 1)
		}
		if e.is(k, cDigits) {
			digits = e.text(k)
		}
		if end := e.skip(k + 1); from == upto || len(digits) != 4 || from && end != b-1 || upto && end < b {
			continue
		}
		text := "from " + digits
		if upto {
			text = "up to " + digits
		}
		e.serials = append(e.serials, serial{a: a, b: b, text: text})
		e.claim(a, b, rFlag)
	}
}

// openYears reads "1995 on", "1998->" and "04/96 onwards".
func (e *entry) openYears() {
	for i := e.body; i < e.b; i++ {
		t := e.text(i)
		if !e.is(i, cDigits) || len(t) != 4 || t[:2] != "19" && t[:2] != "20" || e.at[i].role != none || e.sticky(i-1, -1) && e.text(i-1) != "/" {
			continue
		}
		k := e.skip(i + 1)
		switch {
		case e.text(k) == "on" || e.text(k) == "onwards" || e.text(k) == "onward" || e.text(k) == ">" || e.text(k) == "+":
		case e.text(k) == "-" && (e.text(k+1) == ">" || e.skip(k+1) >= e.b || e.text(k+1) == ")" || e.text(k+1) == "on"):
		default:
			continue
		}
		e.serials = append(e.serials, serial{a: i, b: k + 1, text: "from " + t})
		e.claim(i, k+1, rFlag)
	}
}

// serial is a range of boxes that a line is for.
type serial struct {
	a, b int
	text string
}

// serial reads a number of four digits or more, or a year of two digits after a word for it: "pre-98", "08/97".
func (e *entry) serial(i, from int) (int, bool) {
	if !e.is(i, cDigits) || (e.text(i+1) == "," || e.text(i+1) == ".") && e.is(i+2, cDigits) && len(e.text(i+2)) < 3 {
		return i, false
	}
	n := len(e.text(i))
	if e.text(i-1) == "-" && e.is(i-2, cLetters) && n != 2 && n != 4 {
		return i, false // "AB-46646"
	}
	switch {
	case n >= 4 && !e.is(i+1, cLetters) && (i > e.skip(from) || n == 4 && (e.text(i)[:2] == "19" || e.text(i)[:2] == "20")):
	case n <= 2 && (e.text(i+1) == "/" || e.text(i+1) == ".") && e.is(i+2, cDigits) && (len(e.text(i+2)) == 2 || len(e.text(i+2)) == 4):
		return i + 3, true
	case n == 2 && (e.text(i-1) == "-" || e.text(i-1) == "'" || i > e.skip(from)) && !e.is(i+1, cLetters):
	default:
		return i, false
	}
	b := i + 1
	if k := e.skip(b); e.text(k) == "on" || e.text(k) == "onwards" || e.text(k) == "onward" {
		b = k + 1
	}
	return b, true
}
