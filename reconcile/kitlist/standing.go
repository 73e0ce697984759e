package kitlist

import (
	"slices"
	"strings"
)

// stance is what a word contributes to a clause about supply; the word sets of words/sets.csv hold beginnings, so that
// "supplied", "supply" and "supplies" need one row.
type stance uint8

const (
	neutral stance = iota
	negates        // not, nicht, pas
	denies         // no, none, kein: at the end of a line it denies what stands before
	longer         // longer, mehr, plus: with a negation and supply, gone for good
	brings         // supplied, included, enthalten
	stocks         // available, lieferbar
	needs          // needed, wanted, brauchen
	ifs            // if, falls, si
)

var stances = func() [][]string {
	out := make([][]string, ifs+1)
	for s, name := range map[stance]string{negates: "negates", denies: "denies", longer: "longer", brings: "brings", stocks: "stocks",
		needs: "needs", ifs: "ifs"} {
		for w := range wordSet(name) {
			out[s] = append(out[s], w)
		}
	}
	return out
}()

// stanceOf looks whole words up, and beginnings of the verbs.
func stanceOf(w string) stance {
	for s := negates; s <= ifs; s++ {
		verb := s == brings || s == stocks || s == needs
		if slices.ContainsFunc(stances[s], func(p string) bool { return w == p || verb && strings.HasPrefix(w, p) }) {
			return s
		}
	}
	return neutral
}

// maxClause is how many words may stand between a negation and its verb.
const maxClause = 3

// scanStances finds what phrases do not list: a negation with a verb of supply, stock or need within a few words, in
// either order ("nicht im Satz enthalten", "brauch ich nicht"), a denial at the end ("gaskets - no"), and a clause that
// begins with "if" behind a name ("shims if you need them").
func (e *entry) scanStances() {
	n := len(e.hits)
	e.scanClauses()
	for i := e.body; i < e.b; i++ {
		if e.at[i].class != cLetters || e.at[i].word.stance == neutral {
			continue
		}
		switch e.at[i].word.stance {
		case negates:
			if k := e.skip(i + 1); i == e.firstWord(e.body) && (ordinals[e.text(k)] > 0 || e.is(k, cDigits) && ordinalEnds[e.text(k+1)]) {
				e.addHit(i, i+1, mDeclined) // "not first and fifth"
				continue
			}
			if !e.stanceHit(i, e.verb(i, 1)) && !e.stanceHit(e.verb(i, -1), i) {
				e.denied(i)
			}
		case denies:
			e.denied(i)
		case ifs:
			if k := e.skip(i + 1); e.is(k, cLetters) && k > i+1 && !wishWords[e.text(k)] && e.setOff(i) && e.text(e.b-1) != "?" && !e.has(i, min(e.b, i+8), mExcluded, mUnavailable, mBackOrder) && (e.text(i) != "when" || onlyWords[e.text(e.back(i))]) {
				e.addHit(i, i+1, mConditional)
			}
		}
	}
	e.scanRemarks()
	if len(e.hits) == n {
		return
	}
	slices.SortStableFunc(e.hits, func(a, b hit) int {
		if a.a != b.a {
			return a.a - b.a
		}
		return b.b - a.b
	})
	e.dropInner()
}

// wishWords make a condition a mere wish: "C3 if possible".
var wishWords = wordSet("wishWords")

// setOff says that a condition may begin at atom i: a part is named before it, and what stands just before is its name,
// a number, a sign or "only", and no verb ("ask if you need it").
func (e *entry) setOff(i int) bool {
	p := e.back(i)
	if p < e.body || e.sticky(i-1, -1) || !e.thing(e.body, i) {
		return false
	}
	a := &e.at[p]
	if h, ok := e.find(p-3, p+1, mUnit); ok && h.b == p+1 {
		return true // "1 off if still available"
	}
	return a.class != cLetters || a.word.thing != "" || a.word.place || onlyWords[a.text] || ordinalEnds[a.text]
}

// denied reads "gaskets - no": a lone denial at the end of a short line.
func (e *entry) denied(i int) {
	if k := e.skip(i + 1); (k >= e.b || e.text(k) == "," && e.is(e.back(i), cLetters)) && denials[e.text(i)] && e.thing(e.body, i) && (e.letters() <= 5 || e.thing(e.back(i), i)) && !e.sticky(i-1, -1) {
		e.addHit(i, i+1, mExcluded)
	}
}

var denials = wordSet("denies")

// verb is the atom of the verb that a negation at i denies, looking forwards or backwards within its clause, or -1.
func (e *entry) verb(i, step int) int {
	words := 0
	for k := i + step; k >= e.body && k < e.b && words <= maxClause; k += step {
		switch a := &e.at[k]; {
		case a.class == cSpace && a.width < 3, a.text == "'", a.text == "-":
		case a.class != cLetters, a.word.thing != "" && a.word.stance == neutral:
			return -1
		case a.word.stance == brings || a.word.stance == stocks || a.word.stance == needs:
			return k
		default:
			words++
		}
	}
	return -1
}

// stanceHit records the clause between a negation and its verb, in the order of the text.
func (e *entry) stanceHit(a, b int) bool {
	if a < 0 || b < 0 {
		return false
	}
	verb, gone := neutral, false
	for k := a; k <= b; k++ {
		if e.at[k].class != cLetters {
			continue
		}
		switch s := e.at[k].word.stance; s {
		case brings, stocks, needs:
			verb = s
		case longer:
			gone = true
		}
	}
	switch {
	case e.has(a, b+1, mUnavailable, mBackOrder): // a phrase has said it
	case verb == stocks, gone:
		e.addHit(a, b+1, mUnavailable)
	case verb == brings:
		e.addHit(a, b+1, mExcluded)
	case verb == needs && (e.thing(e.body, a) || e.opensOrdinal() && a > e.firstWord(e.body)):
		e.addHit(a, b+1, mDeclinedAft)
	case verb == needs && e.opensTalk(a) && e.text(b+1) == " " && e.namedSoon(b+1):
		e.addHit(a, b+1, mDeclined) // "doesn't want springs"
	case verb == needs && a == e.skip(e.body) && e.text(b+1) == ":":
		e.addHit(a, b+1, mExcluded) // "not ordering: forks"
	default:
		return false
	}
	return true
}

// opensOrdinal says that a gear opens the entry: "4th one I don't need".
func (e *entry) opensOrdinal() bool {
	i := e.firstWord(e.body)
	return ordinals[e.text(i)] > 0 || e.is(i, cDigits) && ordinalEnds[e.text(i+1)]
}

// opensTalk says that only words of sentences stand before atom a: "we won't need".
func (e *entry) opensTalk(a int) bool {
	for i := e.firstWord(e.body); i < a; i++ {
		if e.at[i].class != cSpace && (e.at[i].class != cLetters || !e.at[i].word.talk) {
			return false
		}
	}
	return true
}

func (e *entry) addHit(a, b int, m meaning) {
	e.hits = append(e.hits, hit{phrase{meaning: m}, a, b})
}
