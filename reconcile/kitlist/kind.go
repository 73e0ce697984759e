package kitlist

// kind decides what an entry is.
func (e *entry) kind(s *state) Kind {
	p := &e.d.phys[e.first]
	switch {
	case p.rule || p.stamp || e.empty():
		return Noise
	case e.first == e.last && e.d.table.head < 0 && e.d.headLine(p):
		if s.items {
			return Noise // heads of a further page
		}
		return Heading
	case e.d.table.head > e.first && (e.d.table.sep != 0 || e.d.table.blanks && !e.strongCount() || e.bareOf()) && !e.strongSign() && !e.noise(s):
		return e.aboveTable()
	case e.hashed():
		return Heading
	case e.stackHead():
		return Heading
	case e.pageTitle(s):
		return Heading
	case p.running && !(e.d.before(e.first) < 0 && !e.firm(s) && e.heading(s)):
		return Noise
	case p.spoken && len(e.traits) == 0 && e.question():
		return Note
	case e.d.table.head >= 0 && e.headRow():
		if e.first == e.d.table.head {
			return Heading
		}
		return Noise
	case e.noise(s):
		return Noise
	case e.heading(s):
		return Heading
	}
	return e.itemOrNote(s)
}

// aboveTable tells the name of a list from what a letter or bill has above its table.
func (e *entry) aboveTable() Kind {
	switch {
	case e.has(e.body, e.b, mKit, mVariant, mContents), e.leadsIn():
		return Heading
	case e.dated || e.d.phys[e.first].running || e.has(e.body, e.b, mSupply, mLetterhead):
		return Noise
	case e.has(e.body, e.b, mBox, mParts), len(e.traits) > 0 && e.d.table.sep == 0 && !e.colonAt():
		return Heading
	}
	return Noise
}

// colonAt says that a colon stands inside the entry.
func (e *entry) colonAt() bool {
	for i := e.body; i < e.b-1; i++ {
		if e.text(i) == ":" {
			return true
		}
	}
	return false
}

func (e *entry) empty() bool {
	for i := e.body; i < e.b; i++ {
		if c := e.at[i].class; c == cLetters || c == cDigits {
			return false
		}
	}
	return true
}

// headRow says that an entry is the heads of the table, or repeats them on a further page.
func (e *entry) headRow() bool {
	if e.first == e.d.table.head {
		return true
	}
	a, b := &e.d.phys[e.first], &e.d.phys[e.d.table.head]
	return e.d.same(a, b)
}

// same says that two physical lines hold the same text apart from blanks.
func (d *document) same(p, q *physical) bool {
	i, j := p.body, q.body
	for {
		for i < p.b && d.atoms[i].class == cSpace {
			i++
		}
		for j < q.b && d.atoms[j].class == cSpace {
			j++
		}
		if i == p.b || j == q.b {
			return i == p.b && j == q.b
		}
		if d.atoms[i].text != d.atoms[j].text {
			return false
		}
		i, j = i+1, j+1
	}
}

// bareOf says that an entry holds nothing that only an item has.
func (e *entry) bareOf() bool {
	return len(e.designations) == 0 && len(e.sizes) == 0 && len(e.threads) == 0 && len(e.prices) == 0 && len(e.teeth) == 0 && !e.strongCount()
}

func (e *entry) strongCount() bool {
	for _, c := range e.counts {
		if c.strength > weak && c.n > 0 {
			return true
		}
	}
	return false
}

func (d *document) hasLetter(p *physical) bool {
	for i := p.body; i < p.b; i++ {
		if d.atoms[i].class == cLetters {
			return true
		}
	}
	return false
}

// namesThing says that a line names a part in words.
func (d *document) namesThing(p *physical) bool {
	for i := p.body; i < p.b; i++ {
		if d.atoms[i].class == cLetters && d.atoms[i].word.thing != "" {
			return true
		}
	}
	return false
}

// speech are words that people use in sentences and not in lists.
var speech = wordSet("speech")

