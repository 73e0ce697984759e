package kitlist

import (
	"strings"
	"sync"
)

// remark is the set of what one word can contribute to a remark about a part; the words are in words/remarks.csv. No list
// of phrases holds all that people write behind a part's name: what a short clause means is told by the kinds of its words.
type remark uint32

const (
	rmNeg      remark = 1 << iota // not, kein, pas
	rmLess                        // longer, mehr, plus: gone for good
	rmYet                         // yet, noch, encore
	rmSupply                      // supplied, enthalten, compris
	rmMake                        // made, hergestellt, fabriqué
	rmGet                         // get, bekommen, trouver
	rmStock                       // stock, lieferbar, existencia
	rmEnded                       // discontinued, vergriffen, agotado
	rmApart                       // separately, gesondert, à part
	rmReuse                       // reuse, wiederverwenden
	rmUse                         // use, keep: with an old part
	rmOld                         // old, original, own
	rmCustomer                    // customer, bauseits
	rmFuture                      // follows, kommt, suivra
	rmLater                       // later, next
	rmTime                        // week, Tage, lundi
	rmHere                        // arrived, da, reçu
	rmNeed                        // needed, brauchen
	rmHave                        // have, haben
	rmAlready                     // already, schon
	rmCancel                      // cancelled, gestrichen
	rmDelivery                    // delivery, Lieferzeit
	rmOrder                       // order, commande
	rmOn                          // on, en: before an order
	rmIf                          // if, falls, si
	rmCond                        // depending, je nach, selon
	rmOnly                        // only, nur
	rmCan                         // can, kann, peut
	rmAll                         // all: "not on all boxes"
	rmWithin                      // in, sous: before a time
	rmUntil                       // until, bis
	rmFiller                      // the, is, wird
)

var remarkNames = map[string]remark{"neg": rmNeg, "less": rmLess, "yet": rmYet, "supply": rmSupply, "make": rmMake, "get": rmGet,
	"stock": rmStock, "ended": rmEnded, "apart": rmApart, "reuse": rmReuse, "use": rmUse, "old": rmOld, "customer": rmCustomer,
	"future": rmFuture, "later": rmLater, "time": rmTime, "here": rmHere, "need": rmNeed, "have": rmHave, "already": rmAlready,
	"cancel": rmCancel, "delivery": rmDelivery, "order": rmOrder, "on": rmOn, "if": rmIf, "cond": rmCond, "only": rmOnly, "can": rmCan, "all": rmAll, "within": rmWithin, "until": rmUntil,
	"filler": rmFiller}

// remarkWords are the whole words and the beginnings of words ("suppl*") of the word list.
type remarkWords struct {
	whole map[string]remark
	stems map[string]remark
}

var remarks = sync.OnceValue(func() remarkWords {
	r := remarkWords{map[string]remark{}, map[string]remark{}}
	for _, row := range wordList("words/remarks.csv") {
		if stem, ok := strings.CutSuffix(row[0], "*"); ok {
			r.stems[stem] |= remarkNames[row[1]]
		} else {
			r.whole[row[0]] |= remarkNames[row[1]]
		}
	}
	return r
})

// minStem is the length of the shortest beginning of a word in the list.
const minStem = 3

// remarkOf is what a word can contribute.
func remarkOf(w string) remark {
	r := remarks()
	out := r.whole[w]
	for k := minStem; k <= len(w); k++ {
		out |= r.stems[w[:k]]
	}
	return out
}

// maxClauseWords is how many words a remark has: longer ones are sentences.
const maxClauseWords = 9

// scanClauses reads the remarks behind names, and those before a colon and a name, that no phrase has explained.
func (e *entry) scanClauses() {
	if len(e.traits) == 0 && !e.digits() && !e.mayHead() {
		return
	}
	for a := e.body; a < e.b; {
		b := a
		for b < e.b && !e.cutsRemark(b) {
			b++
		}
		e.remarkIn(a, b)
		a = b + 1
	}
}

