package kitlist

// Remarks that no list of phrases can hold: "for LHD only", "nur bei Turbo", "3 weeks".

// scanRemarks finds clauses that limit a part to some boxes, and times until it comes.
func (e *entry) scanRemarks() {
	for i := e.body; i < e.b; i++ {
		switch t := e.at[i].text; {
		case e.at[i].class != cLetters:
		case onlyWords[t]:
			e.limited(i)
		case waitWords[t]:
			e.awaited(i)
		}
	}
}

// limited reads "only" in a clause, bracket or cell behind the name, or behind "for": the part is for some boxes only.
// "Only 2 left" and "in sets only" speak of something else.
func (e *entry) limited(i int) {
	a, b := i, i+1
	for a > e.body && !e.breaksClause(a-1) && e.text(a-1) != ")" {
		a--
	}
	for b < e.b && !e.breaksClause(b) && e.text(b) != ")" {
		b++
	}
	if h, ok := e.find(a, i, mFor); ok {
		a = h.a
	}
	if !e.thing(e.body, a) && !e.within(e.body, a, rDesignation) || e.thing(a, b) || e.small(e.skip(i+1)) > 0 || e.small(e.back(i)) > 0 {
		return
	}
	words := 0
	for k := a; k < b; k++ {
		at := &e.at[k]
		if at.class != cLetters && at.class != cDigits {
			continue
		}
		if words++; at.class == cLetters && (at.word.stance == brings || at.word.stance == stocks || numberWords[at.text] > 0) {
			return
		}
	}
	if words < 2 || words > maxRemark || e.has(a, b, mUnit, mConditional, mVariant, mExcluded, mUnavailable, mBackOrder, mFrom, mUpTo) {
		return
	}
	e.addHit(e.skip(a), e.back(b)+1, mConditional)
}

// maxRemark is how many words a limiting remark has.
const maxRemark = 6

// waitWords are units of the time until something comes.
var waitWords = wordSet("waitWords")

// awaited reads "3 weeks", "10-14 Tage" behind the name of a part.
func (e *entry) awaited(i int) {
	p := e.back(i)
	if p <= e.body || p == i-1 || !e.is(p, cDigits) && numberWords[e.text(p)] == 0 || len(e.text(p)) > 2 && e.is(p, cDigits) {
		return
	}
	for p-2 > e.body && (e.text(p-1) == "-" || e.text(p-1) == "/") && e.is(p-2, cDigits) {
		p -= 2
	}
	if e.thing(e.body, p) && !e.has(e.body, e.b, mUnavailable, mBackOrder, mCost, mNote) {
		e.hits = append(e.hits, hit{phrase{meaning: mBackOrder, arg: "wait"}, p, i + 1})
	}
}
