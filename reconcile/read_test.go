package reconcile

import (
	"testing"

	"layshaft/catalog"
)

// hubShop has two hubs, a seal with a place on either side, and keys of which one
// hub takes three.
func hubShop() *catalog.Index {
	c := &catalog.Catalogue{
		Families: []*catalog.Family{{ID: "f", Name: "F", Box: catalog.Longitudinal}},
		Variants: []*catalog.Variant{{ID: "v", Family: "f", Name: "V"}},
	}
	for _, p := range []struct {
		id, name string
		kind     catalog.PartKind
		quantity int
	}{
		{"hub-12", "1-2 synchro hub", "synchro hub", 1},
		{"hub-34", "3-4 synchro hub", "synchro hub", 1},
		{"key", "Synchro key", "synchro key", 6},
		{"seal", "Drive shaft oil seal", "oil seal", 2},
	} {
		c.Positions = append(c.Positions, &catalog.Position{ID: catalog.PositionID(p.id), Family: "f", Name: p.name, Kind: p.kind, Quantity: p.quantity})
		c.Parts = append(c.Parts, &catalog.Part{ID: catalog.PartID(p.id), Name: p.name, Kind: p.kind, Unit: catalog.UnitPiece})
		c.Fitments = append(c.Fitments, &catalog.Fitment{Variant: "v", Position: catalog.PositionID(p.id), Part: catalog.PartID(p.id), Standard: true})
	}
	return catalog.NewIndex(c, 1)
}

// TestPieces: what "each" and "per side" say is in the line's own count already;
// what "per hub" and "all" say needs the variant.
func TestPieces(t *testing.T) {
	desk := NewDesk(hubShop())
	for _, c := range []struct {
		line string
		want int
	}{
		{"drive shaft oil seals left and right 1 each", 2},
		{"drive shaft oil seal left and right, 2 each", 4},
		{"drive shaft oil seal 1 per side", 2},
		{"synchro keys 3 per hub", 6},
		{"synchro keys for all hubs", 6},
		{"synchro keys 6", 6},
	} {
		r := desk.Read(&KitList{ID: "k", Text: c.line}, Context{Family: "f", Variant: "v"})
		got := 0
		for _, s := range r.Supply {
			got += s.Pieces
		}
		if got != c.want {
			t.Errorf("%q: %d pieces, want %d", c.line, got, c.want)
		}
	}
}
