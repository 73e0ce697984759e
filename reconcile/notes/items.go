package notes

import (
	"slices"
	"strconv"
	"strings"

	"layshaft/catalog/quantity"
	"layshaft/reconcile/match"
)

// item is a phrase of the note with what it does there.
type item struct {
	role       role
	arg        string
	senses     []match.Sense   // of asThing: what the phrase may mean
	more       [][]match.Sense // of asThing: the first part of a compound
	gears      uint16          // of asGears: bit n for gear n, bit 0 for reverse
	ordinal    bool            // of asGears: written as one, not as bare digits
	number     int             // of asNumber without a decimal mark
	guess      bool            // of asThing: the spelling is far off
	plural     bool
	date       quantity.Date
	from, to   int // tokens [from, to)
	start, end int // bytes
}

// gearThings are kinds that gears are told apart by: "ring 3", "hub 1-2".
var gearThings = []string{"synchro ring", "ring", "gear", "synchro hub", "synchro sleeve", "synchro key", "synchro key spring",
	"needle bearing", "shift fork", "fork pad", "shift rail", "inner sleeve", "multi-cone ring set", "hub and sleeve set", "gear pair"}

// itemize reads tokens into items.
func (rd *Reader) itemize(tokens []token, today quantity.Date) []item {
	var out []item
	lineStart, listed := true, 0
	for i := 0; i < len(tokens); {
		var it item
		if lineStart && enumerates(tokens, i, listed) {
			listed++
			it = item{role: asMarker, to: i + 2}
		} else {
			it = rd.next(tokens, i, out, today, lineStart)
		}
		it.from, it.start, it.end = i, tokens[i].start, tokens[it.to-1].end
		lineStart = it.role == asLine || lineStart && it.role == asMarker
		out = append(out, it)
		i = it.to
	}
	return out
}

// enumerates: a line begins with the next number, or letter, of a numbered list,
// "3." or "c)", and more of that list stands before or after it.
func enumerates(tokens []token, i, listed int) bool {
	is := func(k, n int) bool {
		if k+2 >= len(tokens) || !tokens[k+1].glued || tokens[k+2].line || tokens[k+1].text != "." && tokens[k+1].text != ")" {
			return false
		}
		return tokens[k].text == strconv.Itoa(n) && !tokens[k+2].glued || tokens[k+1].text == ")" && tokens[k].text == string(rune('a'+n-1))
	}
	if !is(i, listed+1) {
		return false
	}
	for k := i; listed == 0 && k+1 < len(tokens); k++ {
		if tokens[k].line {
			return is(k+1, 2)
		}
	}
	return listed > 0
}

// next reads one item that starts at token i; its to is always beyond i.
func (rd *Reader) next(tokens []token, i int, before []item, today quantity.Date, lineStart bool) item {
	t := &tokens[i]
	if t.line {
		return item{role: asLine, to: i + 1}
	}
	if it, ok := readDate(tokens, i, before, today); ok {
		return it
	}
	if it, ok := readGears(tokens, i, before); ok {
		return it
	}
	if !t.word {
		return markItem(tokens, i, lineStart)
	}
	if t.text == "back" && i+2 < len(tokens) && tokens[i+1].text == "in" && (tokens[i+2].digits || tokens[i+2].text == "a") {
		return item{role: asDue, to: i + 1} // "back in 2 weeks"
	}
	if side := sideLetter(tokens, i); side != "" && !handed(tokens, i) {
		return item{role: asThing, to: i + 1, senses: []match.Sense{{Name: side, Side: true}}}
	}
	if t.digits {
		return numberItem(tokens, i)
	}
	if k := slices.Index(spoken6, t.text); k > 0 { // "one" is mostly no number
		return item{role: asNumber, number: k + 1, to: i + 1}
	}
	if to := oneOfThem(tokens, i); to > 0 {
		return item{role: asNumber, number: 1, to: to}
	}
	if it, ok := multiplier(tokens, i); ok {
		return it
	}
	return rd.phrase(tokens, i)
}

// phrase reads words: the longer of the table's and the lexicon's phrase, the
// table's when they are equal; then with spelling repaired.
func (rd *Reader) phrase(tokens []token, i int) item {
	words, ends := window(tokens, i)
	own, n := ownPhrase(words)
	senses, m := rd.senses(words)
	r := repair{own: own, n: n, senses: senses, m: m}
	if n == 0 && m == 0 {
		rd.repaired(words, &r)
	}
	if r.n == 0 && r.m == 0 {
		return unknownItem(words[0], i)
	}
	if r.n > 0 && (r.n >= r.m || r.own.role == asPair || r.own.role == asOf && r.m < 2) {
		return ownItem(&r, words, ends)
	}
	if r.m == 0 {
		return unknownItem(words[0], i)
	}
	it := item{role: asThing, senses: r.senses, more: r.more, to: ends[r.m-1], guess: r.guess}
	it.joinedSense()
	it.plural = r.ending || plural(words[r.m-1])
	if g := onlyGears(r.senses); g != 0 {
		it.role, it.gears, it.ordinal = asGears, g, true
	}
	return it
}

