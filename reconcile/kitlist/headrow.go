package kitlist

import (
	"slices"
	"strings"
)

// headLines is how far down heads are looked for.
const headLines = 12

// findHeads looks for the row of column heads: cells that word lists know as heads, or the first row without a digit
// above rows that hold columns of numbers.
func (d *document) findHeads() {
	other := -1
	for i := 0; i < len(d.phys) && i < headLines; i++ {
		p := &d.phys[i]
		if p.blank || p.rule {
			continue
		}
		cells := d.cut(p.body, p.b, d.table.sep)
		known, filled := d.headScore(cells)
		if known < 2 || known*5 < filled*3 && (known < 4 || known*2 < filled) {
			if other < 0 && known > 0 && filled >= 2 && d.strangeHeads(i, cells) {
				other = i
			}
			continue
		}
		d.setHeads(i, cells)
		return
	}
	if other >= 0 {
		d.setHeads(other, d.cut(d.phys[other].body, d.phys[other].b, d.table.sep))
	}
}

func (d *document) setHeads(i int, cells []cell) {
	d.table.head = i
	for _, c := range cells {
		d.table.cols = append(d.table.cols, col{name: strings.TrimSpace(d.cellRaw(c)), kind: d.headKind(c)})
	}
}

// strangeHeads says that the cells of line i hold no digit, and the next rows have a number in one column at least.
func (d *document) strangeHeads(i int, cells []cell) bool {
	p := &d.phys[i]
	if d.hasDigit(p) {
		return false
	}
	numbers := make([]int, len(cells))
	rows := 0
	for k := d.after(i); k >= 0 && rows < minRelated; k = d.after(k) {
		rows++
		for _, c := range d.cut(d.phys[k].body, d.phys[k].b, d.table.sep) {
			if c.col < len(numbers) && wholeText(d.cellText(c)) >= 0 {
				numbers[c.col]++
			}
		}
	}
	for _, n := range numbers {
		if rows == minRelated && n == rows {
			return true
		}
	}
	return false
}

// findBlankHeads looks for heads set off by blanks: three known ones, or fewer above rows of numbers.
func (d *document) findBlankHeads() {
	for i := 0; i < len(d.phys) && i < headLines; i++ {
		p := &d.phys[i]
		if p.blank || p.rule || d.gaps(p) == 0 {
			continue
		}
		cells := d.splitHeads(d.gapCells(p))
		known, filled := d.headScore(cells)
		if known < 3 && !(known == 2 && filled == 3 && d.headLine(p)) && !(known >= 2 && filled >= 4 && d.numbersBelow(i, filled)) && !(known >= 1 && known*2 >= filled && d.rowsBelow(i, filled)) || known*5 < filled*3 && !d.numbersBelow(i, filled) {
			continue
		}
		d.table.head, d.table.blanks = i, true
		for _, c := range cells {
			d.table.cols = append(d.table.cols, col{name: d.cellRaw(c), kind: d.headKind(c),
				start: d.column(p, int(d.atoms[c.a].start)), end: d.column(p, int(d.atoms[c.b-1].end))})
		}
		return
	}
}

// rowsBelow says that line i holds no digit and no part, and the next rows have as many cells, one of them all whole numbers.
func (d *document) rowsBelow(i, cells int) bool {
	if p := &d.phys[i]; d.hasDigit(p) || d.opens(p) {
		return false
	}
	rows, whole := 0, make([]int, cells)
	for k := d.after(i); k >= 0 && rows < minRelated; k = d.after(k) {
		row := d.gapCells(&d.phys[k])
		if len(row) != cells {
			return false
		}
		for j, c := range row {
			if wholeText(d.cellText(c)) >= 0 {
				whole[j]++
			}
		}
		rows++
	}
	return rows == minRelated && slices.Contains(whole, rows)
}

// numbersBelow says that line i holds no digit, and the next rows have about as many cells and end in numbers.
func (d *document) numbersBelow(i, cells int) bool {
	if d.hasDigit(&d.phys[i]) {
		return false
	}
	rows := 0
	for k := d.after(i); k >= 0 && rows < minRelated; k = d.after(k) {
		q := &d.phys[k]
		if n := d.gaps(q) + 1; n < 3 || n+2 < cells || !d.countAtEnd(q) && !d.opens(q) {
			return false
		}
		rows++
	}
	return rows == minRelated
}
