package kitlist

// heading recognises lines that only set the scene for the lines after them.
func (e *entry) heading(s *state) bool {
	if k := e.opening(); e.hasAt(k, mSection) && !e.numbered && len(e.cells) < 2 && len(e.sizes) == 0 && len(e.designations) == 0 && len(e.prices) == 0 && e.nextLine() != nil && !e.strongSign() {
		return true
	}
	if e.document(s) || e.titleAbove(s) || e.greets(s) {
		return true
	}
	if !e.bareOf() || e.d.phys[e.first].spoken && e.text(e.b-1) != ":" {
		return e.introduction()
	}
	words := e.letters()
	colon := e.text(e.b-1) == ":"
	at := e.skip(e.body)
	if h, ok := e.find(e.body, e.b, mContents, mContentWith); ok && (e.skip(h.b) >= e.b || e.text(h.b) == "." && h.b == e.b-1 || colon || h.a == at && (words <= 4 || words <= 9 && !s.items && len(e.traits) == 0)) && len(e.numbers) == 0 {
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
	if next != nil && (e.d.starts(next, mContents) || e.d.starts(next, mContentWith)) {
		return true
	}
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
	if next := e.nextLine(); next != nil && e.kitAbove(next) && e.group(s) {
		return true
	}
	if len(e.numbers) == 0 && (e.uncounted() || e.group(s) || e.subhead()) {
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
		if a := e.at[i]; a.class == cLetters && !e.thing(i, i+1) && !andWords[a.text] {
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
	if next == nil || !e.d.saysHowMany(next) {
		return false
	}
	if len(e.traits) > 0 && e.letters() <= 3 && e.onlyShafts() && (e.d.endCount || e.d.counted) {
		return true // "INPUT SHAFT" above its parts
	}
	if e.d.allUpper(next) {
		return false
	}
	return e.upperAll() || len(e.traits) == 0 && e.letters() <= 2 && e.d.capitalAfter(&e.d.phys[e.first])
}

// onlyShafts says that shafts and cases are all that the entry names: places whose parts are listed below.
func (e *entry) onlyShafts() bool {
	for _, t := range e.traits {
		if t.kind != "shaft" && t.kind != "case" {
			return false
		}
	}
	return true
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
	h, ok := e.find(e.body, e.b, mExcluded, mUnavailable, mBackOrder, mConditional, mDeclinedAft)
	return ok && (h.arg == "" || h.arg == "now") && (e.thing(e.body, h.a) || h.a > e.body && e.namedSoon(h.b) && e.letters() <= 14 && h.meaning == mExcluded)
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
		if andWords[e.text(i)] {
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
