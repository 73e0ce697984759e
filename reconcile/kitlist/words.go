package kitlist

import (
	"embed"
	"encoding/csv"
	"fmt"
	"slices"
	"strings"
	"sync"
)

//go:embed words/*.csv
var wordFiles embed.FS

// meaning is what a phrase of the word lists says; the spelling is the one used in words/*.csv.
type meaning string

const (
	mUnit        meaning = "unit"           // after or before a number: it is a quantity; arg piece, pair, set, dozen
	mCount       meaning = "count"          // "qty": a number follows
	mSetOf       meaning = "setof"          // "set of": the pack follows
	mMultiplier  meaning = "multiplier"     // arg is Quantity.Multiplier
	mGroup       meaning = "group"          // "hubs" in "all 3 hubs"
	mAll         meaning = "all"            // as many as the variant has
	mExcluded    meaning = "excluded"       // the line or bracket is not supplied
	mWithout     meaning = "without"        // what follows is not supplied
	mWith        meaning = "with"           // what follows is supplied too
	mIncluded    meaning = "included"       // what stands before is supplied
	mOffered     meaning = "offered"        // on offer, not in the kit
	mConditional meaning = "conditional"    // only some boxes need it; arg names the variant
	mUnavailable meaning = "unavailable"    //
	mBackOrder   meaning = "backorder"      //
	mDeclined    meaning = "declined"       // "no shims"
	mDeclinedAft meaning = "declined-after" // "shims not needed"
	mOld         meaning = "old"            // an old number follows
	mNew         meaning = "new"            // the newer number follows, the one before is old
	mSee         meaning = "see"            // pointer to another number
	mOr          meaning = "or"             //
	mOrLike      meaning = "or-like"        // "or similar": no choice to be made
	mFrom        meaning = "from"           // boxes from a number or year on; arg is the word for it
	mUpTo        meaning = "upto"           // boxes up to a number or year
	mPerSet      meaning = "perset"         // the number before is what one set holds
	mSection     meaning = "section"        // opens the name of a drawing or a group
	mCommon      meaning = "common"         // for all boxes of the list
	mFor         meaning = "for"            // before what the parts are for
	mParts       meaning = "parts"          // in the name of a list
	mCompany     meaning = "company"        // ends the name of a firm
	mVariant     meaning = "variant"        // arg is Flags.Variant
	mGreeting    meaning = "greeting"
	mSignoff     meaning = "signoff"
	mTotal       meaning = "total"
	mTax         meaning = "tax"
	mPage        meaning = "page"
	mContinued   meaning = "continued"
	mCost        meaning = "cost" // freight, deposit: money without a part
	mLetterhead  meaning = "letterhead"
	mLetterStart meaning = "letterhead-start" // only at the start of a line and before ":"
	mQuoted      meaning = "quoted"           // "X wrote:"
	mDemand      meaning = "demand"
	mSupply      meaning = "supply"
	mContents    meaning = "contents"
	mContentWith meaning = "contents-or-with" // "includes": heading at a line's end, else with
	mKit         meaning = "kit"
	mBox         meaning = "box"
	mColumn      meaning = "column" // a column head; arg is what the column holds
	mNote        meaning = "note"
	mSeeNote     meaning = "seenote"
	mSides       meaning = "sides" // left and right
	mLeft        meaning = "left"  // left-hand, of a thread
	mSelect      meaning = "select"
	mStandard    meaning = "standard"
)

// phrase is one entry of the word lists as atoms; " " stands for any blanks.
type phrase struct {
	atoms   []string
	meaning meaning
	arg     string
}

// lexicon is the word lists ready for use; it is never changed once built.
type lexicon struct {
	first     map[string][]phrase // by first atom, longest first
	heads     map[string]string   // whole folded column heads
	headWords map[string]string   // words of column heads -> what the column holds
	things    map[string]string   // word of a part -> trait
	tails     []string            // ends of compound words ("...ring")
	near      nearWords
	inner     map[string]bool      // every word of a phrase
	looked    map[string]*wordInfo // what look gives for the listed words
}

// compoundTails are the last parts of German compounds that name a part.
var compoundTails = []string{"lager", "ring", "scheibe", "zahnrad", "welle", "mutter", "schraube", "dichtung", "feder", "stift",
	"hulse", "gabel", "muffe", "kugel", "deckel", "gehause", "bolzen", "stein", "kranz", "flansch", "buchse", "schalter", "rolle", "achse"}

