package sheet

import (
	"archive/zip"
	"bytes"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"layshaft/catalog"
	"layshaft/reconcile/kitlist"
)

// workbook makes a file of sheets; rows are cut at '|'.
func workbook(t testing.TB, sheets map[string][]string, more func(f *excelize.File)) []byte {
	t.Helper()
	f := excelize.NewFile()
	names := make([]string, 0, len(sheets))
	for n := range sheets {
		names = append(names, n)
	}
	slices.Sort(names)
	for i, n := range names {
		if i == 0 {
			must(t, f.SetSheetName("Sheet1", n))
		} else if _, err := f.NewSheet(n); err != nil {
			t.Fatal(err)
		}
		for r, line := range sheets[n] {
			for c, v := range strings.Split(line, "|") {
				if v != "" {
					must(t, f.SetCellValue(n, letters(c)+itoa(r+1), v))
				}
			}
		}
	}
	if more != nil {
		more(f)
	}
	var b bytes.Buffer
	must(t, f.Write(&b))
	must(t, f.Close())
	return b.Bytes()
}

func itoa(n int) string { return strings.TrimPrefix(letters(0)+string(rune('0'+n%10)), "A") }

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func read(t *testing.T, data []byte, o Options) *File {
	t.Helper()
	f, err := Read("kit", data, o)
	must(t, err)
	checkCells(t, f)
	return f
}

// checkCells: cells are in order, inside the text, and hold no tab.
func checkCells(t *testing.T, f *File) {
	t.Helper()
	at := 0
	for _, c := range f.Cells {
		if c.Start < at || c.End <= c.Start || c.End > len(f.Text) || strings.ContainsAny(f.Text[c.Start:c.End], "\t\n") {
			t.Fatalf("cell %s at %d-%d after %d", c.Ref, c.Start, c.End, at)
		}
		at = c.End
	}
}

// items gives the item lines of the text as the list reader sees them.
func items(f *File) []string {
	var out []string
	l := kitlist.Read(f.Text, kitlist.Options{})
	for i := range l.Lines {
		if n := &l.Lines[i]; n.Kind == kitlist.Item {
			number := ""
			if len(n.Numbers) > 0 {
				number = n.Numbers[0].Text
			}
			out = append(out, itoa(n.Quantity.Pieces)+" x "+number+" @ "+f.At(n.Start, n.End))
		}
	}
	return out
}

func want(t *testing.T, got []string, want ...string) {
	t.Helper()
	if !slices.Equal(got, want) {
		t.Errorf("got  %q\nwant %q", got, want)
	}
}

func TestWorkbook(t *testing.T) {
	data := workbook(t, map[string][]string{
		"Cover": {"Tarnbeck Gearbox Supply", "your order of Monday"},
		"Kit": {"Tarnbeck|||kit list", "", "Part no|Description|Qty|Price", "TB-1001|Front bearing 6207 NR|1|18.40",
			"TB-1014|Synchro ring 3/4|2|21.00", "", "TB-1030|Synchro key|3|4.10"},
	}, nil)
	f := read(t, data, Options{})
	if f.Sheet != "Kit" || f.Head != 3 || len(f.Columns) != 4 || f.Columns[0].Kind != "number" || f.Columns[2].Kind != "qty" {
		t.Errorf("sheet %s, head %d, columns %+v", f.Sheet, f.Head, f.Columns)
	}
	want(t, items(f), "1 x TB-1001 @ Kit!A4:D4", "2 x TB-1014 @ Kit!A5:D5", "3 x TB-1030 @ Kit!A7:D7")
	at := strings.Index(f.Text, "21.00")
	if ref := f.At(at, at+2); ref != "Kit!D5" {
		t.Errorf("a price stands in %s, want Kit!D5", ref)
	}
	f = read(t, data, Options{Sheet: "Cover"})
	if !strings.Contains(f.Text, "your order") {
		t.Errorf("the sheet asked for is not read: %q", f.Text)
	}
}

func TestCorrectedColumns(t *testing.T) {
	data := workbook(t, map[string][]string{"S": {"Wert|Ding|Zahl|x", "7|Front bearing|TB-1001|2", "7|Synchro key|TB-1030|3"}}, nil)
	f := read(t, data, Options{Head: 1, Columns: map[string]string{"A": Skip, "B": "words", "C": "number", "D": "qty"}})
	want(t, items(f), "2 x TB-1001 @ S!B2:D2", "3 x TB-1030 @ S!B3:D3")
	if strings.Contains(f.Text, "7\t") {
		t.Error("a skipped column was read")
	}
	for _, o := range []Options{{Columns: map[string]string{"Z": "qty"}}, {Columns: map[string]string{"A": "colour"}}, {Sheet: "nobody"}, {Head: 99}} {
		if _, err := Read("kit", data, o); catalog.CodeOf(err) != catalog.CodeInvalid {
			t.Errorf("%+v: %v", o, err)
		}
	}
}

func TestEmptyColumnsAndTwoTables(t *testing.T) {
	below := workbook(t, map[string][]string{"S": {"|Part no||Description|Qty", "|TB-1||Front bearing|1", "", "|Qty|Part no|Description", "|4|TB-2|Synchro key"}}, nil)
	f := read(t, below, Options{})
	want(t, items(f), "1 x TB-1 @ S!B2:E2", "4 x TB-2 @ S!C5:B5")
	beside := workbook(t, map[string][]string{"S": {"Part no|Description|Qty||Part no|Description|Qty", "TB-1|Front bearing|1||TB-3|Main shaft nut|2", "TB-2|Synchro key|3"}}, nil)
	f = read(t, beside, Options{})
	want(t, items(f), "1 x TB-1 @ S!A2:C2", "3 x TB-2 @ S!A3:C3", "2 x TB-3 @ S!E2:G2")
	if len(f.Notices) == 0 {
		t.Error("two tables are not mentioned")
	}
}

