package demo

import (
	"strings"
	"testing"

	"layshaft/catalog"
)

func TestTextsAndTheirTruth(t *testing.T) {
	kits, err := KitTexts()
	if err != nil {
		t.Fatal(err)
	}
	notes, err := Notes()
	if err != nil {
		t.Fatal(err)
	}
	atLeast(t, "kit lists", len(kits), 8)
	atLeast(t, "bench notes", len(notes), 3)
	ix := catalog.NewIndex(shop(t), 1)
	meant := 0
	for _, x := range append(kits, notes...) {
		if _, ok := ix.Supplier(x.Supplier); !ok && x.Supplier != "" {
			t.Errorf("%s: no supplier %q", x.Name, x.Supplier)
		}
		if v, ok := ix.Variant(x.Variant); !ok || v.Family != x.Family {
			t.Errorf("%s: family %s has no variant %q", x.Name, x.Family, x.Variant)
		}
		lines := strings.Split(x.Text, "\n")
		for _, r := range x.Truth {
			if r.Line < 1 || r.Line > len(lines) || strings.TrimSpace(lines[r.Line-1]) == "" {
				t.Errorf("%s: truth about line %d, which is not there", x.Name, r.Line)
			}
			if r.Part == "" {
				continue
			}
			meant++
			if _, ok := ix.Part(r.Part); !ok || r.Pieces < 1 {
				t.Errorf("%s line %d: %d pieces of %q", x.Name, r.Line, r.Pieces, r.Part)
			}
			fits(t, ix, x, r)
		}
	}
	atLeast(t, "lines with a part", meant, 100)
}

// fits holds that the truth stays inside the family: the part, or something in
// it, fits a position there.
func fits(t *testing.T, ix *catalog.Index, x Text, r Truth) {
	t.Helper()
	p, ok := ix.Part(r.Part)
	if !ok {
		return
	}
	parts := []catalog.PartID{r.Part}
	for _, in := range p.Contents {
		parts = append(parts, in.Part)
		if inner, ok := ix.Part(in.Part); ok {
			for _, deep := range inner.Contents {
				parts = append(parts, deep.Part)
			}
		}
	}
	for _, id := range parts {
		for _, f := range ix.FitsOf(id) {
			if v, ok := ix.Variant(f.Variant); ok && v.Family == x.Family {
				return
			}
		}
	}
	t.Errorf("%s line %d: %s fits nothing in %s", x.Name, r.Line, r.Part, x.Family)
}
