package match

import (
	_ "embed"
	"encoding/csv"
	"slices"
	"strings"

	"layshaft/catalog"
	"layshaft/reconcile/kitlist"
)

//go:embed words.csv
var wordsCSV string

//go:embed concepts.csv
var conceptsCSV string

// concept is a small number for a thing that words name; 0 is none.
type concept uint16

// category says what a concept can tell.
type category uint8

const (
	catWord    category = iota // helps to tell parts apart
	catKind                    // a kind of part
	catGear                    // a gear ordinal
	catSide                    // front, left, inner ...
	catList                    // words of lists that name nothing
	catForeign                 // goods of the same counter that are in no gearbox
)

var categories = map[string]category{"word": catWord, "kind": catKind, "gear": catGear, "side": catSide, "list": catList, "foreign": catForeign}

// meaning is what the lexicon knows of a concept.
type meaning struct {
	name    string
	cat     category
	parents []concept
	gear    uint16    // bit of the ordinal
	side    uint16    // bit of the side
	shaft   uint16    // bit of the shaft that it names or lies on
	host    bool      // other parts are fitted in it or on it and named after it
	both    []concept // a phrase that names several things: "d/plug"
}

// maxPhrase is the longest phrase of the lexicon in tokens.
const maxPhrase = 6

// lexicon maps phrases, squashed to letters and digits, to concepts.
type lexicon struct {
	meanings []meaning // by concept; entry 0 is unused
	byName   map[string]concept
	phrases  map[string][]concept
	// vocabulary holds the tokens of phrases, for spelling repair.
	vocabulary map[string]bool
	// plain gives the full word of an abbreviation that means one thing: "cvr" is
	// "cover", so that "rear cvr" is found as "rear cover".
	plain map[string]string
	// short gives the word that an abbreviation stands for inside phrases, ""
	// when there are several.
	short map[string]string
	// partial gives the concepts of the phrases that hold a word which is no phrase
	// by itself: "slinger" of "oil slinger".
	partial map[string][]concept
}

func newLexicon(extra ...[]*catalog.Word) *lexicon {
	lx := &lexicon{
		meanings: make([]meaning, 1), byName: map[string]concept{}, phrases: map[string][]concept{}, vocabulary: map[string]bool{}, plain: map[string]string{}, short: map[string]string{}, partial: map[string][]concept{},
	}
	lx.readConcepts()
	written := map[concept][][]token{}
	for _, row := range csvRows(wordsCSV) {
		lx.add(row[0], row[1])
		c := lx.byName[row[0]]
		written[c] = append(written[c], tokenize(row[1]))
	}
	lx.learnShort(written)
	for _, words := range extra {
		for _, w := range words {
			lx.add(w.Canonical, w.Variant)
		}
	}
	// A kind's own name means that kind, whatever else lists write so.
	for name, c := range lx.byName {
		if key := squash(name); len(lx.phrases[key]) > 1 && slices.Contains(lx.phrases[key], c) && !slices.Contains(eitherWords, name) {
			lx.phrases[key] = []concept{c}
		}
	}
	for p, c := range lx.phrases {
		if m := &lx.meanings[c[0]]; len(c) == 1 && m.cat != catList && m.both == nil && m.name != p && !strings.Contains(m.name, " ") {
			lx.plain[p] = m.name
		}
	}
	lx.unify()
	return lx
}

// unify writes misspelt words of several meanings as the one that most phrases
// use, so that "sychro body" is found as "synchro body".
func (lx *lexicon) unify() {
	uses := map[string]int{}
	for p := range lx.phrases {
		for k := 3; k < len(p); k++ {
			uses[p[:k]]++
		}
	}
	for p, c := range lx.phrases {
		if len(c) < 2 || len(p) < 5 || !lettersOnly(p) {
			continue
		}
		best := p
		for q, d := range lx.phrases {
			if (uses[q] > uses[best] || uses[q] == uses[best] && best != p && q < best) && slices.Equal(c, d) && distance(p, q, 1) == 1 {
				best = q
			}
		}
		if best != p {
			lx.plain[p] = best
		}
	}
}

// eitherWords name a kind and are also written for another: the shafts of
// different layouts, and screws for bolts.
var eitherWords = []string{"output shaft", "screw"}

// csvRows parses an embedded table without its header; a broken table is a
// programming error that the package's tests find.
func csvRows(table string) [][]string {
	rows, err := csv.NewReader(strings.NewReader(table)).ReadAll()
	if err != nil {
		panic("match: embedded table: " + err.Error())
	}
	return rows[1:]
}

var sideBits = map[string]uint16{"front": 1, "rear": 2, "left": 4, "right": 8, "inner": 16, "outer": 32, "large": 64, "small": 128}

