package demo

import (
	"bytes"
	"io/fs"
	"testing"

	"layshaft/catalog"
	"layshaft/catalog/exchange"
)

func shop(t *testing.T) *catalog.Catalogue {
	t.Helper()
	c, err := Catalogue()
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestCheckFindsNothingSevere(t *testing.T) {
	for _, p := range catalog.Check(shop(t)) {
		if p.Severe {
			t.Errorf("%s %s %s %s: %s", p.Code, p.Table, p.Key, p.Field, p.Reason)
		} else {
			t.Logf("hint: %s %s %s %s: %s", p.Code, p.Table, p.Key, p.Field, p.Reason)
		}
	}
}

func TestRoundTripIsIdentical(t *testing.T) {
	out, err := exchange.Package(shop(t))
	if err != nil {
		t.Fatal(err)
	}
	tables, err := Package()
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	err = fs.WalkDir(tables, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		seen++
		want, err := fs.ReadFile(tables, path)
		if err != nil {
			return err
		}
		if !bytes.Equal(out[path], want) {
			t.Errorf("%s is not what an export of it writes", path)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if seen != len(out) {
		t.Errorf("%d files embedded, an export writes %d", seen, len(out))
	}
}