var words = sync.OnceValue(func() *lexicon {
	l := &lexicon{first: map[string][]phrase{}, heads: map[string]string{}, things: map[string]string{}, tails: compoundTails, inner: map[string]bool{}}
	for _, lang := range []string{"en", "de", "fr", "es", "it"} {
		for _, row := range wordList("words/" + lang + ".csv") {
			l.add(row)
		}
	}
	for _, row := range wordList("words/things.csv") {
		l.things[row[0]] = row[1]
	}
	l.headWords = map[string]string{}
	for _, row := range wordList("words/heads.csv") {
		l.headWords[Fold(row[0])] = row[1]
		l.inner[Fold(row[0])] = true
	}
	for k := range l.first {
		slices.SortStableFunc(l.first[k], func(a, b phrase) int { return len(b.atoms) - len(a.atoms) })
	}
	l.near = newNearWords(l.things)
	l.looked = make(map[string]*wordInfo, len(l.inner)+2*len(l.things))
	for w := range l.inner {
		l.looked[w] = l.look(w)
	}
	for w := range l.things {
		l.looked[w], l.looked[w+"s"] = l.look(w), l.look(w+"s")
	}
	return l
})

// wordList reads one embedded word list without its head; a list that can't be read is a fault of the build, and a test
// reads them all.
func wordList(name string) [][]string {
	f, err := wordFiles.Open(name)
	if err != nil {
		panic(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		panic(fmt.Errorf("%s: %w", name, err))
	}
	return rows[1:]
}

func (l *lexicon) add(row []string) {
	p := phrase{meaning: meaning(row[1]), arg: row[2]}
	if p.meaning == mColumn {
		l.heads[Fold(row[0])] = row[2]
		for _, a := range lex(Fold(row[0]), 0, len(Fold(row[0])), nil) {
			if a.class == cLetters {
				l.inner[a.text] = true
			}
		}
		return
	}
	for _, a := range lex(Fold(row[0]), 0, len(Fold(row[0])), nil) {
		p.atoms = append(p.atoms, a.text)
		if a.class == cLetters {
			l.inner[a.text] = true
		}
	}
	l.first[p.atoms[0]] = append(l.first[p.atoms[0]], p)
}

// all gives every phrase of the longest length that starts at i: one spelling can have several meanings.
func (l *lexicon) all(atoms []atom, i int, yield func(phrase, int)) {
	longest := 0
	for _, p := range l.starting(&atoms[i]) {
		if len(p.atoms) < longest {
			return
		}
		if j, ok := p.at(atoms, i); ok {
			longest = len(p.atoms)
			yield(p, j)
		}
	}
}

// starting are the phrases that begin with an atom.
func (l *lexicon) starting(a *atom) []phrase {
	if a.word != nil {
		return a.word.phrases
	}
	return l.first[a.text]
}

// maxBlank is how wide a blank inside a phrase can be; a wider one parts columns.
const maxBlank = 2

// articles may stand between the words of a phrase: "not in the kit".
var articles = wordSet("articles")

func (p phrase) at(atoms []atom, i int) (int, bool) {
	for k, want := range p.atoms {
		if want == " " {
			j := i
			for j < len(atoms) && atoms[j].class == cSpace {
				j++
			}
			if j == i || atoms[i].width > maxBlank || atoms[i].role == rPunct {
				return 0, false
			}
			if j+1 < len(atoms) && articles[atoms[j].text] && atoms[j+1].class == cSpace && k+1 < len(p.atoms) && p.atoms[k+1] != atoms[j].text {
				j += 2
			}
			i = j
			continue
		}
		if i >= len(atoms) || atoms[i].text != want {
			return 0, false
		}
		i++
	}
	return i, true
}

// thing gives the trait of a word that names a part, trying regular plurals and compounds.
func (l *lexicon) thing(folded string) (string, bool) {
	for _, end := range []string{"", "s", "es", "e", "n", "en", "er"} {
		if stem, ok := strings.CutSuffix(folded, end); ok {
			if t, ok := l.things[stem]; ok {
				return t, true
			}
			for _, tail := range l.tails {
				if len(stem) > len(tail)+1 && strings.HasSuffix(stem, tail) {
					return l.compound(tail), true
				}
			}
		}
	}
	return "", false
}

// plural says that a word is a known name of a part with the end of a plural.
func (l *lexicon) plural(folded string) bool {
	for _, end := range []string{"s", "es", "e", "n", "en", "er"} {
		if stem, ok := strings.CutSuffix(folded, end); ok && l.things[stem] != "" {
			return true
		}
	}
	return false
}

func (l *lexicon) compound(tail string) string {
	if t, ok := l.things[tail]; ok {
		return t
	}
	return "thing"
}
