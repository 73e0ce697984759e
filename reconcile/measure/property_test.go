package measure

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"testing"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
	"pgregory.net/rapid"
)

// genReadings draws a depth measurement in whole ten-thousandths of an inch, so
// that it can be written exactly in mm and in inch.
func genReadings(t *rapid.T) (depth, height []quantity.Length) {
	const tenth = quantity.In / 10_000
	base := rapid.Int64Range(2000, 9000).Draw(t, "height")
	room := rapid.Int64Range(200, 500).Draw(t, "room")
	n := rapid.IntRange(1, 6).Draw(t, "n")
	for range n {
		depth = append(depth, quantity.Length(base+room+rapid.Int64Range(0, 3).Draw(t, "d"))*tenth)
		height = append(height, quantity.Length(base+rapid.Int64Range(0, 3).Draw(t, "h"))*tenth)
	}
	return depth, height
}

func texts(v []quantity.Length, u quantity.Unit) []string {
	var out []string
	for _, l := range v {
		out = append(out, l.Format(u))
	}
	return out
}

func depthInput(depth, height []string) StackInput {
	s := recipe(catalog.MethodDepth, 20, 80, 50)
	s.MaxCount = 2
	return StackInput{Stack: s, Readings: []Reading{{Depth, depth}, {Height, height}}, Instrument: depthGauge, Grades: series(400, 1400, 50)}
}

// Inch and mm readings of the same size give the same answer.
func TestInchEqualsMillimetre(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d, h := genReadings(t)
		a := Stack(depthInput(texts(d, quantity.Millimetre), texts(h, quantity.Millimetre)))
		b := Stack(depthInput(texts(d, quantity.Inch), texts(h, quantity.Inch)))
		if a.Wanted != b.Wanted || !reflect.DeepEqual(a.Candidates, b.Candidates) || !reflect.DeepEqual(a.Refusals, b.Refusals) {
			t.Fatalf("mm %v %v, inch %v %v", a.Wanted, a.Refusals, b.Wanted, b.Refusals)
		}
	})
}

// The order of readings, of series and of grades changes nothing.
func TestOrderIrrelevant(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d, h := genReadings(t)
		in := depthInput(texts(d, quantity.Millimetre), texts(h, quantity.Millimetre))
		a := Stack(in)
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		shuffled := depthInput(texts(d, quantity.Millimetre), texts(h, quantity.Millimetre))
		for _, s := range shuffled.Readings {
			r.Shuffle(len(s.Values), func(i, j int) { s.Values[i], s.Values[j] = s.Values[j], s.Values[i] })
		}
		r.Shuffle(2, func(i, j int) {
			shuffled.Readings[i], shuffled.Readings[j] = shuffled.Readings[j], shuffled.Readings[i]
		})
		r.Shuffle(len(shuffled.Grades), func(i, j int) { shuffled.Grades[i], shuffled.Grades[j] = shuffled.Grades[j], shuffled.Grades[i] })
		b := Stack(shuffled)
		if a.Wanted != b.Wanted || len(a.Refusals) != len(b.Refusals) || len(a.Candidates) != len(b.Candidates) {
			t.Fatalf("%v %v / %v %v", a.Wanted, a.Refusals, b.Wanted, b.Refusals)
		}
		for i := range a.Candidates {
			if !reflect.DeepEqual(a.Candidates[i].Pieces, b.Candidates[i].Pieces) || a.Candidates[i].Play != b.Candidates[i].Play {
				t.Fatalf("candidate %d: %v, %v", i, a.Candidates[i].Text, b.Candidates[i].Text)
			}
		}
	})
}

// More room never asks for a thinner shim, unless a thicker one opens; then it
// never asks for a thicker one.
func TestMoreRoomNeverThinner(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := recipe(catalog.MethodTrialPlay, 20, 80, 50)
		s.ThickerOpens = rapid.Bool().Draw(t, "opens")
		s.MaxCount = 2
		run := func(travel int64) StackResult {
			return Stack(StackInput{Stack: s, Instrument: depthGauge, Grades: series(300, 1500, 10),
				Readings: []Reading{reading(TrialShim, "0.80 mm"), reading(Travel, um(travel).String())}})
		}
		a := rapid.Int64Range(1, 500).Draw(t, "travel")
		b := rapid.Int64Range(a, 501).Draw(t, "more")
		x, y := run(a), run(b)
		if len(x.Refusals)+len(y.Refusals) > 0 {
			t.Fatalf("refused: %v %v", x.Refusals, y.Refusals)
		}
		grew := y.Wanted - x.Wanted
		if s.ThickerOpens {
			grew = -grew
		}
		if grew != um(b-a) {
			t.Fatalf("travel %d to %d moved the thickness by %s", a, b, grew)
		}
	})
}

