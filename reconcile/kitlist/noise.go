package kitlist

// noise recognises greetings, sign-offs, totals, footers, letterheads and costs that are no part.
func (e *entry) noise(s *state) bool {
	named := len(e.traits) > 0 || len(e.designations) > 0
	if e.firm(s) || e.phone() || e.moneyOnly() || e.bracketed("<", ">") || e.labelled(s) || e.signsOff() || e.sumRow() || e.signature(s) || e.telephone() {
		return true
	}
	if e.document(s) {
		return !e.has(e.body, e.b, mKit, mBox, mVariant, mParts) && !e.arrived()
	}
	if e.datedTitle(s, named) {
		return true
	}
	if e.dated && s.items && e.outside() && !named && len(e.sizes) == 0 && !e.strongSign() {
		return true // "Issue 3, June"
	}
	at := e.opening()
	if e.text(e.b-1) == ":" && e.nextLine() != nil && e.hasAt(at, mExcluded, mUnavailable, mBackOrder, mOffered, mConditional) {
		return false // a heading
	}
	h, opens := e.hitAt(at, mGreeting, mSignoff, mTotal, mTax, mPage, mCost, mLetterhead, mLetterStart, mQuoted)
	if opens && e.noiseAt(h, named, s) {
		return true
	}
	if e.has(e.body, e.b, mQuoted) && (e.text(e.b-1) == ":" || e.text(e.b-1) == "-" && e.text(e.b-2) == "-") {
		return true
	}
	if e.pageTitle(s) {
		return false
	}
	if e.has(e.body, e.b, mPage) && len(e.sizes) == 0 && len(e.designations) == 0 && (!named && e.pageCount() || e.pageFooter()) {
		return true
	}
	if e.has(e.body, e.b, mTotal, mTax, mCost) && !named && len(e.prices) > 0 && e.letters() <= 6 {
		return true
	}
	if !named && len(e.sizes) == 0 && e.has(e.body, e.b, mLetterhead) && (e.longNumber() && e.bareOf() || s.items && e.outside()) {
		return true
	}
	if !named && (e.depth == e.d.deepest && e.roleOf(e.opening()) == rPrice && e.bareName() || e.hasAt(e.opening(), mDeclined) && e.has(e.body, e.b, mTax, mCost)) {
		return true // "£140 the lot", "no VAT"
	}
	if !named && s.items && e.text(e.b-1) == ":" && e.has(e.body, e.b, mLetterhead) {
		return true // to be filled in
	}
	if !named && s.items && e.bareName() && e.has(e.body, e.b, mCost) && e.nextLine() == nil {
		return true // "2 hrs labour"
	}
	if !named && e.form() {
		return true
	}
	if !named && e.address() || e.text(at) == "http" || e.text(at) == "www" {
		return true
	}
	if e.hasAt(at, mSupply) && !named && !e.strongSign() && e.letters() <= 4 && !(e.text(e.b-1) == ":" && e.nextLine() != nil) {
		return true
	}
	if s.over && !(named && e.has(e.body, e.b, mWithout, mExcluded, mDeclined, mWith)) && e.nextLine() == nil && !e.digits() && e.letters() <= 6 && !e.has(e.body, e.b, mDemand) {
		return true // the name under the letter
	}
	return s.over && !named && len(e.numbers) == 0 && len(e.counts) == 0
}

// datedTitle recognises what stands above a list with its date.
func (e *entry) datedTitle(s *state, named bool) bool {
	if !e.dated || s.items || len(e.cells) > 1 || e.strongSign() || len(e.sizes) > 0 || len(e.designations) > 0 {
		return false
	}
	if !named && len(e.numbers) <= 1 && e.letters() <= 6 && e.bareOf() && !e.has(e.body, e.b, mKit, mBox, mVariant) && e.text(e.b-1) != ":" {
		return true // "STOCK PULL 4471   14 MAY"
	}
	return !e.leadsIn() && e.first < 6 && (e.bareOf() || !named) && len(e.numbers) == 0
}

// opening is the first atom that holds anything, empty cells and quotes left out.
func (e *entry) opening() int {
	i := e.skip(e.body)
	for len(e.cells) > 1 && i < e.b && (e.at[i].class == cSpace || e.at[i].role == rPunct || e.at[i].text == `"`) {
		i++
	}
	return i
}

// labelled recognises what stands above a list as "Our job: 5520/B": a few words that name no part, a colon, and the rest.
func (e *entry) labelled(s *state) bool {
	if s.items && !e.outside() || e.numbered || len(e.traits) > 0 || !e.bareOf() || len(e.cells) > 1 && e.filled() > 1 || e.d.phys[e.first].spoken ||
		e.has(e.body, e.b, mKit, mBox, mVariant, mContents, mContentWith, mParts, mSection, mDemand, mBackOrder, mUnavailable, mExcluded, mOffered, mConditional) {
		return false
	}
	words := 0
	for i := e.body; i < e.b; i++ {
		switch a := &e.at[i]; {
		case a.text == ":":
			return words >= 1 && words <= 3 && e.skip(i+1) < e.b
		case a.class == cLetters:
			if words++; a.word.place {
				return false
			}
		case a.class == cDigits:
			return false
		}
	}
	return false
}