// sentence says that an entry talks instead of listing.
func (e *entry) sentence() bool {
	n, talk := 0, 0
	if e.firstWord(e.body) > e.skip(e.body) && e.countedAt(e.firstWord(e.body)) {
		return false
	}
	if t := e.text(e.skip(e.body)); (t == "a" || t == "an" || numberWords[t] > 0) && e.namedSoon(e.body+1) {
		return false
	}
	for i := e.body; i < e.b; i++ {
		if e.at[i].class == cLetters {
			n++
			if e.at[i].word.talk && !e.sticky(i+1, 1) && !e.sticky(i-1, -1) {
				talk++
			}
		}
	}
	if e.numbered && talk == 1 && len(e.traits) > 0 && e.namedSoon(e.body) {
		return false
	}
	return (n >= 5 || n == 4 && e.text(e.b-1) == ".") && talk > 0
}

// itemOrNote decides between the two kinds that carry meaning.
func (e *entry) itemOrNote(s *state) Kind {
	demand := e.has(e.body, e.b, mDemand)
	if h, ok := e.hitAt(e.firstWord(e.body), mExcluded, mWithout, mUnavailable, mBackOrder, mDeclined); ok && e.thing(h.b, e.b) {
		return Item
	}
	if h, ok := e.find(e.body, e.b, mDeclined, mDeclinedAft, mExcluded); ok && len(e.gears) > 0 && e.letters() <= maxClauseWords && (h.a == e.firstWord(e.body) || e.start(h.a) >= e.gears[0].End && e.atStart(e.gears[0])) {
		return Item // "5th not needed, it's nearly new"
	}
	if h, ok := e.find(e.body, e.b, mDeclined); ok && e.opensTalk(h.a) && e.namedSoon(h.b) && e.letters() <= maxClauseWords {
		return Item // "we won't need springs"
	}
	if !s.items && len(e.traits) == 0 && e.has(e.body, e.b, mBox, mVariant) && e.has(e.body, e.b, mFor) && e.letters() <= maxClauseWords && !e.question() && !e.asks() &&
		(!e.d.phys[e.first].spoken || e.has(e.body, e.b, mParts)) {
		return Heading // "ok so, for the little four speed"
	}
	if imperatives[e.text(e.firstWord(e.body))] && e.letters() >= 4 && e.text(e.b-1) == "." && e.bareOf() && len(e.numbers) == 0 && len(e.counts) == 0 && !e.has(e.body, e.b, mExcluded, mUnavailable, mBackOrder) {
		return Note // "Measure the shims after the dry build."
	}
	if e.letters() >= 3 && !e.strongSign() && e.bracketed("(", ")") {
		return Note
	}
	if spoken := e.d.phys[e.first].spoken; spoken && (e.question() || len(e.traits) == 0 && e.bareOf() && len(e.numbers) == 0) {
		return Note
	}
	if e.depth < e.d.deepest && e.bareOf() && !e.numbered && len(e.traits) == 0 && len(e.numbers) == 0 || e.depth < e.d.deepest && len(e.traits) == 0 && len(e.designations) == 0 && len(e.sizes) == 0 && len(e.numbers) == 0 {
		return Note // an answer between quoted lines
	}
	if e.d.phys[e.first].spoken && askWords[e.text(e.body)] && e.bareOf() {
		return Note
	}
	if e.weekday() && !e.outside() && e.bareOf() && len(e.counts) == 0 && s.items && !e.remarked() && !e.has(e.body, e.b, mBackOrder, mUnavailable, mExcluded) {
		return Note
	}
	if e.d.deepest == 0 && (!e.d.phys[e.first].spoken || e.letters() <= maxClauseWords && e.text(e.b-1) != "?") && len(e.traits) > 0 && e.letters() <= 16 && e.standsOut() {
		return Item
	}
	if e.outside() && len(e.traits) == 0 && len(e.prices) > 0 && e.sentence() {
		return Noise
	}
	if e.outside() && !e.d.phys[e.first].spoken && len(e.traits) == 0 && e.bareOf() && len(e.numbers) == 0 && len(e.serials) == 0 && e.depth == e.d.deepest && !demand &&
		!e.has(e.body, e.b, mExcluded, mUnavailable, mBackOrder, mOffered, mConditional, mVariant, mBox, mNote) {
		return Noise
	}
	if e.numbered && e.depth == e.d.deepest && e.dashed() || e.led() {
		return Item
	}
	if e.sentence() && len(e.designations) == 0 && !demand && !e.strongSign() {
		if len(e.counts) > 0 && len(e.traits) > 0 {
			e.ask("note-or-item", "is this only said, or a line of the list?", e.body, e.b)
		}
		return Note
	}
	if h, ok := e.hitAt(e.skip(e.body), mNote); ok {
		if e.thing(h.b, e.b) && e.has(h.b, e.b, mExcluded, mUnavailable, mBackOrder, mConditional) {
			return Item
		}
		return Note
	}
	return e.byEvidence(s, demand)
}

