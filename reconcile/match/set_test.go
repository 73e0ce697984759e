package match

import (
	"testing"

	"layshaft/catalog"
	"layshaft/reconcile/kitlist"
)

// setShop is smallShop with a gasket set of its own, and one of another family
// that shares a single washer with it.
func setShop() *catalog.Catalogue {
	c := smallShop()
	c.Families = append(c.Families, &catalog.Family{ID: "g6", Name: "G6", Box: catalog.Longitudinal})
	c.Variants = append(c.Variants, &catalog.Variant{ID: "g6-a", Family: "g6", Name: "G6 A"})
	part := func(id catalog.PartID, kind catalog.PartKind, name string, unit catalog.SaleUnit, holds ...catalog.PartID) {
		p := &catalog.Part{ID: id, Kind: kind, Name: name, Unit: unit}
		for _, h := range holds {
			p.Contents = append(p.Contents, &catalog.Content{Part: h, Count: 1})
		}
		c.Parts = append(c.Parts, p)
	}
	fits := func(variant catalog.VariantID, family catalog.FamilyID, pos catalog.PositionID, kind catalog.PartKind, name string, id catalog.PartID) {
		c.Positions = append(c.Positions, &catalog.Position{ID: pos, Family: family, Name: name, Assembly: catalog.AssemblySeals, Kind: kind, Quantity: 1})
		c.Fitments = append(c.Fitments, &catalog.Fitment{Variant: variant, Position: pos, Part: id, Standard: true})
	}
	part("washer", "washer", "Drain plug washer", catalog.UnitPiece)
	fits("f5-a", "f5", "drain-washer", "washer", "Drain plug washer", "washer")
	fits("g6-a", "g6", "g-drain-washer", "washer", "Drain plug washer", "washer")
	part("g-rear", "gasket", "Rear cover gasket", catalog.UnitPiece)
	fits("g6-a", "g6", "g-rear", "gasket", "Rear cover gasket", "g-rear")
	part("g-top", "gasket", "Top cover gasket", catalog.UnitPiece)
	fits("g6-a", "g6", "g-top", "gasket", "Top cover gasket", "g-top")
	part("f-set", "gasket set", "Gasket set with washers", catalog.UnitSet, "p9", "washer")
	part("g-set", "gasket set", "Gasket set", catalog.UnitSet, "g-rear", "g-top", "washer")
	return c
}

// TestSets: a set belongs to the variant that most of its contents fit, does not
// answer to the words of every place that it goes to, and is not one piece.
func TestSets(t *testing.T) {
	m := New(catalog.NewIndex(setShop(), 1), Options{})
	for _, c := range []struct {
		line    string
		variant catalog.VariantID
		outcome Outcome
		part    catalog.PartID
	}{
		{"gasket set x1", "f5-a", Certain, "f-set"},
		{"gasket set x1", "g6-a", Certain, "g-set"},
		{"front cover gasket x1", "f5-a", Certain, "p9"},
		{"We can do:\ngasket set complete x1", "f5-a", Certain, "f-set"},
		{"1-2 synchro ring set", "f5-a", Likely, "p4"},
		{"2 x 1-2 synchro ring", "f5-a", Certain, "p4"},
	} {
		l := kitlist.Read(c.line, kitlist.Options{})
		r := m.Match(l, Context{Variant: c.variant})
		if last := r[len(r)-1]; last.Outcome != c.outcome || last.Part != c.part {
			t.Errorf("%q in %s: %s %s (%s), want %s %s", c.line, c.variant, last.Outcome, last.Part, last.Why, c.outcome, c.part)
		}
	}
	for _, p := range m.scope(Context{Variant: "f5-a"}).parts {
		if p.part.ID == "g-set" {
			t.Error("a set that shares one washer is in the scope")
		}
	}
}