// signsOff says that a short line without a part ends in a greeting: "That's it, cheers."
func (e *entry) signsOff() bool {
	if len(e.traits) > 0 || !e.bareOf() || e.letters() > 7 || e.digits() {
		return false
	}
	h, ok := e.find(e.skip(e.body)+1, e.b, mSignoff)
	return ok && e.skip(h.b) >= e.b-1 && (e.text(e.back(h.a)) == "," || e.text(e.back(h.a)) == "." || e.text(e.back(h.a)) == "?")
}

// firm says that the entry is the name of a firm above the list.
func (e *entry) firm(s *state) bool {
	return !s.items && e.first < 4 && e.has(e.body, e.b, mCompany) && e.bareOf() && (!e.has(e.body, e.b, mKit) || e.d.gaps(&e.d.phys[e.first]) > 0) && len(e.counts) == 0
}

func (e *entry) hasAt(i int, ms ...meaning) bool {
	_, ok := e.hitAt(i, ms...)
	return ok
}

// pageFooter says that the entry ends in "page 1 of 2".
func (e *entry) pageFooter() bool {
	_, _, ok := pageOf(Fold(e.raw(e.body, e.b)))
	return ok && e.is(e.b-1, cDigits)
}

// noiseAt decides what the phrase that opens an entry makes of it.
func (e *entry) noiseAt(h hit, named bool, s *state) bool {
	{
		switch next := e.text(e.skip(h.b)); h.meaning {
		case mGreeting:
			if e.greets(s) {
				return false
			}
			return len(e.counts) == 0 && len(e.designations) == 0 && len(e.traits) < 2
		case mSignoff:
			if e.leadsIn() {
				return false // "merci de nous livrer :"
			}
			s.over = s.over || !named && s.items
			return !named || !e.digits() && len(e.counts) == 0 && e.letters() <= 6 && e.hasAt(e.opening(), mSignoff)
		case mTotal, mTax:
			return !named || len(e.prices) > 0 && len(e.designations) == 0 && len(e.traits) < 2
		case mPage:
			return e.is(e.skip(h.b), cDigits) || e.text(e.skip(h.b)) == ":" || !named
		case mCost:
			return len(e.designations) == 0 && (len(e.prices) > 0 || !named)
		case mLetterhead:
			return !named && !e.strongSign() && e.text(e.b-1) != ":"
		case mLetterStart:
			return next == ":" && len(e.counts) == 0
		}
	}
	return false
}

// pageTitle says that the entry names the kit beside the number of the page, for the first time.
func (e *entry) pageTitle(s *state) bool {
	return !s.items && s.kit == nil && (e.has(e.body, e.b, mKit, mVariant) || e.has(e.body, e.b, mBox) && e.has(e.body, e.b, mParts)) && (e.pageFooter() || e.pageCount()) && len(e.designations) == 0
}

// pageCount says that "2/3" or "2 of 3" or a lone number follows the word for page.
func (e *entry) pageCount() bool {
	h, ok := e.find(e.body, e.b, mPage)
	k := e.skip(h.b)
	if e.text(k) == ":" {
		k = e.skip(k + 1)
	}
	return ok && e.is(k, cDigits)
}

// longNumber says that a run of six digits or more stands in the entry, as in a telephone number.
func (e *entry) longNumber() bool {
	for i := e.body; i < e.b; i++ {
		if e.at[i].class == cDigits && len(e.at[i].text) >= 6 {
			return true
		}
	}
	return false
}

// bareName says that there is no number, size, thread or count that a part could have.
func (e *entry) bareName() bool {
	return len(e.numbers) == 0 && len(e.sizes) == 0 && len(e.threads) == 0 && !e.strongSign() && len(e.cells) < 2 && e.letters() <= 4
}

// form says that the entry is to be filled in by hand: "Checked: ______".
func (e *entry) form() bool {
	for i := e.body + 2; i < e.b; i++ {
		if e.text(i) == "_" && e.text(i-1) == "_" && e.text(i-2) == "_" {
			return len(e.numbers) == 0 && len(e.designations) == 0 && len(e.sizes) == 0
		}
	}
	return false
}

// address says that an "@" stands inside a word.
func (e *entry) address() bool {
	for i := e.body + 1; i+1 < e.b; i++ {
		if e.text(i) == "@" && e.is(i-1, cLetters) && e.is(i+1, cLetters) {
			return true
		}
	}
	return false
}
