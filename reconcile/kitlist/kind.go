package kitlist

// kind decides what an entry is.
func (e *entry) kind(s *state) Kind {
	p := &e.d.phys[e.first]
	switch {
	case p.rule || e.empty():
		return Noise
	case e.first == e.last && e.d.table.head < 0 && e.d.headLine(p):
		if s.items {
			return Noise // heads of a further page
		}
		return Heading
	case e.d.table.head > e.first && (e.d.table.sep != 0 || e.bareOf()) && !e.strongSign() && !e.noise(s):
		if len(e.traits) > 0 && e.d.table.sep == 0 || e.has(e.body, e.b, mKit, mBox, mVariant, mContents) {
			return Heading
		}
		return Noise
	case e.hashed():
		return Heading
	case e.stackHead():
		return Heading
	case p.running && !(e.d.before(e.first) < 0 && e.heading(s)):
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

// noise recognises greetings, sign-offs, totals, footers, letterheads and costs that are no part.
func (e *entry) noise(s *state) bool {
	named := len(e.traits) > 0 || len(e.designations) > 0
	if e.firm(s) || e.phone() || e.moneyOnly() {
		return true
	}
	if e.dated && !s.items && !e.leadsIn() && e.first < 6 && len(e.designations) == 0 && len(e.sizes) == 0 && !e.strongSign() && (e.bareOf() || !named) && len(e.numbers) == 0 && len(e.cells) < 2 {
		return true
	}
	at := e.opening()
	h, opens := e.hitAt(at, mGreeting, mSignoff, mTotal, mTax, mPage, mCost, mLetterhead, mLetterStart, mQuoted)
	if opens && e.noiseAt(h, named, s) {
		return true
	}
	if e.has(e.body, e.b, mQuoted) && (e.text(e.b-1) == ":" || e.text(e.b-1) == "-" && e.text(e.b-2) == "-") {
		return true
	}
	if e.has(e.body, e.b, mPage) && len(e.sizes) == 0 && len(e.designations) == 0 && (!named && e.pageCount() || e.pageFooter()) {
		return true
	}
	if e.has(e.body, e.b, mTotal, mTax, mCost) && !named && len(e.prices) > 0 && e.letters() <= 6 {
		return true
	}
	if !named && e.bareOf() && e.has(e.body, e.b, mLetterhead) && e.longNumber() {
		return true
	}
	if !named && (e.depth == e.d.deepest && e.roleOf(e.opening()) == rPrice && e.bareName() || e.hasAt(e.opening(), mDeclined) && e.has(e.body, e.b, mTax, mCost)) {
		return true // "£140 the lot", "no VAT"
	}
	if !named && e.form() {
		return true
	}
	if !named && e.address() || e.text(at) == "http" || e.text(at) == "www" {
		return true
	}
	if e.hasAt(at, mSupply) && !named && !e.strongSign() && e.letters() <= 4 && !e.leadsIn() {
		return true
	}
	if s.over && !(named && e.has(e.body, e.b, mWithout, mExcluded, mDeclined, mWith)) && e.nextLine() == nil && !e.digits() && e.letters() <= 6 && !e.has(e.body, e.b, mDemand) {
		return true // the name under the letter
	}
	return s.over && !named && len(e.numbers) == 0 && len(e.counts) == 0
}

// opening is the first atom that holds anything, empty cells and quotes left out.
func (e *entry) opening() int {
	i := e.skip(e.body)
	for len(e.cells) > 1 && i < e.b && (e.at[i].class == cSpace || e.at[i].role == rPunct || e.at[i].text == `"`) {
		i++
	}
	return i
}

// firm says that the entry is the name of a firm above the list.
func (e *entry) firm(s *state) bool {
	return !s.items && e.first < 4 && e.has(e.body, e.b, mCompany) && e.bareOf() && !e.has(e.body, e.b, mKit) && len(e.counts) == 0
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
			return len(e.counts) == 0 && len(e.designations) == 0 && len(e.traits) < 2
		case mSignoff:
			if e.leadsIn() {
				return false // "merci de nous livrer :"
			}
			s.over = s.over || !named
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

// pageCount says that "2/3" or "2 of 3" or a lone number follows the word for page.
func (e *entry) pageCount() bool {
	h, ok := e.find(e.body, e.b, mPage)
	return ok && e.is(e.skip(h.b), cDigits)
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

// heading recognises lines that only set the scene for the lines after them.
func (e *entry) heading(s *state) bool {
	if k := e.opening(); e.hasAt(k, mSection) && !e.numbered && len(e.cells) < 2 && len(e.sizes) == 0 && len(e.designations) == 0 && len(e.prices) == 0 && e.nextLine() != nil && !e.strongSign() {
		return true
	}
	if !e.bareOf() || e.d.phys[e.first].spoken && e.text(e.b-1) != ":" {
		return e.introduction()
	}
	words := e.letters()
	colon := e.text(e.b-1) == ":"
	at := e.skip(e.body)
	if h, ok := e.find(e.body, e.b, mContents, mContentWith); ok && (e.skip(h.b) >= e.b || colon || h.a == at && words <= 4) && len(e.numbers) == 0 {
		return true
	}
	if h, ok := e.find(e.body, e.b, mOffered, mExcluded, mConditional); ok && (colon && words <= 8 || e.skip(h.b) >= e.b && h.a == at) {
		return true
	}
	if e.has(e.body, e.b, mNote) && !colon {
		return false
	}
	if h, ok := e.hitAt(at, mOffered, mExcluded, mConditional); ok && !e.numbered && words <= 10 && !e.thing(h.b, e.b) && (e.introduces() || e.afterBlank() && words <= 5 && e.nextLine() != nil && !e.digits()) {
		return true
	}
	if e.title(s) {
		return true
	}
	if !e.numbered && len(e.cells) < 2 && e.kitName(at, words) && e.nextLine() != nil {
		return true
	}
	if words <= 6 && !e.numbered && len(e.cells) < 2 && len(e.traits) == 0 && len(e.counts) == 0 && len(e.numbers) == 0 && e.variantHead() {
		return true
	}
	if !e.numbered && len(e.cells) < 2 && !e.digits() && e.hasAt(at, mParts) && words <= 5 && !s.items && len(e.traits) == 0 {
		return true
	}
	if colon && !e.numbered && e.outside() && !s.items && len(e.cells) < 2 {
		return true
	}
	if colon && !e.numbered && words <= 6 && e.introduces() {
		return true
	}
	if colon && words <= 8 && (len(e.numbers) == 0 || len(e.traits) == 0) {
		return true
	}
	if !s.items && s.kit == nil && e.has(e.body, e.b, mKit) && words >= 2 && len(e.cells) == 0 && (!e.thing(e.body, e.b) || e.has(e.body, e.b, mBox, mVariant, mContents)) {
		return true
	}
	return e.category(s)
}

// title recognises the name of a kit on the first line: it names a kit or a gearbox, and the lines below open with
// counts or bullets, or are a heading for the contents, as it does not.
func (e *entry) title(s *state) bool {
	if s.items || s.kit != nil || e.numbered || len(e.cells) > 0 || !e.has(e.body, e.b, mKit, mBox, mVariant, mParts) || e.is(e.body, cDigits) {
		return false
	}
	if e.has(e.body, e.b, mBox) && (e.has(e.body, e.b, mFor) || e.has(e.body, e.b, mParts)) || e.has(e.body, e.b, mParts) && e.has(e.body, e.b, mBox, mVariant) {
		return true
	}
	next, after := e.below()
	return next != nil && (e.d.opens(next) && (after == nil || e.d.opens(after)) || e.d.textAt(next.b-1) == ":")
}

// introduces says that the line below is set off from this one by a bullet, a count or its indent.
func (e *entry) introduces() bool {
	next := e.nextLine()
	return next != nil && (e.d.bullet(next.body, next.b) > next.body || next.indent > e.indent)
}

// below are the next two lines that hold anything.
func (e *entry) below() (next, after *physical) {
	next = e.nextLine()
	if next == nil {
		return nil, nil
	}
	for k := e.last + 1; k < len(e.d.phys); k++ {
		if p := &e.d.phys[k]; !p.blank && !p.rule && p != next {
			return next, p
		}
	}
	return next, nil
}

func (e *entry) letters() int {
	n := 0
	for i := e.body; i < e.b; i++ {
		if e.at[i].class == cLetters {
			n++
		}
	}
	return n
}

// category recognises "BEARINGS", "Seals & gaskets", "== Synchro ==": only names of parts, with lines below that need one.
func (e *entry) category(s *state) bool {
	if len(e.numbers) == 0 && e.uncounted() {
		return true
	}
	if len(e.numbers) > 0 || len(e.traits) == 0 && !e.decorated() || e.letters() > 5 || len(e.gears) > 0 || len(e.cells) > 1 && e.filled() > 1 {
		return false
	}
	for _, h := range e.hits {
		switch h.meaning {
		case mAll, mKit, mBox, mWith, mUnit, mVariant, mContents, mOr, mNew, mStandard, mLeft, mSelect, mFor, mParts:
		default:
			return false
		}
	}
	if e.decorated() {
		return len(e.traits) > 0 || !e.outside() || e.has(e.body, e.b, mKit, mBox, mContents)
	}
	if !s.items && e.opensPlural() {
		return true
	}
	plain := true
	for i := e.body; i < e.b; i++ {
		if a := e.at[i]; a.class == cLetters && !e.thing(i, i+1) && a.text != "and" && a.text != "und" && a.text != "et" && a.text != "y" {
			plain = plain && e.upperAll()
		}
	}
	next := e.nextLine()
	if !plain || next == nil || !e.d.hasLetter(next) {
		return false
	}
	if next.indent > e.indent && !e.numbered {
		return true
	}
	return s.fresh(e) && !e.numbered && e.upperAll() && !e.d.namesThing(next) || s.fresh(e) && e.afterBlank() && !e.numbered && !e.d.namesThing(next)
}

// uncounted recognises the name of a group in a list whose other lines say how many: capitals among small letters, or
// one word that is no part, with a counted line below.
func (e *entry) uncounted() bool {
	if !e.d.mostCounted || e.numbered || e.digits() || len(e.counts) > 0 || len(e.cells) > 0 || e.letters() > 4 {
		return false
	}
	next := e.nextLine()
	if next == nil || !e.d.saysHowMany(next) || e.d.allUpper(next) {
		return false
	}
	return e.upperAll() || len(e.traits) == 0 && e.letters() <= 2 && e.d.capitalAfter(&e.d.phys[e.first])
}

// allUpper says that a line has no small letter.
func (d *document) allUpper(p *physical) bool {
	letters := false
	for i := p.body; i < p.b; i++ {
		if d.atoms[i].class != cLetters || d.atoms[i].text == "x" {
			continue
		}
		letters = true
		for _, c := range d.text[d.atoms[i].start:d.atoms[i].end] {
			if 'a' <= c && c <= 'z' {
				return false
			}
		}
	}
	return letters
}

// opensPlural says that the text opens with joined names and no digit, and counts or sizes only follow below.
func (e *entry) opensPlural() bool {
	if e.numbered || e.digits() || !e.joins() || len(e.cells) > 0 {
		return false
	}
	next, after := e.below()
	return next != nil && after != nil && e.d.hasDigit(next) && e.d.hasDigit(after)
}

// outside says that the entry stands before the first or behind the last line that surely belongs to the list.
func (e *entry) outside() bool {
	s := e.d.solid
	return s[0] >= 0 && s[1] > s[0]+1 && (e.last < s[0] || e.first > s[1])
}

// standsOut says that a sentence names a part and then says that it is not supplied or cannot be had.
func (e *entry) standsOut() bool {
	h, ok := e.find(e.body, e.b, mExcluded, mUnavailable, mBackOrder)
	return ok && h.arg == "" && e.thing(e.body, h.a)
}

// leadsIn says that a sentence ends in a colon, and the list follows.
func (e *entry) leadsIn() bool {
	return e.text(e.b-1) == ":" && e.letters() >= 4 && e.nextLine() != nil
}

// introduction recognises a sentence that ends in a colon: the numbers in it count nothing.
func (e *entry) introduction() bool {
	return e.text(e.b-1) == ":" && !e.numbered && len(e.cells) < 2 && !e.strongSign() && e.letters() >= 4 && len(e.sizes) == 0 &&
		len(e.designations) == 0 && len(e.prices) == 0 && !e.is(e.body, cDigits) && e.nextLine() != nil
}

// kitName recognises "KIT B (seals)": a word for a kit, a letter or a number, and at most a remark.
func (e *entry) kitName(at, words int) bool {
	h, ok := e.hitAt(at, mKit)
	if !ok || words > 9 || len(e.counts) > 0 {
		return false
	}
	k := e.skip(h.b)
	if e.text(k) == "no" || e.text(k) == "nr" {
		k = e.skip(k + 1)
	}
	if !e.is(k, cDigits) && !(e.is(k, cLetters) && len(e.text(k)) == 1) {
		return false
	}
	k = e.skip(k + 1)
	return k >= e.b || e.text(k) == "(" || e.text(k) == ":" || e.text(k) == "-"
}

// variantHead says that the line only names the boxes that the lines below are for, and that lines follow.
func (e *entry) variantHead() bool {
	if e.nextLine() == nil || e.text(e.b-1) == "." {
		return false
	}
	if e.has(e.body, e.b, mCommon) && e.letters() <= 3 {
		return true
	}
	return e.has(e.body, e.b, mBox) && (e.has(e.body, e.b, mVariant) || len(e.serials) > 0)
}

// hashed says that the line is marked as a heading: "## Seals".
func (e *entry) hashed() bool {
	p := &e.d.phys[e.first]
	i := p.body
	for i < p.b && e.d.atoms[i].text == "#" {
		i++
	}
	return i > p.body && i+1 < p.b && e.d.atoms[i].class == cSpace && e.d.atoms[i+1].class == cLetters && len(e.cells) < 2
}

// joins says that two names are joined: "Shims & circlips".
func (e *entry) joins() bool {
	for i := e.body; i < e.b; i++ {
		if t := e.text(i); t == "&" || t == "+" || t == "and" || t == "und" || t == "et" || t == "y" {
			return true
		}
	}
	return false
}

// filled is the number of cells that hold anything.
func (e *entry) filled() int {
	n := 0
	for _, c := range e.cells {
		if !e.d.empty(c) {
			n++
		}
	}
	return n
}

// decorated says that a line is set off by signs: "== Seals ==", "## Seals", "[Seals]".
func (e *entry) decorated() bool {
	p := &e.d.phys[e.first]
	i := p.body
	t := e.d.atoms[i].text
	if t == "[" {
		return e.d.atoms[p.b-1].text == "]"
	}
	return (t == "=" || t == "#" || t == "*" || t == "-" || t == "~") && i+1 < p.b && e.d.atoms[i+1].text == t
}

func (e *entry) upperAll() bool {
	for i := e.body; i < e.b; i++ {
		if e.at[i].class == cLetters && !e.upper(i) {
			return false
		}
	}
	return true
}

func (e *entry) nextLine() *physical {
	for k := e.last + 1; k < len(e.d.phys); k++ {
		if !e.d.phys[k].blank {
			return &e.d.phys[k]
		}
	}
	return nil
}

func (e *entry) afterBlank() bool {
	return e.first == 0 || e.d.phys[e.first-1].blank
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
var speech = map[string]bool{"we": true, "is": true, "are": true, "i": true, "you": true, "it": true, "they": true, "have": true,
	"has": true, "will": true, "can": true, "let": true, "know": true, "ok": true, "wir": true, "sind": true, "ist": true, "werden": true,
	"nous": true, "sommes": true, "est": true, "sont": true, "es": true, "estan": true, "que": true, "that": true, "when": true,
	"before": true, "should": true, "must": true, "bitte": true, "please": true, "be": true, "this": true, "does": true, "doesn't": true, "wurde": true, "wird": true,
	"were": true, "been": true, "would": true, "sind nicht": true, "haben": true, "hat": true, "son": true, "hay": true}

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
	if h, ok := e.hitAt(e.skip(e.body), mExcluded, mWithout, mUnavailable, mBackOrder, mDeclined); ok && e.thing(h.b, e.b) {
		return Item
	}
	if e.letters() >= 3 && !e.strongSign() && e.wholeBracket() {
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
	if e.weekday() && e.bareOf() && len(e.counts) == 0 && s.items && !e.has(e.body, e.b, mBackOrder, mUnavailable, mExcluded) {
		return Note
	}
	if e.d.deepest == 0 && !e.d.phys[e.first].spoken && len(e.traits) > 0 && e.letters() <= 16 && e.standsOut() {
		return Item
	}
	if e.outside() && len(e.traits) == 0 && len(e.prices) > 0 && e.sentence() {
		return Noise
	}
	if e.outside() && !e.d.phys[e.first].spoken && len(e.traits) == 0 && e.bareOf() && len(e.numbers) == 0 && len(e.serials) == 0 && e.depth == e.d.deepest && !demand &&
		!e.has(e.body, e.b, mExcluded, mUnavailable, mBackOrder, mOffered, mConditional, mVariant, mBox, mNote, mContinued) {
		return Noise
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

// askWords open a question.
var askWords = map[string]bool{"what": true, "wot": true, "which": true, "when": true, "how": true, "who": true, "why": true, "can": true,
	"could": true, "do": true, "does": true, "did": true, "is": true, "are": true, "will": true, "would": true, "any": true,
	"was": true, "wann": true, "wie": true, "quand": true, "combien": true, "cuando": true, "cuanto": true}

// question says that the entry asks and names nothing by count, number, size or designation.
func (e *entry) question() bool {
	return e.text(e.b-1) == "?" && !e.numbered && e.bareOf() && len(e.numbers) == 0 && len(e.counts) == 0
}

// wholeBracket says that one pair of brackets holds the whole entry.
func (e *entry) wholeBracket() bool {
	if e.text(e.body) != "(" || e.text(e.b-1) != ")" {
		return false
	}
	for i := e.body + 1; i < e.b-1; i++ {
		if t := e.text(i); t == "(" || t == ")" {
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
