package notes

import (
	"slices"
	"strings"
)

// readGears reads ordinals: "2nd", "1-2", "5-R", "2-5", "1 to 4", "1. Gang",
// "3eme", and bare digits after a kind that gears tell apart.
func readGears(tokens []token, i int, before []item) (item, bool) {
	if g := pairOf(tokens[i].text); g != 0 && (tokens[i].text[1] == 'r' || afterKind(before, pairThings) && !(i+1 < len(tokens) && unitAfter(tokens, i+1))) {
		return item{role: asGears, gears: g, ordinal: true, to: i + 1}, true
	}
	first, ordinal, at := gearAt(tokens, i)
	if first < 0 {
		return item{}, false
	}
	it := item{role: asGears, gears: gearBit(first), ordinal: ordinal, to: at}
	if last, end, ok := rangeEnd(tokens, at); ok {
		it.gears |= spread(first, last)
		for { // "3-4-5"
			next, to, more := rangeEnd(tokens, end)
			if !more || next <= last {
				break
			}
			it.gears |= gearBit(next)
			last, end = next, to
		}
		it.to, it.ordinal = end, true
		if ordinalDot(tokens, i, end) {
			it.to++ // "1./2. Gang"
		}
		return it, true
	}
	if ordinal {
		return it, true
	}
	if i > 0 && tokens[i-1].text == "(" && at < len(tokens) && tokens[at].text == ")" {
		return item{}, false // "needle cages (2)" counts
	}
	if at < len(tokens) && (unitAfter(tokens, at) || toothed[tokens[at].text]) {
		return item{}, false // "6 mm", "2 teeth chipped"
	}
	if k := len(before) - 1; k >= 0 && (before[k].role == asRest || before[k].role == asAll || before[k].role == asBoth) {
		return item{}, false // "the other two"
	}
	if afterGearThing(before) {
		it.to = ordinalStop(tokens, at)
		return it, true
	}
	if !afterKind(before, gearThings) && !(afterKind(before, []string{"spring"}) && spokenOf(before, it.gears)) {
		return item{}, false
	}
	if stop := ordinalStop(tokens, at); stop > at || closes(tokens, at) {
		it.to = stop
		return it, true
	}
	return item{}, false
}

// spokenOf: the gears were named before on the line: "hub 5 good, springs 5 new".
func spokenOf(before []item, gears uint16) bool {
	for i := len(before) - 1; i >= 0 && before[i].role != asLine; i-- {
		if before[i].role == asGears && before[i].gears == gears {
			return true
		}
	}
	return false
}

// pairThings are kinds that two gears share: "forks: 12 ok, 34 ok".
var pairThings = []string{"synchro hub", "synchro sleeve", "synchro key", "synchro key spring", "shift fork", "fork pad", "shift rail", "hub and sleeve set"}

// pairOf reads "12", "34" and "5r"; 0 when the word is none.
func pairOf(word string) uint16 {
	if len(word) != 2 || word[0] < '1' || word[0] > '6' {
		return 0
	}
	switch {
	case word[1] == 'r':
		return gearBit(int(word[0]-'0')) | gearBit(0)
	case word[1] == word[0]+1 && word[1] <= '6':
		return gearBit(int(word[0]-'0')) | gearBit(int(word[1]-'0'))
	}
	return 0
}

// afterKind: the last kind named in the sentence is one of some, and what stands
// between is what was said of it: "rings: 1 ok 2 ok 3 worn".
func afterKind(before []item, kinds []string) bool {
	for i := len(before) - 1; i >= 0; i-- {
		switch it := &before[i]; it.role {
		case asBreak, asLine, asUnknown, asNumber:
			return false
		case asSpec:
			if i == len(before)-1 {
				return false
			}
		case asThing:
			return slices.ContainsFunc(kinds, it.means)
		}
	}
	return false
}

// closes: what follows a bare digit, or several, says something of it or ends it.
func closes(tokens []token, at int) bool {
	for at < len(tokens) && (tokens[at].text == "r" || len(tokens[at].text) == 1 && tokens[at].digits && tokens[at].text <= "6") {
		at++ // "needles 1 2 3 R"
	}
	if at >= len(tokens) || tokens[at].line {
		return true
	}
	if !tokens[at].word {
		return tokens[at].text != "/" && !(at+1 < len(tokens) && tokens[at].text == "." && tokens[at+1].digits && tokens[at+1].glued)
	}
	e, ok := phrases[tokens[at].text]
	return ok && (verdictRole(e.role) && e.role != asMeasured || e.role == asAnd || e.role == asStop)
}

// ordinalStop skips the full stop of "5." where the words of a language that
// writes ordinals so follow.
func ordinalStop(tokens []token, at int) int {
	if at+1 < len(tokens) && tokens[at].text == "." && tokens[at].glued {
		if e, ok := phrases[tokens[at+1].text]; ok && e.lang == "de" {
			return at + 1
		}
	}
	return at
}

