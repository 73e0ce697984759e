package measure

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

func trial(shim, travel string) []Reading {
	return []Reading{reading(TrialShim, shim), reading(Travel, travel)}
}

// Every refusal has its code and place, and gives no candidate.
func TestRefusals(t *testing.T) {
	play := recipe(catalog.MethodTrialPlay, 60, 110, 85)
	depth := recipe(catalog.MethodDepth, 20, 80, 50)
	feeler := recipe(catalog.MethodFeeler, 60, 110, 85)
	preload := recipe(catalog.MethodTrialLoad, -210, -150, -180)
	wire := recipe(catalog.MethodSolder, -100, -40, -70)
	height := reading(Height, "24.12 mm")
	for name, tt := range map[string]struct {
		stack       *catalog.Stack
		readings    []Reading
		code, place string
	}{
		"no unit":            {play, trial("0.50", "0.47 mm"), "not-a-reading", TrialShim},
		"not a number":       {play, trial("0.50 mm", "about half"), "not-a-reading", Travel},
		"negative":           {play, trial("0.50 mm", "-0.47 mm"), "negative", Travel},
		"absurd size":        {play, trial("0.50 mm", "3000 mm"), "absurd", Travel},
		"missing":            {play, []Reading{reading(TrialShim, "0.5 mm")}, "missing-reading", Travel},
		"empty field":        {play, []Reading{reading(TrialShim, "0.5 mm"), reading(Travel)}, "missing-reading", Travel},
		"unknown":            {play, append(trial("0.50 mm", "0.47 mm"), reading("colour", "1 mm")), "unknown-reading", "colour"},
		"twice":              {play, append(trial("0.50 mm", "0.47 mm"), reading(Travel, "0.47 mm")), "double-reading", Travel},
		"no travel":          {play, trial("0.50 mm", "0.00 mm"), "void", Travel},
		"no room for a shim": {feeler, []Reading{reading(Gap, "0.05 mm", "0.05 mm", "0.05 mm")}, "void", "thickness"},
		"swapped":            {depth, []Reading{reading(Depth, "24.12 mm"), reading(Height, "24.86 mm")}, "void", "thickness"},
		"far beyond":         {depth, []Reading{reading(Depth, "54.86 mm"), height}, "absurd", "thickness"},
		"two ways":           {depth, []Reading{reading(Depth, "24.86 mm"), reading(DepthOverBlock, "54.86 mm"), height, reading(Block, "30 mm")}, "two-ways", Depth},
		"block not entered":  {depth, []Reading{reading(DepthOverBlock, "54.86 mm"), height}, "missing-reading", Block},
		"block not used":     {depth, []Reading{reading(Depth, "24.86 mm"), height, reading(Block, "30 mm")}, "two-ways", Block},
		"gasket absurd":      {depth, []Reading{reading(Depth, "24.86 mm"), height, reading(Gasket, "8 mm")}, "absurd", Gasket},
		"outlier":            {depth, []Reading{reading(Depth, "24.86 mm", "24.87 mm", "24.85 mm", "24.86 mm", "24.98 mm"), height}, "outlier", "depth 5"},
		"outlier in inch":    {depth, []Reading{reading(Depth, "0.9787 in", "0.9791 in", "0.9783 in", "0.9787 in", "0.9835 in"), height}, "outlier", "depth 5"},
		"units mixed up":     {depth, []Reading{reading(Depth, "24.86 mm", "24.86 in"), height}, "readings-disagree", Depth},
		"wire not crushed":   {wire, []Reading{reading(Wire, "1.60 mm"), reading(WireBefore, "1.6 mm")}, "void", Wire},
		"sign of preload":    {recipe(catalog.MethodTrialLoad, 150, 210, 180), trial("0.90 mm", "0.31 mm"), "sign", "window"},
		"sign of play":       {recipe(catalog.MethodTrialPlay, -210, -150, -180), trial("0.90 mm", "0.31 mm"), "sign", "window"},
		"sign of nip":        {recipe(catalog.MethodHoldDown, 20, 60, 40), []Reading{reading(Gap, "0.42 mm", "0.42 mm", "0.42 mm")}, "sign", "window"},
		"window upside down": {recipe(catalog.MethodTrialPlay, 110, 60, 85), trial("0.50 mm", "0.47 mm"), "bad-window", "window"},
		"aim outside":        {recipe(catalog.MethodTrialPlay, 60, 110, 200), trial("0.50 mm", "0.47 mm"), "bad-window", "aim"},
		"shim absurd":        {preload, trial("200 mm", "0.31 mm"), "absurd", TrialShim},
		"method":             {&catalog.Stack{Method: "by ear"}, nil, "unknown-method", "method"},
		"no stack":           {nil, nil, "no-stack", "stack"},
	} {
		t.Run(name, func(t *testing.T) {
			r := Stack(StackInput{Stack: tt.stack, Readings: tt.readings, Instrument: depthGauge, Grades: series(300, 1500, 50)})
			found := false
			for _, f := range r.Refusals {
				if f.Reason == "" || f.Remedy == "" {
					t.Errorf("%+v lacks reason or remedy", f)
				}
				found = found || f.Code == tt.code && f.Place == tt.place
			}
			if !found {
				t.Errorf("refusals %+v, want %s at %s", r.Refusals, tt.code, tt.place)
			}
			if _, ok := r.Best(); ok || len(r.Candidates) > 0 {
				t.Error("refused and still offers a grade")
			}
		})
	}
}

