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

// repair is what words were read as: n words of the table's phrase, m of the
// lexicon's.
type repair struct {
	own    entry
	n, m   int
	senses []match.Sense
	more   [][]match.Sense
	ending bool // without its plural ending
	guess  bool // far from how it is spelt, or too short to be sure
}

// repaired reads words that are in neither table as they stand.
func (rd *Reader) repaired(words []string, r *repair) {
	if r.senses, r.m = rd.ended(words); r.m > 0 {
		r.ending = true
		return
	}
	if len(words[0]) < 3 {
		return // too short to be repaired
	}
	if rd.elided(words, r) {
		return
	}
	if rd.compound(words[0], r) {
		return
	}
	if w, ok := slip(words[0]); ok {
		r.own, r.n = phrases[w], 1
		return
	}
	if rd.corrected(words, words[0], r) {
		return
	}
	if bare, ok := strings.CutSuffix(words[0], "s"); ok && rd.corrected(words, bare, r) {
		r.ending = true
		return
	}
	if len(words[0]) < 6 {
		return
	}
	if r.senses = rd.vocabulary.Partly(words[0]); len(r.senses) == 0 {
		r.senses, r.guess = rd.vocabulary.Repair(words[0]), true
	}
	if len(r.senses) > 0 {
		r.m = 1
	}
}

// elided reads French "d'arbre" and "l'arbre" without what is elided.
func (rd *Reader) elided(words []string, r *repair) bool {
	if w := words[0]; len(w) < 5 || w[0] != 'd' && w[0] != 'l' || !strings.ContainsRune("aeiouh", rune(w[1])) {
		return false
	}
	bare := slices.Clone(words)
	bare[0] = bare[0][1:]
	r.senses, r.m = rd.senses(bare)
	return r.m > 0
}

// compound reads two words that are written as one: "Differentiallager".
func (rd *Reader) compound(word string, r *repair) bool {
	const least = 4 // letters of a part
	for k := len(word) - least; k >= least; k-- {
		last, n := rd.senses([]string{word[k:]})
		ending := false
		if n == 0 {
			if last, n = rd.ended([]string{word[k:]}); n == 0 {
				continue
			}
			ending = true
		}
		for _, first := range []string{word[:k], strings.TrimSuffix(word[:k], "s"), strings.TrimSuffix(word[:k], "n"), strings.TrimSuffix(word[:k], "en")} {
			s, m := rd.senses([]string{first})
			if own, ok := phrases[first]; ok && own.role == asKind && m == 0 {
				s, m = kindSense(own.arg), 1
			}
			if m > 0 && firstKind(last) != "" {
				r.senses, r.more, r.m, r.ending = last, [][]match.Sense{s}, 1, ending || plural(word)
				return true
			}
		}
	}
	return false
}

// corrected reads the words with the first one's spelling put right.
func (rd *Reader) corrected(words []string, first string, r *repair) bool {
	fixed := rd.vocabulary.Correct(first)
	if fixed == first || fixed[0] != first[0] && !oneSlip(first, fixed) {
		return false // another first letter and more is another word
	}
	w := slices.Clone(words)
	w[0] = fixed
	r.senses, r.m = rd.senses(w)
	r.guess = len(first) < 5
	return r.m > 0
}

// unknownItem tells sizes and numbers of parts from words.
func unknownItem(word string, i int) item {
	if strings.ContainsAny(word, "0123456789") {
		return item{role: asSpec, to: i + 1}
	}
	return item{role: asUnknown, to: i + 1}
}

// numberItem reads a small whole number as a possible count, any other as a
// size or number of a part.
func numberItem(tokens []token, i int) item {
	t := &tokens[i]
	it := item{role: asSpec, to: i + 1, number: -1}
	if i+1 < len(tokens) && tokens[i+1].text == "%" {
		return item{role: asMeasured, to: i + 2}
	}
	if to := ofHowMany(tokens, i); to > 0 {
		return item{role: asNumber, arg: "of", to: to, number: atoi(t.text)}
	}
	partOfSize := i+2 < len(tokens) && tokens[i+1].text == "/" && tokens[i+2].digits || i > 1 && tokens[i-1].text == "/" && tokens[i-2].digits
	if len(t.text) <= 2 && !partOfSize {
		it.role, it.number = asNumber, atoi(t.text)
	}
	return it
}

