package sheet

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"

	"layshaft/catalog"
)

// book is a workbook with its visible sheets.
type book struct {
	grids   []*grid
	notices map[string][]string // by sheet
	hidden  []string
}

// openBook reads all visible sheets. The library below is not trusted with
// hostile files: should it panic, the file counts as unreadable.
func openBook(name string, data []byte) (b *book, err error) {
	defer func() {
		if p := recover(); p != nil {
			b, err = nil, catalog.Invalid(name, "Save it as XLSX again", "the workbook is damaged (%v)", p)
		}
	}()
	f, err := excelize.OpenReader(bytes.NewReader(data), excelize.Options{UnzipSizeLimit: maxUnpacked, UnzipXMLSizeLimit: maxUnpacked})
	if err != nil {
		return nil, catalog.Invalid(name, "Save it as XLSX, without a password", "it is no workbook that can be read: %v", err)
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	b = &book{notices: map[string][]string{}}
	for _, s := range f.GetSheetList() {
		if on, err := f.GetSheetVisible(s); err == nil && !on {
			b.hidden = append(b.hidden, s)
			continue
		}
		g, err := b.sheet(f, s)
		if err != nil {
			return nil, err
		}
		b.grids = append(b.grids, g)
	}
	return b, nil
}

func (b *book) note(sheet, format string, args ...any) {
	b.notices[sheet] = append(b.notices[sheet], fmt.Sprintf(format, args...))
}

// sheet reads the cells as they are shown.
func (b *book) sheet(f *excelize.File, name string) (*grid, error) {
	it, err := f.Rows(name)
	if err != nil {
		return nil, catalog.Invalid("sheet "+name, "Save the workbook again", "it can't be read: %v", err)
	}
	g := &grid{name: name}
	hidden := 0
	for n := 1; it.Next(); n++ {
		shut := it.GetRowOpts().Hidden
		cells, err := it.Columns()
		if err != nil {
			return nil, errors.Join(catalog.Invalid(fmt.Sprintf("sheet %s row %d", name, n), "Save the workbook again", "it can't be read: %v", err), it.Close())
		}
		switch {
		case len(cells) == 0:
		case shut:
			hidden++
		default:
			g.add(row{n, cells})
		}
		if len(g.rows) > maxRows || n > 50*maxRows {
			return nil, errors.Join(g.limit("sheet "+name), it.Close())
		}
	}
	if hidden > 0 {
		b.note(name, "%d hidden rows are not read", hidden)
	}
	if err := errors.Join(it.Error(), it.Close()); err != nil {
		return nil, catalog.Invalid("sheet "+name, "Save the workbook again", "it can't be read: %v", err)
	}
	return g, b.repair(f, g)
}

// repair handles hidden columns, formulas without a value, failed formulas and
// merged cells.
func (b *book) repair(f *excelize.File, g *grid) error {
	for i := range min(g.widest, maxColumns) {
		if on, err := f.GetColVisible(g.name, letters(i)); err == nil && !on {
			b.note(g.name, "hidden column %s is not read", letters(i))
			for k := range g.rows {
				if i < len(g.rows[k].cells) {
					g.rows[k].cells[i] = ""
				}
			}
		}
	}
	b.formulas(f, g)
	return b.merges(f, g)
}

// cellErrors are what a spreadsheet shows in place of a value.
var cellErrors = []string{"#N/A", "#REF!", "#VALUE!", "#NAME?", "#DIV/0!", "#NULL!", "#NUM!", "#SPILL!", "#CALC!"}

// formulas names failed ones and computes those that were saved without a value.
func (b *book) formulas(f *excelize.File, g *grid) {
	looked := 0
	for k := range g.rows {
		r := &g.rows[k]
		for i, c := range r.cells[:min(len(r.cells), maxColumns)] {
			ref := fmt.Sprintf("%s%d", letters(i), r.number)
			if slices.Contains(cellErrors, c) {
				b.note(g.name, "the formula in %s failed: %s", ref, c)
				continue
			}
			if c != "" || looked >= maxRows {
				continue
			}
			looked++
			if formula, err := f.GetCellFormula(g.name, ref); err != nil || formula == "" {
				continue
			}
			v, err := f.CalcCellValue(g.name, ref)
			if err != nil || v == "" {
				b.note(g.name, "the formula in %s has no value; save the workbook with its values", ref)
				continue
			}
			r.cells[i] = v
			b.note(g.name, "the formula in %s was saved without its value; %q was computed", ref, clip(v))
		}
	}
}

// merges repeats words and numbers down a merge, never a plain count.
func (b *book) merges(f *excelize.File, g *grid) error {
	all, err := f.GetMergeCells(g.name, true)
	if err != nil {
		return nil // a sheet whose merges can't be read is read without them
	}
	at := map[int]int{}
	for k := range g.rows {
		at[g.rows[k].number] = k
	}
	for _, m := range all[:min(len(all), maxRows)] {
		col, top, err := excelize.CellNameToCoordinates(m.GetStartAxis())
		if err != nil {
			continue
		}
		_, bottom, err := excelize.CellNameToCoordinates(m.GetEndAxis())
		if err != nil || bottom == top || col > maxColumns {
			continue
		}
		k, ok := at[top]
		if !ok || col > len(g.rows[k].cells) {
			continue
		}
		v := g.rows[k].cells[col-1]
		if strings.Trim(v, "0123456789.,- ") == "" {
			continue
		}
		if b.down(g, at, col-1, top, min(bottom, top+maxRows), v) {
			b.note(g.name, "%q is repeated down the merged cells %s:%s", clip(v), m.GetStartAxis(), m.GetEndAxis())
		}
	}
	return nil
}

// down puts v into the rows below top that hold anything else.
func (b *book) down(g *grid, at map[int]int, col, top, bottom int, v string) bool {
	done := false
	for n := top + 1; n <= bottom; n++ {
		k, ok := at[n]
		if !ok || blank(g.rows[k].cells) {
			continue
		}
		for len(g.rows[k].cells) <= col {
			g.rows[k].cells = append(g.rows[k].cells, "")
		}
		if g.rows[k].cells[col] == "" {
			g.rows[k].cells[col], done = v, true
		}
	}
	return done
}

func blank(cells []string) bool {
	return !slices.ContainsFunc(cells, func(c string) bool { return strings.TrimSpace(c) != "" })
}