// mayHead says that the entry names no part and may be the heading of lines that do: "If worn:".
func (e *entry) mayHead() bool {
	return e.letters() <= 5 && !e.digits() && e.nextLine() != nil && (e.text(e.b-1) == ":" || e.introduces()) && len(e.cells) == 0 &&
		!e.d.headLine(&e.d.phys[e.first])
}

// cutsRemark says that a clause ends at atom i.
func (e *entry) cutsRemark(i int) bool {
	switch e.text(i) {
	case ")", "[", "]":
		return true
	case ":", ".":
		return e.is(i+1, cSpace)
	}
	return e.breaksClause(i) || e.at[i].class == cSpace && e.at[i].width >= 3 || e.endsCell(i)
}

// remarkIn reads one clause: what stands behind the last name in it, or all of it when a name stands before, or behind
// its colon.
func (e *entry) remarkIn(a, b int) {
	from := a
	for _, t := range e.traits {
		if t.at >= a && t.at < b {
			from = t.at + 1
		}
	}
	for e.is(from, cPunct) || e.is(from, cSpace) {
		from++
	}
	named := len(e.traits) == 0 && e.mayHead() || e.thing(e.body, from) || e.text(b) == ":" && e.thing(b, e.b)
	if !named { // a part number or a designation may name it
		from, named = e.behindDigits(a, b)
	}
	if !named || from >= b || e.hasStanding(from, b) {
		return
	}
	if k := e.laterIf(from, b); k > from && e.thing(a, from) {
		from = k
	}
	c := e.clauseWords(from, b)
	c.counted = c.counted || len(e.traits) == 0 || e.has(from, b, mVariant, mFrom, mUpTo)
	m := c.meaning()
	if m == "" || e.elsewhere(a) || len(e.traits) == 0 && !c.has(rmNeg|rmEnded|rmApart|rmIf|rmCond|rmFuture|rmOrder) {
		return
	}
	end := b
	for end > from+1 && e.at[end-1].class != cLetters {
		end--
	}
	for c.words[0]&rmTime == 0 && !e.is(from, cLetters) {
		from++ // "1 if I can find it"
	}
	e.hits = append(e.hits, hit{phrase{meaning: m, arg: c.arg(m)}, from, end})
	e.clauses = append(e.clauses, [2]int{from, end})
}

// laterIf is where a condition begins behind words that are unknown: "fork boot if you see one".
func (e *entry) laterIf(a, b int) int {
	for i := a; i < b; i++ {
		if e.at[i].class != cLetters {
			continue
		}
		if e.hasAt(i, mKit, mUnit) {
			continue
		}
		if r := e.at[i].word.remark; r&rmIf != 0 && len(e.text(i)) > 1 {
			return i
		} else if r != 0 {
			break
		}
	}
	return a
}

// behindDigits is where the words behind the last number of the clause begin, in an entry that opens with a number.
func (e *entry) behindDigits(a, b int) (int, bool) {
	first := e.chunk(e.body)
	if e.letters() > 0 && e.is(e.body, cLetters) && first == e.body+1 && e.upper(e.body) && len(e.text(e.body)) <= 4 {
		first = e.chunk(e.skip(first))
	}
	found, from := false, a
	for i := e.body; i < b; i++ {
		if e.at[i].class == cDigits {
			found = found || i < first
			from = max(from, i+1)
		}
	}
	for from < b && e.at[from].class != cLetters {
		from++
	}
	return from, found
}

// elsewhere says that the clause that begins at atom a goes on with one about something else, "1st is fine, reuse", or
// stands where the price should.
func (e *entry) elsewhere(a int) bool {
	for _, c := range e.cells {
		if k := e.columnKind(c.col); c.a <= a && a < c.b && (k == "price" || k == "total") {
			return true
		}
	}
	if e.text(a-1) != "," {
		return false
	}
	i := a - 1
	for i > e.body && !e.cutsRemark(i-1) {
		i--
	}
	i = e.skip(i)
	return e.is(i, cDigits) && ordinalEnds[e.text(i+1)] || ordinals[e.text(i)] > 0
}

