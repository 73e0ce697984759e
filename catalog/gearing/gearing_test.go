package gearing

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"layshaft/catalog/quantity"
)

func TestInverseInvoluteGoesBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		// From hair-thin angles to nearly a right angle.
		a := rapid.Float64Range(1e-9, 1.57).Draw(t, "angle")
		v := Involute(a)
		back := InverseInvolute(v)
		if math.Abs(back-a) > 1e-12*(1+a) {
			t.Fatalf("inv %g = %g, back %g", a, v, back)
		}
	})
	for _, v := range []float64{0, 1e-300, 1e-30, 1e-9, 0.01, 0.3, 1, 10, 1e3, 1e9} {
		a := InverseInvolute(v)
		if got := Involute(a); math.IsNaN(a) || math.Abs(got-v) > 1e-6*(v+v*v) && v < 1e8 {
			t.Errorf("InverseInvolute(%g) = %g, whose involute is %g", v, a, got)
		}
	}
	for _, v := range []float64{-1e-12, -1, math.NaN(), math.Inf(1)} {
		if a := InverseInvolute(v); !math.IsNaN(a) {
			t.Errorf("InverseInvolute(%g) = %g, want NaN", v, a)
		}
	}
	// inv 20° = 0.014904 (involute tables of any handbook).
	if got := Involute(20 * math.Pi / 180); math.Abs(got-0.0149043839) > 1e-10 {
		t.Errorf("inv 20° = %.10f", got)
	}
}

func TestCentreDistanceAndShiftSumAreInverse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := Pair{
			Tooth:  Tooth{NormalModule: quantity.Length(rapid.IntRange(1000, 6000).Draw(t, "module")) * quantity.Micron, Helix: quantity.Angle(rapid.IntRange(0, 38).Draw(t, "helix")) * quantity.Degree},
			Teeth1: rapid.IntRange(12, 50).Draw(t, "z1"), Teeth2: rapid.IntRange(12, 90).Draw(t, "z2"),
			Shift1: rapid.Float64Range(-0.3, 0.8).Draw(t, "x1"),
		}
		g, err := p.Geometry()
		if err != nil {
			t.Fatal(err)
		}
		x, err := ShiftSum(p.Tooth, p.Teeth1+p.Teeth2, g.Centre)
		if err != nil || math.Abs(x-p.Shift1) > 1e-5 {
			t.Fatalf("shift %g came back as %g (%v)", p.Shift1, x, err)
		}
		if d := g.Pitch[0] + g.Pitch[1] - 2*g.Centre; d.Abs() > 3 {
			t.Fatalf("pitch circles miss each other by %v", d)
		}
		if v, err := JudgeSum(p.Tooth, p.Teeth1+p.Teeth2, g.Centre); err != nil || v.Suits == SuitsNot {
			t.Fatalf("a real pair does not suit: %+v %v", v, err)
		}
	})
}

func mustRatio(t *testing.T, chain ...Mesh) string {
	t.Helper()
	r, err := Ratio(chain...)
	if err != nil {
		t.Fatal(err)
	}
	return r.String()
}

// The shop's worked box: input 23, counter drive 31.
func TestRatiosOfABox(t *testing.T) {
	drive := Mesh{Driving: 23, Driven: 31}
	for want, chain := range map[string][]Mesh{
		"1/1":      nil,
		"1116/299": {drive, {Driving: 13, Driven: 36}},
		"620/759":  {drive, {Driving: 33, Driven: 20}},
		// A plain idler cancels, its count known or not.
		"1147/345": {drive, {Driving: 15, Driven: 37, Idlers: []int{0}}},
		// A two-step idler adds driven over driving: 37/15 x 20/25 x 31/23.
		"4588/1725": {drive, {Driving: 15, Driven: 37, Idlers: []int{20, 25}}},
		// Transaxle: one pair and the final drive.
		"1711/117": {{Driving: 13, Driven: 29 * 1}, {Driving: 9, Driven: 59}},
	} {
		if got := mustRatio(t, chain...); got != want {
			t.Errorf("%v: %s, want %s", chain, got, want)
		}
	}
	for _, bad := range []Mesh{{Driving: 0, Driven: 20}, {Driving: 20, Driven: 310}, {Driving: 20, Driven: 30, Idlers: []int{20, 0}}, {Driving: 20, Driven: 30, Idlers: []int{20, 21, 22}}} {
		if _, err := Ratio(bad); err == nil {
			t.Errorf("%+v was accepted", bad)
		}
	}
}

