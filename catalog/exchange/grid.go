package exchange

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

// MaxRows of one table that are read.
const MaxRows = 500_000

// grid is one table as it was found: text cells under a header.
type grid struct {
	file string
	rows []gridRow
	// at gives the place of each layout column in a row, -1 when it is not there.
	at map[string]int
}

type gridRow struct {
	number int // as Fault.Row
	cells  []string
}

// cell is the text under a column; "" when the column or cell is not there.
func (g *grid) cell(r gridRow, column string) string {
	i, ok := g.at[column]
	if !ok || i >= len(r.cells) {
		return ""
	}
	return r.cells[i]
}

// newGrid finds the columns of l in the header, which is the first row.
func newGrid(file string, l TableLayout, rows []gridRow) (*grid, []Fault) {
	g := &grid{file: file, at: map[string]int{}}
	if len(rows) == 0 {
		return g, []Fault{{File: file, Reason: "the table is empty: not even a header", Repair: "name the columns in the first row"}}
	}
	var faults []Fault
	header := rows[0]
	for i, name := range header.cells {
		name = strings.TrimSpace(name)
		_, known := l.Column(name)
		_, twice := g.at[name]
		switch {
		case name == "":
			faults = append(faults, unnamed(file, rows, i)...)
		case !known:
			faults = append(faults, Fault{File: file, Row: header.number, Column: shorten(name), Reason: "no such column in this table",
				Repair: "remove the column or name it as one of: " + columnNames(l)})
		case twice:
			faults = append(faults, Fault{File: file, Row: header.number, Column: name, Reason: "the column is there twice",
				Repair: "remove one of the two"})
		default:
			g.at[name] = i
		}
	}
	for _, c := range l.Columns {
		if _, ok := g.at[c.Name]; !ok && c.Required {
			faults = append(faults, Fault{File: file, Row: header.number, Column: c.Name, Reason: "the column is missing",
				Repair: "add it; it must be filled in every row"})
		}
	}
	for _, r := range rows[1:] {
		if blank(r.cells) {
			continue // spreadsheets leave empty rows behind
		}
		g.rows = append(g.rows, r)
		if len(r.cells) > len(header.cells) && !blank(r.cells[len(header.cells):]) {
			faults = append(faults, Fault{File: file, Row: r.number, Cell: shorten(strings.Join(r.cells[len(header.cells):], " ")),
				Reason: fmt.Sprintf("%d cells under %d columns", len(r.cells), len(header.cells)),
				Repair: "put cells that contain the separator in double quotes"})
		}
		faults = append(faults, unreadable(file, header, r)...)
	}
	return g, faults
}

func columnNames(l TableLayout) string {
	names := make([]string, len(l.Columns))
	for i, c := range l.Columns {
		names[i] = c.Name
	}
	return strings.Join(names, ", ")
}

func blank(cells []string) bool {
	return !slices.ContainsFunc(cells, func(c string) bool { return strings.TrimSpace(c) != "" })
}

// unnamed reports cells under a blank header cell; an empty column is let pass.
func unnamed(file string, rows []gridRow, i int) []Fault {
	for _, r := range rows[1:] {
		if i < len(r.cells) && strings.TrimSpace(r.cells[i]) != "" {
			return []Fault{{File: file, Row: r.number, Cell: shorten(r.cells[i]),
				Reason: fmt.Sprintf("the cell stands in column %d, which has no name", i+1),
				Repair: "name the column in the first row or clear it"}}
		}
	}
	return nil
}

// unreadable reports cells that are not clean text.
func unreadable(file string, header, r gridRow) (faults []Fault) {
	for i, cell := range r.cells {
		reason, repair := "", ""
		switch {
		case !utf8.ValidString(cell):
			reason, repair = "not UTF-8 text", "save the file as UTF-8"
		case strings.ContainsFunc(cell, func(c rune) bool { return forbidden(c) }):
			reason, repair = "a control character in the text", "remove it"
		default:
			continue
		}
		f := Fault{File: file, Row: r.number, Cell: shorten(cell), Reason: reason, Repair: repair}
		if i < len(header.cells) {
			f.Column = strings.TrimSpace(header.cells[i])
		}
		faults = append(faults, f)
	}
	return faults
}

// forbidden characters have no place in a table: they are lost or refused by
// one of the two formats.
func forbidden(c rune) bool {
	return c < ' ' && c != '\n' && c != '\t' || c == 0x7f || c == 0xfffe || c == 0xffff
}
