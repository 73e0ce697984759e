package demo

import (
	"testing"

	"layshaft/catalog"
	"layshaft/catalog/gearing"
	"layshaft/catalog/quantity"
)

// teethOf are the tooth counts of a variant by wheel.
func teethOf(v *catalog.Variant) map[string]int {
	z := map[string]int{}
	for _, t := range v.Teeth {
		z[t.Wheel] = t.Teeth
	}
	return z
}

func familyOf(c *catalog.Catalogue, id catalog.FamilyID) *catalog.Family {
	for _, f := range c.Families {
		if f.ID == id {
			return f
		}
	}
	return nil
}

// The profile shift that designers keep within is from memory: -0.5 to +1.
func TestToothSumsFillTheCentreDistance(t *testing.T) {
	c := shop(t)
	checked := 0
	for _, v := range c.Variants {
		f, z := familyOf(c, v.Family), teethOf(v)
		for _, m := range f.Meshes {
			if len(m.Idler) > 0 {
				continue
			}
			centre := f.CentreDistance
			if m.CentreDistance > 0 {
				centre = m.CentreDistance
			}
			tooth := gearing.Tooth{NormalModule: m.NormalModule, Helix: m.Helix}
			x, err := gearing.ShiftSum(tooth, z[m.Driving]+z[m.Driven], centre)
			if err != nil || x < -0.5 || x > 1 {
				t.Errorf("%s mesh %s: %d and %d teeth need a profile shift sum of %.2f (%v)", v.ID, m.ID, z[m.Driving], z[m.Driven], x, err)
			}
			checked++
		}
	}
	atLeast(t, "meshes checked", checked, 14*5)
}

func TestSpeedsFallAndReverseHasAnIdler(t *testing.T) {
	c := shop(t)
	twoStep := 0
	for _, v := range c.Variants {
		f, z := familyOf(c, v.Family), teethOf(v)
		meshes := map[string]*catalog.Mesh{}
		for _, m := range f.Meshes {
			meshes[m.ID] = m
			if len(m.Idler) == 2 {
				twoStep++
			}
		}
		var last quantity.Ratio
		for _, s := range f.Speeds {
			ratio, idlers := ratioOf(t, s, meshes, z)
			if s.Reverse {
				if idlers == 0 {
					t.Errorf("%s: reverse without an idler", v.ID)
				}
				continue
			}
			if !last.IsZero() && (ratio.Cmp(last) >= 0 || last.Float64()/ratio.Float64() < 1.15 || last.Float64()/ratio.Float64() > 2) {
				t.Errorf("%s: %s is %s after %s", v.ID, s.Name, ratio.Decimal(3), last.Decimal(3))
			}
			last = ratio
		}
	}
	atLeast(t, "variants with a two-step idler", twoStep, 1)
}

func ratioOf(t *testing.T, s *catalog.Speed, meshes map[string]*catalog.Mesh, z map[string]int) (ratio quantity.Ratio, idlers int) {
	t.Helper()
	times := func(driven, driving string) {
		step, err := quantity.NewRatio(int64(z[driven]), int64(z[driving]))
		if err != nil {
			t.Fatalf("%s over %s: %v", driven, driving, err)
		}
		if ratio, err = ratio.Mul(step); err != nil {
			t.Fatal(err)
		}
	}
	ratio, _ = quantity.NewRatio(1, 1)
	for _, id := range s.Meshes {
		m := meshes[id]
		times(m.Driven, m.Driving)
		idlers += len(m.Idler)
		if len(m.Idler) == 2 {
			times(m.Idler[0], m.Idler[1])
		}
	}
	return ratio, idlers
}

func TestPartsCarryTheTeethOfTheirVariant(t *testing.T) {
	c := shop(t)
	ix := catalog.NewIndex(c, 1)
	for _, v := range c.Variants {
		z := teethOf(v)
		for _, w := range familyOf(c, v.Family).Wheels {
			p, ok := ix.Standard(v.ID, w.Position)
			if !ok {
				t.Errorf("%s wheel %s: no standard part at %s", v.ID, w.ID, w.Position)
				continue
			}
			a, ok := ix.Attribute(p.ID, catalog.KeyTeeth, w.At)
			if !ok || a.Value != catalog.CountValue(z[w.ID]) {
				t.Errorf("%s wheel %s: the variant says %d teeth, part %s says %v", v.ID, w.ID, z[w.ID], p.ID, a)
			}
		}
	}
}

// Helical gears on parallel shafts mesh only with opposite hands.
func TestMatingGearsHaveOppositeHands(t *testing.T) {
	c := shop(t)
	ix := catalog.NewIndex(c, 1)
	for _, v := range c.Variants {
		f := familyOf(c, v.Family)
		at := map[string]catalog.PositionID{}
		for _, w := range f.Wheels {
			at[w.ID] = w.Position
		}
		for _, m := range f.Meshes {
			if m.Helix == 0 {
				continue
			}
			a, b := handOf(ix, v.ID, at[m.Driving]), handOf(ix, v.ID, at[m.Driven])
			if a == b || a == "" || b == "" {
				t.Errorf("%s mesh %s: hands %q and %q", v.ID, m.ID, a, b)
			}
		}
	}
}

func handOf(ix *catalog.Index, v catalog.VariantID, pos catalog.PositionID) string {
	p, ok := ix.Standard(v, pos)
	if !ok {
		return ""
	}
	a, ok := ix.Attribute(p.ID, catalog.KeyHelix, "")
	if !ok {
		return ""
	}
	return a.Value.Text
}
