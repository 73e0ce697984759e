package exchange_test

import (
	"bytes"
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"

	"layshaft/catalog"
	"layshaft/catalog/exchange"
)

func folder(files map[string][]byte) fstest.MapFS {
	fsys := fstest.MapFS{}
	for name, data := range files {
		fsys[name] = &fstest.MapFile{Data: data}
	}
	return fsys
}

func export(t testing.TB, c *catalog.Catalogue) map[string][]byte {
	t.Helper()
	files, err := exchange.Package(c)
	if err != nil {
		t.Fatal(err)
	}
	return files
}

func read(t testing.TB, files map[string][]byte) *catalog.Catalogue {
	t.Helper()
	c, faults := exchange.ReadPackage(folder(files))
	for _, f := range faults {
		t.Error(f)
	}
	if len(faults) > 0 {
		t.FailNow()
	}
	return c
}

// sameFiles compares two packages byte by byte.
func sameFiles(t testing.TB, want, got map[string][]byte) {
	t.Helper()
	if diff := cmp.Diff(slices.Sorted(maps.Keys(want)), slices.Sorted(maps.Keys(got))); diff != "" {
		t.Fatal(diff)
	}
	for name := range want {
		if !bytes.Equal(want[name], got[name]) {
			t.Errorf("%s differs:\n%s", name, cmp.Diff(string(want[name]), string(got[name])))
		}
	}
}

func TestRoundTripKeepsEveryField(t *testing.T) {
	c := full()
	files := export(t, c)
	back := read(t, files)
	if diff := cmp.Diff(sortedCatalogue(c), sortedCatalogue(back)); diff != "" {
		t.Error(diff)
	}
	sameFiles(t, files, export(t, back))
}

// TestFullSaysEverything guards the test above: a field that is zero in every
// record of the full catalogue would not be tested.
func TestFullSaysEverything(t *testing.T) {
	said := map[string]bool{}
	collect(reflect.ValueOf(full()), said)
	for field, ok := range said {
		if !ok {
			t.Errorf("no record of the full catalogue fills %s", field)
		}
	}
}

func collect(v reflect.Value, said map[string]bool) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			collect(v.Elem(), said)
		}
	case reflect.Slice:
		for i := range v.Len() {
			collect(v.Index(i), said)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			field := v.Type().Field(i)
			if !field.IsExported() {
				continue
			}
			if field.Name == "Stamp" {
				continue
			}
			name := v.Type().Name() + "." + field.Name
			said[name] = said[name] || !v.Field(i).IsZero()
			if v.Type().PkgPath() == "layshaft/catalog" {
				collect(v.Field(i), said)
			}
		}
	}
}

// sortedCatalogue puts records in order of their keys.
func sortedCatalogue(c *catalog.Catalogue) *catalog.Catalogue {
	v := reflect.ValueOf(c).Elem()
	for i := range v.NumField() {
		rows := v.Field(i)
		records := anySlice(rows)
		slices.SortFunc(records, func(a, b catalog.Record) int { return strings.Compare(a.Key(), b.Key()) })
		for j, r := range records {
			rows.Index(j).Set(reflect.ValueOf(r))
		}
		if rows.Len() == 0 {
			rows.SetZero()
		}
	}
	return c
}

func anySlice(v reflect.Value) []catalog.Record {
	out := make([]catalog.Record, v.Len())
	for i := range out {
		out[i] = v.Index(i).Interface().(catalog.Record)
	}
	return out
}

func TestOrderOfRecordsChangesNothing(t *testing.T) {
	a, b := full(), full()
	slices.Reverse(b.Parts)
	slices.Reverse(b.Attributes)
	slices.Reverse(b.Positions)
	slices.Reverse(b.Mates)
	sameFiles(t, export(t, a), export(t, b))
}

func TestEmptyCatalogue(t *testing.T) {
	files := export(t, &catalog.Catalogue{})
	sameFiles(t, files, export(t, read(t, files)))
}

// TestLayoutIsDocumented keeps the listing in the package comment true.
func TestLayoutIsDocumented(t *testing.T) {
	doc := string(docFile(t))
	_, listing, _ := strings.Cut(doc, "short list: items separated by '|'.\n//\n")
	listing, _, _ = strings.Cut(listing, "// # Cells")
	words := strings.Fields(strings.ReplaceAll(listing, "//", ""))
	var want []string
	for _, l := range exchange.Layout() {
		want = append(want, l.Name)
		for _, c := range l.Columns {
			name := c.Name
			if c.Type == exchange.TypeList {
				name += "[]"
			}
			if c.Required {
				name += "*"
			}
			want = append(want, name)
		}
	}
	if diff := cmp.Diff(want, words); diff != "" {
		t.Error(diff)
	}
}
