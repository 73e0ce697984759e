package exchange_test

import (
	"maps"
	"slices"
	"strings"
	"testing"

	"layshaft/catalog/exchange"
)

// faultsOf reads the full package after an edit of one file.
func faultsOf(t *testing.T, file string, edit func(string) string) []string {
	t.Helper()
	files := export(t, full())
	if text := edit(string(files[file])); text != "" {
		files[file] = []byte(text)
	} else {
		delete(files, file)
	}
	c, faults := exchange.ReadPackage(folder(files))
	if (c == nil) != (len(faults) > 0) {
		t.Errorf("catalogue %v with %d faults: not all or nothing", c != nil, len(faults))
	}
	var lines []string
	for _, f := range faults {
		if f.Reason == "" || f.Repair == "" || f.File == "" {
			t.Errorf("a fault without reason, repair or file: %+v", f)
		}
		lines = append(lines, f.String())
	}
	return lines
}

func swap(old, new string) func(string) string {
	return func(s string) string {
		if !strings.Contains(s, old) {
			panic("the test edits nothing: " + old)
		}
		return strings.Replace(s, old, new, 1)
	}
}

func TestFaultsNameTheCell(t *testing.T) {
	cases := []struct {
		name, file string
		edit       func(string) string
		want       []string // beginnings of the faults
	}{
		{"two bad cells", "stacks.csv", func(s string) string {
			return swap("0.05 mm", "0.05")(swap("trial-play", "turning")(s))
		}, []string{`stacks.csv, row 2, column method, "turning"`, `stacks.csv, row 2, column aim, "0.05"`}},
		{"unknown column", "teeth.csv", swap("wheel,teeth", "wheel,teeth,color"), []string{`teeth.csv, row 1, column color`}},
		{"missing column", "teeth.csv", swap("wheel,teeth", "wheel,Teeth"), []string{`teeth.csv, row 1, column Teeth`, `teeth.csv, row 1, column teeth: the column is missing`}},
		{"column twice", "teeth.csv", swap("wheel,teeth", "wheel,teeth,wheel"), []string{"teeth.csv, row 1, column wheel: the column is there twice"}},
		{"missing file", "teeth.csv", func(string) string { return "" }, []string{"teeth.csv: the file is missing"}},
		{"empty file", "teeth.csv", func(string) string { return "\n" }, []string{"teeth.csv: the table is empty"}},
		{"missing descriptor", exchange.DescriptorFile, func(string) string { return "" }, []string{"datapackage.json: the file is missing"}},
		{"bad descriptor", exchange.DescriptorFile, func(string) string { return "{" }, []string{"datapackage.json: not a JSON"}},
		{"unlisted table", exchange.DescriptorFile, swap(`"path": "teeth.csv"`, `"path": "tooth.csv"`),
			[]string{"tooth.csv: the file is missing", "teeth.csv: the table is not listed"}},
		{"path out of the folder", exchange.DescriptorFile, swap(`"path": "teeth.csv"`, `"path": "../teeth.csv"`),
			[]string{`datapackage.json: resource "teeth" has no single path`, "teeth.csv: the table is not listed"}},
		{"empty required cell", "teeth.csv", swap("w-in,23", "w-in,"), []string{"teeth.csv, row 2, column teeth: the cell is empty"}},
		{"bad identifier", "variants.csv", swap("ex-a", "EX/A"), []string{`variants.csv, row 2, column id, "EX/A"`, "teeth.csv, row 2", "teeth.csv, row 3", "fitments.csv", "feature_values.csv", "feature_values.csv"}},
		{"duplicate key", "teeth.csv", swap("w-cd", "w-in"), []string{`teeth.csv, row 3, column wheel, "ex-a w-in": the same variant, wheel as in row 2`}},
		{"dangling list item", "bonds.csv", swap("input|cluster", "input|klaster"), []string{`bonds.csv, row 2, column positions, "klaster": no such row in table positions`}},
		{"empty list item", "bonds.csv", swap("input|cluster", "input||cluster"), []string{"bonds.csv, row 2, column positions"}},
		{"value of the wrong kind", "properties.csv", swap("kit,teeth,,31", "kit,teeth,,31 mm"), []string{`properties.csv, row 4, column value, "31 mm"`}},
		{"undeclared attribute", "attributes.csv", swap("taper", "tapir"), []string{"properties.csv, row 5, column key"}},
		{"too many cells", "teeth.csv", swap("w-in,23", "w-in,23,5"), []string{`teeth.csv, row 2, "5": 4 cells under 3 columns`}},
		{"stray quote", "teeth.csv", swap("w-in", `w"in`), []string{"teeth.csv, row 2: quotes out of place"}},
		{"NUL", "parts.csv", swap("One", "O\x00ne"), []string{"parts.csv, row 3, column name"}},
		{"broken UTF-8", "parts.csv", swap("One", "O\xffne"), []string{"parts.csv, row 3, column name"}},
		{"UTF-16", "parts.csv", func(string) string { return "\xff\xfei\x00d\x00" }, []string{"parts.csv: the file is UTF-16", "numbers.csv"}},
		{"workbook as CSV", "words.csv", func(string) string { return "PK\x03\x04..." }, []string{"words.csv: this is a workbook"}},
		{"too large", "words.csv", func(s string) string { return s + strings.Repeat("x", exchange.MaxFile) }, []string{"words.csv: the file is larger"}},
		{"lone CR", "words.csv", func(s string) string { return strings.ReplaceAll(s, "\n", "\r") }, []string{"words.csv: the lines end in a lone CR"}},
		{"unnamed column", "teeth.csv", func(s string) string {
			return strings.ReplaceAll(swap("wheel,teeth", "wheel,teeth,")(s), "w-cd,31", "w-cd,31,9")
		},
			[]string{`teeth.csv, row 3, "9": the cell stands in column 4`}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			got := faultsOf(t, c.file, c.edit)
			for i, want := range c.want {
				if i >= len(got) || !strings.HasPrefix(got[i], want) {
					t.Fatalf("fault %d: want %q in %q", i, want, got)
				}
			}
		})
	}
}

