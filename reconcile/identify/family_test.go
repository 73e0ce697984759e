package identify

import (
	"fmt"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

// Wheels of the test box: input drive and its counter wheel, four more pairs,
// reverse over an idler. All invented, after the pattern of a layshaft box.
var testWheels = []string{"in-drive", "cs-drive", "m1", "c1", "m2", "c2", "m3", "c3", "m5", "c5", "rev", "c-rev", "idler"}

func boxFamily(id catalog.FamilyID) *catalog.Family {
	f := &catalog.Family{ID: id, Name: string(id), Box: catalog.Longitudinal, CentreDistance: 75 * quantity.MM}
	for i, w := range testWheels {
		pos := catalog.PositionID(w)
		if w[0] == 'c' && w != "cs-drive" {
			pos = "cluster"
		}
		f.Wheels = append(f.Wheels, &catalog.Wheel{ID: w, Label: "wheel " + w, Position: pos, CaseClosed: i < 2})
	}
	f.Meshes = []*catalog.Mesh{
		{ID: "drive", Driving: "in-drive", Driven: "cs-drive", NormalModule: 2500 * quantity.Micron, Helix: 26 * quantity.Degree},
		{ID: "g1", Driving: "c1", Driven: "m1"}, {ID: "g2", Driving: "c2", Driven: "m2"},
		{ID: "g3", Driving: "c3", Driven: "m3"}, {ID: "g5", Driving: "c5", Driven: "m5"},
		{ID: "gr", Driving: "c-rev", Driven: "rev", Idler: []string{"idler"}},
	}
	f.Speeds = []*catalog.Speed{
		{Name: "1st", Meshes: []string{"drive", "g1"}}, {Name: "2nd", Meshes: []string{"drive", "g2"}},
		{Name: "3rd", Meshes: []string{"drive", "g3"}}, {Name: "4th"}, {Name: "5th", Meshes: []string{"drive", "g5"}},
		{Name: "reverse", Meshes: []string{"drive", "gr"}, Reverse: true},
	}
	return f
}

func boxVariant(f catalog.FamilyID, id string, counts ...int) *catalog.Variant {
	v := &catalog.Variant{ID: catalog.VariantID(id), Family: f, Name: "variant " + id}
	for i, n := range counts {
		if n > 0 {
			v.Teeth = append(v.Teeth, &catalog.ToothCount{Wheel: testWheels[i], Teeth: n})
		}
	}
	return v
}

// exampleCatalogue is a family with the two ratio sets worked out in the shop's
// notes, a third set, and two builds that differ in features alone.
func exampleCatalogue() *catalog.Catalogue {
	base := []int{23, 31, 36, 13, 32, 21, 29, 25, 20, 33, 37, 15, 22}
	sister := append([]int{22, 32}, base[2:]...)
	close := []int{25, 29, 34, 15, 31, 22, 28, 26, 22, 31, 37, 15, 22}
	c := &catalog.Catalogue{
		Families: []*catalog.Family{boxFamily("EX")},
		Variants: []*catalog.Variant{
			boxVariant("EX", "a", base...), boxVariant("EX", "a-cable", base...), boxVariant("EX", "a-twin", base...),
			boxVariant("EX", "b", sister...), boxVariant("EX", "c", close...),
		},
	}
	values := func(v map[string]catalog.Value) (out []*catalog.FeatureValue) {
		for _, id := range []string{"a", "a-twin", "a-cable", "b", "c"} {
			if x, ok := v[id]; ok {
				out = append(out, &catalog.FeatureValue{Variant: catalog.VariantID(id), Value: x})
			}
		}
		return out
	}
	yes, no := catalog.YesNoValue(true), catalog.YesNoValue(false)
	mm := func(x int64) catalog.Value { return catalog.LengthValue(quantity.Length(x) * 10 * quantity.Micron) }
	c.Features = []*catalog.Feature{
		{ID: "cable-speedo", Family: "EX", Label: "cable drive for the speedometer", Kind: catalog.FeatureYesNo, CaseClosed: true, Effort: 1,
			Values: values(map[string]catalog.Value{"a": no, "a-twin": no, "a-cable": yes, "b": no, "c": no})},
		{ID: "splines", Family: "EX", Label: "input splines", Kind: catalog.FeatureCount, CaseClosed: true, Effort: 2,
			Values: values(map[string]catalog.Value{"a": catalog.CountValue(10), "a-twin": catalog.CountValue(10), "a-cable": catalog.CountValue(10), "b": catalog.CountValue(26), "c": catalog.CountValue(26)})},
		{ID: "seat", Family: "EX", Label: "input seat", Kind: catalog.FeatureSize, Effort: 3, Sigma: 20 * quantity.Micron,
			Values: values(map[string]catalog.Value{"a": mm(3500), "a-twin": mm(3500), "a-cable": mm(3500), "b": mm(3500), "c": mm(4000)})},
		{ID: "bearing", Family: "EX", Label: "front bearing", Kind: catalog.FeatureMark, Effort: 5,
			Values: values(map[string]catalog.Value{"a": catalog.TextValue("6207 NR"), "a-twin": catalog.TextValue("6207 NR"), "a-cable": catalog.TextValue("6207 NR"), "b": catalog.TextValue("6207 NR"), "c": catalog.TextValue("6208 NR")})},
	}
	return c
}

func exampleIndex() *catalog.Index { return catalog.NewIndex(exampleCatalogue(), 1) }

func count(wheel string, n int) Evidence { return Evidence{Wheel: wheel, Value: catalog.CountValue(n)} }

func mustParse(ix *catalog.Index, texts ...string) []Evidence {
	var out []Evidence
	for i, t := range texts {
		e, err := ParseObservation(ix, "", t)
		if err != nil {
			panic(err)
		}
		e.ID = fmt.Sprint(i)
		out = append(out, e)
	}
	return out
}
