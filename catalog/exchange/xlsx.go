package exchange

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf16"

	"github.com/xuri/excelize/v2"

	"layshaft/catalog"
)

// Limits of a workbook: as a file, and unpacked. Both in bytes.
const (
	MaxWorkbook         = 32 << 20
	maxUnpackedWorkbook = 256 << 20
)

// maxCellUnits is the longest text of a cell, in UTF-16 units: the format's limit.
const maxCellUnits = 32767

// WriteXLSX writes the tables of [Package] as sheets of one workbook. Every
// cell is text, so that a spreadsheet neither turns a ratio into a date nor
// drops the zeros of a part number. The bytes differ from one export to the
// next; the cells do not.
func WriteXLSX(w io.Writer, c *catalog.Catalogue) (err error) {
	f := excelize.NewFile()
	defer func() { err = errors.Join(err, f.Close()) }()
	style, err := f.NewStyle(&excelize.Style{NumFmt: 49}) // 49 is "text"
	if err != nil {
		return err
	}
	k := kindsOf(c)
	var errs []error
	for i, t := range tables() {
		l := t.layout()
		rows, err := t.encode(c, k)
		if err != nil {
			errs = append(errs, err)
			continue
		}
		if i == 0 {
			err = f.SetSheetName(f.GetSheetName(0), l.Name)
		} else {
			_, err = f.NewSheet(l.Name)
		}
		if err == nil {
			err = writeSheet(f, l, rows, style)
		}
		errs = append(errs, err)
	}
	if err := errors.Join(errs...); err != nil {
		return err
	}
	_, err = f.WriteTo(w)
	return err
}

func writeSheet(f *excelize.File, l TableLayout, rows [][]string, style int) error {
	s, err := f.NewStreamWriter(l.Name)
	if err != nil {
		return err
	}
	if err := s.SetPanes(&excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"}); err != nil {
		return err
	}
	for i, row := range append([][]string{headerOf(l)}, rows...) {
		cells := make([]any, len(row))
		for j, text := range row {
			if n := len(utf16.Encode([]rune(text))); n > maxCellUnits {
				return fmt.Errorf("sheet %s, row %d, column %s: %d characters, a cell holds %d; export as CSV or shorten it",
					l.Name, i+1, l.Columns[j].Name, n, maxCellUnits)
			}
			if text != "" {
				cells[j] = excelize.Cell{StyleID: style, Value: text}
			}
		}
		at, err := excelize.CoordinatesToCellName(1, i+1)
		if err != nil {
			return err
		}
		if err := s.SetRow(at, cells); err != nil {
			return err
		}
	}
	return s.Flush()
}

// ReadXLSX reads a workbook that holds one sheet for every table, named like
// the table. It is all or nothing, as [ReadPackage] is; a table without rows
// keeps its sheet with the header.
func ReadXLSX(r io.Reader) (*catalog.Catalogue, []Fault) {
	whole := func(reason, repair string) (*catalog.Catalogue, []Fault) {
		return nil, []Fault{{File: "workbook", Reason: reason, Repair: repair}}
	}
	data, err := io.ReadAll(io.LimitReader(r, MaxWorkbook+1))
	switch {
	case err != nil:
		return whole("the file can't be read: "+err.Error(), "try again")
	case len(data) > MaxWorkbook:
		return whole(fmt.Sprintf("the file is larger than %d MiB", MaxWorkbook>>20), "use a folder of CSV files")
	}
	sheets, err := unpack(data)
	if err != nil {
		return whole("not a workbook that can be read: "+err.Error(), "save it as XLSX, without a password")
	}
	layouts := Layout()
	grids := map[string]*grid{}
	var faults []Fault
	for _, l := range layouts {
		rows, ok := sheets[l.Name]
		if !ok {
			faults = append(faults, Fault{File: l.Name, Reason: "the sheet is missing", Repair: "add it, with the header alone when the table is empty"})
			continue
		}
		faults = append(faults, formulaErrors(l.Name, rows)...)
		g, bad := newGrid(l.Name, l, rows)
		grids[l.Name] = g
		faults = append(faults, bad...)
		delete(sheets, l.Name)
	}
	for name, rows := range sheets {
		if slices.ContainsFunc(rows, func(r gridRow) bool { return !blank(r.cells) }) {
			faults = append(faults, Fault{File: shorten(name), Reason: "no such table", Repair: "remove the sheet or name it like its table"})
		}
	}
	return build(layouts, grids, faults, "")
}

// unpack gives the cells of every sheet. The library below is not trusted with
// hostile files: should it panic, the file counts as unreadable.
func unpack(data []byte) (sheets map[string][]gridRow, err error) {
	defer func() {
		if p := recover(); p != nil {
			sheets, err = nil, fmt.Errorf("damaged (%v)", p)
		}
	}()
	f, err := excelize.OpenReader(bytes.NewReader(data), excelize.Options{
		RawCellValue: true, UnzipSizeLimit: maxUnpackedWorkbook, UnzipXMLSizeLimit: maxUnpackedWorkbook,
	})
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	sheets = map[string][]gridRow{}
	for _, name := range f.GetSheetList() {
		if sheets[name], err = sheetRows(f, name); err != nil {
			return nil, fmt.Errorf("sheet %s: %w", shorten(name), err)
		}
	}
	return sheets, nil
}

func sheetRows(f *excelize.File, name string) ([]gridRow, error) {
	it, err := f.Rows(name)
	if err != nil {
		return nil, err
	}
	var rows []gridRow
	for n := 1; it.Next(); n++ {
		if n > MaxRows {
			return nil, errors.Join(fmt.Errorf("more than %d rows", MaxRows), it.Close())
		}
		cells, err := it.Columns()
		if err != nil {
			return nil, errors.Join(err, it.Close())
		}
		if n > 1 && len(cells) == 0 {
			continue
		}
		for i, c := range cells {
			cells[i] = strings.ReplaceAll(c, "\r\n", "\n")
		}
		rows = append(rows, gridRow{number: n, cells: cells})
	}
	return rows, errors.Join(it.Error(), it.Close())
}

// cellErrors are what a spreadsheet shows in place of a value.
var cellErrors = []string{"#N/A", "#REF!", "#VALUE!", "#NAME?", "#DIV/0!", "#NULL!", "#NUM!", "#SPILL!", "#CALC!"}

func formulaErrors(file string, rows []gridRow) (faults []Fault) {
	for _, r := range rows {
		for i, c := range r.cells {
			if slices.Contains(cellErrors, c) {
				f := Fault{File: file, Row: r.number, Cell: c, Reason: "a formula that failed", Repair: "put the value itself into the cell"}
				if i < len(rows[0].cells) {
					f.Column = rows[0].cells[i]
				}
				faults = append(faults, f)
			}
		}
	}
	return faults
}