func TestGasketFittedAndNotEntered(t *testing.T) {
	in := StackInput{Stack: recipe(catalog.MethodDepth, 20, 80, 50), Instrument: depthGauge, GasketFitted: true, Grades: series(300, 1500, 50),
		Readings: []Reading{reading(Depth, "24.86 mm"), reading(Height, "24.12 mm")}}
	if r := Stack(in); len(r.Refusals) != 1 || r.Refusals[0].Code != "gasket-unknown" {
		t.Errorf("refusals %+v", r.Refusals)
	}
	in.Readings = append(in.Readings, reading(Gasket, "0.20 mm"))
	if r := Stack(in); len(r.Refusals) != 0 || r.Wanted != um(890) {
		t.Errorf("wanted %s, %+v", r.Wanted, r.Refusals)
	}
}

// A value struck out by hand is kept raw and not used.
func TestStruckValue(t *testing.T) {
	in := StackInput{Stack: recipe(catalog.MethodDepth, 20, 80, 50), Instrument: depthGauge,
		Readings: []Reading{reading(Depth, "24.86 mm", "24.87 mm", "24.85 mm", "24.86 mm", "(24.98 mm)"), reading(Height, "24.12 mm")}}
	r := Stack(in)
	if len(r.Refusals) > 0 || r.Wanted != um(690) {
		t.Fatalf("wanted %s, %+v", r.Wanted, r.Refusals)
	}
	if s := r.Series[0]; s.Struck != 1 || len(s.Raw) != 5 || len(s.Lengths) != 4 {
		t.Errorf("series %+v", s)
	}
	near(t, "s", 0.0082, r.Series[0].S, 5e-5) // our own worked number
}

// One step of the last digit is never an outlier.
func TestLastDigitIsNoOutlier(t *testing.T) {
	in := StackInput{Stack: recipe(catalog.MethodDepth, 20, 80, 50), Instrument: depthGauge,
		Readings: []Reading{reading(Depth, "24.86 mm", "24.86 mm", "24.86 mm", "24.87 mm"), reading(Height, "24.12 mm")}}
	if r := Stack(in); len(r.Refusals) > 0 || len(r.Notices) > 1 {
		t.Errorf("%+v %+v", r.Refusals, r.Notices)
	}
}

func codes(n []Notice) string {
	var c []string
	for _, x := range n {
		c = append(c, x.Code)
	}
	return strings.Join(c, " ")
}

func has(n []Notice, code string) bool { return strings.Contains(" "+codes(n)+" ", " "+code+" ") }

