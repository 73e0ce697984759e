package kitlist

import (
	"strconv"

	"layshaft/catalog/quantity"
)

// num is a number as written: digits with at most one decimal mark, or a fraction of an inch.
type num struct {
	a, b     int    // atoms
	text     string // with "." as decimal mark and a digit before it
	decimals int
	lead     bool // began with the decimal mark: ".05"
	fraction bool
	comma    bool
}

func (n num) whole() bool { return n.decimals == 0 && !n.fraction }

// value is the number when it is whole and small, else -1.
func (n num) value() int {
	if !n.whole() || len(n.text) > 6 {
		return -1
	}
	v, err := strconv.Atoi(n.text)
	if err != nil {
		return -1
	}
	return v
}

// num reads the number at atom i.
func (e *entry) num(i int) (num, bool) {
	switch {
	case e.is(i, cDigits):
		n := num{a: i, b: i + 1, text: e.at[i].text}
		if f, ok := e.fraction(i); ok {
			return f, true
		}
		if m := e.text(i + 1); (m == "." || m == ",") && e.at[i+1].role == none && e.is(i+2, cDigits) {
			n.b, n.comma, n.decimals = i+3, m == ",", len(e.at[i+2].text)
			n.text += "." + e.at[i+2].text
			if m := e.text(i + 3); (m == "." || m == ",") && e.at[i+3].role == none && e.is(i+4, cDigits) {
				return n, false // a date, a version, or thousands: not a size
			}
		}
		return n, true
	case (e.text(i) == "." || e.text(i) == ",") && e.at[i].role == none && e.is(i+1, cDigits) && !e.is(i-1, cDigits) && e.text(i-1) != e.text(i):
		return num{a: i, b: i + 2, text: "0." + e.at[i+1].text, decimals: len(e.at[i+1].text), lead: true, comma: e.text(i) == ","}, true
	}
	return num{}, false
}

// fraction reads "3/8", "1 3/4" and "1-3/4": only halves to sixty-fourths, so that "3/4 hub" needs another look.
func (e *entry) fraction(i int) (num, bool) {
	if b, ok := e.simpleFraction(i); ok {
		return num{a: i, b: b, text: e.at[i].text + "/" + e.at[b-1].text, fraction: true}, true
	}
	if len(e.at[i].text) > 2 || e.text(i-1) == "/" || e.text(i+1) != " " && e.text(i+1) != "-" {
		return num{}, false
	}
	if b, ok := e.simpleFraction(i + 2); ok {
		return num{a: i, b: b, text: e.at[i].text + " " + e.at[i+2].text + "/" + e.at[b-1].text, fraction: true}, true
	}
	return num{}, false
}

func (e *entry) simpleFraction(i int) (int, bool) {
	if !e.is(i, cDigits) || e.text(i+1) != "/" || !e.is(i+2, cDigits) || e.text(i+3) == "/" || e.text(i+3) == "." && e.is(i+4, cDigits) {
		return 0, false
	}
	n, err := strconv.Atoi(e.at[i].text)
	m, err2 := strconv.Atoi(e.at[i+2].text)
	if err != nil || err2 != nil || n >= m || n == 0 || n%2 == 0 {
		return 0, false
	}
	switch m {
	case 2, 4, 8, 16, 32, 64:
		return i + 3, true
	}
	return 0, false
}

// unitAfter reads a unit of length at atom i, and gives the atom after it.
func (e *entry) unitAfter(i int, n num) (quantity.Unit, int) {
	j := e.skip(i)
	near := j == i
	switch e.text(j) {
	case "mm", "mmx":
		return quantity.Millimetre, j + 1
	case `"`:
		if near && e.at[j].role == none {
			return quantity.Inch, j + 1
		}
	case "'":
		if near && e.text(j+1) == "'" {
			return quantity.Inch, j + 2
		}
	case "in", "ins":
		if near || n.fraction || n.decimals > 1 {
			return quantity.Inch, j + 1
		}
	case "inch", "inches", "zoll", "pulg", "pouce", "pouces":
		return quantity.Inch, j + 1
	}
	return "", i
}

// measure reads a number with its unit, if it has one.
func (e *entry) measure(i int) (Measure, num, bool) {
	n, ok := e.num(i)
	if !ok {
		return Measure{}, n, false
	}
	u, b := e.unitAfter(n.b, n)
	if n.fraction && u == "" {
		u = quantity.Inch
	}
	m := Measure{Raw: e.raw(i, b), Unit: u, Start: e.start(i), End: e.end(b)}
	n.b = b
	guess := e.d.unit
	if guess == quantity.Inch && e.d.opts.Unit == "" && n.whole() && n.value() >= 4 {
		guess = quantity.Millimetre // whole numbers are no inches
	}
	m.Length = length(n, u, guess)
	return m, n, true
}

// length is n in unit u, or in the unit guessed for the list.
func length(n num, u, guess quantity.Unit) quantity.Length {
	if u == "" {
		u = guess
		if u == "" {
			u = quantity.Millimetre
		}
	}
	l, err := quantity.ParseLengthIn(n.text, u)
	if err != nil {
		return 0
	}
	return l
}

// confused are letters that text recognition writes for digits (common practice).
var confused = map[rune]byte{'o': '0', 'i': '1', 'l': '1', '|': '1', 's': '5', 'b': '8', 'z': '2', 'g': '6'}
