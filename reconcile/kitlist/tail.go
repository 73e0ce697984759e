package kitlist

// What stands under a list: sums, charges, a name, a telephone number.

// sumRow says that a row of a table holds money, and neither a number nor a count where the other rows hold them.
func (e *entry) sumRow() bool {
	t := &e.d.table
	if t.head < 0 || e.first <= t.head || len(e.cells) == 0 || len(e.prices) == 0 || e.columnCount() >= 0 || e.strongSign() || len(e.designations) > 0 {
		return false
	}
	for _, c := range e.cells {
		if a, b := e.tight(c); a < b && e.columnKind(c.col) == "number" {
			return false
		}
	}
	return e.d.fullRows && (t.has("number") || len(e.traits) == 0)
}

// surveyRowsFull sees whether nearly every row of a table says how many, and has a number when there is a column of them.
func (d *document) surveyRowsFull() {
	rows, full := 0, 0
	for k := d.table.head + 1; d.table.head >= 0 && k < len(d.phys); k++ {
		p := &d.phys[k]
		if p.blank || p.rule || p.running {
			continue
		}
		counted, numbered := false, !d.table.has("number")
		for _, c := range d.rowCells(p) {
			if c.col >= len(d.table.cols) || d.empty(c) {
				continue
			}
			switch d.table.cols[c.col].kind {
			case "qty", "ordered", "supplied", "pieces":
				counted = true
			case "number":
				numbered = true
			}
		}
		rows++
		if counted && numbered {
			full++
		}
	}
	d.fullRows = rows >= 4 && full >= 3 && full*10 >= rows*6
}

// signature says that the entry is a name of one or two words under the last line of the list.
func (e *entry) signature(s *state) bool {
	if !s.items || e.nextLine() != nil || len(e.traits) > 0 || e.digits() || e.letters() > 2 || e.depth > 0 || e.numbered || len(e.cells) > 1 || !e.d.capitalAfter(&e.d.phys[e.first]) {
		return false
	}
	n := len(s.l.Lines)
	return e.afterBlank() || n > 0 && s.l.Lines[n-1].Kind != Item
}

// telephone says that the entry, besides a few words, holds a number as long as those of telephones, and no part of the
// list's kind.
func (e *entry) telephone() bool {
	if len(e.designations) > 0 || len(e.sizes) > 0 || e.strongSign() || e.numbered || len(e.cells) > 1 {
		return false
	}
	for i := e.body; i < e.b; i++ {
		if !e.is(i, cDigits) || e.at[i].text[0] != '0' && e.text(i-1) != "+" {
			continue
		}
		n, k := 0, i
		for e.is(k, cDigits) || k > i && e.is(k+1, cDigits) && (e.is(k, cSpace) || e.text(k) == "-" || e.text(k) == "/") {
			if e.is(k, cDigits) {
				n += len(e.at[k].text)
			}
			k++
		}
		if n >= minPhoneDigits && e.skip(k) >= e.b-1 {
			return true
		}
	}
	return false
}

// minPhoneDigits is how long a telephone number is at least.
const minPhoneDigits = 9
