package kitlist

// How the lines of a list are laid out says which of them only name a group: where nearly all parts stand behind a bullet
// or are set in, a short line at the margin with such a line below is a heading; so is a name in capitals among small
// letters.

// maxShortName is how long a name in capitals is that counts among its like.
const maxShortName = 12

// surveyGroups sees how most lines of the list are laid out.
func (d *document) surveyGroups() {
	lines, bullets, set, capitals := 0, 0, 0, 0
	for k := range d.phys {
		p := &d.phys[k]
		if p.blank || p.rule || p.running || p.body >= p.b || k == d.table.head {
			continue
		}
		lines++
		if d.bullet(p.body, p.b) > p.body {
			bullets++
		} else if p.indent >= 1 {
			set++
		}
		if d.hasLetter(p) && d.allUpper(p) {
			if capitals++; !d.hasDigit(p) && p.end-p.start <= maxShortName {
				d.shortNames++
			}
		}
	}
	d.bulleted = bullets >= 3 && bullets*2 >= lines
	d.setIn = set >= 3 && set*2 >= lines && d.table.sep == 0 && !d.table.blanks
	d.fewCapitals = lines >= 4 && capitals*10 <= lines*4
}

// subhead says that a row of a table holds one cell of words only, above a whole row: "Countershaft".
func (e *entry) subhead() bool {
	next := e.nextLine()
	if e.d.table.head < 0 || e.first <= e.d.table.head || !e.d.fullRows || next == nil || e.digits() || e.letters() > 5 || len(e.cells) > 1 && e.filled() != 1 ||
		e.has(e.body, e.b, mExcluded, mWithout, mConditional, mUnavailable, mBackOrder, mOr) {
		return false
	}
	if e.d.table.blanks {
		return e.d.gaps(&e.d.phys[e.first]) == 0 && len(e.d.rowCells(next)) > 2
	}
	filled := 0
	for _, c := range e.d.rowCells(next) {
		if !e.d.empty(c) {
			filled++
		}
	}
	return filled > 2
}

// group says that the layout makes the entry the name of a group.
func (e *entry) group(s *state) bool {
	p := &e.d.phys[e.first]
	next := e.nextLine()
	if e.numbered || e.first != e.last || next == nil || next.depth != p.depth || e.digits() && !e.kitAbove(next) || len(e.counts) > 0 || e.filled() > 1 || e.letters() > 5 || e.text(e.b-1) == "." || e.text(e.b-1) == "," || e.d.textAt(next.b-1) == ":" {
		return false
	}
	if below := e.d.bullet(next.body, next.b) > next.body; e.d.bulleted && below && next.indent >= p.indent || e.d.setIn && next.indent > p.indent {
		return !e.d.lowerStart(p) || len(e.traits) > 0
	}
	long := e.size() >= 4 || e.d.shortNames >= 3 && (len(e.traits) == 0 || e.thing(e.body, e.b, "shaft"))
	return (s.items || len(e.traits) > 0 || e.d.shortNames >= 3) && e.d.fewCapitals && e.upperAll() && long && !e.d.allUpper(next) && next.indent >= p.indent
}

// kitAbove says that the entry names a kit by number above lines that are set in: "Synchro kit 5-S".
func (e *entry) kitAbove(next *physical) bool {
	return e.d.setIn && next.indent > e.d.phys[e.first].indent && e.has(e.body, e.b, mKit, mBox) && len(e.designations) == 0 && len(e.sizes) == 0
}

// size is the number of letters.
func (e *entry) size() int {
	n := 0
	for i := e.body; i < e.b; i++ {
		if e.at[i].class == cLetters {
			n += len(e.at[i].text)
		}
	}
	return n
}
