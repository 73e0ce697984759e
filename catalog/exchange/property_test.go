package exchange_test

import (
	"bytes"
	"reflect"
	"slices"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"layshaft/catalog"
	"layshaft/catalog/exchange"
	"layshaft/catalog/quantity"
)

// freeText are fields that may hold any text; all others name something.
var freeText = []string{"Name", "Note", "Source", "Label", "Reason", "HowTo", "What", "Instrument", "Material", "SerialFrom",
	"SerialTo", "Designation", "Issuer", "CutOff", "Choice", "Language", "At"}

var anyText = rapid.StringOfN(rapid.RuneFrom([]rune(" ,;|\"'=+-@#\t\nabcäß°µ€漢😀_x000D_\u00a0")), 0, 12, -1).
	Filter(func(s string) bool { return s == "" || len(bytes.TrimSpace([]byte(s))) > 0 })

// vary replaces sizes, counts and texts of every record, all that names
// something stays.
func vary(t *rapid.T, v reflect.Value, field string) {
	switch x := v.Addr().Interface().(type) {
	case *quantity.Length:
		*x = quantity.Length(rapid.Int64().Draw(t, field))
		return
	case *quantity.Angle:
		*x = quantity.Angle(rapid.Int64().Draw(t, field))
		return
	case *quantity.Torque:
		*x = quantity.Torque(rapid.Int64().Draw(t, field))
		return
	case *quantity.Money:
		*x = quantity.Money{Minor: rapid.Int64().Draw(t, field), Currency: rapid.SampledFrom([]string{"EUR", "JPY", "KWD"}).Draw(t, field)}
		return
	case *quantity.LeadTime, *quantity.Date, *catalog.Value, *catalog.Stamp:
		return
	}
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			vary(t, v.Elem(), field)
		}
	case reflect.Slice:
		for i := range v.Len() {
			vary(t, v.Index(i), field)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			vary(t, v.Field(i), v.Type().Field(i).Name)
		}
	case reflect.Bool:
		v.SetBool(rapid.Bool().Draw(t, field))
	case reflect.Int:
		if field != "From" { // part of a key
			v.SetInt(int64(rapid.IntRange(1, 1<<40).Draw(t, field)))
		}
	case reflect.String:
		if slices.Contains(freeText, field) && v.Type().Kind() == reflect.String && v.Type().PkgPath() == "" {
			text := anyText.Draw(t, field)
			if text == "" && v.String() != "" && field != "Note" {
				return // may be required
			}
			v.SetString(text)
		}
	}
}

// varied is the full catalogue with other contents. Speeds and seats are named
// by other records, so their names stay.
func varied(t *rapid.T) *catalog.Catalogue {
	c := full()
	vary(t, reflect.ValueOf(c).Elem(), "")
	ref := full()
	for i, f := range c.Families {
		f.Speeds = ref.Families[i].Speeds
	}
	for i, p := range c.Parts {
		for j, a := range p.Attributes {
			a.At = ref.Parts[i].Attributes[j].At
		}
	}
	for i, a := range c.Attributes {
		a.Choices = ref.Attributes[i].Choices
	}
	return c
}

func TestExportImportExport(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := varied(t)
		files, err := exchange.Package(c)
		if err != nil {
			t.Fatal(err)
		}
		back, faults := exchange.ReadPackage(folder(files))
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		if diff := cmp.Diff(sortedCatalogue(c), sortedCatalogue(back)); diff != "" {
			t.Fatal(diff)
		}
		if d := exchange.Preview(c, back); len(d.Changes) > 0 {
			t.Fatal("a preview of the same catalogue shows changes", d)
		}
		again, err := exchange.Package(back)
		if err != nil {
			t.Fatal(err)
		}
		for name := range files {
			if !bytes.Equal(files[name], again[name]) {
				t.Fatalf("%s differs", name)
			}
		}
	})
}

func TestWorkbookKeepsText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := full()
		c.Parts[0].Name = anyText.Filter(func(s string) bool { return s != "" }).Draw(t, "name")
		c.Parts[0].Note = anyText.Draw(t, "note")
		c.Words[0].Note = anyText.Draw(t, "word")
		var b bytes.Buffer
		if err := exchange.WriteXLSX(&b, c); err != nil {
			t.Fatal(err)
		}
		back, faults := exchange.ReadXLSX(&b)
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		if diff := cmp.Diff(sortedCatalogue(c), sortedCatalogue(back)); diff != "" {
			t.Fatal(diff)
		}
	})
}

// FuzzReadPackage looks for panics, and for catalogues that pass the reader but
// can't be written again.
func FuzzReadPackage(f *testing.F) {
	files := export(f, full())
	for _, l := range exchange.Layout() {
		f.Add(l.Name, files[l.Name+".csv"])
	}
	f.Add("teeth", []byte("sep=;\r\nvariant;wheel;teeth\r\nex-a;w-in;23\r\n"))
	f.Fuzz(func(t *testing.T, table string, data []byte) {
		fsys := fstest.MapFS{}
		for name, content := range files {
			fsys[name] = &fstest.MapFile{Data: content}
		}
		if fsys[table+".csv"] == nil {
			return
		}
		fsys[table+".csv"] = &fstest.MapFile{Data: data}
		c, faults := exchange.ReadPackage(fsys)
		if (c == nil) != (len(faults) > 0) {
			t.Fatal("not all or nothing")
		}
		for _, fault := range faults {
			if fault.File == "" || fault.Reason == "" || fault.Repair == "" {
				t.Fatalf("incomplete fault %+v", fault)
			}
		}
		if c == nil {
			return
		}
		out, err := exchange.Package(c)
		if err != nil {
			t.Fatal(err)
		}
		back, faults := exchange.ReadPackage(folder(out))
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		again, err := exchange.Package(back)
		if err != nil {
			t.Fatal(err)
		}
		for name := range out {
			if !bytes.Equal(out[name], again[name]) {
				t.Fatalf("%s differs on the way back", name)
			}
		}
	})
}