// sideAxes are masks of sides that exclude each other.
var sideAxes = [...]uint16{1 | 2, 4 | 8, 16 | 32, 64 | 128}

const (
	shaftInput uint16 = 1 << iota
	shaftMain
	shaftCounter
	shaftOutput
	shaftIdler
	shaftDiff
	shaftSelector
)

var shaftBits = map[string]uint16{"input": shaftInput, "main": shaftMain, "counter": shaftCounter, "output": shaftOutput,
	"idler": shaftIdler, "differential": shaftDiff, "selector": shaftSelector}

// hosts are kinds of part that name the place of others: "case bolt".
var hosts = []string{"input shaft", "main shaft", "countershaft", "output shaft", "reverse idler shaft", "reverse idler", "gear", "case", "bell housing",
	"centre plate", "extension housing", "top cover", "front bearing retainer", "retainer plate", "cover", "output flange", "shift fork", "shift rail",
	"selector shaft", "synchro hub", "final drive ring gear", "differential pinion shaft", "plug", "loose roller", "shaft"}

// gearReverse is the bit of reverse; bit n is gear n.
const gearReverse uint16 = 1

func (lx *lexicon) readConcepts() {
	rows := csvRows(conceptsCSV)
	for _, row := range rows {
		lx.intern(row[0])
	}
	for _, row := range rows {
		m := &lx.meanings[lx.byName[row[0]]]
		m.cat = categories[row[1]]
		for p := range strings.SplitSeq(row[2], "|") {
			if c := lx.byName[p]; c != 0 {
				m.parents = append(m.parents, c)
			}
		}
		switch m.cat {
		case catGear:
			if m.gear = gearReverse; row[3] != "R" {
				m.gear = 1 << (row[3][0] - '0')
			}
		case catSide:
			m.side = sideBits[row[3]]
		default:
			m.shaft = shaftBits[row[3]]
		}
	}
	for _, name := range hosts {
		lx.meanings[lx.byName[name]].host = true
	}
}

// intern gives the concept of a name, making one when it is new: a kind that
// only this shop has.
func (lx *lexicon) intern(name string) concept {
	if c := lx.byName[name]; c != 0 {
		return c
	}
	c := concept(len(lx.meanings))
	lx.byName[name] = c
	m := meaning{name: name}
	if catalog.PartKind(name).Known() {
		m.cat = catKind
	}
	lx.meanings = append(lx.meanings, m)
	return c
}

// add teaches a phrase. A canonical word that is itself a phrase of the lexicon
// ("2nd") resolves to that phrase's concept.
func (lx *lexicon) add(canonical, phrase string) {
	canonical = kitlist.Fold(strings.TrimSpace(canonical))
	c := lx.byName[canonical]
	if c == 0 {
		if strings.Contains(canonical, "+") {
			c = lx.compound(canonical)
		} else if known := lx.phrases[squash(canonical)]; len(known) == 1 {
			c = known[0]
		} else {
			c = lx.intern(canonical)
		}
	}
	key := squash(kitlist.Fold(phrase))
	if key == "" || len(lx.meanings) > 1<<15 {
		return
	}
	if !slices.Contains(lx.phrases[key], c) {
		lx.phrases[key] = append(lx.phrases[key], c)
	}
	for _, t := range tokenize(phrase) {
		if cat := lx.meanings[c].cat; len(t.text) >= 4 && cat != catGear && cat != catForeign && !slices.Contains(lx.partial[t.text], c) {
			lx.partial[t.text] = append(lx.partial[t.text], c)
		}
		lx.vocabulary[t.text] = true
	}
}

// compound makes the concept of "drain+plug".
func (lx *lexicon) compound(canonical string) concept {
	c := lx.intern(canonical)
	for name := range strings.SplitSeq(canonical, "+") {
		part := lx.intern(name)
		lx.meanings[c].both = append(lx.meanings[c].both, part)
	}
	return c
}

// squash keeps letters and digits of folded text.
func squash(s string) string {
	b := make([]byte, 0, len(s))
	for i := range len(s) {
		if c := s[i]; isAlnum(c) {
			b = append(b, c)
		}
	}
	return string(b)
}

func isAlnum(c byte) bool { return 'a' <= c && c <= 'z' || '0' <= c && c <= '9' || c >= 0x80 }

func lettersOnly(s string) bool {
	for i := range len(s) {
		if '0' <= s[i] && s[i] <= '9' {
			return false
		}
	}
	return s != ""
}

// token is a run of letters and digits of folded text.
type token struct {
	text string
	sep  byte // the last character before it that is not a blank, or ' '
}

