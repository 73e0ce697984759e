package identify

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

// randomCatalogue holds families of random variants, in the manner of boxes:
// pairs keep their tooth sum or miss it by one.
func randomCatalogue(seed uint64, families, perFamily int) *catalog.Catalogue {
	rng := rand.New(rand.NewPCG(seed, 7))
	c := &catalog.Catalogue{}
	for fi := range families {
		f := boxFamily(catalog.FamilyID(fmt.Sprintf("F%02d", fi)))
		if fi%3 == 2 {
			f.Box = catalog.Transaxle
		}
		c.Families = append(c.Families, f)
		feats := []*catalog.Feature{
			{ID: "cable-speedo", Family: f.ID, Label: "cable speedo", Kind: catalog.FeatureYesNo, CaseClosed: true, Effort: 1},
			{ID: "splines", Family: f.ID, Label: "splines", Kind: catalog.FeatureCount, CaseClosed: true, Effort: 2},
			{ID: "seat", Family: f.ID, Label: "seat", Kind: catalog.FeatureSize, Effort: 3, Sigma: 30 * quantity.Micron},
			{ID: "bearing", Family: f.ID, Label: "bearing", Kind: catalog.FeatureMark, Effort: 5, ErrorRate: 60},
		}
		for vi := range perFamily {
			id := fmt.Sprintf("%s-%05d", f.ID, vi)
			v := boxVariant(f.ID, id, randomTeeth(rng)...)
			c.Variants = append(c.Variants, v)
			for _, ft := range feats {
				if rng.IntN(10) > 0 {
					ft.Values = append(ft.Values, &catalog.FeatureValue{Variant: v.ID, Value: randomValue(rng, ft.Kind)})
				}
			}
		}
		c.Features = append(c.Features, feats...)
	}
	return c
}

func randomTeeth(rng *rand.Rand) []int {
	small := []int{20 + rng.IntN(8), 12 + rng.IntN(5), 18 + rng.IntN(6), 22 + rng.IntN(6), 30 + rng.IntN(6), 13 + rng.IntN(5)}
	sums := []int{54, 49, 53, 54, 53, 52}
	var out []int
	for i, s := range small {
		big := sums[i] + rng.IntN(2) - s
		if i == 0 {
			out = append(out, s, big)
		} else {
			out = append(out, big, s)
		}
	}
	return append(out, 20+rng.IntN(5))
}

func randomValue(rng *rand.Rand, k catalog.FeatureKind) catalog.Value {
	switch k {
	case catalog.FeatureYesNo:
		return catalog.YesNoValue(rng.IntN(2) == 1)
	case catalog.FeatureCount:
		return catalog.CountValue([]int{10, 21, 22, 24, 26}[rng.IntN(5)])
	case catalog.FeatureSize:
		return catalog.LengthValue([]quantity.Length{30, 35, 40}[rng.IntN(3)] * quantity.MM)
	default:
		return catalog.TextValue([]string{"6206 NR", "6207 NR", "6207", "6208-2RS"}[rng.IntN(4)])
	}
}

func BenchmarkRun10000(b *testing.B) {
	ix := catalog.NewIndex(randomCatalogue(1, 20, 500), 1)
	evidence := mustParse(ix, "in-drive=23", "cs-drive=31", "m1=36", "c1=13", "m2=32", "c2=21", "2nd turns 10 = 4.87", "splines=26", "cable-speedo=yes", "seat=35.01 mm")
	m := NewModel(ix)
	b.Run("model", func(b *testing.B) {
		for b.Loop() {
			NewModel(ix)
		}
	})
	for n := range len(evidence) + 1 {
		if n%5 != 0 {
			continue
		}
		b.Run(fmt.Sprintf("evidence-%d", n), func(b *testing.B) {
			for b.Loop() {
				m.Run(Input{Evidence: evidence[:n]})
			}
		})
	}
	b.Run("whole", func(b *testing.B) {
		for b.Loop() {
			Run(ix, Input{Evidence: evidence})
		}
	})
}
