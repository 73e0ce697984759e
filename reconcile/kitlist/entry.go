package kitlist

import (
	"slices"
	"sort"
	"strings"
)

// entry is one or more physical lines that belong together, while being read.
type entry struct {
	d            *document
	at           []atom // the document's atoms; positions below index it
	a, b         int    // the entry's atoms
	body         int    // first atom after quote marks, bullet and numbering
	first, last  int    // physical lines, from 0
	depth        int
	indent       int
	cells        []cell
	hits         []hit
	sizes        []SizeGroup
	threads      []Thread
	designations []Designation
	teeth        []Teeth
	gears        []GearRef
	numbers      []NumberToken
	prices       []Price
	counts       []count
	questions    []Question
	serials      []serial
	pieces       *count // from a column of all pieces
	dated        bool   // a date stands in it
	traits       []trait
	clauses      [][2]int // atoms of remarks told by the kinds of their words
	crossed      bool     // a cross stood in front: not there
	numbered     bool     // a row number or bullet stood in front
	placed       bool     // a word such as front or rear stands in it
	zero         string   // kind of the column that says none: "supplied" or "qty"
	extra        bool     // the price comes on top: on offer
	nocount      bool     // words stand where the count should
	none         bool     // a dash or "nil" stands where the count should: named, not supplied
	tailFrom     int      // first atom behind the last part's name
}

// reset empties an entry for the next one; what it had found is in the lines by then, as copies.
func (e *entry) reset() {
	*e = entry{cells: e.cells[:0], hits: e.hits[:0], sizes: e.sizes[:0], threads: e.threads[:0], designations: e.designations[:0],
		teeth: e.teeth[:0], gears: e.gears[:0], numbers: e.numbers[:0], prices: e.prices[:0], counts: e.counts[:0],
		questions: e.questions[:0], traits: e.traits[:0], serials: e.serials[:0], clauses: e.clauses[:0]}
}

// hit is a phrase found.
type hit struct {
	phrase
	a, b int
}

// trait is a word that names a part.
type trait struct {
	at   int
	kind string
}

// claim gives the atoms [a,b) one role and one group, so that they become one span.
func (e *entry) claim(a, b int, r role) {
	e.d.groups++
	for i := a; i < b; i++ {
		if e.at[i].class == cBad {
			continue
		}
		e.at[i].role, e.at[i].group = r, e.d.groups
	}
}

// free says that no scanner has claimed any of [a,b).
func (e *entry) free(a, b int) bool {
	for i := a; i < min(b, e.b); i++ {
		if e.at[i].role != none && e.at[i].role != rSpace {
			return false
		}
	}
	return true
}

// text is the folded text of atom i, "" outside the entry.
func (e *entry) text(i int) string {
	if i < e.body || i >= e.b {
		return ""
	}
	return e.at[i].text
}

// is tells the class of atom i, false outside the entry.
func (e *entry) is(i int, c class) bool { return i >= e.body && i < e.b && e.at[i].class == c }

// skip is the first atom from i on that is not blank.
func (e *entry) skip(i int) int {
	for i < e.b && (e.at[i].class == cSpace || e.at[i].class == cBad || e.at[i].role == rMarker && i >= e.body) {
		i++
	}
	return i
}

// back is the last atom before i that is not blank, or body-1.
func (e *entry) back(i int) int {
	for i--; i >= e.body && (e.at[i].class == cSpace || e.at[i].class == cBad); i-- {
	}
	return max(i, e.body-1)
}

// raw is the text of the atoms [a,b) as written.
func (e *entry) raw(a, b int) string {
	if a >= b {
		return ""
	}
	return e.d.text[e.at[a].start:e.at[b-1].end]
}

// roleOf is the role of atom i, none outside the entry.
func (e *entry) roleOf(i int) role {
	if i < e.body || i >= e.b {
		return none
	}
	return e.at[i].role
}

func (e *entry) start(i int) int { return int(e.at[i].start) }
func (e *entry) end(i int) int   { return int(e.at[i-1].end) }

func (e *entry) ask(code, text string, a, b int) {
	e.questions = append(e.questions, Question{code, text, e.start(a), e.end(b)})
}

// alone says that atoms [a,b) touch no letter, digit or joining sign on either side.
func (e *entry) alone(a, b int) bool {
	return !e.sticky(a-1, -1) && !e.sticky(b, 1)
}

// sticky says that atom i binds to its neighbour: a letter or digit, or a mark inside a word or number.
func (e *entry) sticky(i, step int) bool {
	if i < e.body || i >= e.b {
		return false
	}
	switch e.at[i].class {
	case cLetters, cDigits:
		return true
	case cPunct:
		if e.at[i].role == rPunct || !strings.Contains(".,-/_'", e.at[i].text) {
			return false
		}
		j := i + step
		return j >= e.body && j < e.b && (e.at[j].class == cDigits || e.at[j].class == cLetters && e.at[i].text != "," && e.at[i].text != ".")
	}
	return false
}

// gap is the number of blanks just before atom i; the start of the entry counts as none.
func (e *entry) gap(i int) int {
	n := 0
	for i--; i >= e.body && e.at[i].class == cSpace; i-- {
		n += int(e.at[i].width)
	}
	return n
}

