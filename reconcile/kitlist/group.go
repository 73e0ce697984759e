package kitlist

// How the lines of a list are laid out says which of them only name a group: where nearly all parts stand behind a bullet
// or are set in, a short line at the margin with such a line below is a heading; so is a name in capitals among small
// letters.

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
		} else if p.indent >= 2 {
			set++
		}
		if d.hasLetter(p) && d.allUpper(p) {
			capitals++
		}
	}
	d.bulleted = bullets >= 3 && bullets*2 >= lines
	d.setIn = set >= 3 && set*2 >= lines && d.table.sep == 0 && !d.table.blanks
	d.fewCapitals = lines >= 4 && capitals*10 <= lines*4
}

// group says that the layout makes the entry the name of a group.
func (e *entry) group(s *state) bool {
	p := &e.d.phys[e.first]
	next := e.nextLine()
	if e.numbered || e.first != e.last || next == nil || next.depth != p.depth || e.digits() || len(e.counts) > 0 || e.filled() > 1 || e.letters() > 5 || e.text(e.b-1) == "." || e.text(e.b-1) == "," || e.d.textAt(next.b-1) == ":" {
		return false
	}
	if below := e.d.bullet(next.body, next.b) > next.body; e.d.bulleted && below && next.indent >= p.indent || e.d.setIn && next.indent > p.indent {
		return !e.d.lowerStart(p) || len(e.traits) > 0
	}
	return (s.items || len(e.traits) > 0) && e.d.fewCapitals && e.upperAll() && e.size() >= 4 && !e.d.allUpper(next) && next.indent >= p.indent
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
