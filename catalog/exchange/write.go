package exchange

import (
	"cmp"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"unicode/utf8"

	"layshaft/catalog"
)

// Package gives the files of a package by name: the descriptor and one CSV file
// a table. The same catalogue gives the same bytes, whatever the order of its
// records. A value that would not come back as it is makes an error that names
// every such cell.
func Package(c *catalog.Catalogue) (map[string][]byte, error) {
	files := map[string][]byte{}
	var errs []error
	k := kindsOf(c)
	for _, t := range tables() {
		l := t.layout()
		rows, err := t.encode(c, k)
		if err != nil {
			errs = append(errs, err)
			continue
		}
		data, err := writeCSV(headerOf(l), rows)
		if err != nil {
			errs = append(errs, err)
		}
		files[l.Name+csvSuffix] = data
	}
	descriptor, err := Descriptor()
	if err = errors.Join(append(errs, err)...); err != nil {
		return nil, err
	}
	files[DescriptorFile] = descriptor
	return files, nil
}

// WritePackage writes the files of [Package] into a folder, which is made when
// it does not exist. CSV files of an earlier export are replaced.
func WritePackage(dir string, c *catalog.Catalogue) error {
	files, err := Package(c)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return err
	}
	for name, data := range files {
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o666); err != nil {
			return err
		}
	}
	return nil
}

func headerOf(l TableLayout) []string {
	header := make([]string, len(l.Columns))
	for i, c := range l.Columns {
		header[i] = c.Name
	}
	return header
}

// encode writes the rows sorted by key; nested rows are sorted by their parent
// only and keep their order inside it.
func (t *table[R]) encode(c *catalog.Catalogue, k *kinds) ([][]string, error) {
	var errs []error
	rows := t.rows(c)
	out := make([][]string, 0, len(rows))
	for _, row := range rows {
		cells := make([]string, len(t.cols))
		for i, col := range t.cols {
			cell, err := col.write(k, row, t.fresh)
			if err != nil {
				errs = append(errs, fmt.Errorf("table %s, %s, column %s: %w", t.name, t.describe(cells), col.Name, err))
			}
			cells[i] = cell
		}
		out = append(out, cells)
	}
	if len(errs) > 0 {
		return nil, errors.Join(errs...)
	}
	by := t.keyColumns()
	if t.nested > 0 {
		by = by[:t.nested]
	}
	slices.SortStableFunc(out, func(a, b []string) int {
		for _, i := range by {
			if d := cmp.Compare(a[i], b[i]); d != 0 {
				return d
			}
		}
		return 0
	})
	return out, nil
}

// keyColumns gives the places of the key columns.
func (t *table[R]) keyColumns() []int {
	at := make([]int, len(t.key))
	for i, name := range t.key {
		at[i] = slices.IndexFunc(t.cols, func(c *column[R]) bool { return c.Name == name })
	}
	return at
}

// describe names a row by the key cells written so far.
func (t *table[R]) describe(cells []string) string {
	var known []string
	for _, i := range t.keyColumns() {
		if cells[i] != "" {
			known = append(known, cells[i])
		}
	}
	return "row " + shorten(strings.Join(known, "/"))
}

// write formats a cell and reads it back: what can't be imported again is not
// exported.
func (c *column[R]) write(k *kinds, row *R, fresh func() *R) (string, error) {
	cell, err := c.format(k, row)
	if err != nil {
		return "", err
	}
	if !utf8.ValidString(cell) || strings.ContainsFunc(cell, forbidden) {
		return "", fmt.Errorf("%q holds bytes or control characters that a table can't hold; edit the record", shorten(cell))
	}
	if c.Type == TypeValue {
		return cell, nil // needs the row's key; formatValue has compared the kinds
	}
	back := fresh()
	if bad := c.read(k, back, cell); bad != nil {
		return "", fmt.Errorf("%q can't be exported: %s; %s", shorten(cell), bad.reason, bad.repair)
	}
	if again, err := c.format(k, back); err != nil || again != cell {
		return "", fmt.Errorf("%q would come back as %q; edit the record", shorten(cell), shorten(again))
	}
	return cell, nil
}
