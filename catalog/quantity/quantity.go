// Package quantity holds the exact value types of the catalogue: lengths,
// angles, torques, money, tooth ratios, lead times and dates.
//
// Nothing here stores or compares a float. Every Parse function is strict: what
// it cannot read exactly it refuses with a [ParseError] that names the place in
// the text and the remedy. In numbers a single '.' or ',' is always the decimal
// mark, never a thousands separator.
package quantity

import (
	"fmt"
	"math"
	"math/bits"
	"strconv"
	"strings"
)

// maxText is the longest text, in bytes, any parser of this package looks at.
const maxText = 64

// ParseError says why a text is not the quantity asked for.
type ParseError struct {
	Kind    string // what was wanted: "length", "angle", ...
	Text    string // the whole text as given, shortened when very long
	Offset  int    // byte offset in Text where reading stopped
	Problem string // what is wrong there
	Remedy  string // what to write instead
}

// Error gives kind, text, place, problem and remedy in one line.
func (e *ParseError) Error() string {
	return fmt.Sprintf("%s %q, at character %d: %s; %s", e.Kind, e.Text, e.Offset+1, e.Problem, e.Remedy)
}

func refuse(kind, text string, offset int, problem, remedy string) error {
	if len(text) > maxText {
		text = text[:maxText]
	}
	if offset > len(text) {
		offset = len(text)
	}
	return &ParseError{Kind: kind, Text: text, Offset: offset, Problem: problem, Remedy: remedy}
}

// number is an unsigned fraction with a sign, as written.
type number struct {
	neg      bool
	num, den uint64
}

var powersOfTen = func() (p [19]uint64) {
	p[0] = 1
	for i := 1; i < len(p); i++ {
		p[i] = p[i-1] * 10
	}
	return p
}()

// cutSign takes a leading sign (ASCII or U+2212) off s.
func cutSign(s string) (neg bool, rest string) {
	if r, ok := strings.CutPrefix(s, "-"); ok {
		return true, r
	}
	if r, ok := strings.CutPrefix(s, "\u2212"); ok {
		return true, r
	}
	r, _ := strings.CutPrefix(s, "+")
	return false, r
}

// scanDigits reads leading ASCII digits; n is how many bytes were taken, ok is
// false when their value does not fit.
func scanDigits(s string, start uint64) (v uint64, n int, ok bool) {
	v, ok = start, true
	for n < len(s) && s[n] >= '0' && s[n] <= '9' {
		hi, lo := bits.Mul64(v, 10)
		sum, carry := bits.Add64(lo, uint64(s[n]-'0'), 0)
		if hi != 0 || carry != 0 {
			ok = false
		}
		v = sum
		n++
	}
	return v, n, ok
}

// scanDecimal reads an unsigned decimal at the start of s. problem is empty on
// success; n is how far it read.
func scanDecimal(s string) (num, den uint64, n int, problem string) {
	whole, n, ok := scanDigits(s, 0)
	if !ok {
		return 0, 1, n, "the number has too many digits"
	}
	if n < len(s) && (s[n] == '.' || s[n] == ',') {
		frac := s[n+1:]
		zeros := 0 // trailing zeros add nothing and must not cause overflow
		end := 0
		for end < len(frac) && frac[end] >= '0' && frac[end] <= '9' {
			if frac[end] == '0' {
				zeros++
			} else {
				zeros = 0
			}
			end++
		}
		if end == 0 {
			return 0, 1, n + 1, "no digit after the decimal mark"
		}
		v, used, ok := scanDigits(frac[:end-zeros], whole)
		if !ok || used >= len(powersOfTen) {
			return 0, 1, n + 1, "the number has too many digits"
		}
		if rest := frac[end:]; rest != "" && (rest[0] == '.' || rest[0] == ',') {
			return 0, 1, n + 1 + end, "a second decimal mark"
		}
		return v, powersOfTen[used], n + 1 + end, ""
	}
	if n == 0 {
		return 0, 1, 0, "no number here"
	}
	return whole, 1, n, ""
}

type exactness int

const (
	exact exactness = iota
	inexact
	tooLarge
)

// times gives n*mul as a whole number when it is one that fits an int64.
func (n number) times(mul uint64) (int64, exactness) {
	hi, lo := bits.Mul64(n.num, mul)
	if hi >= n.den {
		return 0, tooLarge
	}
	q, r := bits.Div64(hi, lo, n.den)
	if q > math.MaxInt64 && !(n.neg && q == 1<<63) {
		return 0, tooLarge
	}
	if r != 0 {
		return 0, inexact
	}
	if n.neg {
		return -int64(q), exact
	}
	return int64(q), exact
}

// formatScaled writes v / 10^digits as the shortest exact decimal.
func formatScaled(v int64, digits int) string {
	mag := uint64(v)
	if v < 0 {
		mag = -mag
	}
	text := strconv.FormatUint(mag, 10)
	if digits > 0 {
		if len(text) <= digits {
			text = strings.Repeat("0", digits+1-len(text)) + text
		}
		cut := len(text) - digits
		frac := strings.TrimRight(text[cut:], "0")
		text = text[:cut]
		if frac != "" {
			text += "." + frac
		}
	}
	if v < 0 {
		return "-" + text
	}
	return text
}
