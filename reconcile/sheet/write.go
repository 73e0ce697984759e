package sheet

import (
	"fmt"
	"slices"
	"strings"

	"layshaft/catalog"
)

// describe says what the columns of the first table hold, corrected by the
// options.
func (g *grid) describe(t *table, out *File, opts Options) error {
	if t.head >= 0 {
		out.Head = g.rows[t.head].number
	}
	given := map[string]bool{}
	for i, c := range t.cols {
		col := Column{Letter: letters(c), Kind: t.kinds[i]}
		if t.head >= 0 && c < len(g.rows[t.head].cells) {
			col.Head = clip(g.rows[t.head].cells[c])
		}
		if k, ok := opts.Columns[col.Letter]; ok {
			col.Kind, t.kinds[i] = k, k
			given[col.Letter] = true
		}
		out.Columns = append(out.Columns, col)
	}
	for _, l := range sortedLetters(opts.Columns) {
		if !given[l] {
			return catalog.Invalid("column "+l, "Name columns by their letters: "+lettersOf(t), "the table has no such column")
		}
	}
	return nil
}

func lettersOf(t *table) string {
	var out []string
	for _, c := range t.cols {
		out = append(out, letters(c))
	}
	return strings.Join(out, ", ")
}

// heads writes the head row: as it stands, or with the heads of the kinds that
// were given.
func (g *grid) heads(w *writer, t *table, out *File) {
	if t.head < 0 && !slices.ContainsFunc(t.kinds, func(k string) bool { return k != "" }) {
		return
	}
	var texts, refs []string
	for i, c := range t.cols {
		if t.kinds[i] == Skip {
			continue
		}
		text, ref := out.Columns[i].Head, ""
		if h := heads[t.kinds[i]]; h != "" {
			text = h
		}
		if t.head >= 0 {
			ref = w.ref(c, g.rows[t.head].number)
		}
		texts, refs = append(texts, text), append(refs, ref)
	}
	w.cells(texts, refs)
}

// write writes the rows of a table in the order of the first table's columns.
func (g *grid) write(w *writer, t, first *table) {
	order := t.cols
	if t != first {
		order = t.like(first)
	} else {
		order = slices.DeleteFunc(slices.Clone(order), func(c int) bool { return first.kinds[slices.Index(first.cols, c)] == Skip })
	}
	for _, i := range t.rows {
		w.line(&g.rows[i], order)
	}
}

// like orders a table's columns as the first table's: by what they hold, what is
// left over at the end; -1 where it has no such column.
func (t *table) like(first *table) []int {
	used := map[int]bool{}
	var out []int
	for _, k := range first.kinds {
		if k == Skip {
			continue
		}
		at := -1
		for i, have := range t.kinds {
			if have == k && !used[i] && k != "" {
				at = i
				break
			}
		}
		if at < 0 {
			out = append(out, -1)
			continue
		}
		used[at] = true
		out = append(out, t.cols[at])
	}
	for i, c := range t.cols {
		if !used[i] {
			out = append(out, c)
		}
	}
	return out
}

func (w *writer) ref(col, rowNumber int) string {
	ref := fmt.Sprintf("%s%d", letters(col), rowNumber)
	if w.sheet != "" {
		ref = w.sheet + "!" + ref
	}
	return ref
}

// line writes the cells of a row; a row without any is left out.
func (w *writer) line(r *row, cols []int) {
	var texts, refs []string
	for _, c := range cols {
		text := ""
		if c >= 0 && c < len(r.cells) {
			text = clean(r.cells[c])
		}
		texts, refs = append(texts, text), append(refs, w.ref(max(c, 0), r.number))
	}
	w.cells(texts, refs)
}

func (w *writer) cells(texts, refs []string) {
	last := len(texts)
	for last > 0 && texts[last-1] == "" {
		last--
	}
	if last == 0 {
		return
	}
	for i, t := range texts[:last] {
		if i > 0 {
			w.b.WriteByte('\t')
		}
		start := w.b.Len()
		w.b.WriteString(t)
		if t != "" && refs[i] != "" {
			w.out.Cells = append(w.out.Cells, Cell{start, w.b.Len(), refs[i]})
		}
	}
	w.b.WriteByte('\n')
}