// joinedSense takes a sense of two words, "drain+plug", apart.
func (it *item) joinedSense() {
	for _, s := range it.senses {
		if first, last, ok := strings.Cut(s.Name, "+"); ok && len(it.more) == 0 {
			it.senses, it.more = kindSense(last), [][]match.Sense{{{Name: first}}}
			return
		}
	}
}

// ownItem is the item of a phrase of the table.
func ownItem(r *repair, words []string, ends []int) item {
	it := item{role: r.own.role, arg: r.own.arg, to: ends[r.n-1]}
	switch r.own.role {
	case asHand:
		it.role, it.senses = asThing, []match.Sense{{Name: r.own.arg, Side: true}}
	case asKind:
		it.role, it.plural = asThing, plural(words[r.n-1])
		it.senses = kindSense(r.own.arg)
	case asWord:
		it.role, it.senses = asThing, []match.Sense{{Name: r.own.arg, Own: true}}
	case asPair:
		it.role, it.senses = asThing, []match.Sense{{Name: "gear pair", Kind: true}}
	case asPlain:
		it.role, it.arg = asUnknown, "plain"
	case asFeature:
		if r.m == r.n {
			it.senses = r.senses
		}
	}
	return it
}

// kindSense is the sense of a kind that the table names.
func kindSense(kind string) []match.Sense {
	shafts := map[string]string{"input shaft": "input", "output shaft": "output", "main shaft": "main", "countershaft": "counter"}
	return []match.Sense{{Name: kind, Kind: true, Shaft: shafts[kind]}}
}

// window gives the words of the longest phrase that could start at i, and for
// each the token after it.
func window(tokens []token, i int) (words []string, ends []int) {
	last := i
	for j := i; j < len(tokens) && len(words) < maxWords; j++ {
		t := &tokens[j]
		if !t.word {
			continue
		}
		if j > i && !linked(tokens, last, j) {
			break
		}
		words, ends = append(words, t.text), append(ends, j+1)
		last = j
	}
	return words, ends
}

func ownPhrase(words []string) (entry, int) {
	for n := len(words); n > 0; n-- {
		if e, ok := phrases[strings.Join(words[:n], " ")]; ok {
			return e, n
		}
	}
	return entry{}, 0
}

func onlyGears(senses []match.Sense) uint16 {
	g := uint16(0)
	for _, s := range senses {
		if s.Gears == 0 {
			return 0
		}
		g |= s.Gears
	}
	return g
}

// plural endings of the languages that bench notes mix.
func plural(word string) bool {
	return len(word) > 3 && (strings.HasSuffix(word, "s") && !strings.HasSuffix(word, "ss") || strings.HasSuffix(word, "ringe") ||
		strings.HasSuffix(word, "kranze") || strings.HasSuffix(word, "muffen") || strings.HasSuffix(word, "muttern") || strings.HasSuffix(word, "stifte") || strings.HasSuffix(word, "dichtungen"))
}

// markItem reads a mark: what it separates.
func markItem(tokens []token, i int, lineStart bool) item {
	t := &tokens[i]
	it := item{role: asComma, arg: t.text, to: i + 1}
	switch t.text {
	case ";", "!", ".", "…":
		it.role = asBreak
		if i+1 < len(tokens) && tokens[i+1].glued && tokens[i+1].text == "," {
			it.role = asMarker // "i.O., bleibt"
		}
		if t.text == "." && abbreviated(tokens, i) {
			it.role = asMarker
		}
	case ":":
		it.role = asColon
	case "?":
		it.role = asMaybe
	case "&", "+":
		it.role = asAnd
		if lineStart {
			it.role = asMarker
		}
	case "/":
		it.role = asAnd
		if !t.glued {
			it.role = asComma
		}
	case "-", "–", "—", "*", "•", "·", ">", "=", "→", "#":
		if lineStart {
			it.role = asMarker
		} else if t.text == "-" && t.glued && i+1 < len(tokens) && tokens[i+1].glued {
			it.role = asMarker // inside a word
		}
	case "'", `"`, "`", "~", "_":
		it.role = asMarker
	}
	return it
}

// abbreviated: a full stop close after a short word without a vowel and before more of the same
// sentence, as in "brg. rough".
func abbreviated(tokens []token, i int) bool {
	if i == 0 || !tokens[i].glued || !tokens[i-1].word || len(tokens[i-1].text) > 4 || strings.ContainsAny(tokens[i-1].text, "0123456789") {
		return false
	}
	word := tokens[i-1].text
	if word == "u" || word == "inkl" || word == "incl" {
		return true
	}
	if len(word) == 1 && i+1 < len(tokens) && tokens[i+1].upper {
		return false // "seals L/R. Gaskets"
	}
	if _, own := phrases[word]; own {
		return false
	}
	return !strings.ContainsAny(word, "aeiou") && i+1 < len(tokens) && tokens[i+1].word
}
