package kitlist

// What stands above a list and is no part of it: the name of the document, and what the list is of.

// documentWords name the kinds of paper that lists come on: order, invoice, delivery note.
var documentWords = wordSet("documentWords")

// document says that the entry, above the first part, is the name of a paper and its number or whom it is for.
func (e *entry) document(s *state) bool {
	if s.items || e.numbered || e.filled() > 1 || len(e.sizes) > 0 || len(e.designations) > 0 || len(e.prices) > 0 || e.strongSign() || e.letters() > 8 || e.leadsIn() {
		return false
	}
	if e.has(e.body, e.b, mExcluded, mUnavailable, mBackOrder, mConditional, mOffered, mContents) {
		return false
	}
	if k := e.opening(); documentWords[e.text(k)] {
		return len(e.traits) == 0 && (!e.hasAt(k, mLetterhead) || e.has(e.body, e.b, mVariant, mBox))
	}
	for i := e.body; i < e.b && len(e.traits) == 0; i++ {
		if k := e.skip(i + 1); documentWords[e.text(i)] && e.is(k, cDigits) && len(e.text(k)) >= 3 {
			return true // "received against order 614"
		}
	}
	if e.digits() || e.d.before(e.first) >= 0 {
		return false
	}
	for i := e.body; i < e.b; i++ {
		if documentWords[e.text(i)] && e.thing(e.body, i) {
			return true // the name of a firm before it
		}
	}
	return false
}

// minTitle is how many words make a first line a title although it names a part.
const minTitle = 6

// minRows is how many lines below a title must hold numbers.
const minRows = 4

// arrived says that the name of a paper tells what came: the list below is what is there.
func (e *entry) arrived() bool {
	for i := e.body; i < e.b; i++ {
		if e.at[i].class == cLetters && e.at[i].word.remark&(rmSupply|rmHere) != 0 && !documentWords[e.text(i)] {
			return true
		}
	}
	return false
}

// titleAbove says that the first line is many words without a number above lines that all hold numbers.
func (e *entry) titleAbove(s *state) bool {
	if s.items || e.numbered || e.digits() || e.letters() < minTitle || e.d.before(e.first) >= 0 || len(e.cells) > 1 || len(e.counts) > 0 || len(e.traits) == 0 || e.standsOut() {
		return false
	}
	rows := 0
	for k := e.d.after(e.last); k >= 0 && rows < minRows; k = e.d.after(k) {
		if !e.d.hasDigit(&e.d.phys[k]) {
			return false
		}
		rows++
	}
	return rows == minRows
}

// greets says that a greeting goes on with the name of the box or the list: "hi mate, parts list for the 4x4 box".
func (e *entry) greets(s *state) bool {
	if s.items || len(e.traits) > 0 || e.letters() < 4 || e.strongSign() || !e.hasAt(e.opening(), mGreeting) {
		return false
	}
	if end := e.text(e.b - 1); end == "?" || end == "." {
		return false
	}
	return e.has(e.body, e.b, mBox, mVariant, mKit) || e.has(e.body, e.b, mParts) && e.has(e.body, e.b, mFor)
}
