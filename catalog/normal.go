package catalog

import (
	"strings"

	"golang.org/x/text/unicode/norm"
)

// Normal folds a part number for comparison: compatibility forms unified,
// upper case, and everything but letters and digits dropped. Two numbers of
// one issuer are the same when their normal forms are equal.
func Normal(number string) string {
	s := norm.NFKC.String(number)
	var b strings.Builder
	b.Grow(len(s))
	for _, r := range s {
		switch {
		case r >= 'a' && r <= 'z':
			b.WriteRune(r - 'a' + 'A')
		case r >= 'A' && r <= 'Z', r >= '0' && r <= '9':
			b.WriteRune(r)
		case r > 127:
			b.WriteString(foldLetter(r))
		}
	}
	return b.String()
}

// foldLetter keeps non-ASCII letters and digits, upper-cased and without marks.
func foldLetter(r rune) string {
	var b strings.Builder
	for _, d := range norm.NFD.String(strings.ToUpper(string(r))) {
		switch {
		case d >= 'A' && d <= 'Z', d >= '0' && d <= '9':
			b.WriteRune(d)
		case d > 127 && isLetterOrDigit(d):
			b.WriteRune(d)
		}
	}
	return b.String()
}