// hasStanding says that a phrase has explained the clause already.
func (e *entry) hasStanding(a, b int) bool {
	denied := false
	for i := a; i < b; i++ {
		denied = denied || e.at[i].class == cLetters && e.at[i].word.remark&rmNeg != 0
	}
	for _, h := range e.hits[e.hitsFrom(a):] {
		if h.a >= b {
			break
		}
		switch h.meaning {
		case mExcluded, mUnavailable, mBackOrder, mConditional, mDeclinedAft, mOffered, mWithout, mIncluded, mNote, mOr, mSelect,
			mContentWith, mContents, mGreeting, mSignoff:
			if h.arg != "end" && h.arg != "start" && h.arg != "column" || e.skip(h.b) >= e.b {
				return true
			}
		case mOld, mNew, mSee: // they speak of numbers
			for i := h.b; i < e.b; i++ {
				if e.at[i].class == cDigits {
					return true
				}
			}
		case mWith:
			if !denied && !onlyWords[e.text(e.back(h.a))] {
				return true
			}
		}
	}
	return false
}

// clauseOf is a clause by the kinds of its words, in their order.
type clauseOf struct {
	words   []remark
	all     remark
	unknown int
	numbers int
	talk    bool
	counted bool // "only" stands beside a number or a unit, or speaks of boxes that are known otherwise
}

func (e *entry) clauseWords(a, b int) clauseOf {
	var c clauseOf
	for i := a; i < b; i++ {
		switch at := &e.at[i]; at.class {
		case cDigits:
			c.numbers++
		case cLetters:
			if numberWords[at.text] > 0 {
				c.numbers++
				continue
			}
			r := at.word.remark
			switch {
			case at.text == "t" && e.text(i-1) == "'":
				r = rmNeg // can't
			case r&rmTime != 0 && e.beyondDays(e.skip(i+1)):
				r = 0 // "KW 4410-07" is a part number, no week
			case r&rmNeg != 0 && at.text == "no" && (e.text(i+1) == "." || e.is(e.skip(i+1), cDigits)):
				r = 0 // box no. 41200
			}
			c.talk = c.talk || at.word.talk
			c.counted = c.counted || r&rmOnly != 0 && (e.number(e.back(i)) > 0 || e.number(e.skip(i+1)) > 0) || e.hasAt(i, mUnit)
			c.words = append(c.words, r)
			c.all |= r
			if r == 0 {
				c.unknown++
			}
		}
	}
	return c
}

// maxDayDigits is how many digits a day, a week or a number of them has.
const maxDayDigits = 2

// beyondDays says that a number of more digits than a day or a week has stands at atom i.
func (e *entry) beyondDays(i int) bool { return e.is(i, cDigits) && len(e.text(i)) > maxDayDigits }

// telling is the number of words that are neither unknown nor fillers.
func (c clauseOf) telling() int {
	n := 0
	for _, r := range c.words {
		if r != 0 && r&rmFiller == 0 {
			n++
		}
	}
	return n
}

// follows says that a word of one kind stands before one of another, with at most two words between.
func (c clauseOf) follows(first, second remark) bool {
	for i, r := range c.words {
		for k := i + 1; k < len(c.words) && k <= i+3 && r&first != 0; k++ {
			if c.words[k]&second != 0 {
				return true
			}
		}
	}
	return false
}

func (c clauseOf) has(r remark) bool { return c.all&r != 0 }