func TestMergesFormulasHidden(t *testing.T) {
	data := workbook(t, map[string][]string{"S": {"Part no|Description|Qty", "TB-1|Shim|", "TB-2||", "TB-3|Front bearing|5", "TB-4|Secret|9"}}, func(f *excelize.File) {
		must(t, f.MergeCell("S", "B2", "B3"))
		must(t, f.SetCellFormula("S", "C2", "1+1"))
		must(t, f.SetCellFormula("S", "C3", "C2*2"))
		must(t, f.SetRowVisible("S", 5, false))
		_, err := f.NewSheet("Hidden")
		must(t, err)
		must(t, f.SetSheetVisible("Hidden", false))
	})
	f := read(t, data, Options{})
	want(t, items(f), "2 x TB-1 @ S!A2:C2", "4 x TB-2 @ S!A3:C3", "5 x TB-3 @ S!A4:C4")
	if strings.Count(f.Text, "Shim") != 2 || strings.Contains(f.Text, "Secret") || len(f.Notices) < 4 {
		t.Errorf("%q\n%q", f.Text, f.Notices)
	}
}

// TestMergedQuantity: one quantity over two rows is not counted twice.
func TestMergedQuantity(t *testing.T) {
	data := workbook(t, map[string][]string{"S": {"Part no|Description|Qty", "TB-1|Shim|2", "TB-2|Nut|"}}, func(f *excelize.File) {
		must(t, f.MergeCell("S", "C2", "C3"))
	})
	if f := read(t, data, Options{}); strings.Count(f.Text, "\t2") != 1 {
		t.Errorf("%q", f.Text)
	}
}

func TestCSV(t *testing.T) {
	for name, text := range map[string]string{
		"semicolons, decimal comma": "Art.-Nr;Bezeichnung;Menge;Preis\nTB-1;\"Lager; vorn\";2;18,40\nTB-2;Mutter;3;6,50\n",
		"commas":                    "Part no,Description,Qty\nTB-1,\"Bearing, front\",2\nTB-2,Nut,3\n",
		"said separator":            "sep=;\nPart no;Description;Qty\nTB-1;Bearing;2\nTB-2;Nut;3\n",
		"mark and CRLF":             "\uFEFFPart no;Description;Qty\r\nTB-1;Bearing;2\r\nTB-2;Nut;3\r\n",
		"latin":                     "R\xe9f;D\xe9signation;Qt\xe9\nTB-1;Roulement;2\nTB-2;\xc9crou;3\n",
	} {
		f, err := Read("kit.csv", []byte(text), Options{})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		checkCells(t, f)
		got := items(f)
		if len(got) != 2 || !strings.HasPrefix(got[0], "2 x TB-1 @ A") || !strings.HasPrefix(got[1], "3 x TB-2 @ A") {
			t.Errorf("%s: %q from %q", name, got, f.Text)
		}
	}
	if f := read(t, []byte("Hi Jo,\n2 x front bearing\n1 x nut\n"), Options{}); f.Text != "Hi Jo,\n2 x front bearing\n1 x nut\n" {
		t.Errorf("running text is changed: %q", f.Text)
	}
}

func TestRefusals(t *testing.T) {
	var bomb bytes.Buffer
	z := zip.NewWriter(&bomb)
	for _, n := range []string{"[Content_Types].xml", "xl/workbook.xml", "xl/worksheets/sheet1.xml"} {
		w, err := z.Create(n)
		must(t, err)
		chunk := make([]byte, 1<<20)
		for range 70 {
			_, err = w.Write(chunk)
			must(t, err)
		}
	}
	must(t, z.Close())
	for name, data := range map[string][]byte{
		"zip bomb":     bomb.Bytes(),
		"no workbook":  []byte("PK\x03\x04 and so on"),
		"old workbook": {0xd0, 0xcf, 0x11, 0xe0, 1, 2, 3},
		"zeros":        make([]byte, 100),
		"empty":        nil,
		"too large":    make([]byte, MaxFile+1),
		"rows":         []byte(strings.Repeat("a;b;c\n", maxRows+2)),
	} {
		f, err := Read("kit", data, Options{})
		if code := catalog.CodeOf(err); err == nil || code != catalog.CodeInvalid && code != catalog.CodeTooLarge {
			t.Errorf("%s: %v, %v", name, f, err)
		}
	}
	wide := read(t, []byte("Part no;Description;Qty"+strings.Repeat(";x", 100)+"\nTB-1;Nut;2\n"), Options{Head: 1})
	if len(wide.Columns) > maxColumns || len(wide.Notices) == 0 {
		t.Errorf("%d columns, notices %q", len(wide.Columns), wide.Notices)
	}
}

// TestKinds: every head that a kind is given is read as that kind again.
func TestKinds(t *testing.T) {
	for k, h := range heads {
		if got, _ := kitlist.ColumnKind(h); k != Skip && got != k {
			t.Errorf("%s: head %q is read as %q", k, h, got)
		}
	}
}

func FuzzCSV(f *testing.F) {
	f.Add([]byte("Part no;Description;Qty\nTB-1;Nut;2\n"))
	f.Add([]byte("a,b\n\"c"))
	f.Fuzz(func(t *testing.T, data []byte) {
		if IsWorkbook(data) {
			return
		}
		file, err := Read("kit", data, Options{})
		if err != nil {
			if code := catalog.CodeOf(err); code != catalog.CodeInvalid && code != catalog.CodeTooLarge {
				t.Fatal(err)
			}
			return
		}
		checkCells(t, file)
	})
}