// ofHowMany reads the rest of "2 of the 3"; 0 when it does not follow.
func ofHowMany(tokens []token, i int) int {
	at := i + 1
	if at >= len(tokens) || tokens[at].text != "of" || len(tokens[i].text) > 2 {
		return 0
	}
	for at++; at < len(tokens) && (tokens[at].text == "the" || tokens[at].text == "those"); at++ {
	}
	if at < len(tokens) && tokens[at].digits && len(tokens[at].text) <= 2 {
		return at + 1
	}
	return 0
}

// oneOfThem reads "one of the"; 0 when it does not stand there.
func oneOfThem(tokens []token, i int) int {
	if tokens[i].text != "one" || i+2 >= len(tokens) || tokens[i+1].text != "of" {
		return 0
	}
	switch tokens[i+2].text {
	case "the", "those", "its", "these":
		return i + 3
	}
	return 0
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

// senses of the lexicon's longest phrase; list words say nothing here. A word
// that is misspelt inside a phrase is repaired.
func (rd *Reader) senses(words []string) ([]match.Sense, int) {
	s, n := rd.vocabulary.Phrase(words)
	if len(words) > 1 && n > 0 && n < len(words) {
		if fixed := rd.vocabulary.Correct(words[n]); fixed != words[n] {
			if _, own := phrases[words[n]]; !own {
				w := slices.Clone(words[:n+1])
				w[n] = fixed
				if s2, n2 := rd.vocabulary.Phrase(w); n2 > n {
					s, n = s2, n2
				}
			}
		}
	}
	s = slices.DeleteFunc(s, func(x match.Sense) bool { return x.List })
	if len(s) == 0 {
		return nil, 0
	}
	return exactly(s, strings.Join(words[:n], " ")), n
}

// ended reads a word without the plural endings of other languages.
func (rd *Reader) ended(words []string) ([]match.Sense, int) {
	for _, end := range []string{"en", "e", "n", "s"} {
		if w, ok := strings.CutSuffix(words[0], end); ok && len(w) >= 4 {
			bare := slices.Clone(words)
			bare[0] = w
			if s, n := rd.senses(bare); n > 0 {
				return s, n
			}
		}
	}
	return nil, 0
}

// exactly keeps the sense whose own name was written, when there is one: a
// "synchro ring" is just that, whatever else some people call so.
func exactly(senses []match.Sense, written string) []match.Sense {
	for _, s := range senses {
		if s.Name == written || s.Name+"s" == written {
			return []match.Sense{s}
		}
	}
	return senses
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

// letterPairs are sides by their first letters, which mean nothing but in pairs:
// German "v+h", English "f/r", French "g et d".
var letterPairs = map[string]string{"vh": "front", "hv": "rear", "fr": "front", "rf": "rear", "gd": "left", "dg": "right"}

// sideLetter reads one letter as a side; "" when it is none.
func sideLetter(tokens []token, i int) string {
	pair := func(a, b int) string {
		if b < 0 || b >= len(tokens) || len(tokens[a].text) != 1 || len(tokens[b].text) != 1 {
			return ""
		}
		return letterPairs[tokens[a].text+tokens[b].text]
	}
	joint := func(k int) bool {
		if k < 0 || k >= len(tokens) {
			return false
		}
		switch tokens[k].text {
		case "+", "/", "&", "u", "et", "und", "and", "y":
			return true
		}
		return false
	}
	if joint(i+1) && pair(i, i+2) != "" {
		return pair(i, i+2)
	}
	if joint(i-1) && pair(i, i-2) != "" {
		return pair(i, i-2)
	}
	return map[string]string{"l": "left", "r": "right"}[tokens[i].text]
}

// handed: "l/h" is written out with its stroke.
func handed(tokens []token, i int) bool {
	return i+2 < len(tokens) && tokens[i+1].text == "/" && tokens[i+1].glued && tokens[i+2].text == "h" && tokens[i+2].glued
}

// multiplier reads "x2" and "2x" as a count.
func multiplier(tokens []token, i int) (item, bool) {
	t := tokens[i].text
	n := strings.TrimPrefix(t, "x")
	if n == t {
		n = strings.TrimSuffix(t, "x")
	}
	if n == t || n == "" || len(n) > 2 || strings.Trim(n, "0123456789") != "" {
		return item{}, false
	}
	return item{role: asNumber, number: atoi(n), to: i + 1}, true
}

func atoi(s string) int {
	n := 0
	for i := range len(s) {
		if s[i] < '0' || s[i] > '9' {
			return -1
		}
		n = n*10 + int(s[i]-'0')
	}
	return n
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