func TestTemperatureWarning(t *testing.T) {
	s := recipe(catalog.MethodTrialPlay, 20, 110, 65)
	s.Span, s.Material = 200*mm, "aluminium"
	run := func(c, p string) StackResult {
		return Stack(StackInput{Stack: s, Instrument: depthGauge, Readings: append(trial("0.50 mm", "0.47 mm"), reading(CaseTemperature, c), reading(PartTemperature, p))})
	}
	// Our own worked number: 200 mm and 5 K move aluminium by 0.023, over 0.0225.
	if d, _ := Expansion(200*mm, "aluminium", 5000); d != um(23) {
		t.Errorf("expansion %s", d)
	}
	if r := run("25 C", "20 C"); !has(r.Notices, "warm-case") {
		t.Errorf("no warning at 5 K: %s", codes(r.Notices))
	}
	if r := run("77 F", "68 F"); !has(r.Notices, "warm-case") {
		t.Errorf("no warning in Fahrenheit: %s %+v", codes(r.Notices), r.Refusals)
	}
	if r := run("24.8 C", "20 C"); has(r.Notices, "warm-case") {
		t.Error("warned at 4.8 K: 0.022 mm is less than a quarter of the window")
	}
	if r := run("10 C", "10 C"); !has(r.Notices, "cold-bench") { // 0.023 against steel
		t.Errorf("no warning on a cold bench: %s", codes(r.Notices))
	}
	if r := run("25", "20 C"); len(r.Refusals) != 1 {
		t.Errorf("a temperature without unit: %+v", r.Refusals)
	}
	// Hot: 200 mm, 70 K, aluminium against steel: 0.16 (our own worked number).
	a, _ := Expansion(200*mm, "aluminium", 70_000)
	b, _ := Expansion(200*mm, "steel", 70_000)
	if show(a-b) != "0.161 mm" {
		t.Errorf("hot play %s", a-b)
	}
}

// Our own worked numbers: measured 1.8, window 3.5 to 4.5, 0.35 per grade.
func TestTurningTorque(t *testing.T) {
	s := &catalog.Stack{ID: "t", Name: "differential", Method: catalog.MethodTorque, TorqueMin: 3500, TorqueMax: 4500, TorquePerGrade: 350, MaxCount: 1}
	in := StackInput{Stack: s, Grades: series(1000, 1500, 50), TorqueUnit: "N·m",
		Readings:    []Reading{reading(Fitted, "1.00 mm"), reading(TurningTorque, "1.8")},
		TorqueMeter: TorqueInstrument{Resolution: 50, Certificate: 60, Pooled: 100}}
	r := Stack(in)
	if len(r.Refusals) > 0 {
		t.Fatalf("%+v", r.Refusals)
	}
	near(t, "steps", 6.3, r.Steps, 0.05)
	best, ok := r.Best()
	if !ok || best.Thickness != um(1300) || best.Torque != 3900 {
		t.Errorf("best %s gives %s", best.Thickness, best.Torque)
	}
	if best.Probability < 0.8 || best.Probability > 0.97 || best.Verdict != Undecided {
		t.Errorf("probability %v, %s", best.Probability, best.Verdict)
	}
	s.ThickerOpens = true
	in.Readings[0] = reading(Fitted, "1.50 mm")
	if r := Stack(in); len(r.Refusals) > 0 || r.Candidates[0].Thickness != um(1200) {
		t.Errorf("thicker opens: %+v %+v", r.Refusals, r.Candidates)
	}
	s.ThickerOpens = false
	in.Readings[0], in.Grades = reading(Fitted, "1.00 mm"), nil
	if r := Stack(in); len(r.Refusals) != 1 || r.Refusals[0].Code != "no-step" {
		t.Errorf("without grades: %+v", r.Refusals)
	}
}

// Our own worked numbers: the same window at two uncertainties.
func TestProbabilityOwnTable(t *testing.T) {
	b := window(20_000, 80_000)
	for _, r := range []struct{ play, narrow, wide float64 }{{0.09, 0.21, 0.30}, {0.04, 0.95, 0.83}, {-0.01, 0.01, 0.06}} {
		near(t, "u 0.0122", r.narrow, b.chance(r.play, 0.0122, perMM), 0.005)
		near(t, "u 0.0193", r.wide, b.chance(r.play, 0.0193, perMM), 0.005)
	}
	near(t, "centred", 0.99, b.chance(0.05, 0.0122, perMM), 0.005)
	near(t, "half a step off", 0.66, b.chance(0.075, 0.0122, perMM), 0.005)
	near(t, "two readings in one", 0.0122, math.Sqrt(2*0.0083*0.0083+0.003*0.003), 1e-4)
}