// byEvidence decides by what an item has and a remark has not.
func (e *entry) byEvidence(s *state, demand bool) Kind {
	switch {
	case len(e.traits) > 0, !e.bareOf(), len(e.numbers) > 0, len(e.gears) > 0 && e.letters() <= 4:
		return Item
	case len(e.places()) > 0 && e.letters() <= 4 && s.section != nil:
		return Item
	case e.has(e.body, e.b, mKit, mBox, mVariant) && !s.items:
		return Heading
	case e.letters() > 5 || demand || e.has(e.body, e.b, mExcluded, mUnavailable, mBackOrder, mOffered, mConditional, mSupply, mContinued, mBox, mVariant):
		return Note
	}
	if e.outside() && (!e.numbered || e.decorated()) {
		return Noise
	}
	e.ask("not-understood", "is this a part?", e.body, e.b)
	if e.d.counted && !e.numbered && s.items && e.letters() >= 2 {
		return Note // the parts of this list are counted
	}
	return Item
}

// atStart says that gears open the entry.
func (e *entry) atStart(g GearRef) bool { return g.Start == e.start(e.firstWord(e.body)) }

// led says that a leader stands behind the name of a part, as in every row of such a list.
func (e *entry) led() bool {
	for i := e.body + 1; i < e.b; i++ {
		if e.leader(i) && e.at[i].class == cPunct {
			return e.thing(e.body, i) && e.skip(i) < e.b-1
		}
	}
	return false
}

// remarked says that a short remark follows a dash behind the name of a part: "hub 3/4 - ask Monday".
func (e *entry) remarked() bool { return e.dashed() && !e.sentence() }

// dashed says that a dash between blanks stands behind the name of a part.
func (e *entry) dashed() bool {
	for i := e.body + 1; i < e.b; i++ {
		if e.text(i) == "-" && e.breaksClause(i) {
			return e.thing(e.body, i)
		}
	}
	return false
}

// imperatives open what a person is told to do.
var imperatives = wordSet("imperatives")

// askWords open a question.
var askWords = wordSet("askWords")

// asks says that a word stands in the entry that opens questions.
func (e *entry) asks() bool {
	for i := e.body; i < e.b; i++ {
		if e.at[i].class == cLetters && askWords[e.text(i)] {
			return true
		}
	}
	return false
}

// question says that the entry asks and names nothing by count, number, size or designation.
func (e *entry) question() bool {
	return e.text(e.b-1) == "?" && !e.numbered && e.bareOf() && len(e.numbers) == 0 && len(e.counts) == 0
}

// bracketed says that one pair of brackets holds the whole entry.
func (e *entry) bracketed(open, close string) bool {
	if e.text(e.body) != open || e.text(e.b-1) != close {
		return false
	}
	for i := e.body + 1; i < e.b-1; i++ {
		if t := e.text(i); t == open || t == close {
			return false
		}
	}
	return true
}

// strongSign says that a count was written with a sign or a word.
func (e *entry) strongSign() bool {
	for _, c := range e.counts {
		if c.n > 0 && c.strength >= sign {
			return true
		}
	}
	return false
}