// tokenize folds text and cuts it into tokens.
func tokenize(text string) []token {
	s := kitlist.Fold(text)
	var out []token
	sep := byte(' ')
	for i := 0; i < len(s); {
		if !isAlnum(s[i]) {
			if s[i] != ' ' && s[i] != '\t' {
				sep = s[i]
			}
			i++
			continue
		}
		j := i
		for j < len(s) && isAlnum(s[j]) {
			j++
		}
		out = append(out, token{s[i:j], sep})
		sep, i = ' ', j
	}
	return out
}

// inverted looks for a phrase whose noun stands first, before a comma: "cage,
// needle" is "needle cage".
func (lx *lexicon) inverted(tokens []token, buf []byte) ([]concept, int) {
	if len(tokens) < 2 || tokens[1].sep != ',' {
		return nil, 0
	}
	noun := singular(tokens[0].text)
	buf = buf[:0]
	var best []concept
	n := 0
	for i := 1; i < len(tokens) && i < maxPhrase && len(buf) < 40; i++ {
		if i > 1 && tokens[i].sep == ',' {
			break
		}
		buf = append(buf, tokens[i].text...)
		if c := lx.phrases[string(buf)+noun]; c != nil {
			best, n = c, i+1
		}
	}
	return best, n
}

// longest looks for the longest phrase, also with abbreviations written out.
func (lx *lexicon) longest(tokens, full []token, buf []byte) ([]concept, int) {
	c, n := lx.find(tokens, buf)
	if d, m := lx.inverted(tokens, buf); m > n {
		c, n = d, m
	}
	if full == nil {
		return c, n
	}
	if d, m := lx.inverted(full, buf); m > n {
		return d, m
	}
	if d, m := lx.find(full, buf); m > n {
		return d, m
	}
	return c, n
}

// written gives the tokens with abbreviations written out, nil when there is none.
func (lx *lexicon) written(tokens []token) []token {
	var out []token
	for i := range tokens {
		if w, ok := lx.plain[tokens[i].text]; ok {
			if out == nil {
				out = slices.Clone(tokens)
			}
			out[i].text = w
		}
	}
	return out
}

// ways are the word and what it abbreviates alone and in phrases.
func (lx *lexicon) ways(w string) [3]string { return [3]string{w, lx.plain[w], lx.short[w]} }

// learnShort finds abbreviations by phrases of one meaning that differ in one
// word: "inner slv" and "inner sleeve" say that "slv" is "sleeve".
func (lx *lexicon) learnShort(written map[concept][][]token) {
	for _, list := range written {
		for _, a := range list {
			for _, b := range list {
				if s, l := oneShorter(a, b); s != "" {
					if old, ok := lx.short[s]; ok && old != l {
						l = "" // stands for several words
					}
					lx.short[s] = l
				}
			}
		}
	}
}

// oneShorter gives the word of a that abbreviates the word of b at the only place
// where they differ.
func oneShorter(a, b []token) (short, long string) {
	if len(a) != len(b) || len(a) < 2 {
		return "", ""
	}
	at := -1
	for i := range a {
		if a[i].text != b[i].text {
			if at >= 0 {
				return "", ""
			}
			at = i
		}
	}
	if at < 0 || abbreviates(a[at].text, b[at].text) == 0 || singular(b[at].text) == a[at].text {
		return "", ""
	}
	return a[at].text, b[at].text
}

// find looks for the longest phrase that starts at tokens[0].
func (lx *lexicon) find(tokens []token, buf []byte) ([]concept, int) {
	buf = buf[:0]
	var best []concept
	n := 0
	for i := 0; i < len(tokens) && i < maxPhrase && len(buf) < 48; i++ {
		buf = append(buf, tokens[i].text...)
		if c := lx.phrases[string(buf)]; c != nil {
			best, n = c, i+1
		} else if i > 0 && buf[len(buf)-1] == 's' {
			if c := lx.phrases[string(buf[:len(buf)-1])]; c != nil {
				best, n = c, i+1
			}
		}
	}
	if n == 0 {
		if c := lx.phrases[singular(tokens[0].text)]; c != nil {
			return c, 1
		}
	}
	return best, n
}

// singular takes a regular English plural ending off.
func singular(s string) string {
	switch {
	case len(s) > 4 && strings.HasSuffix(s, "es"):
		if strings.HasSuffix(s, "shes") || strings.HasSuffix(s, "xes") {
			return s[:len(s)-2]
		}
		return s[:len(s)-1]
	case len(s) > 2 && s[len(s)-1] == 's':
		return s[:len(s)-1]
	}
	return s
}

// isWider: k is a parent, or a parent's parent, of kind.
func (lx *lexicon) isWider(k, kind concept) bool {
	for _, p := range lx.meanings[kind].parents {
		if p == k || lx.isWider(k, p) {
			return true
		}
	}
	return false
}