func TestOtherWritingsAreTaken(t *testing.T) {
	semicolons := func(s string) string {
		return strings.NewReplacer(", ", ", ", ",", ";", "0.05 mm", "0,05 mm", "17.00 EUR", "17,00 EUR").Replace(s)
	}
	cases := []struct {
		name, file string
		edit       func(string) string
	}{
		{"byte order mark", "teeth.csv", func(s string) string { return "\uFEFF" + s }},
		{"CR LF", "words.csv", func(s string) string { return strings.ReplaceAll(s, "\n", "\r\n") }},
		{"semicolons and comma decimals", "stacks.csv", semicolons},
		{"money with comma", "breaks.csv", semicolons},
		{"separator line", "breaks.csv", func(s string) string { return "sep=;\r\n" + semicolons(s) }},
		{"tabs", "teeth.csv", func(s string) string { return strings.ReplaceAll(s, ",", "\t") }},
		{"empty rows and columns", "teeth.csv", func(s string) string { return strings.ReplaceAll(s, "\n", ",,\n") + ",,,,\n\n" }},
		{"columns in another order", "teeth.csv", func(string) string {
			return "teeth,variant,wheel\n23,ex-a,w-in\n31,ex-a,w-cd\n"
		}},
		{"spaces round ids and sizes", "shafts.csv", func(s string) string { return strings.ReplaceAll(s, "75 mm", " 75mm ") }},
	}
	want := export(t, full())
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			files := maps.Clone(want)
			files[c.file] = []byte(c.edit(string(files[c.file])))
			sameFiles(t, want, export(t, read(t, files)))
		})
	}
}

func TestOptionalColumnsAndTables(t *testing.T) {
	files := map[string][]byte{
		exchange.DescriptorFile: []byte(`{"resources":[{"name":"families","path":"families.csv"}]}`),
		"families.csv":          []byte("id,name,box,centre_distance\nex,Example,transaxle,80 mm\n"),
	}
	c := read(t, files)
	if len(c.Families) != 1 || c.Families[0].Name != "Example" {
		t.Errorf("read %+v", c.Families)
	}
}

func TestExportRefusesWhatWouldNotComeBack(t *testing.T) {
	c := full()
	c.Parts[0].Name = "bell\a"
	c.Positions[0].Places = []string{"a|b"}
	c.Parts[0].Attributes[0].Name = "undeclared"
	c.Offers[0].Breaks[0].Price.Currency = "XXX"
	c.Positions[1].Life = "forever"
	_, err := exchange.Package(c)
	if err == nil {
		t.Fatal("exported")
	}
	for _, want := range []string{"table parts, row kit, column name", "table positions, row ex/input, column places",
		"table properties, row kit/undeclared/front, column value", "table breaks, row o/1, column price", "table positions, row ex/cluster, column life"} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("%q is not named in:\n%v", want, err)
		}
	}
}

func TestPreview(t *testing.T) {
	before, after := full(), full()
	if d := exchange.Preview(before, after); len(d.Changes) > 0 {
		t.Fatalf("nothing changed, yet %v", d)
	}
	after.Parts[0].Name = "Other"
	after.Offers[0].Breaks = after.Offers[0].Breaks[:1]
	after.Words = append(after.Words, full().Words[0])
	after.Words[1].Variant = "new"
	slices.Reverse(after.Families[0].Wheels)
	slices.Reverse(after.Parts) // order of records means nothing
	var got []string
	for _, c := range exchange.Preview(before, after).Changes {
		line := string(c.Kind) + " " + c.Table + " " + c.Key
		for _, f := range c.Fields {
			line += " " + f.Column + ":" + f.Old + ">" + f.New
		}
		got = append(got, line)
	}
	want := []string{
		"moved wheels ex",
		"changed parts kit name:Kit; with, marks>Other",
		"removed breaks o/10 offer:o> from:10> price:17.00 EUR>",
		`added words ball bearing/en/new canonical:>ball bearing variant:>new kind:>abbreviation language:>en ambiguous:>yes note:>n standing:>confirmed source:>bench note, "page 4"`,
	}
	if !slices.Equal(got, want) {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}