// With a gasket of u 0.015 the guard band exceeds half the window.
func TestGuardBandBeyondHalfWindow(t *testing.T) {
	in := StackInput{Stack: recipe(catalog.MethodDepth, 20, 80, 50), Instrument: depthGauge, Grades: series(850, 950, 50),
		Readings: []Reading{reading(Depth, "24.85 mm", "24.87 mm", "24.86 mm", "24.86 mm"), reading(Height, "24.12 mm", "24.12 mm", "24.13 mm", "24.11 mm")}}
	in.Stack.Gasket, in.Stack.GasketSigma = um(200), um(15)
	r := Stack(in)
	best, ok := r.Best()
	if !ok || best.Thickness != um(900) || best.Verdict != Undecided || !has(r.Notices, "cannot-prove") {
		t.Errorf("best %+v, %s", best, codes(r.Notices))
	}
	for _, c := range r.Candidates {
		if c.Verdict == ProvedInside {
			t.Errorf("%s is called proved", c.Thickness)
		}
	}
}

// Exactly equal candidates: the preferred side decides, else the looser one.
func TestPreferredSide(t *testing.T) {
	for side, want := range map[string]int64{"": 2360, "loose": 2360, "tight": 2420} {
		s := recipe(catalog.MethodGroove, 0, 100, 50)
		s.Preferred = side
		r := Stack(StackInput{Stack: s, Instrument: depthGauge, Grades: series(2120, 2600, 60), Readings: []Reading{reading(Fitted, "2.30 mm"), reading(Gap, "0.14 mm")}})
		if best, ok := r.Best(); !ok || best.Thickness != um(want) {
			t.Errorf("%q: %s, want %d", side, best.Thickness, want)
		}
	}
}

func TestNoFitNamesNearestAndNextStep(t *testing.T) {
	s := recipe(catalog.MethodFeeler, 20, 40, 30)
	in := StackInput{Stack: s, Instrument: depthGauge, Grades: grades(400, 500, 50, 430), Readings: []Reading{reading(Gap, "0.48 mm", "0.48 mm", "0.48 mm")}}
	r := Stack(in)
	n := r.NoFit
	if n == nil || n.Looser.Thickness != um(430) || n.Tighter.Thickness != um(500) || n.Nearest != n.Looser {
		t.Fatalf("%+v", n)
	}
	if n.MorePieces == nil || n.MorePieces.Thickness != um(450) {
		t.Errorf("a pair would fit: %+v", n.MorePieces)
	}
	if n.NextStep != "0.4 + 0.05 mm in a stack of 2 would fit, and the stack allows 1. Order or measure out a grade of 0.44 to 0.46 mm." {
		t.Error(n.NextStep)
	}
	if _, ok := r.Best(); ok {
		t.Error("a best although none fits")
	}
	s.MaxCount, s.Thinnest = 2, um(150)
	if r := Stack(in); r.NoFit == nil {
		t.Error("a thin shim was stacked against the rule")
	}
	s.Thinnest = 0
	if best, ok := Stack(in).Best(); !ok || best.Thickness != um(450) {
		t.Error("the pair is allowed and was not found")
	}
}

// Out of stock grades rank behind, and never enter a stack of several.
func TestStock(t *testing.T) {
	zero, one := 0, 1
	g := grades(400, 410)
	g[0].Stock, g[1].Stock = &zero, &one
	s := recipe(catalog.MethodFeeler, 20, 100, 60)
	s.MaxCount = 2
	r := Stack(StackInput{Stack: s, Instrument: depthGauge, Grades: g, Readings: []Reading{reading(Gap, "0.46 mm", "0.46 mm", "0.46 mm")}})
	if best, _ := r.Best(); best.Thickness != um(410) || !best.OnHand || r.Candidates[1].OnHand {
		t.Errorf("%+v", r.Candidates)
	}
	r = Stack(StackInput{Stack: s, Instrument: depthGauge, Grades: g, Readings: []Reading{reading(Gap, "0.88 mm", "0.88 mm", "0.88 mm")}})
	if _, ok := r.Best(); ok {
		t.Error("two pieces were stacked of which one is in stock")
	}
}

func TestOldShimFarAway(t *testing.T) {
	in := StackInput{Stack: recipe(catalog.MethodTrialPlay, 60, 110, 85), Instrument: depthGauge, Readings: append(trial("0.50 mm", "0.47 mm"), reading(OldShim, "0.70 mm"))}
	if r := Stack(in); !has(r.Notices, "far-from-old") {
		t.Errorf("%s %+v", codes(r.Notices), r.Refusals)
	}
	in.Readings[2] = reading(OldShim, "0.75 mm")
	if r := Stack(in); has(r.Notices, "far-from-old") {
		t.Error("0.135 mm is within 0.15")
	}
}

