package sheet

import (
	"fmt"
	"strings"

	"layshaft/catalog"
	"layshaft/reconcile/kitlist"
)

// table is a rectangle of the grid with its heads.
type table struct {
	head  int   // index of its head row, -1 none
	cols  []int // columns of the grid
	kinds []string
	rows  []int // indexes of its rows
}

// writer collects the text with its cells.
type writer struct {
	b     strings.Builder
	out   *File
	sheet string
}

// layOut finds the tables of a grid and writes them as one text, under the
// heads of the first.
func layOut(name string, g *grid, out *File, opts Options) (*File, error) {
	if g.widest > maxColumns {
		out.Notices = append(out.Notices, fmt.Sprintf("columns after %s are not read", letters(maxColumns-1)))
	}
	tables, err := g.tables(opts)
	if err != nil {
		return nil, err
	}
	if len(tables) == 0 {
		return nil, catalog.Invalid(name, "Choose another sheet, or paste the text", "there is nothing in it to read")
	}
	first := &tables[0]
	if err := g.describe(first, out, opts); err != nil {
		return nil, err
	}
	if len(tables) > 1 {
		out.Notices = append(out.Notices, fmt.Sprintf("%d tables were found and are read one after the other", len(tables)))
	}
	w := &writer{out: out, sheet: g.name}
	for i := range max(first.head, 0) {
		w.line(&g.rows[i], columnsOf(&g.rows[i])) // letterhead and headings above
	}
	g.heads(w, first, out)
	for i := range tables {
		g.write(w, &tables[i], first)
		if w.b.Len() > maxText {
			return nil, tooLarge(name, fmt.Sprintf("more than %d KiB of text", maxText>>10), "Keep the rows of one kit and read it again")
		}
	}
	out.Text = w.b.String()
	return out, nil
}

// columnsOf a row that are filled.
func columnsOf(r *row) []int {
	var out []int
	for i := range r.cells[:min(len(r.cells), maxColumns)] {
		if strings.TrimSpace(r.cells[i]) != "" {
			out = append(out, i)
		}
	}
	return out
}

// tables of a grid: below each row of heads, and beside each other where heads
// begin anew after an empty column.
func (g *grid) tables(opts Options) ([]table, error) {
	head := -1
	switch {
	case opts.Head > 0:
		for i := range g.rows {
			if g.rows[i].number == opts.Head {
				head = i
			}
		}
		if head < 0 {
			return nil, catalog.Invalid(fmt.Sprintf("row %d", opts.Head), "Name the row of the column heads, or -1 for none", "the row is empty or hidden")
		}
	case opts.Head == 0:
		head = g.findHead()
	}
	if head < 0 {
		t := table{head: -1}
		for i := range g.rows {
			if !blank(g.rows[i].cells) {
				t.rows = append(t.rows, i)
			}
		}
		if len(t.rows) == 0 {
			return nil, nil
		}
		t.cols = g.filled(t.rows)
		t.kinds = make([]string, len(t.cols))
		return []table{t}, nil
	}
	out, open := g.under(head), 0
	for i := head + 1; i < len(g.rows); i++ {
		if opts.Columns == nil && isHead(g.rows[i].cells) {
			open = len(out)
			out = append(out, g.under(i)...)
			continue
		}
		if blank(g.rows[i].cells) {
			continue
		}
		for k := open; k < len(out); k++ {
			out[k].rows = append(out[k].rows, i)
		}
	}
	return out, nil
}

// under gives the tables whose heads stand in a row, side by side.
func (g *grid) under(head int) []table {
	cells := g.rows[head].cells
	var out []table
	cur := table{head: head}
	flush := func() {
		if known, _, _ := kindsIn(pick(cells, cur.cols)); known >= 1 || len(out) == 0 && len(cur.cols) > 0 {
			out = append(out, cur)
		}
		cur = table{head: head}
	}
	seen := map[string]bool{}
	for i := range min(g.widest, maxColumns) {
		c := ""
		if i < len(cells) {
			c = cells[i]
		}
		k, _ := kitlist.ColumnKind(c)
		if (k == "words" || k == "number") && seen[k] && seen["qty"] {
			flush() // the heads begin anew
			seen = map[string]bool{}
		}
		seen[k] = true
		if strings.TrimSpace(c) == "" && !g.used(head, i) {
			continue // an empty column
		}
		cur.cols, cur.kinds = append(cur.cols, i), append(cur.kinds, k)
	}
	flush()
	return out
}

// used: some row below holds something in the column.
func (g *grid) used(head, col int) bool {
	for i := head + 1; i < len(g.rows); i++ {
		if col < len(g.rows[i].cells) && strings.TrimSpace(g.rows[i].cells[col]) != "" {
			return true
		}
	}
	return false
}

func (g *grid) filled(rows []int) []int {
	var out []int
	for col := range min(g.widest, maxColumns) {
		for _, i := range rows {
			if col < len(g.rows[i].cells) && strings.TrimSpace(g.rows[i].cells[col]) != "" {
				out = append(out, col)
				break
			}
		}
	}
	return out
}

func pick(cells []string, cols []int) []string {
	var out []string
	for _, c := range cols {
		if c < len(cells) {
			out = append(out, cells[c])
		}
	}
	return out
}
