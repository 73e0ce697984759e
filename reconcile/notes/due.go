package notes

import (
	"strings"

	"layshaft/catalog/quantity"
	"layshaft/reconcile/kitlist"
)

// weekdays by the first letters that tell them apart, Sunday 0.
var weekdays = map[string]int{
	"monday": 1, "mon": 1, "montag": 1, "lundi": 1, "lunes": 1,
	"tuesday": 2, "tue": 2, "tues": 2, "dienstag": 2, "mardi": 2, "martes": 2,
	"wednesday": 3, "wed": 3, "weds": 3, "mittwoch": 3, "mercredi": 3, "miercoles": 3,
	"thursday": 4, "thu": 4, "thur": 4, "thurs": 4, "donnerstag": 4, "jeudi": 4, "jueves": 4,
	"friday": 5, "fri": 5, "freitag": 5, "vendredi": 5, "viernes": 5,
	"saturday": 6, "sat": 6, "samstag": 6, "samedi": 6, "sabado": 6,
	"sunday": 0, "sun": 0, "sonntag": 0, "dimanche": 0, "domingo": 0,
}

// months by name and abbreviation.
var months = kitlist.Months()

// dateLead are words between "back" and the day.
var dateLead = map[string]bool{"on": true, "by": true, "the": true, "am": true, "bis": true, "le": true, "el": true, "next": true, "this": true, "for": true, "before": true}

// readDate reads a day: an ISO date or a day with its month anywhere, the other
// forms only after a word such as "back".
func readDate(tokens []token, i int, before []item, today quantity.Date) (item, bool) {
	after := len(before) > 0 && before[len(before)-1].role == asDue
	if weekdays[tokens[i].text] > 0 && i+1 < len(tokens) && phrases[tokens[i+1].text].role == asDue {
		after = true // "kommt Donnerstag zuruck"
	}
	at, vague := i, false
	for after && at < len(tokens) && dateLead[tokens[at].text] {
		vague = vague || tokens[at].text == "next"
		at++
	}
	if at >= len(tokens) || !tokens[at].word {
		return item{}, false
	}
	it, ok := dayAt(tokens, at, after, vague, today)
	if ok && it.date.IsZero() && it.arg == "" && !today.IsZero() {
		it.arg = "there is no such day"
	}
	return it, ok
}

// dayAt reads a day in any of its forms; those that are numbers or weekdays
// alone only after a word such as "back".
func dayAt(tokens []token, at int, after, vague bool, today quantity.Date) (item, bool) {
	it := item{role: asDate}
	if d, to, ok := isoDate(tokens, at); ok {
		it.date, it.to = d, to
		return it, true
	}
	if d, to, ok := dayMonth(tokens, at, today); ok {
		it.date, it.to = d, to
		return it, true
	}
	if !after {
		return item{}, false
	}
	if d, to, ok := weekdayDate(tokens, at, today); ok {
		it.date, it.to = d, to
		if named, ok := numbered(tokens, to, today); ok {
			if it = named; !it.date.IsZero() && it.date.Time().Weekday() != d.Time().Weekday() {
				it.date, it.arg = quantity.Date{}, "the weekday is not that of the day"
			}
			return it, true
		}
		if vague {
			it.date, it.arg = quantity.Date{}, "which week is meant"
		}
		return it, true
	}
	if d, to, ok := span(tokens, at, today); ok {
		it.date, it.to = d, to
		return it, true
	}
	return numericDate(tokens, at, today)
}

// numbered reads the day after a weekday: "Weds 18th", "Friday the 20/3".
func numbered(tokens []token, at int, today quantity.Date) (item, bool) {
	for at < len(tokens) && dateLead[tokens[at].text] {
		at++
	}
	if at >= len(tokens) || !tokens[at].word || weekdays[tokens[at].text] > 0 {
		return item{}, false
	}
	return dayAt(tokens, at, true, false, today)
}

func weekdayDate(tokens []token, at int, today quantity.Date) (quantity.Date, int, bool) {
	day, ok := weekdays[tokens[at].text]
	if !ok {
		return quantity.Date{}, 0, false
	}
	if today.IsZero() {
		return quantity.Date{}, at + 1, true
	}
	ahead := (day - int(today.Time().Weekday()) + 7) % 7
	if ahead == 0 {
		ahead = 7
	}
	if at+1 < len(tokens) && tokens[at+1].text == "week" { // "Friday week"
		ahead, at = ahead+7, at+1
	}
	return quantity.DateOf(today.Time().AddDate(0, 0, ahead)), at + 1, true
}

func isoDate(tokens []token, i int) (quantity.Date, int, bool) {
	if i+4 >= len(tokens) || len(tokens[i].text) != 4 || tokens[i+1].text != "-" || tokens[i+3].text != "-" {
		return quantity.Date{}, 0, false
	}
	d, err := quantity.ParseDate(tokens[i].text + "-" + tokens[i+2].text + "-" + tokens[i+4].text)
	return d, i + 5, err == nil
}