// A window end hit exactly is inside; a nanometre beyond it is not, and no text
// says otherwise.
func TestRoundingNeverPasses(t *testing.T) {
	s := recipe(catalog.MethodFeeler, 20, 80, 50)
	gap := func(values ...string) StackResult {
		return Stack(StackInput{Stack: s, Readings: []Reading{{Gap, values}}, Instrument: depthGauge, Grades: grades(400)})
	}
	if _, ok := gap("0.48 mm", "0.48 mm", "0.48 mm").Best(); !ok {
		t.Error("the upper end itself is not inside")
	}
	if _, ok := gap("0.42 mm", "0.42 mm", "0.42 mm").Best(); !ok {
		t.Error("the lower end itself is not inside")
	}
	// A third of a nanometre too much, which no rounded mean shows.
	r := gap("0.48 mm", "0.48 mm", "0.480001 mm")
	if _, ok := r.Best(); ok || r.NoFit == nil {
		t.Fatal("a third of a nanometre too much passed")
	}
	c := r.NoFit.Nearest
	if c.Play <= s.Max {
		t.Errorf("play %s is written inside the window", c.Play)
	}
	want := "Do not close the case: end play of countershaft would be 0.080001 mm with shim 0.4 mm; window 0.02 to 0.08 mm. Order or measure out a grade of 0.400001 to 0.46 mm."
	if got := r.Notices[len(r.Notices)-1].Text; got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	if r := gap("0.42 mm", "0.42 mm", "0.419999 mm"); r.NoFit == nil || r.NoFit.Nearest.Play >= s.Min {
		t.Error("a third of a nanometre too little passed")
	}
}

func FuzzReading(f *testing.F) {
	for _, s := range []string{"24.86 mm", "0,05mm", `1 3/64"`, "(24.98 mm)", "0.003 in", "24 C", "75.2 °F", "1.8 N·m", "", "(", "()", "-1 mm", "9999999999999999999 mm", "1.8"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for _, kind := range []Kind{KindLength, KindTorque, KindTemperature} {
			v, err := parseValue(text, kind, quantity.Millimetre, "N·m")
			if err != nil {
				if r := parseRefusal("x", text, err); r.Reason == "" || r.Remedy == "" {
					t.Fatalf("%q: refused without reason or remedy", text)
				}
				continue
			}
			if v.resolution < 0 {
				t.Fatalf("%q: resolution %d", text, v.resolution)
			}
			if kind != KindLength {
				continue
			}
			again, err := parseValue(quantity.Length(v.amount).String(), kind, "", "")
			if err != nil || again.amount != v.amount {
				t.Fatalf("%q reads %d, written again %d, %v", text, v.amount, again.amount, err)
			}
			if _, err := parseValue(text, kind, "", ""); err == nil && bare(text) {
				t.Fatalf("%q was taken without a unit", text)
			}
		}
	})
}

// FuzzStack: no input panics, and what is offered lies in the window.
func FuzzStack(f *testing.F) {
	f.Add(uint8(0), "24.86", "24.12", "0.2 mm", int64(20_000), int64(80_000), int64(850_000), uint8(2), false)
	f.Add(uint8(6), "0.9", "1.8 N·m", "", int64(0), int64(0), int64(850_000), uint8(1), true)
	methods := []catalog.StackMethod{catalog.MethodDepth, catalog.MethodTrialPlay, catalog.MethodTrialLoad, catalog.MethodFeeler,
		catalog.MethodSolder, catalog.MethodGroove, catalog.MethodTorque, catalog.MethodHoldDown}
	f.Fuzz(func(t *testing.T, method uint8, a, b, c string, lo, hi, first int64, count uint8, opens bool) {
		s := &catalog.Stack{Method: methods[int(method)%len(methods)], Min: quantity.Length(lo), Max: quantity.Length(hi), MaxCount: int(count),
			ThickerOpens: opens, TorqueMin: quantity.Torque(lo), TorqueMax: quantity.Torque(hi), TorquePerGrade: quantity.Torque(first % 1000)}
		in := StackInput{Stack: s, Unit: quantity.Millimetre, TorqueUnit: "N·m"}
		texts := []string{a, b, c}
		for i, n := range methodReadings(s.Method) {
			in.Readings = append(in.Readings, Reading{n.Name, []string{texts[i%3]}})
		}
		for i := range int64(6) {
			in.Grades = append(in.Grades, Grade{Thickness: quantity.Length(first + i*50_000), Part: catalog.PartID(fmt.Sprint(i))})
		}
		r := Stack(in)
		if best, ok := r.Best(); ok && s.Method != catalog.MethodTorque && (best.Play < s.Min || best.Play > s.Max) {
			t.Fatalf("offered %s outside %s to %s", best.Play, s.Min, s.Max)
		}
		if len(r.Refusals) > 0 && len(r.Candidates) > 0 {
			t.Fatal("refused and offered at once")
		}
	})
}

func BenchmarkStack40GradesAndPairs(b *testing.B) {
	in := depthInput([]string{"24.86 mm", "24.87 mm", "24.85 mm", "24.86 mm"}, []string{"24.12 mm", "24.12 mm", "24.13 mm", "24.12 mm"})
	in.Grades = series(200, 1180, 25)
	if len(in.Grades) != 40 {
		b.Fatalf("%d grades", len(in.Grades))
	}
	for b.Loop() {
		if r := Stack(in); len(r.Refusals) > 0 || len(r.Candidates) == 0 {
			b.Fatal(r.Refusals)
		}
	}
}

func BenchmarkSpread40Grades(b *testing.B) {
	in := SpreadInput{Stack: recipe(catalog.MethodDepth, 20, 80, 50), Mean: um(700), Sigma: um(80), Grades: series(200, 1180, 25)}
	for b.Loop() {
		if r := Spread(in); r.Enough < 0 {
			b.Fatal(r.Refusals)
		}
	}
}
