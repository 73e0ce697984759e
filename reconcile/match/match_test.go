package match

import (
	"testing"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
	"layshaft/reconcile/kitlist"
)

// smallShop is a family of a few positions, enough to see each rule at work.
func smallShop() *catalog.Catalogue {
	c := &catalog.Catalogue{
		Families: []*catalog.Family{{ID: "f5", Name: "F5", Box: catalog.Longitudinal}},
		Variants: []*catalog.Variant{{ID: "f5-a", Family: "f5", Name: "F5 A"}},
	}
	add := func(pos, name string, asm catalog.Assembly, kind catalog.PartKind, n int, part, number, desig string, sizes ...int) {
		c.Positions = append(c.Positions, &catalog.Position{ID: catalog.PositionID(pos), Family: "f5", Name: name, Assembly: asm, Kind: kind, Quantity: n})
		p := &catalog.Part{ID: catalog.PartID(part), Kind: kind, Name: name, Unit: catalog.UnitPiece, Designation: desig,
			Numbers: []*catalog.Number{{Issuer: "maker", Text: number, Role: catalog.NumberCurrent}}}
		for i, s := range sizes {
			p.Attributes = append(p.Attributes, &catalog.Attribute{Name: []catalog.AttributeKey{"bore", "outside", "width"}[i],
				Value: catalog.LengthValue(quantity.Length(s) * quantity.MM)})
		}
		c.Parts = append(c.Parts, p)
		c.Fitments = append(c.Fitments, &catalog.Fitment{Variant: "f5-a", Position: catalog.PositionID(pos), Part: p.ID, Standard: true})
	}
	add("in-bearing", "Input shaft bearing", catalog.AssemblyInput, "ball bearing", 1, "p1", "Z7F3101A", "6207 NR")
	add("ms-rear-bearing", "Main shaft rear bearing", catalog.AssemblyMain, "ball bearing", 1, "p2", "Z7F3102K", "6306 N")
	add("cs-front-bearing", "Countershaft front bearing", catalog.AssemblyCounter, "taper roller bearing", 1, "p3", "Z7F3103C", "30206")
	add("syn-12", "1-2 synchro ring", catalog.AssemblyMain, "synchro ring", 2, "p4", "Z7F3110", "")
	add("syn-34", "3-4 synchro ring", catalog.AssemblyMain, "synchro ring", 2, "p5", "Z7F3111", "")
	add("seal-front", "Input shaft seal", catalog.AssemblySeals, "oil seal", 1, "p6", "Z7F3120", "", 35, 50, 8)
	add("seal-rear", "Output shaft seal", catalog.AssemblySeals, "oil seal", 1, "p7", "Z7F3121", "", 40, 60, 10)
	add("front-cover", "Front cover", catalog.AssemblyCase, "front bearing retainer", 1, "p8", "Z7F3130", "")
	add("front-cover-gasket", "Front cover gasket", catalog.AssemblySeals, "gasket", 1, "p9", "Z7F3131", "")
	return c
}

func TestMatchSmallShop(t *testing.T) {
	m := New(catalog.NewIndex(smallShop(), 1), Options{})
	for _, c := range []struct {
		line string
		part catalog.PartID
		not  Outcome // an outcome it must not have
	}{
		{"brg frt i/p 6207 NR", "p1", None},
		{"1x Z7F-3102K m/s rear bearing", "p2", None},
		{"synchro ring 3/4 2 off", "p5", None},
		{"blocker rings 1-2 (2)", "p4", None},
		{"gskt front cover", "p9", None},
		{"front cover", "p8", None},
		{"layshaft brg front", "p3", None},
	} {
		l := kitlist.Read(c.line, kitlist.Options{})
		r := m.Match(l, Context{Variant: "f5-a"})
		if len(r) != 1 || len(r[0].Candidates) == 0 {
			t.Errorf("%q: %+v", c.line, r)
			continue
		}
		if r[0].Candidates[0].Part != c.part || r[0].Outcome == c.not {
			t.Errorf("%q: %s %+v", c.line, r[0].Outcome, r[0].Candidates)
		}
		t.Log(c.line, r[0].Outcome, r[0].Candidates[0].Part, r[0].Candidates[0].Permille, r[0].Why)
	}
}

// TestSizesOfAName: a ring is known by the size in its name although what is
// measured on it is another.
func TestSizesOfAName(t *testing.T) {
	c := smallShop()
	c.Positions = append(c.Positions, &catalog.Position{ID: "ring", Family: "f5", Name: "Bearing locating ring", Assembly: catalog.AssemblyInput, Kind: "snap ring", Quantity: 1})
	c.Parts = append(c.Parts, &catalog.Part{ID: "p10", Kind: "snap ring", Name: "Locating ring 72 x 1.7", Unit: catalog.UnitPiece, Attributes: []*catalog.Attribute{
		{Name: "groove-diameter", Value: catalog.LengthValue(68_810 * quantity.Micron)}, {Name: "thickness", Value: catalog.LengthValue(1_700 * quantity.Micron)}}})
	c.Fitments = append(c.Fitments, &catalog.Fitment{Variant: "f5-a", Position: "ring", Part: "p10", Standard: true})
	m := New(catalog.NewIndex(c, 1), Options{})
	for line, want := range map[string]Outcome{"locating ring 72x1.7": Certain, "locating ring 80x2.5": None} {
		r := m.Match(kitlist.Read(line, kitlist.Options{}), Context{Variant: "f5-a"})
		if len(r) != 1 || r[0].Outcome != want || want == Certain && r[0].Candidates[0].Part != "p10" {
			t.Errorf("%q: %+v", line, r)
		}
	}
}

// TestDesignationNamesABearing: nothing else stands beside bearings, even where
// none has the suffixes.
func TestDesignationNamesABearing(t *testing.T) {
	m := New(catalog.NewIndex(smallShop(), 1), Options{})
	for _, line := range []string{"2 x 6207-2RS C3", "6306-ZZ"} {
		r := m.Match(kitlist.Read(line, kitlist.Options{}), Context{Variant: "f5-a"})
		if len(r) != 1 || len(r[0].Candidates) == 0 {
			t.Fatalf("%q: %+v", line, r)
		}
		if c := r[0].Candidates[0]; c.Part != map[string]catalog.PartID{"2 x 6207-2RS C3": "p1", "6306-ZZ": "p2"}[line] || r[0].Outcome == Certain {
			t.Errorf("%q: %s %+v", line, r[0].Outcome, r[0].Candidates)
		}
	}
}
