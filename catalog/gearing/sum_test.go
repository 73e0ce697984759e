package gearing

import (
	"math"
	"testing"

	"layshaft/catalog/quantity"
)

// Computed in the shop's notes for a = 75 mm, m_n = 2.5 mm, 20°, to the digits
// printed there: helix for no shift, and shift sum at 26°.
func TestSumsOfA75mmBox(t *testing.T) {
	const a, mn = 75 * quantity.MM, 2500 * quantity.Micron
	for _, c := range []struct {
		sum          int
		helix, shift float64
		suits        Suits
	}{
		{52, 29.9, 1.18, SuitsBadly}, {53, 28.0, 0.54, SuitsWell}, {54, 25.8, -0.04, SuitsWell},
		{55, 23.6, -0.56, SuitsWell}, {56, 21.0, -1.00, SuitsBadly},
	} {
		helix, err := HelixForSum(mn, c.sum, a)
		if err != nil || math.Abs(float64(helix)/1e6-c.helix) > 0.05+1e-9 {
			t.Errorf("sum %d: helix %v (%v), printed %g", c.sum, helix, err, c.helix)
		}
		tooth := Tooth{NormalModule: mn, Helix: 26 * quantity.Degree}
		v, err := JudgeSum(tooth, c.sum, a)
		if err != nil || math.Abs(v.Shift-c.shift) > 0.005 || v.Suits != c.suits {
			t.Errorf("sum %d: %+v (%v), printed %g", c.sum, v, err, c.shift)
		}
	}
	for _, sum := range []int{49, 50, 58, 60} {
		if v, err := JudgeSum(Tooth{NormalModule: mn, Helix: 26 * quantity.Degree}, sum, a); err != nil || v.Suits != SuitsNot {
			t.Errorf("sum %d should not suit: %+v %v", sum, v, err)
		}
	}
	// The coarser first gear pair: sum 49 of module 2.75 at 26°, shift 0.01.
	x, err := ShiftSum(Tooth{NormalModule: 2750 * quantity.Micron, Helix: 26 * quantity.Degree}, 49, a)
	if err != nil || math.Abs(x-0.01) > 0.005 {
		t.Errorf("first gear: shift %v (%v), printed 0.01", x, err)
	}
}
