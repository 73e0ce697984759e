package kitlist

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// special letters that compatibility decomposition leaves alone.
var special = map[rune]string{
	'ß': "ss", 'ø': "o", 'Ø': "o", 'æ': "ae", 'Æ': "ae", 'œ': "oe", 'Œ': "oe", 'ł': "l", 'Ł': "l", 'đ': "d", '×': "x",
	'’': "'", '‘': "'", '´': "'", '`': "'", '“': `"`, '”': `"`, '″': `"`, '′': "'", '‐': "-", '‑': "-", '–': "-", '—': "-",
	'−': "-", '⁄': "/", '∕': "/", '·': "·",
}

// Fold gives the form words are compared in: lower case, no accents, compatibility forms unified, "ß" as "ss".
func Fold(s string) string {
	ascii, lower := true, true
	for i := range len(s) {
		if c := s[i]; c >= utf8.RuneSelf {
			ascii = false
			break
		} else if 'A' <= c && c <= 'Z' {
			lower = false
		}
	}
	if ascii {
		if lower {
			return s
		}
		return strings.ToLower(s)
	}
	var b strings.Builder
	for _, r := range norm.NFKD.String(s) {
		switch t, ok := special[r]; {
		case ok:
			b.WriteString(t)
		case unicode.Is(unicode.Mn, r):
		default:
			b.WriteRune(unicode.ToLower(r))
		}
	}
	return b.String()
}