func TestHuntingTooth(t *testing.T) {
	h, err := HuntingTooth(23, 31)
	if err != nil || h != (Hunting{Common: 1, Meshes: 713, Turns1: 31, Turns2: 23}) {
		t.Errorf("23/31: %+v %v", h, err)
	}
	h, err = HuntingTooth(22, 32)
	if err != nil || h != (Hunting{Common: 2, Meshes: 352, Turns1: 16, Turns2: 11}) {
		t.Errorf("22/32: %+v %v", h, err)
	}
}

func TestHands(t *testing.T) {
	left, right := Helix{Left, 26 * quantity.Degree}, Helix{Right, 26 * quantity.Degree}
	for _, c := range []struct {
		a, b     Helix
		internal bool
		want     HelixFault
	}{
		{left, right, false, HelixSuits}, {left, left, false, HelixSameHand}, {left, left, true, HelixSuits},
		{left, right, true, HelixOppositeWay}, {left, Helix{}, false, HelixSpurMixed}, {Helix{}, Helix{}, false, HelixSuits},
		{left, Helix{Right, 28 * quantity.Degree}, false, HelixAngles}, {left, Helix{Hand: Right}, false, HelixSuits},
	} {
		if got := MeshHelix(c.a, c.b, c.internal); got != c.want {
			t.Errorf("%v %v internal %v: %q, want %q", c.a, c.b, c.internal, got, c.want)
		}
	}
	if got := OddHands([]Hand{Left, Left, Spur, Right, Left}); !slices.Equal(got, []int{3}) {
		t.Errorf("odd hands %v", got)
	}
	if got := OddHands([]Hand{Left, Left}); got != nil {
		t.Errorf("odd hands %v", got)
	}
	if got := OddHands([]Hand{Left, Right}); len(got) != 2 {
		t.Errorf("odd hands of a tie %v", got)
	}
}

func TestSteps(t *testing.T) {
	r := func(s string) quantity.Ratio {
		x, err := quantity.ParseRatio(s)
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
	good := []quantity.Ratio{r("3.732"), r("2.054"), r("1.563"), r("1"), r("0.817")}
	if got := JudgeSteps(good); got != nil {
		t.Errorf("good box: %+v", got)
	}
	swapped := slices.Clone(good)
	swapped[1] = r("0.885")
	if got := JudgeSteps(swapped); !slices.Contains(got, StepFault{Lower: 1, Rising: true}) {
		t.Errorf("2nd exchanged: %+v", got)
	}
	gap := []quantity.Ratio{r("3.9"), r("1.6"), {}, r("1")}
	if got := JudgeSteps(gap); !slices.Equal(got, []StepFault{{Lower: 0}}) {
		t.Errorf("gap: %+v", got)
	}
}

func TestRefusals(t *testing.T) {
	tooth := Tooth{NormalModule: 2500 * quantity.Micron, Helix: 26 * quantity.Degree}
	if _, err := HelixForSum(tooth.NormalModule, 61, 75*quantity.MM); err == nil {
		t.Error("61 spur teeth of module 2.5 cannot fill 75 mm")
	}
	if _, err := ShiftSum(tooth, 61, 75*quantity.MM); err == nil {
		t.Error("61 teeth at 26° cannot mesh at 75 mm")
	}
	if v, err := JudgeSum(tooth, 61, 75*quantity.MM); err != nil || v.Suits != SuitsNot || !math.IsNaN(v.Shift) {
		t.Errorf("%+v %v", v, err)
	}
	if _, err := JudgeSum(tooth, 54, 0); err == nil {
		t.Error("a centre distance of 0 was accepted")
	}
	if _, err := (Wheel{Tooth: tooth, Teeth: 23}).Span(23); err == nil {
		t.Error("a span over every tooth was accepted")
	}
	if _, err := (Pair{Tooth: tooth, Teeth1: 20, Teeth2: -20}).Geometry(); err == nil {
		t.Error("an internal wheel as small as its mate was accepted")
	}
}
