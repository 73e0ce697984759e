package kitlist

// Costs of a cell under a head, in characters.
const (
	misfit  = 8  // words under a head of numbers, a number under one of words
	dropped = 12 // a cell under no head
)

// place gives the columns of gap cells by where they stand under the heads: in order, as near as can be, numbers under
// heads of numbers. A long name that runs on under the next head does not push the others away.
func (t table) place(cells []cell, d *document, p *physical) []cell {
	n, m := len(cells), len(t.cols)
	if n == 0 || n > maxColumns || m > maxColumns {
		return cells[:0]
	}
	// best[i][j] is the least cost of the cells from i on with the columns from j on
	best := make([][]int, n+1)
	for i := range best {
		best[i] = make([]int, m+1)
	}
	for i := n - 1; i >= 0; i-- {
		for j := m; j >= 0; j-- {
			best[i][j] = dropped + best[i+1][j]
			if j < m {
				best[i][j] = min(best[i][j], best[i][j+1], t.cost(d, p, cells[i], j)+best[i+1][j+1])
			}
		}
	}
	out := cells[:0]
	for i, j := 0, 0; i < n; {
		switch {
		case j < m && best[i][j] == best[i][j+1]:
			j++
		case j < m && best[i][j] == t.cost(d, p, cells[i], j)+best[i+1][j+1]:
			c := cells[i]
			c.col = j
			out = append(out, c)
			i, j = i+1, j+1
		default:
			i++
		}
	}
	return out
}

// cost of a cell under column j.
func (t table) cost(d *document, p *physical, c cell, j int) int {
	s, e := d.column(p, int(d.atoms[c.a].start)), d.column(p, int(d.atoms[c.b-1].end))
	h := &t.cols[j]
	cost := max(0, max(h.start-e, s-h.end))
	letters, digits := 0, 0
	for i := c.a; i < c.b; i++ {
		switch d.atoms[i].class {
		case cLetters:
			letters += len(d.atoms[i].text)
		case cDigits:
			digits++
		}
	}
	switch h.kind {
	case "price", "total", "row":
		if digits == 0 || letters > 4 {
			cost += misfit
		}
	case "qty", "ordered", "supplied", "pack", "pieces", "second":
		if letters > 12 {
			cost += misfit
		}
	case "words":
		if letters == 0 {
			cost += misfit / 2
		}
	}
	return cost
}
