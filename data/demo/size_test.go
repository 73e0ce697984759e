package demo

import (
	"bytes"
	"encoding/csv"
	"os"
	"testing"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

// testdata/iso_sizes.csv holds boundary dimensions d, D and B or T of ISO 15,
// ISO 355 and ISO 3030 (needle cages: Fw, Ew, Bc), as printed alike in two or
// more published bearing tables.
func isoSizes(t *testing.T) map[string][3]quantity.Length {
	t.Helper()
	text, err := os.ReadFile("testdata/iso_sizes.csv")
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	out := map[string][3]quantity.Length{}
	for _, r := range rows[1:] {
		var s [3]quantity.Length
		for i := range s {
			if s[i], err = quantity.ParseLength(r[1+i]); err != nil {
				t.Fatal(err)
			}
		}
		out[r[0]] = s
	}
	return out
}

func TestBearingSizesFollowTheDesignation(t *testing.T) {
	sizes := isoSizes(t)
	ix := catalog.NewIndex(shop(t), 1)
	checked := 0
	for _, p := range ix.Parts() {
		if p.Designation == "" {
			continue
		}
		want, ok := sizes[p.Designation]
		if !ok {
			t.Errorf("part %s: designation %q is not in the table", p.ID, p.Designation)
			continue
		}
		for i, key := range []catalog.AttributeKey{catalog.KeyBore, catalog.KeyOutside, catalog.KeyWidth} {
			a, ok := ix.Attribute(p.ID, key, "")
			if !ok || a.Value.Length() != want[i] {
				t.Errorf("part %s (%s): %s is %v, the table says %v", p.ID, p.Designation, key, a, want[i])
			}
		}
		checked++
	}
	atLeast(t, "bearings", checked, 35)
}

// Every mate of every variant holds over the parts it left the maker with, and
// none of them is unknown.
func TestMatesHoldOverStandardParts(t *testing.T) {
	ix := catalog.NewIndex(shop(t), 1)
	checked := 0
	for _, v := range ix.Variants() {
		for _, m := range ix.Mates(v.Family) {
			if !ix.Has(v.ID, m.A.Position) || !ix.Has(v.ID, m.B.Position) {
				continue
			}
			a, okA := seatValue(ix, v.ID, m.A)
			b, okB := seatValue(ix, v.ID, m.B)
			checked++
			if !okA || !okB || !holds(m, a, b) {
				t.Errorf("%s mate %s: %v against %v", v.ID, m.ID, a, b)
			}
		}
	}
	atLeast(t, "mates checked", checked, 14*100)
}

func seatValue(ix *catalog.Index, v catalog.VariantID, s catalog.Seat) (catalog.Value, bool) {
	p, ok := ix.Standard(v, s.Position)
	if !ok {
		return catalog.Value{}, false
	}
	a, ok := ix.Attribute(p.ID, s.Name, s.At)
	if !ok {
		return catalog.Value{}, false
	}
	return a.Value, true
}

func holds(m *catalog.Mate, a, b catalog.Value) bool {
	switch m.Relation {
	case catalog.Equal:
		return a.Number == b.Number && a.Text == b.Text
	case catalog.Less:
		return a.Number < b.Number
	case catalog.Window:
		return a.Number-b.Number >= m.Min && a.Number-b.Number <= m.Max
	}
	return false
}
