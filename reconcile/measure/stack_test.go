package measure

import (
	"math"
	"testing"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

const mm = quantity.MM

// um is a length in micrometres.
func um(n int64) quantity.Length { return quantity.Length(n) * quantity.Micron }

func grades(um ...int64) []Grade {
	var out []Grade
	for _, t := range um {
		l := quantity.Length(t) * quantity.Micron
		out = append(out, Grade{Part: catalog.PartID("shim-" + l.MM()), Thickness: l, Measured: true})
	}
	return out
}

func series(from, to, step int64) []Grade {
	var t []int64
	for x := from; x <= to; x += step {
		t = append(t, x)
	}
	return grades(t...)
}

func reading(name string, values ...string) Reading { return Reading{name, values} }

var depthGauge = Instrument{Name: "depth gauge 1", Resolution: um(10), Certificate: um(10), Pooled: um(12)}

func recipe(method catalog.StackMethod, lo, hi, aim int64) *catalog.Stack {
	return &catalog.Stack{ID: "s", Name: "countershaft", Method: method, Min: um(lo), Max: um(hi), Aim: um(aim), MaxCount: 1}
}

// Our own worked numbers (no outside source): what every method gives.
func TestMethodsOwnExamples(t *testing.T) {
	depth := recipe(catalog.MethodDepth, 20, 80, 50)
	depth.Gasket, depth.GasketSigma = um(200), um(15)
	for _, tt := range []struct {
		name                 string
		stack                *catalog.Stack
		readings             []Reading
		grades               []Grade
		lo, hi               int64 // thickness window
		best, play           int64
		thickness, playSetBy string
	}{
		{"depth", depth, []Reading{reading(Depth, "24.86 mm"), reading(Height, "24.12 mm")}, series(850, 950, 50), 860, 920, 900, 40, "", ""},
		{"depth over block", depth, []Reading{reading(DepthOverBlock, "54.86 mm"), reading(Height, "24.12 mm"), reading(Block, "30 mm")}, series(850, 950, 50), 860, 920, 900, 40, "", ""},
		{"both over block", depth, []Reading{reading(DepthOverBlock, "54.86 mm"), reading(HeightOverBlock, "5.88 mm"), reading(Block, "30 mm")}, series(850, 950, 50), 860, 920, 900, 40, "", ""},
		{"two depths over block", depth, []Reading{reading(DepthOverBlock, "54.86 mm"), reading(SecondOverBlock, "54.12 mm"), reading(Block, "30 mm")}, series(850, 950, 50), 860, 920, 900, 40, "", ""},
		{"trial play", recipe(catalog.MethodTrialPlay, 60, 110, 85), []Reading{reading(TrialShim, "0.50 mm"), reading(Travel, "0.47 mm")}, series(800, 1000, 50), 860, 910, 900, 70, "", ""},
		{"feeler", recipe(catalog.MethodFeeler, 60, 110, 85), []Reading{reading(Gap, "0.46 mm", "0.47 mm", "0.48 mm")}, series(300, 500, 50), 360, 410, 400, 70, "", ""},
		{"trial preload", recipe(catalog.MethodTrialLoad, -210, -150, -180), []Reading{reading(TrialShim, "0.90 mm"), reading(Travel, "0.31 mm")}, series(1300, 1500, 50), 1360, 1420, 1400, -190, "", ""},
		{"crushed wire", recipe(catalog.MethodSolder, -100, -40, -70), []Reading{reading(Wire, "1.12 mm"), reading(WireBefore, "1.6 mm")}, series(1100, 1300, 10), 1160, 1220, 1190, -70, "", ""},
		{"groove", recipe(catalog.MethodGroove, 0, 100, 50), []Reading{reading(Fitted, "2.30 mm"), reading(Gap, "0.14 mm")}, series(2120, 2600, 60), 2340, 2440, 2360, 80, "", ""},
		{"hold down", recipe(catalog.MethodHoldDown, -60, -20, -40), []Reading{reading(Gap, "0.42 mm", "0.42 mm", "0.42 mm")}, series(400, 500, 10), 440, 480, 460, -40, "", ""},
	} {
		t.Run(tt.name, func(t *testing.T) {
			r := Stack(StackInput{Stack: tt.stack, Readings: tt.readings, Instrument: depthGauge, Grades: tt.grades})
			if len(r.Refusals) > 0 {
				t.Fatalf("refused: %+v", r.Refusals)
			}
			if r.Thinnest != um(tt.lo) || r.Thickest != um(tt.hi) {
				t.Errorf("thickness %s to %s, want %d to %d", r.Thinnest, r.Thickest, tt.lo, tt.hi)
			}
			best, ok := r.Best()
			if !ok || best.Thickness != um(tt.best) || best.Play != um(tt.play) {
				t.Errorf("best %v %s, play %s; want %d, %d", ok, best.Thickness, best.Play, tt.best, tt.play)
			}
		})
	}
}

// Our own worked budget: four readings, resolution 0.01, certificate 0.010.
func TestBudgetOwnExample(t *testing.T) {
	in := StackInput{
		Stack: recipe(catalog.MethodDepth, 20, 80, 50), Instrument: depthGauge, Grades: series(650, 750, 50),
		Readings: []Reading{reading(Depth, "24.86 mm"), reading(Height, "24.12 mm")},
	}
	in.Instrument.Pooled = um(6) // the mean of four with 0.012 has 0.006
	r := Stack(in)
	near(t, "one depth", 0.0083, math.Hypot(math.Hypot(r.Budget.Lines[0].U, r.Budget.Lines[1].U), r.Budget.Lines[2].U), 5e-5)
	near(t, "two depths", math.Sqrt2*math.Sqrt(0.01*0.01/12+0.006*0.006+0.005*0.005), r.Budget.U, 1e-12)
	near(t, "and a shim", 0.0122, r.GuardBand/RuleConformance.Factor, 5e-5)
	// Four readings have their own s/sqrt(4), not the pooled value.
	in.Readings[0] = reading(Depth, "24.86 mm", "24.87 mm", "24.85 mm", "24.86 mm")
	own := Stack(in).Budget
	near(t, "own repeatability", 0.0041, own.Lines[1].U, 5e-5)
	if own.Lines[1].DoF != 3 || own.DoF < 3 {
		t.Errorf("degrees of freedom %v, %v", own.Lines[1].DoF, own.DoF)
	}
	best, _ := r.Best()
	near(t, "play", 40, float64(best.Play)/1000, 0)
	near(t, "probability", 0.95, best.Probability, 0.005)
	if got := Chance(best.Probability); got != "0.95" {
		t.Errorf("printed %s", got)
	}
}

func near(t *testing.T, what string, want, got, tolerance float64) {
	t.Helper()
	if !(math.Abs(want-got) <= tolerance) {
		t.Errorf("%s: want %v, got %v", what, want, got)
	}
}
