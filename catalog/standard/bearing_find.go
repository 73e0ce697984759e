package standard

import "strings"

// Found is a designation inside a longer text.
type Found struct {
	Start, End int // byte span in the text, End exclusive
	Bearing    Bearing
}

// FindBearings finds the rolling-bearing designations in one line of text, left
// to right and not overlapping. It keeps off dates, prices, counts, units and
// longer part numbers; only designations that [ParseBearing] would decode are
// found. It is meant for thousands of lines a second.
func FindBearings(text string) []Found {
	var found []Found
	scan := bearingScan{text: text, searching: true}
	lastEnd := -1
	for i := 0; i < len(text); {
		if !isAlnum(text[i]) {
			i++
			continue
		}
		end := run(text, i, isAlnum)
		start := i
		if word := run(text, i, isLetter); word > i && word < end && isBearingWord(text[i:word]) {
			start = word // BRG6207
		}
		if f, ok := scan.findAt(start, start != i, lastEnd); ok {
			found = append(found, f)
			lastEnd = f.End
			i = max(f.End, i+1)
			continue
		}
		i = end
	}
	return found
}

// findAt tries one word start. afterWord is set when a word for bearing is
// glued in front; lastEnd is where the designation before this one ended.
func (s bearingScan) findAt(i int, afterWord bool, lastEnd int) (Found, bool) {
	if !startsBase(s.text[i]) || !afterWord && !s.freeBefore(i, lastEnd) {
		return Found{}, false
	}
	row, baseEnd := s.base(i)
	if row == nil || !s.likelyBase(row, i) {
		return Found{}, false
	}
	b := row.Bearing
	end, ok := s.suffixes(&b, affixes()[row.short], baseEnd)
	if !ok {
		return Found{}, false
	}
	if end == baseEnd && s.goesOn(end, row.Type == "") {
		return Found{}, false
	}
	if row.Type == "" && s.numberedThing(i) {
		return Found{}, false
	}
	b.settle()
	b.Written = s.text[i:end]
	return Found{Start: i, End: end, Bearing: b}, true
}

func startsBase(c byte) bool {
	switch c {
	case '1', '3', '5', '6', 'N', 'n', 'H', 'h', 'B', 'b', 'K', 'k', 'A', 'a', 'L', 'l', 'R', 'r':
		return true
	}
	return false
}

// freeBefore says whether a designation may start at i.
func (s bearingScan) freeBefore(i, lastEnd int) bool {
	if i == 0 {
		return true
	}
	switch c := s.text[i-1]; c {
	case '$', '%':
		return false
	case '.', ',', '+', ':', '=', '_', '#', '@', '\\':
		return i < 2 || !isAlnum(s.text[i-2]) || i-1 == lastEnd
	case '/', '-':
		if i < 2 || i-1 == lastEnd || !isAlnum(s.text[i-2]) && s.text[i-2] < 0x80 {
			return true
		}
		start := i - 1
		for start > 0 && isLetter(s.text[start-1]) {
			start--
		}
		return isBearingWord(s.text[start : i-1])
	default:
		if c < 0x80 {
			return !isAlnum(c)
		}
		for _, sign := range []string{"€", "£", "¥"} {
			if strings.HasSuffix(s.text[:i], sign) {
				return false
			}
		}
		// A blank, dash or bullet outside ASCII; letters with accents continue a word.
		return !strings.HasSuffix(s.text[:i], "º") && isMark(s.text[:i])
	}
}

// isMark says whether text ends with a non-ASCII mark rather than a letter.
func isMark(text string) bool {
	for _, mark := range []string{"\u00a0", "\u202f", "•", "·", "–", "—", "“", "”", "‘", "’", "«", "»", "×", "→", "●", "▪", "￫"} {
		if strings.HasSuffix(text, mark) {
			return true
		}
	}
	return false
}

func isBearingWord(word string) bool {
	switch strings.ToLower(word) {
	case "brg", "brgs", "bearing", "bearings", "lager", "rlt", "bb":
		return true
	}
	return false
}

// likelyBase weeds out words that only look like a prefix with digits: a blank
// after a lower-case letter, "same AS 2035", "P/N 206".
func (s bearingScan) likelyBase(row *bearingRow, i int) bool {
	letters := run(s.text, i, isLetter)
	if letters == i || letters >= len(s.text) || s.text[letters] != ' ' {
		return true
	}
	switch word := s.text[i:letters]; strings.ToUpper(word) {
	case "N", "AS", "LS":
		before := s.wordBefore(i)
		return word == strings.ToUpper(word) && before != "same" && before != "p" && before != "part" && before != "item"
	case "NA":
		return word == "NA" || row.Type == "RNA"
	}
	return true
}

// wordBefore is the word before i, in lower case, over blanks and '.', ':', '#'.
func (s bearingScan) wordBefore(i int) string {
	for i > 0 && strings.IndexByte(" .:#", s.text[i-1]) >= 0 {
		i--
	}
	start := i
	for start > 0 && isLetter(s.text[start-1]) {
		start--
	}
	return strings.ToLower(s.text[start:i])
}

// goesOn says whether the text after a bare base shows it to be a price, a
// size, a time or an amount of something.
func (s bearingScan) goesOn(end int, digitsOnly bool) bool {
	rest := s.text[end:]
	if rest == "" || !digitsOnly {
		return false
	}
	if len(rest) > 1 && isDigit(rest[1]) {
		n := run(rest, 1, isDigit) - 1
		switch rest[0] {
		case '.', ',':
			return n <= 3
		case ':':
			return true
		case 'x', 'X', '*':
			after := run(rest, 1, isDigit)
			return after < len(rest) && strings.IndexByte("xX*", rest[after]) >= 0
		}
	}
	rest = strings.TrimLeft(rest, " ")
	if rest == "" {
		return false
	}
	for _, sign := range []string{"€", "£", "$", "%", "°", "¥"} {
		if strings.HasPrefix(rest, sign) {
			return true
		}
	}
	word := strings.ToLower(rest[:run(rest, 0, isLetter)])
	switch word {
	case "mm", "cm", "km", "kg", "lbs", "lb", "eur", "usd", "gbp", "chf", "hrs", "rpm", "nm", "miles", "mi", "ml":
		return true
	}
	return false
}

// numberedThing says whether the word before names something else that has
// numbers: an invoice, a page, a telephone.
func (s bearingScan) numberedThing(i int) bool {
	switch s.wordBefore(i) {
	case "invoice", "inv", "order", "po", "tel", "fax", "phone", "page", "job", "vat", "zip", "quote", "eur", "usd", "gbp", "chf":
		return true
	}
	return false
}
