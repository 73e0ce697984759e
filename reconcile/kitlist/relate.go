package kitlist

import "slices"

// Columns of whole numbers tell by their values how they hang together, whatever stands above them: one is the product
// of two others, two say nearly the same, one counts the rows. A head may be in no word list, or mean another thing in
// this house; the values of many rows rarely lie.

// minRelated is how many rows must show a relation before it overrules the heads.
const minRelated = 3

// grid holds the whole numbers of a table, row by row; -1 where a cell holds none.
type grid [][]int

// wholes collects the whole numbers of the rows under the heads.
func (d *document) wholes() grid {
	var g grid
	for k := d.table.head + 1; k < len(d.phys); k++ {
		p := &d.phys[k]
		if p.blank || p.rule || d.closing(p) {
			continue
		}
		row := make([]int, len(d.table.cols))
		for i := range row {
			row[i] = -1
		}
		filled := 0
		for _, c := range d.rowCells(p) {
			if c.col < len(row) {
				row[c.col] = wholeText(d.cellText(c))
				filled++
			}
		}
		if filled > 1 {
			g = append(g, row)
		}
	}
	return g
}

// rowCells are the cells of a line of the table.
func (d *document) rowCells(p *physical) []cell {
	if d.table.blanks {
		return d.table.place(d.gapCells(p), d, p)
	}
	return d.cut(p.body, p.b, d.table.sep)
}

// wholeText reads a text of digits alone, else -1.
func wholeText(t string) int {
	if t == "" || len(t) > 6 {
		return -1
	}
	n := 0
	for i := range len(t) {
		if t[i] < '0' || t[i] > '9' {
			return -1
		}
		n = n*10 + int(t[i]-'0')
	}
	return n
}

// relate settles the columns of counts by their values.
func (d *document) relate() {
	g := d.wholes()
	if len(g) < minRelated {
		return
	}
	d.rowColumn(g)
	counting := d.countColumns(g)
	for _, c := range counting {
		for i, a := range counting {
			for _, b := range counting[i+1:] {
				if a != c && b != c && g.product(a, b, c) {
					d.table.cols[c].kind = "pieces"
					return
				}
			}
		}
	}
	if d.table.head < 0 {
		return
	}
	counting = slices.DeleteFunc(counting, func(i int) bool { return d.table.cols[i].kind == "total" })
	d.guessCounts(counting)
	for i, a := range counting {
		for _, b := range counting[i+1:] {
			if !g.alike(a, b) {
				continue
			}
			ka, kb := d.table.cols[a].kind, d.table.cols[b].kind
			switch {
			case ka == "pack" && kb == "supplied":
				d.table.cols[a].kind = "ordered"
			case ka == "supplied" && kb == "pack":
				d.table.cols[b].kind = "ordered"
			case ka == "supplied" || kb == "supplied" || ka == kb && ka != "":
			case ka == "ordered" && (kb == "" || kb == "second" || kb == "pack"):
				d.table.cols[b].kind = "supplied"
			case ka == "pack" && kb != "ordered", ka == "qty" && kb == "", ka == "" && kb == "qty", ka == "qty" && kb == "second":
				d.table.cols[a].kind, d.table.cols[b].kind = "ordered", "supplied"
			}
			return
		}
	}
}

// guessCounts makes the first column of whole numbers the count, when no head says so, and the next the second.
func (d *document) guessCounts(counting []int) {
	kind := "qty"
	for _, c := range d.table.cols {
		if c.kind == "qty" || c.kind == "ordered" || c.kind == "supplied" {
			return
		}
	}
	for _, i := range counting {
		if d.table.cols[i].kind == "" {
			d.table.cols[i].kind, kind = kind, "second"
		}
	}
}

// rowColumn makes a first column that counts the rows a row number, whatever its head says.
func (d *document) rowColumn(g grid) {
	step, prev := 0, -1
	for _, row := range g {
		n := row[0]
		switch {
		case n < 0:
			return
		case prev < 0:
		case step == 0:
			step = n - prev
		}
		if prev >= 0 && (n-prev != step || step < 1) {
			return
		}
		prev = n
	}
	if k := d.table.cols[0].kind; (k == "words" || k == "number" || k == "") && len(d.table.cols) > 2 && prev <= step*(len(g)+1) {
		d.table.cols[0].kind = "row"
	}
}

// countColumns are the columns that hold whole numbers in most rows and may be counts by their heads.
func (d *document) countColumns(g grid) []int {
	var out []int
	for i, c := range d.table.cols {
		switch c.kind {
		case "price", "number", "row", "note":
			continue
		}
		n, big := 0, 0
		for _, row := range g {
			if row[i] >= 0 {
				n++
				big = max(big, row[i])
			}
		}
		if n*5 >= len(g)*3 && big < 1000 {
			out = append(out, i)
		}
	}
	return out
}

// product says that column c is a times b in nearly every row, and not only where one of them is 1.
func (g grid) product(a, b, c int) bool {
	rows, right, telling := 0, 0, 0
	for _, r := range g {
		if r[a] < 0 || r[b] < 0 || r[c] < 0 {
			continue
		}
		rows++
		if r[a]*r[b] == r[c] {
			right++
			if r[a] > 1 && r[b] > 1 {
				telling++
			}
		}
	}
	return rows >= minRelated && telling > 0 && right*10 >= rows*9
}

// alike says that b is hardly ever more than a, and mostly the same, in rows where that is no accident: more than one piece.
func (g grid) alike(a, b int) bool {
	rows, same, telling, over := 0, 0, 0, 0
	for _, r := range g {
		if r[a] < 0 || r[b] < 0 {
			continue
		}
		rows++
		if r[b] > r[a] {
			over++ // sent instead of another
		}
		if r[a] == r[b] {
			same++
			if r[a] > 1 {
				telling++
			}
		}
	}
	return rows >= minRelated && telling >= 2 && over*8 <= rows && same*10 >= rows*6
}
