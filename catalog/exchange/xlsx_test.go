package exchange_test

import (
	"bytes"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/xuri/excelize/v2"

	"layshaft/catalog"
	"layshaft/catalog/exchange"
)

func workbook(t testing.TB, c *catalog.Catalogue) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := exchange.WriteXLSX(&b, c); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestWorkbookRoundTrip(t *testing.T) {
	c := full()
	data := workbook(t, c)
	back, faults := exchange.ReadXLSX(bytes.NewReader(data))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	if diff := cmp.Diff(sortedCatalogue(c), sortedCatalogue(back)); diff != "" {
		t.Error(diff)
	}
	sameFiles(t, export(t, c), export(t, back))
}

// edited applies an edit to the full workbook and gives the faults of reading it.
func edited(t *testing.T, edit func(*excelize.File) error) []string {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(workbook(t, full())))
	if err != nil {
		t.Fatal(err)
	}
	if err := edit(f); err != nil {
		t.Fatal(err)
	}
	b, err := f.WriteToBuffer()
	if err != nil {
		t.Fatal(err)
	}
	c, faults := exchange.ReadXLSX(b)
	if (c == nil) != (len(faults) > 0) {
		t.Errorf("catalogue %v with %d faults: not all or nothing", c != nil, len(faults))
	}
	var lines []string
	for _, f := range faults {
		lines = append(lines, f.String())
	}
	return lines
}

func TestWorkbookFaults(t *testing.T) {
	set := func(sheet, cell string, v any) func(*excelize.File) error {
		return func(f *excelize.File) error { return f.SetCellValue(sheet, cell, v) }
	}
	cases := []struct {
		name string
		edit func(*excelize.File) error
		want string // "" means no fault
	}{
		{"numeric count", set("teeth", "C2", 24), ""},
		{"numeric length", set("shafts", "D2", 7.5), "shafts, row 2, column offset"},
		{"boolean", set("positions", "H3", true), ""},
		{"formula error", set("parts", "C2", "#REF!"), "parts, row 2, column name"},
		{"row after a gap", set("shafts", "B9", "lost"), "shafts, row 9, column family"},
		{"sheet gone", func(f *excelize.File) error { return f.DeleteSheet("words") }, "words: the sheet is missing"},
		{"empty extra sheet", func(f *excelize.File) error { _, err := f.NewSheet("Sheet1"); return err }, ""},
		{"extra sheet", func(f *excelize.File) error {
			if _, err := f.NewSheet("Sheet1"); err != nil {
				return err
			}
			return f.SetCellValue("Sheet1", "A1", "x")
		}, "Sheet1: no such table"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			got := edited(t, c.edit)
			if c.want == "" && len(got) > 0 || c.want != "" && (len(got) == 0 || !strings.HasPrefix(got[0], c.want)) {
				t.Errorf("got %q, want %q", got, c.want)
			}
		})
	}
}

func TestNotAWorkbook(t *testing.T) {
	for _, data := range []string{"", "id,name\n", "PK\x03\x04rubbish"} {
		c, faults := exchange.ReadXLSX(strings.NewReader(data))
		if c != nil || len(faults) != 1 {
			t.Errorf("%q: catalogue %v, faults %v", data, c != nil, faults)
		}
	}
}

func TestWorkbookRefusesLongText(t *testing.T) {
	c := full()
	c.Parts[0].Note = strings.Repeat("x", 40_000)
	err := exchange.WriteXLSX(&bytes.Buffer{}, c)
	if err == nil || !strings.Contains(err.Error(), "column note") {
		t.Errorf("got %v", err)
	}
}
