package notes

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"layshaft/reconcile/kitlist"
)

// token is a word, a number, or one mark of the text.
type token struct {
	start, end int
	text       string // folded; of words without apostrophes
	word       bool   // letters or digits
	upper      bool   // begins with a capital
	digits     bool   // only digits, or digits with a decimal mark
	glued      bool   // no blank before it
	line       bool   // a line end
}

// maxToken bounds a word; longer ones are split.
const maxToken = 64

// lex cuts the text into tokens; blanks and invisible characters are between them.
func lex(text string) []token {
	var out []token
	glued := false
	for i := 0; i < len(text); {
		r, n := utf8.DecodeRuneInString(text[i:])
		switch {
		case r == '\n':
			out = append(out, token{start: i, end: i + n, text: "\n", line: true})
			glued = false
		case isWord(r):
			end := wordEnd(text, i)
			t := token{start: i, end: end, word: true, glued: glued}
			t.text = strings.ReplaceAll(kitlist.Fold(text[i:end]), "'", "")
			t.upper = unicode.IsUpper(r)
			t.digits = strings.Trim(t.text, "0123456789.,") == "" && t.text != ""
			out = append(out, t)
			glued, n = true, end-i
		case r == '.' && !glued && i+1 < len(text) && text[i+1] >= '0' && text[i+1] <= '9': // ".004"
			end := wordEnd(text, i+1)
			out = append(out, token{start: i, end: end, word: true, digits: true, text: kitlist.Fold(text[i:end])})
			glued, n = true, end-i
		case unicode.IsSpace(r) || unicode.Is(unicode.Cf, r) || unicode.IsControl(r) || r == utf8.RuneError:
			glued = false
		default:
			out = append(out, token{start: i, end: i + n, text: kitlist.Fold(text[i : i+n]), glued: glued})
			glued = true
		}
		i += n
	}
	return out
}

func isWord(r rune) bool { return r != utf8.RuneError && (unicode.IsLetter(r) || unicode.IsDigit(r)) }

// wordEnd finds the end of the word at i: letters, digits, marks, an apostrophe
// between letters, a decimal mark between digits.
func wordEnd(text string, i int) int {
	start := i
	prev := rune(0)
	for i < len(text) && i-start < maxToken {
		r, n := utf8.DecodeRuneInString(text[i:])
		switch {
		case isWord(r) || unicode.Is(unicode.Mn, r):
		case r == '\'' || r == '’':
			if next, _ := utf8.DecodeRuneInString(text[i+n:]); !unicode.IsLetter(prev) || !unicode.IsLetter(next) {
				return i
			}
		case r == '.' || r == ',':
			if next, _ := utf8.DecodeRuneInString(text[i+n:]); !unicode.IsDigit(prev) || !unicode.IsDigit(next) ||
				strings.Trim(text[start:i], "0123456789") != "" || gearList(text, start, i+n) {
				return i
			}
		default:
			return i
		}
		prev, i = r, i+n
	}
	return i
}

// gearList tells "1,2,3" from a decimal number: single digits and more than one
// comma, or nothing but digits below 7 at the comma's two sides.
func gearList(text string, start, next int) bool {
	if text[next-1] != ',' || next-1-start != 1 || text[start] < '1' || text[start] > '6' {
		return false
	}
	return text[next] <= '6' && text[next] >= '1' && (next+1 == len(text) || text[next+1] < '0' || text[next+1] > '9')
}

// linked reports whether b continues a phrase after a: a blank, or a hyphen,
// slash or full stop that is written close between the two.
func linked(tokens []token, a, b int) bool {
	if b == a+1 {
		return true
	}
	if b != a+2 {
		return false
	}
	m := &tokens[a+1]
	return !m.word && m.glued && tokens[b].glued && (m.text == "-" || m.text == "/" || m.text == ".")
}