// dayMonth reads "20 March", "20. Marz", "20th of March", "March 20".
func dayMonth(tokens []token, i int, today quantity.Date) (quantity.Date, int, bool) {
	if i+1 >= len(tokens) {
		return quantity.Date{}, 0, false
	}
	if m, ok := months[tokens[i].text]; ok {
		if day := dayNumber(tokens[i+1].text); day > 0 {
			return onward(day, m, today), i + 2, true
		}
		return quantity.Date{}, 0, false
	}
	day := dayNumber(tokens[i].text)
	if day == 0 {
		return quantity.Date{}, 0, false
	}
	at := i + 1
	for at < len(tokens) && (tokens[at].text == "." || tokens[at].text == "of" || tokens[at].text == "de") {
		at++
	}
	if at >= len(tokens) {
		return quantity.Date{}, 0, false
	}
	m, ok := months[tokens[at].text]
	return onward(day, m, today), at + 1, ok
}

func dayNumber(s string) int {
	for _, suffix := range []string{"st", "nd", "rd", "th"} {
		s = strings.TrimSuffix(s, suffix)
	}
	if n := atoi(s); len(s) > 0 && len(s) <= 2 && n >= 1 && n <= 31 {
		return n
	}
	return 0
}

// onward is the next such day from today on; zero when there is none or today
// is not known.
func onward(day, month int, today quantity.Date) quantity.Date {
	if today.IsZero() || month == 0 {
		return quantity.Date{}
	}
	for year := today.Year; year <= today.Year+1; year++ {
		d := quantity.Date{Year: year, Month: month, Day: day}
		if d.Valid() && !d.Time().Before(today.Time()) {
			return d
		}
	}
	return quantity.Date{}
}

// span reads "in 10 days", "2 weeks", "tomorrow".
func span(tokens []token, i int, today quantity.Date) (quantity.Date, int, bool) {
	switch tokens[i].text {
	case "tomorrow", "morgen", "demain", "manana":
		return later(today, 1), i + 1, true
	case "in", "dans", "en":
		i++
	}
	if i+1 >= len(tokens) || len(tokens[i].text) > 2 {
		return quantity.Date{}, 0, false
	}
	n := atoi(tokens[i].text)
	if tokens[i].text == "a" || tokens[i].text == "1" {
		n = 1
	}
	if n < 1 {
		return quantity.Date{}, 0, false
	}
	switch tokens[i+1].text {
	case "day", "days", "tag", "tagen", "jours", "jour", "dias", "dia":
	case "week", "weeks", "wk", "wks", "woche", "wochen", "semaine", "semaines", "semana", "semanas":
		n *= 7
	default:
		return quantity.Date{}, 0, false
	}
	return later(today, n), i + 2, true
}

func later(today quantity.Date, days int) quantity.Date {
	if today.IsZero() {
		return today
	}
	return quantity.DateOf(today.Time().AddDate(0, 0, days))
}

// likelier of two readings of "1/4" is the one within half a year when the other
// is not; else the month is asked.
func likelier(a, b, today quantity.Date) (quantity.Date, string) {
	const near = 183 // days
	soon := func(d quantity.Date) bool { return !d.IsZero() && !d.Time().After(today.Time().AddDate(0, 0, near)) }
	switch {
	case soon(a) && !soon(b):
		return a, ""
	case soon(b) && !soon(a):
		return b, ""
	}
	return quantity.Date{}, "which of the two numbers is the month"
}

// numericDate reads "20/3" or "20.3."; which of two small numbers is the month
// is asked.
func numericDate(tokens []token, i int, today quantity.Date) (item, bool) {
	it := item{role: asDate}
	text := tokens[i].text
	a, b := 0, 0
	switch {
	case strings.Count(text, ".") == 1:
		left, right, _ := strings.Cut(text, ".")
		a, b, it.to = dayNumber(left), dayNumber(right), i+1
	case i+2 < len(tokens) && (tokens[i+1].text == "/" || tokens[i+1].text == ".") && tokens[i+2].digits:
		a, b, it.to = dayNumber(text), dayNumber(tokens[i+2].text), i+3
	case dayNumber(text) > 0 && !tokens[i].digits:
		// "the 14th": of this month or the next
		day := dayNumber(text)
		for m := range 2 {
			t := today.Time().AddDate(0, m, 1-today.Day)
			d := quantity.Date{Year: t.Year(), Month: int(t.Month()), Day: day}
			if !today.IsZero() && d.Valid() && !d.Time().Before(today.Time()) {
				it.date, it.to = d, i+1
				return it, true
			}
		}
		return it, false
	}
	switch {
	case a == 0 || b == 0 || a > 12 && b > 12:
		return it, false
	case a <= 12 && b <= 12 && a != b:
		it.date, it.arg = likelier(onward(a, b, today), onward(b, a, today), today)
	case a > 12:
		it.date = onward(a, b, today)
	default:
		it.date = onward(b, a, today)
	}
	return it, true
}

// whenish: the words speak of days.
func whenish(text string) bool {
	for _, t := range lex(text) {
		switch _, day := weekdays[t.text]; {
		case day, t.digits, t.text == "week", t.text == "weeks", t.text == "days", t.text == "month":
			return true
		}
	}
	return false
}
