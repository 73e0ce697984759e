package identify

import (
	"strings"
	"unicode"

	"layshaft/catalog"
)

// sameMark reports whether two marks say the same: alike when folded, or one
// starts with all the words of the other, so that "6207" suits "6207-2RS C3"
// but "6207 NR" does not.
func sameMark(got, want string) bool {
	if catalog.Normal(got) == catalog.Normal(want) {
		return true
	}
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
