package sheet

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"layshaft/catalog"
	"layshaft/reconcile/kitlist"
)

// IsWorkbook reports whether data begins as an XLSX file does.
func IsWorkbook(data []byte) bool { return bytes.HasPrefix(data, []byte("PK\x03\x04")) }

// Read reads a workbook or a CSV file; which of the two, the content says. The
// name only serves messages. Errors are [*catalog.Error] and name the place and
// the remedy.
func Read(name string, data []byte, opts Options) (*File, error) {
	if len(data) > MaxFile {
		return nil, tooLarge(name, fmt.Sprintf("the file is larger than %d MiB", MaxFile>>20), "Keep the sheet of one kit and read it again")
	}
	if bytes.HasPrefix(data, []byte{0xd0, 0xcf, 0x11, 0xe0}) {
		return nil, catalog.Invalid(name, "Save it as XLSX, without a password", "it is an old workbook, or one with a password")
	}
	for col, kind := range opts.Columns {
		if _, ok := heads[kind]; !ok {
			return nil, catalog.Invalid("column "+col, "Use one of: "+strings.Join(Kinds(), ", "), "no column holds %q", kind)
		}
	}
	if !IsWorkbook(data) {
		g, notices, err := decodeCSV(name, data)
		if err != nil {
			return nil, err
		}
		if opts.Sheet != "" {
			return nil, catalog.Invalid("sheet "+opts.Sheet, "Leave the sheet out", "a CSV file has no sheets")
		}
		return layOut(name, g, &File{Sheets: []string{""}, Notices: notices}, opts)
	}
	b, err := openBook(name, data)
	if err != nil {
		return nil, err
	}
	g, out, err := b.choose(name, opts)
	if err != nil {
		return nil, err
	}
	return layOut(name, g, out, opts)
}

// choose takes the sheet that was asked for, or the one that looks most like a
// parts list.
func (b *book) choose(name string, opts Options) (*grid, *File, error) {
	out := &File{}
	var best *grid
	most := -1
	for _, g := range b.grids {
		out.Sheets = append(out.Sheets, g.name)
		if s := g.score(); opts.Sheet == "" && s > most || opts.Sheet == g.name {
			best, most = g, s
		}
	}
	switch {
	case best == nil && opts.Sheet != "":
		return nil, nil, catalog.Invalid("sheet "+opts.Sheet, "Choose one of: "+strings.Join(out.Sheets, ", "), "%s has no such visible sheet", name)
	case best == nil:
		return nil, nil, catalog.Invalid(name, "Show a sheet and save it again", "every sheet is hidden")
	}
	out.Sheet = best.name
	if len(b.hidden) > 0 {
		out.Notices = append(out.Notices, "hidden sheets are not read: "+strings.Join(b.hidden, ", "))
	}
	if opts.Sheet == "" && len(b.grids) > 1 {
		out.Notices = append(out.Notices, "of "+fmt.Sprint(len(b.grids))+" sheets "+best.name+" looks most like a parts list")
	}
	out.Notices = append(out.Notices, b.notices[best.name]...)
	return best, out, nil
}

// score weighs how much a sheet looks like a parts list: its filled rows, and
// far more when it has column heads.
func (g *grid) score() int {
	n, head := 0, g.findHead()
	for i := range g.rows {
		if !blank(g.rows[i].cells) && (head < 0 || i > head) {
			n++
		}
	}
	n = min(n, 1000)
	if head >= 0 {
		kinds, _, _ := kindsIn(g.rows[head].cells)
		n = n*2 + 500*min(kinds, 4)
	}
	return n
}

// headRows is how far down the first heads are looked for.
const headRows = 40

// findHead gives the index of the row of column heads, -1 when there is none.
func (g *grid) findHead() int {
	for i := range g.rows[:min(len(g.rows), headRows)] {
		if isHead(g.rows[i].cells) {
			return i
		}
	}
	return -1
}

// isHead: at least two kinds of column are named, and most cells name one.
func isHead(cells []string) bool {
	kinds, named, filled := kindsIn(cells)
	return kinds >= 2 && named*5 >= filled*3
}

// kindsIn counts the kinds of column that cells name, the cells that name one,
// and those that hold anything.
func kindsIn(cells []string) (kinds, named, filled int) {
	seen := map[string]bool{}
	for _, c := range cells[:min(len(cells), maxColumns)] {
		if strings.TrimSpace(c) == "" {
			continue
		}
		filled++
		if k, ok := kitlist.ColumnKind(c); ok && k != "" {
			named++
			if !seen[k] {
				seen[k] = true
				kinds++
			}
		}
	}
	return kinds, named, filled
}

// clean makes a cell one line without tabs, and cuts what is too long.
func clean(s string) string {
	s = strings.Join(strings.FieldsFunc(s, func(r rune) bool { return r == '\t' || r == '\n' || r == '\r' || r == ' ' || r == '\u00a0' }), " ")
	if len(s) <= maxCell {
		return s
	}
	end := maxCell
	for !utf8.RuneStart(s[end]) {
		end--
	}
	return s[:end]
}

func clip(s string) string {
	if s = clean(s); len(s) > 60 {
		end := 60
		for !utf8.RuneStart(s[end]) {
			end--
		}
		return s[:end] + "…"
	}
	return s
}

// sortedLetters of a map of columns.
func sortedLetters(m map[string]string) []string {
	out := make([]string, 0, len(m))
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}
