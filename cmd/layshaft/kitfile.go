package main

import (
	"fmt"
	"path/filepath"
	"strings"

	"layshaft/catalog"
	"layshaft/reconcile"
	"layshaft/reconcile/sheet"
)

// sheetFlags correct what is guessed of a workbook or CSV file.
type sheetFlags struct {
	Sheet   string            `placeholder:"NAME" help:"Sheet of a workbook; the one that looks most like a parts list when left out."`
	Head    int               `placeholder:"ROW" help:"Row of the column heads; -1 when there is none."`
	Columns map[string]string `placeholder:"LETTER=KIND" help:"What a column holds: number, words, qty, ordered, supplied, pack, unit, price, total, row, note or skip."`
}

// readFile says how a workbook or CSV file was read.
type readFile struct {
	Text    string       `json:"text"`
	Sheets  []string     `json:"sheets"`
	Sheet   string       `json:"sheet"`
	Head    int          `json:"head"`
	Columns []readColumn `json:"columns"`
	Notices []string     `json:"notices"`
}

type readColumn struct {
	Letter string `json:"letter"`
	Head   string `json:"head"`
	Kind   string `json:"kind"`
}

// kitList reads a file as a kit list named after it.
func (a *app) kitList(file string, supplier catalog.SupplierID) (*reconcile.KitList, error) {
	list, _, err := a.kitFile(file, sheetFlags{})
	if err != nil {
		return nil, err
	}
	list.Supplier = supplier
	return list, nil
}

// kitFile reads a file as a kit list; the second result is nil for plain text.
func (a *app) kitFile(file string, flags sheetFlags) (*reconcile.KitList, *sheet.File, error) {
	data, err := a.file(file)
	if err != nil {
		return nil, nil, err
	}
	if file == standardInput || file == "" {
		file = "stdin"
	}
	name := filepath.Base(file)
	list := &reconcile.KitList{ID: listID(name), Name: name, Text: string(data)}
	opts := sheet.Options{Sheet: flags.Sheet, Head: flags.Head, Columns: flags.Columns}
	var table *sheet.File
	if strings.EqualFold(filepath.Ext(file), ".xlsx") && !sheet.IsWorkbook(data) {
		return nil, nil, catalog.Invalid(file, "Save it as XLSX, or give it the ending of what it is", "it is no workbook")
	}
	if sheet.IsWorkbook(data) || strings.EqualFold(filepath.Ext(file), ".csv") {
		if table, err = sheet.Read(file, data, opts); err != nil {
			return nil, nil, err
		}
		list.Text = table.Text
	} else if opts.Sheet != "" || opts.Head != 0 || len(opts.Columns) > 0 {
		return nil, nil, usageError(fmt.Errorf("%s is plain text: it has no sheet, heads or columns to choose", file))
	}
	if err := reconcile.ValidText(list.Text); err != nil {
		return nil, nil, catalog.Invalid(file, "Save it as plain text", "%v", err)
	}
	return list, table, nil
}

// fromFile ties the lines to the cells of a file.
func (r *readResult) fromFile(f *sheet.File) {
	if f == nil {
		return
	}
	r.File = &readFile{Text: f.Text, Sheets: f.Sheets, Sheet: f.Sheet, Head: f.Head, Columns: []readColumn{}, Notices: append([]string{}, f.Notices...)}
	for _, c := range f.Columns {
		r.File.Columns = append(r.File.Columns, readColumn(c))
	}
	for i := range r.Lines {
		r.Lines[i].Cells = f.At(r.Lines[i].Start, r.Lines[i].End)
	}
}

func (a *app) printFile(f *readFile) {
	if f == nil {
		return
	}
	if f.Sheet != "" {
		a.out.linef("sheet %s", f.Sheet)
	}
	for _, c := range f.Columns {
		kind := c.Kind
		if kind == "" {
			kind = "not known"
		}
		a.out.linef("column %s %q: %s", c.Letter, c.Head, kind)
	}
	for _, n := range f.Notices {
		a.out.linef("note: %s", n)
	}
}