// Every method that Needs lists can be served with what it asks for.
func TestNeedsAreEnough(t *testing.T) {
	for _, m := range []catalog.StackMethod{catalog.MethodDepth, catalog.MethodTrialPlay, catalog.MethodTrialLoad, catalog.MethodFeeler,
		catalog.MethodSolder, catalog.MethodGroove, catalog.MethodTorque, catalog.MethodHoldDown} {
		s := recipe(m, 20, 80, 50)
		if m == catalog.MethodTrialLoad || m == catalog.MethodHoldDown {
			s.Min, s.Max, s.Aim = um(-80), um(-20), um(-50)
		}
		s.TorqueMin, s.TorqueMax, s.TorquePerGrade = 3500, 4500, 350
		var in []Reading
		done := map[string]bool{}
		for _, n := range Needs(m) {
			if n.Label == "" || n.Hint == "" || !n.Required || n.Group != "" && done[n.Group] {
				continue
			}
			done[n.Group] = true
			text := "1 mm"
			if n.Kind == KindTorque {
				text = "2 N·m"
			}
			if n.Name == Depth {
				text = "2 mm"
			}
			in = append(in, reading(n.Name, text))
		}
		if r := Stack(StackInput{Stack: s, Readings: in, GradeStep: um(50)}); len(r.Refusals) > 0 {
			t.Errorf("%s: %+v", m, r.Refusals)
		}
	}
	if Needs("by ear") != nil {
		t.Error("an unknown method has needs")
	}
}

func TestLastDigit(t *testing.T) {
	for text, want := range map[string]quantity.Length{"24.86 mm": um(10), "24.9 mm": um(100), "24 mm": mm, "0.979 in": quantity.In / 1000,
		`1 3/64"`: quantity.In / 64, "-0,005mm": um(1), "12 µm": um(1)} {
		v, err := parseValue(text, KindLength, "", "")
		if err != nil || v.resolution != int64(want) {
			t.Errorf("%s: %d, %v", text, v.resolution, err)
		}
	}
}

// The words for a chosen piece that does not fit: fact first, then the act.
func TestChosenOutside(t *testing.T) {
	s := recipe(catalog.MethodDepth, 20, 80, 50)
	s.Gasket, s.GasketSigma = um(200), um(15)
	in := StackInput{Stack: s, Instrument: depthGauge, Grades: series(850, 950, 50), Chosen: []catalog.PartID{"shim-0.95"},
		Readings: []Reading{reading(Depth, "24.86 mm"), reading(Height, "24.12 mm")}}
	r := Stack(in)
	want := "Do not close the case: end play of countershaft would be -0.01 mm with shim 0.95 mm; window 0.02 to 0.08 mm. Fit 0.9 mm (end play 0.04 mm) and measure again."
	if r.Chosen == nil || r.Chosen.Inside || r.Notices[len(r.Notices)-1] != (Notice{"chosen-outside", LevelStop, want}) {
		t.Errorf("%+v", r.Notices)
	}
	in.Chosen = []catalog.PartID{"shim-0.9"}
	if r := Stack(in); !r.Chosen.Inside || has(r.Notices, "chosen-outside") || r.Chosen.Text != r.Candidates[0].Text {
		t.Errorf("%+v", r.Chosen)
	}
	in.Chosen = []catalog.PartID{"shim-0.85", "shim-0.85"}
	if r := Stack(in); !has(r.Notices, "chosen-not-allowed") || !has(r.Notices, "chosen-outside") {
		t.Errorf("%s", codes(r.Notices))
	}
	in.Chosen = []catalog.PartID{"ring-1"}
	if r := Stack(in); r.Chosen != nil || !has(r.Notices, "chosen-unknown") {
		t.Errorf("%s", codes(r.Notices))
	}
}

// A result goes out as JSON: no infinity, no NaN.
func TestResultsAreJSON(t *testing.T) {
	in := StackInput{Stack: recipe(catalog.MethodDepth, 20, 80, 50), Instrument: depthGauge, Grades: series(650, 750, 50),
		Readings: []Reading{reading(Depth, "24.86 mm"), reading(Height, "24.12 mm")}}
	for _, v := range []any{Stack(in), Inspect(InspectInput{Limit: limit(nil, ptr(um(500))), Values: []string{"0.4 mm"}}),
		Spread(SpreadInput{Stack: in.Stack, OldShim: um(700), Grades: in.Grades})} {
		if _, err := json.Marshal(v); err != nil {
			t.Error(err)
		}
	}
}