// scanPhrases records every phrase of the word lists and every word that names a part.
func (e *entry) scanPhrases() {
	w := words()
	for i := e.body; i < e.b; i++ {
		a := e.at[i]
		if a.class == cSpace || a.class == cBad || a.class == cDigits && len(a.text) > 1 {
			continue
		}
		w.all(e.at[:e.b], i, func(p phrase, j int) {
			if e.whole(i, j) {
				e.hits = append(e.hits, hit{p, i, j})
			}
		})
		if a.class == cLetters {
			e.scanThing(i)
		}
	}
	e.dropInner()
	e.dropNamed()
	e.scanStances()
	e.placed = len(e.places()) > 0
}

// dropInner drops phrases inside longer ones: "incl" in "not incl".
func (e *entry) dropInner() {
	reach, kept := e.body, e.hits[:0]
	for _, h := range e.hits {
		if h.b <= reach && (len(kept) == 0 || kept[len(kept)-1].a != h.a || kept[len(kept)-1].b != h.b) {
			continue
		}
		reach = max(reach, h.b)
		kept = append(kept, h)
	}
	e.hits = kept
}

// dropNamed drops names of parts inside phrases of letters and bills: "packing list", "case no".
func (e *entry) dropNamed() {
	for _, h := range e.hits {
		if h.b > h.a+1 && (h.meaning == mSupply || h.meaning == mLetterhead || h.meaning == mCost || h.meaning == mSignoff) {
			e.traits = slices.DeleteFunc(e.traits, func(t trait) bool { return h.a <= t.at && t.at < h.b })
		}
	}
}

// whole says that a phrase does not end inside a word such as "c/shaft" or begin inside one.
func (e *entry) whole(a, b int) bool {
	if i := a - 1; i >= e.body && e.at[a].class == cLetters {
		if e.at[i].class == cDigits && b > a+1 && e.at[b-1].class == cPunct {
			return false // "7704.63O.01"
		}
		if c := e.at[i]; c.class == cLetters || strings.Contains("/'", c.text) && e.is(i-1, cLetters) && c.class == cPunct {
			return false
		}
	}
	if b == a+2 && e.text(a+1) == "/" && slashWords[e.text(a)+"/"+e.text(b)] {
		return false
	}
	if b >= e.b || e.at[b-1].class != cLetters && e.at[b-1].class != cDigits {
		return true
	}
	c := e.at[b]
	if c.class == cLetters || c.class == cDigits && e.at[b-1].class == cDigits {
		return false
	}
	return !(strings.Contains("/'", c.text) && c.class == cPunct && e.is(b+1, cLetters))
}

// slashWords are abbreviations that a phrase such as "c/" (with) must not cut.
var slashWords = wordSet("slashWords")

// scanThing looks whether the word at atom i, with or without the parts after a slash or dash, names a part.
func (e *entry) scanThing(i int) {
	w := words()
	if e.is(i-1, cDigits) && e.is(i+1, cDigits) {
		return // letters misread for digits
	}
	if c := e.text(i + 1); (c == "/" || c == "-" || c == "'") && e.is(i+2, cLetters) && e.at[i+1].class == cPunct {
		if k, ok := w.things[e.at[i].text+c+e.at[i+2].text]; ok {
			e.traits = append(e.traits, trait{i, k})
			return
		}
	}
	if n := len(e.traits); n > 0 && e.traits[n-1].at == i-2 && strings.Contains("/-'", e.text(i-1)) && !e.slashJoins(i-1) {
		return
	}
	if k := e.at[i].word.thing; k != "" {
		e.traits = append(e.traits, trait{i, k})
	}
}

// has says whether a phrase of one of the meanings was found within atoms [a,b).
func (e *entry) has(a, b int, ms ...meaning) bool {
	_, ok := e.find(a, b, ms...)
	return ok
}

func (e *entry) find(a, b int, ms ...meaning) (hit, bool) {
	for _, h := range e.hits[e.hitsFrom(a):] {
		if h.a >= b {
			break
		}
		if h.b <= b && slices.Contains(ms, h.meaning) {
			return h, true
		}
	}
	return hit{}, false
}

// hitsFrom is the index of the first hit at or after atom a; hits ascend.
func (e *entry) hitsFrom(a int) int {
	if len(e.hits) < 8 {
		k := 0
		for k < len(e.hits) && e.hits[k].a < a {
			k++
		}
		return k
	}
	return sort.Search(len(e.hits), func(k int) bool { return e.hits[k].a >= a })
}

// thing says whether a part of one of the kinds (any when none is given) is named within [a,b).
func (e *entry) thing(a, b int, kinds ...string) bool {
	from := 0
	if len(e.traits) > 8 {
		from = sort.Search(len(e.traits), func(k int) bool { return e.traits[k].at >= a })
	}
	for _, t := range e.traits[from:] {
		if t.at >= b {
			break
		}
		if t.at >= a && (len(kinds) == 0 || slices.Contains(kinds, t.kind)) {
			return true
		}
	}
	return false
}
