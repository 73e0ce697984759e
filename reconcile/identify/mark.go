package identify

import (
	"strings"
	"unicode"

	"layshaft/catalog"
)

// sameMark reports whether what was seen is what the variant has: yes/no by
// value, a mark when one text says the same as the other or starts with all its
// words, so that "6207" suits "6207-2RS C3" but "6207 NR" does not.
func (ft *feature) sameMark(got, want catalog.Value) bool {
	if ft.Kind == catalog.FeatureYesNo {
		return (got.Number != 0) == (want.Number != 0)
	}
	if catalog.Normal(got.Text) == catalog.Normal(want.Text) {
		return true
	}
	a, b := markWords(got.Text), markWords(want.Text)
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