// meaning is what the clause says of the part, "" when it says nothing or cannot be told.
func (c clauseOf) meaning() meaning {
	n := len(c.words)
	if c.someBoxes() {
		return mConditional
	}
	if n > 1 && n <= maxClauseWords && c.words[0]&rmIf != 0 && c.unknown <= 3 && c.conditional() {
		return mConditional
	}
	if n == 0 || n > maxClauseWords || c.unknown > 2 || c.unknown > c.telling() {
		return ""
	}
	denied := c.has(rmNeg) || c.words[0]&rmLess != 0 || c.has(rmLess) && c.has(rmMake|rmGet|rmStock)
	switch {
	case c.conditional():
		return mConditional
	case c.has(rmEnded) && c.unknown <= 1:
		return mUnavailable
	case c.has(rmNeg) && c.has(rmNeed) && !c.has(rmStock):
		return mDeclinedAft
	case c.has(rmCustomer) && c.has(rmHave) && c.unknown == 0:
		return mExcluded
	case c.has(rmAlready) && c.has(rmHave) && c.unknown == 0, c.has(rmCancel) && c.unknown == 0:
		return mDeclinedAft
	case c.has(rmNeg) && c.has(rmHere) && !c.has(rmLess), c.has(rmNeg) && (c.has(rmYet) && c.has(rmFuture|rmSupply) || c.follows(rmUntil, rmTime)):
		return mBackOrder
	case denied && (c.has(rmMake|rmGet|rmStock) || c.has(rmSupply) && c.has(rmLess|rmCan)), c.has(rmNeg) && c.has(rmHave):
		return mUnavailable
	case denied && c.has(rmSupply):
		return mExcluded
	}
	return c.apart()
}

// arg tells the times that every line of an offer has, and those until a part comes, from other remarks.
func (c clauseOf) arg(m meaning) string {
	switch {
	case m == mUnavailable && !c.has(rmEnded|rmLess|rmMake|rmGet):
		return "now"
	case m != mBackOrder || c.has(rmNeg):
	case c.has(rmTime) && c.has(rmDelivery):
		return "lead"
	case c.has(rmTime) && !c.has(rmFuture|rmLater):
		return "wait"
	}
	return ""
}

// apart reads what comes from elsewhere, or later.
func (c clauseOf) apart() meaning {
	switch {
	case c.has(rmReuse) && !c.has(rmNeg), c.words[0]&rmUse != 0 && c.follows(rmUse, rmOld) && c.unknown <= 1:
		return mExcluded
	case c.has(rmCustomer) && c.has(rmSupply|rmGet|rmUse|rmApart|rmNeed) && c.unknown == 0, c.all&^rmFiller&^rmCustomer == 0 && c.has(rmCustomer) && c.unknown == 0 && len(c.words) <= 3:
		return mExcluded
	case c.has(rmApart) && c.unknown == 0 && (c.telling() > 1 || len(c.words) == 1):
		return mExcluded
	case (c.follows(rmOn, rmOrder) || len(c.words) == 1 && c.has(rmOrder)) && c.unknown == 0:
		return mBackOrder
	case c.has(rmFuture) && c.unknown <= 1, c.has(rmLater) && c.has(rmSupply|rmDelivery|rmTime):
		return mBackOrder
	case c.has(rmTime) && c.has(rmDelivery|rmStock), c.follows(rmWithin, rmTime) && c.unknown == 0 && !c.talk, c.has(rmTime) && c.numbers > 0 && c.unknown == 0 && !c.talk:
		return mBackOrder
	}
	return ""
}

// someBoxes says that the clause says "only" of boxes, whatever these are called: "LHD only", "nur für Turbo"; "only 2 left"
// and "in sets only" speak of something else.
func (c clauseOf) someBoxes() bool {
	return c.has(rmOnly) && !c.counted && c.unknown+c.telling() > 1 && len(c.words) <= maxRemark &&
		!c.has(rmSupply|rmMake|rmGet|rmStock|rmEnded|rmApart|rmOrder|rmFuture|rmTime|rmNeg|rmUse)
}

// conditional says that the clause limits a part to some boxes, or to a state found at the bench.
func (c clauseOf) conditional() bool {
	words := c.words
	for len(words) > 0 && words[0]&(rmFiller|rmOn) != 0 && words[0]&rmIf == 0 {
		words = words[1:]
	}
	if len(words) == 0 || len(c.words) == 1 {
		return false
	}
	if c.has(rmCan) {
		return false // "C3 if possible"
	}
	if words[0]&rmIf != 0 || words[0]&rmOnly != 0 && len(words) > 1 && words[1]&rmIf != 0 || words[0]&rmNeg != 0 && c.has(rmAll) {
		return true
	}
	return c.has(rmCond) && !c.has(rmNeg) && c.unknown <= 1 && !c.has(rmFuture)
}
