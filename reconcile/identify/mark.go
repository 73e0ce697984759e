package identify

import (
	"slices"
	"strings"
	"unicode"

	"layshaft/catalog"
	"layshaft/catalog/standard"
)

// sameMark reports whether two marks say the same: alike when folded, one starts
// with all the words of the other, so that "6207" suits "6207-2RS C3" but "6207
// NR" does not, or both are bearings of one seat.
func sameMark(got, want string) bool {
	return catalog.Normal(got) == catalog.Normal(want) || sameWords(got, want) || sameBearing(got, want)
}

// sameBearing reports whether two designations mean bearings that go in one
// another's place: "6207 DDU" and "6207-2RS/C3". Seals, cage and clearance change
// with whoever renewed the bearing, so they tell no variants apart; a groove or a
// size does.
func sameBearing(got, want string) bool {
	a, err := standard.ParseBearing(got)
	if err != nil {
		return false
	}
	b, err := standard.ParseBearing(want)
	if err != nil {
		return false
	}
	c := standard.Compare(a, b)
	return c.Verdict == standard.Equal || c.Verdict == standard.SameEnvelope && a.Base == b.Base &&
		!slices.ContainsFunc(c.Differences, func(d standard.Difference) bool { return d.Envelope })
}

func sameWords(got, want string) bool {
	a, b := markWords(got), markWords(want)
	if len(a) > len(b) {
		a, b = b, a
	}
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return len(a) > 0
}

func markWords(text string) []string {
	words := strings.FieldsFunc(text, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	for i, w := range words {
		words[i] = catalog.Normal(w)
	}
	return words
}

// sameValue reports whether two stated values of a yes/no, count or mark feature
// say the same.
func sameValue(a, b catalog.Value) bool {
	if a.Kind == catalog.KindText {
		return sameMark(a.Text, b.Text)
	}
	return a.Number == b.Number
}
