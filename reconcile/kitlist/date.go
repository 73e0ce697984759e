package kitlist

import (
	"maps"
	"strconv"
	"strings"
)

var months = wordNumbers("months")

// Months gives the names and abbreviations of months, folded, with their numbers from
// 1; the map is the caller's own.
func Months() map[string]int { return maps.Clone(months) }

// scanDates claims "14/03/2019", "2019-03-14", "17.03.", "14 March 2019" and times of day, so that none is read as a
// number, a size or a count.
func (e *entry) scanDates() {
	for i := e.body; i < e.b; i++ {
		if !e.is(i, cDigits) || e.at[i].role != none || e.sticky(i-1, -1) {
			continue
		}
		b := e.dateAt(i)
		if b == i {
			b = e.monthAt(i)
		}
		if b > i && e.free(i, b) {
			e.claim(i, b, rNoise)
			e.dated = true
			i = b - 1
		}
	}
}

// dateAt reads a date in digits, and gives the atom after it or i.
func (e *entry) dateAt(i int) int {
	sep := e.text(i + 1)
	if sep == ":" && len(e.text(i+2)) == 2 && e.is(i+2, cDigits) && e.within2(i, 0, 23) && e.within2(i+2, 0, 59) && !e.sticky(i+3, 1) {
		return i + 3 // 10:42
	}
	if sep != "/" && sep != "." && sep != "-" || !e.is(i+2, cDigits) {
		return i
	}
	day, month, year := i, i+2, i+4
	if len(e.text(i)) == 4 {
		day, year = i+4, i
	}
	if e.text(i+3) != sep || !e.is(i+4, cDigits) {
		if sep == "." && e.text(i+3) == "." && !e.is(i+4, cDigits) && len(e.text(month)) == 2 && e.within2(day, 1, 31) && e.within2(month, 1, 12) && !e.is(i+4, cLetters) {
			return i + 4 // 17.03.
		}
		return i
	}
	if n := len(e.text(year)); n != 2 && n != 4 || n == 4 && e.text(year)[:2] != "19" && e.text(year)[:2] != "20" || n == 2 && sep == "-" || e.sticky(i+5, 1) {
		return i
	}
	if !e.within2(day, 1, 31) || !e.within2(month, 1, 12) && !(e.within2(day, 1, 12) && e.within2(month, 1, 31)) {
		return i
	}
	return i + 5
}

// within2 says that the atom is a number of at most two digits between lo and hi.
func (e *entry) within2(i, lo, hi int) bool {
	if len(e.text(i)) > 2 {
		return false
	}
	n, err := strconv.Atoi(e.text(i))
	return err == nil && n >= lo && n <= hi
}

// monthAt reads "14 March 2019", "3. Mai", "14th of March".
func (e *entry) monthAt(i int) int {
	if !e.within2(i, 1, 31) {
		return i
	}
	k := i + 1
	if t := e.text(k); t == "." || t == "th" || t == "st" || t == "nd" || t == "rd" {
		k++
	}
	if k = e.skip(k); e.text(k) == "of" || e.text(k) == "de" {
		k = e.skip(k + 1)
	}
	if months[e.text(k)] == 0 || e.sticky(k+1, 1) && e.is(k+1, cLetters) {
		return i
	}
	b := k + 1
	if y := e.skip(b); e.is(y, cDigits) && len(e.text(y)) == 4 {
		b = y + 1
	}
	return b
}

var weekdays = wordSet("weekdays")

// weekday says that the entry names a day: it speaks of when, not of what.
func (e *entry) weekday() bool {
	for i := e.body; i < e.b; i++ {
		if e.at[i].class == cLetters && e.at[i].word.day {
			return true
		}
	}
	return false
}

// phone says that the entry is only a telephone number.
func (e *entry) phone() bool {
	digits := 0
	for i := e.body; i < e.b; i++ {
		switch a := e.at[i]; {
		case a.class == cDigits:
			digits += len(a.text)
		case a.class == cSpace || a.text == "+" || a.text == "(" || a.text == ")" || a.text == "-" || a.text == "/":
		default:
			return false
		}
	}
	t := e.text(e.body)
	return digits >= 9 && digits <= 15 && len(e.cells) < 2 && (t == "+" || t == "(" || strings.HasPrefix(t, "0"))
}

// moneyOnly says that the entry is only an amount of money.
func (e *entry) moneyOnly() bool {
	if len(e.cells) == 0 && e.d.moneyAt(e.body) && e.skip(e.body+3) >= e.b {
		return true
	}
	return len(e.prices) > 0 && e.letters() == 0 && len(e.counts) == 0 && len(e.numbers) == 0 && len(e.designations) == 0 && len(e.sizes) == 0
}
