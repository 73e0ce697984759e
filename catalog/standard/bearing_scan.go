package standard

import (
	"fmt"
	"strings"

	"layshaft/catalog/quantity"
)

// bearingScan reads one designation out of a text. When searching is set, the
// text is a line of a list with other words around, and doubtful readings are
// left alone; otherwise the text is meant to be a designation.
type bearingScan struct {
	text      string
	searching bool
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

func isLetter(c byte) bool { return c|0x20 >= 'a' && c|0x20 <= 'z' }

func isAlnum(c byte) bool { return isDigit(c) || isLetter(c) }

// run is the end of the longest run of class bytes that starts at i.
func run(text string, i int, class func(byte) bool) int {
	for i < len(text) && class(text[i]) {
		i++
	}
	return i
}

// base reads a base designation at i. row is nil when there is none.
func (s bearingScan) base(i int) (row *bearingRow, end int) {
	letters := run(s.text, i, isLetter)
	if letters-i > 3 {
		return nil, i
	}
	var buf [24]byte
	key := appendUpper(buf[:0], s.text[i:letters])
	at := letters
	if len(key) > 0 {
		at = s.gap(letters)
	}
	switch string(key) {
	case "":
		key, end = s.digits(key, at, 4, 5)
	case "N", "NU", "NJ", "NUP", "RNU", "RN":
		key, end = s.digits(key, at, 3, 4)
	case "NA", "RNA":
		key, end = s.digits(key, at, 4, 4)
	case "AXK", "AS", "LS":
		key, end = s.digits(key, at, 4, 6)
	case "HK", "BK":
		return s.cup(key, at)
	case "NK", "NKI":
		key, end = s.dimensions(key, at, 2, '/')
	case "K":
		key, end = s.dimensions(key, at, 3, 'x')
	default:
		return nil, i
	}
	if end == 0 {
		return nil, i
	}
	return bearings().byKey[string(key)], end
}

// gap skips what may stand between letters and digits: nothing, one dash, or up
// to two blanks.
func (s bearingScan) gap(i int) int {
	if i < len(s.text) && s.text[i] == '-' {
		return i + 1
	}
	for n := 0; n < 2 && i < len(s.text) && s.text[i] == ' '; n++ {
		i++
	}
	return i
}

func appendUpper(dst []byte, s string) []byte {
	for i := range len(s) {
		c := s[i]
		if c >= 'a' && c <= 'z' {
			c -= 0x20
		}
		dst = append(dst, c)
	}
	return dst
}

// digits adds a run of low to high digits to key; end is 0 when it is not one.
func (s bearingScan) digits(key []byte, i, low, high int) (longer []byte, end int) {
	end = run(s.text, i, isDigit)
	if n := end - i; n < low || n > high {
		return key, 0
	}
	return append(key, s.text[i:end]...), end
}

// dimensions adds n sizes with one mark between them to key: "30x35x17" for
// "30 X 35 x 17", "10/12" for "10-12".
func (s bearingScan) dimensions(key []byte, i, n int, mark byte) (longer []byte, end int) {
	for k := range n {
		if k > 0 {
			next := s.timesSign(i)
			if next == i {
				return key, 0
			}
			key, i = append(key, mark), next
		}
		end = run(s.text, i, isDigit)
		if end == i || end-i > 3 {
			return key, 0
		}
		key = append(key, strings.TrimLeft(s.text[i:end-1], "0")...)
		key = append(key, s.text[end-1])
		if mark == 'x' && end+1 < len(s.text) && (s.text[end] == '.' || s.text[end] == ',') && isDigit(s.text[end+1]) {
			frac := run(s.text, end+1, isDigit)
			if digits := strings.TrimRight(s.text[end+1:frac], "0"); digits != "" && len(digits) <= 3 {
				key = append(append(key, '.'), digits...)
			}
			end = frac
		}
		i = end
	}
	return key, end
}

// timesSign skips one of x X * × / - with blanks around it.
func (s bearingScan) timesSign(i int) int {
	at := run(s.text, i, func(c byte) bool { return c == ' ' })
	switch {
	case at >= len(s.text):
		return i
	case strings.IndexByte("xX*/-", s.text[at]) >= 0:
		at++
	case strings.HasPrefix(s.text[at:], "×"):
		at += len("×")
	default:
		return i
	}
	return run(s.text, at, func(c byte) bool { return c == ' ' })
}

// cup reads HK and BK: Fw and width, two digits each, with or without a mark
// between. A sealed cup is wider than the tabled open ones; its outside
// diameter follows from Fw where all open ones agree on it.
func (s bearingScan) cup(key []byte, i int) (row *bearingRow, end int) {
	letters := string(key)
	if key, end = s.digits(key, i, 4, 4); end == 0 {
		half := run(s.text, i, isDigit)
		next := s.timesSign(half)
		end = run(s.text, next, isDigit)
		if half-i != 2 || next == half || end-next != 2 {
			return nil, i
		}
		key = append(append(append(key[:0], letters...), s.text[i:half]...), s.text[next:end]...)
	}
	t := bearings()
	if row = t.byKey[string(key)]; row != nil {
		return row, end
	}
	after := strings.ToUpper(s.text[end:min(len(s.text), end+6)])
	after = strings.TrimLeft(after, " -/.")
	if !strings.HasPrefix(after, "RS") && !strings.HasPrefix(after, "2RS") {
		return nil, i
	}
	digits := string(key[2:])
	fw := lengthOfDigits(digits[:2])
	outside := t.cupSizes[letters+fw.MM()]
	if len(outside) == 0 {
		return nil, i
	}
	b := Bearing{
		Family: DrawnCup, Type: letters, Base: letters + " " + digits, Clearance: "CN",
		Fw: fw, Outside: outside[0], Width: lengthOfDigits(digits[2:]),
		Source: "Fw and width from the designation; outside diameter of the open " + letters + " of that Fw (ISO 3245, bearing tables)",
	}
	if len(outside) > 1 {
		b.Outside = 0
		b.Source = fmt.Sprintf("Fw and width from the designation; outside diameter not certain: open %s of that Fw have %s or %s", letters, outside[0], outside[1])
	}
	return &bearingRow{short: "cup", Bearing: b}, end
}

func lengthOfDigits(digits string) quantity.Length {
	var n quantity.Length
	for i := range len(digits) {
		n = n*10 + quantity.Length(digits[i]-'0')
	}
	return n * quantity.MM
}

// separation is what stands between two pieces of a designation.
type separation int

const (
	glued  separation = iota
	marked            // dash, stroke, dot
	spaced            // a blank, a comma or a bracket takes part
)

// separator skips what may stand before a suffix.
func (s bearingScan) separator(i int) (next int, how separation) {
	next = i
	for next < len(s.text) && next-i < 4 {
		switch c := s.text[next]; {
		case c == '-' || c == '/' || c == '.' || c == '_':
			how = max(how, marked)
		case c == ' ' || c == '(' || c == ',':
			how = spaced
		case !s.searching && !isAlnum(c) && c < 0x80:
			how = spaced
		default:
			return next, how
		}
		next++
	}
	return next, how
}

// suffixes reads suffixes from i on into b. ok is false when text is glued to
// the designation that cannot belong to one.
func (s bearingScan) suffixes(b *Bearing, known map[string]Suffix, i int) (end int, ok bool) {
	end = i
	for end < len(s.text) {
		at, how := s.separator(end)
		stop := run(s.text, at, isAlnum)
		if stop == at {
			break
		}
		found, upTo, doubtful := s.known(known, at, stop, how)
		if found != nil {
			for _, suffix := range found {
				b.apply(suffix)
			}
			end = upTo
			if end < len(s.text) && s.text[end] == ')' && strings.Contains(s.text[i:at], "(") {
				end++
			}
			continue
		}
		text := strings.ToUpper(s.text[at:stop])
		switch {
		case !s.searching:
			b.Unknown = append(b.Unknown, text)
		case doubtful || how == spaced || isCount(text):
			return end, true
		case !possibleSuffix(text, how):
			return end, how == marked && !numberGoesOn(text)
		default:
			b.Unknown = append(b.Unknown, text)
		}
		end = stop
	}
	return end, true
}

// numberGoesOn says whether a piece after a mark makes the whole a longer
// number of some other kind ("6207-1234"), and not a second designation
// ("6206/6306").
func numberGoesOn(piece string) bool {
	return countDigits(piece) >= 3 && bearings().byKey[piece] == nil
}

func countDigits(s string) int {
	n := 0
	for i := range len(s) {
		if isDigit(s[i]) {
			n++
		}
	}
	return n
}

// isCount says whether a piece is a count glued on: the X2 of "6207x2".
func isCount(piece string) bool {
	return len(piece) > 1 && len(piece) <= 4 && piece[0] == 'X' && countDigits(piece) == len(piece)-1
}

// possibleSuffix says whether a piece that no table knows looks like a suffix.
func possibleSuffix(piece string, how separation) bool {
	if len(piece) > 6 || !isLetter(piece[0]) {
		return false
	}
	digits := countDigits(piece)
	return digits < 3 && (how == glued && len(piece) <= 4 || digits > 0 || len(piece) < 3)
}

// known reads the piece text[at:stop] as known suffixes, with the next piece
// where a suffix was torn apart ("2 RS", "C 3"); end is how far it read. It
// gives nil when the piece is none, and then doubtful when it could be one but,
// while searching, more likely is something else.
func (s bearingScan) known(known map[string]Suffix, at, stop int, how separation) (found []Suffix, end int, doubtful bool) {
	const longestRun = 14
	piece := s.text[at:stop]
	if piece == "2" || piece == "C" || piece == "c" {
		if next := s.gap(stop); next > stop {
			end := run(s.text, next, isAlnum)
			joined := strings.ToUpper(piece + s.text[next:end])
			if found, ok := segment(known, joined[:min(len(joined), longestRun)]); ok && len(joined) <= longestRun {
				return found, end, false
			}
		}
	}
	if len(piece) > longestRun {
		return nil, stop, false
	}
	found, ok := segment(known, strings.ToUpper(piece))
	if !ok {
		return nil, stop, false
	}
	if s.searching && how != glued && !s.plausible(piece, stop, how, found) {
		return nil, stop, true
	}
	return found, stop, false
}

// plausible decides whether a word that stands apart and could be a suffix is
// meant as one, in a line with other words.
func (s bearingScan) plausible(piece string, stop int, how separation, found []Suffix) bool {
	rest := s.text[stop:]
	upper := piece == strings.ToUpper(piece)
	if len(piece) == 1 {
		if !upper && how == spaced {
			return false
		}
		if rest != "" && strings.IndexByte("/'&", rest[0]) >= 0 {
			return false // M/S, N/S
		}
		if piece == "X" || piece == "x" {
			rest = strings.TrimLeft(rest, " ")
			return rest == "" || !isDigit(rest[0]) // a count: 32006 X 2
		}
		return true
	}
	if strings.ContainsAny(piece, "0123456789") {
		return true
	}
	if strings.EqualFold(piece, "nr") {
		return !isNumberWord(piece, rest)
	}
	if len(found) > 1 && found[0].Group != GroupSeal && (found[0].Canonical != "E" || len(found) > 2) {
		return false // a word made of suffix letters: BANK
	}
	switch strings.ToLower(piece) {
	case "rs", "zz", "rz", "ec", "cn", "llu", "ddu", "znr", "zznr":
		return true
	}
	return upper
}

// isNumberWord says whether "nr" before rest is short for number ("Nr. 12",
// "nr 10442") and not the suffix, which a count may follow ("6207 NR 2").
func isNumberWord(piece, rest string) bool {
	at := run(rest, 0, func(c byte) bool { return strings.IndexByte(" .:#", c) >= 0 })
	stop := run(rest, at, isAlnum)
	number := rest[at:stop]
	if number == "" || countDigits(number) != len(number) {
		return false
	}
	return strings.ContainsAny(rest[:at], ".:#") || piece == "Nr" || len(number) > 2
}