// toothed are features that are counted: "2 teeth chipped" names no gear.
var toothed = map[string]bool{"teeth": true, "tooth": true, "dogs": true, "splines": true, "threads": true, "zahne": true, "dents": true, "dientes": true}

// spoken6 are gears as they are dictated: "rings three four five".
var spoken6 = []string{"one", "two", "three", "four", "five", "six"}

// gearAt reads one gear at token i: its number (0 is reverse), whether it is
// written as an ordinal, and the token after it; -1 when there is none.
func gearAt(tokens []token, i int) (gear int, ordinal bool, to int) {
	if i >= len(tokens) || !tokens[i].word {
		return -1, false, i
	}
	s := tokens[i].text
	if s == "r" {
		return 0, false, i + 1
	}
	if g := slices.Index(spoken6, s); g >= 0 {
		return g + 1, false, i + 1
	}
	if s[0] < '1' || s[0] > '6' {
		return -1, false, i
	}
	switch s[1:] {
	case "st", "nd", "rd", "th", "er", "ere", "re", "e", "eme", "nde", "a", "o", "ra", "da", "ta", "ro", "do", "to", "ter", "te":
		return int(s[0] - '0'), true, i + 1
	case "":
	default:
		return -1, false, i
	}
	if i+1 < len(tokens) && tokens[i+1].text == "." && tokens[i+1].glued {
		if i+2 < len(tokens) && (strings.HasPrefix(tokens[i+2].text, "gang") || tokens[i+2].text == "-" || tokens[i+2].text == "/" ||
			tokens[i+2].text == "+" || tokens[i+2].text == "und" || tokens[i+2].text == "bis") {
			return int(s[0] - '0'), true, i + 2
		}
	}
	return int(s[0] - '0'), false, i + 1
}

// rangeEnd reads the rest of a range: "-2", "/R", "to 4", "bis 4.".
func rangeEnd(tokens []token, i int) (gear, to int, ok bool) {
	if i+1 >= len(tokens) {
		return 0, 0, false
	}
	switch tokens[i].text {
	case "-", "–", "/", "+", "&":
		loose := tokens[i].text == "-" || tokens[i].text == "–"
		if !tokens[i].glued && !(loose && i > 0 && tokens[i-1].digits && tokens[i+1].digits && !tokens[i+1].glued && len(tokens[i-1].text)+len(tokens[i+1].text) == 2) {
			return 0, 0, false
		}
	case "->", ">":
		if i == 0 || !tokens[i-1].digits || !tokens[i+1].digits {
			return 0, 0, false
		}
	case "to", "thru", "through", "bis", "a", "till":
	default:
		return 0, 0, false
	}
	g, _, end := gearAt(tokens, i+1)
	if g < 0 && (tokens[i+1].text == "rev" || tokens[i+1].text == "reverse") {
		g, end = 0, i+2
	}
	if g < 0 || end < len(tokens) && tokens[end].text == "/" && tokens[end].glued && datelike(tokens, end, g) {
		return 0, 0, false
	}
	return g, end, true
}

// datelike: another number follows, as in 3/4/26; a higher gear is none.
func datelike(tokens []token, i, gear int) bool {
	return i+1 < len(tokens) && tokens[i+1].digits && !(len(tokens[i+1].text) == 1 && atoi(tokens[i+1].text) > gear && atoi(tokens[i+1].text) <= 6)
}

// ordinalDot: the full stop at end belongs to "1./2.", of which the first gear is
// written with one too.
func ordinalDot(tokens []token, i, end int) bool {
	return i+1 < len(tokens) && tokens[i+1].text == "." && tokens[i+1].glued && end < len(tokens) && tokens[end].text == "." && tokens[end].glued
}

// spread gives the gears from first to last; reverse only pairs.
func spread(first, last int) uint16 {
	if first == 0 || last == 0 || last < first {
		return gearBit(first) | gearBit(last)
	}
	g := uint16(0)
	for n := first; n <= last; n++ {
		g |= gearBit(n)
	}
	return g
}

func gearBit(n int) uint16 { return 1 << n }

// afterGearThing: the last item names a kind that gears tell apart, or gears.
func afterGearThing(before []item) bool {
	for i := len(before) - 1; i >= 0; i-- {
		switch it := &before[i]; it.role {
		case asGears:
			return true
		case asComma, asAnd:
			if i == 0 || before[i-1].role != asGears {
				return false
			}
		case asThing:
			return slices.ContainsFunc(gearThings, func(k string) bool { return it.means(k) })
		default:
			return false
		}
	}
	return false
}

// unitAfter: the number is a size or a count.
func unitAfter(tokens []token, i int) bool {
	switch tokens[i].text {
	case "mm", "x", "off", "of", "pcs", "thou", "um", "%":
		return true
	}
	return false
}

func (it *item) means(kind string) bool {
	for _, s := range it.senses {
		if s.Name == kind {
			return true
		}
	}
	return false
}
