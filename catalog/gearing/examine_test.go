package gearing

import (
	"math"
	"testing"

	"layshaft/catalog/quantity"
)

// The own example family: 54 teeth of module 2.5 fill 75 mm at 25.8° without shift,
// at 26° with a shift sum of -0.04; 53 teeth need +0.54.
func TestExamineOwnExample(t *testing.T) {
	in := Examination{Tooth: Tooth{NormalModule: 2500 * quantity.Micron, Helix: 26 * quantity.Degree},
		Mesh: Mesh{Driving: 23, Driven: 31}, Centre: 75 * quantity.MM}
	out, err := Examine(in)
	if err != nil {
		t.Fatal(err)
	}
	if out.Ratio.String() != "31/23" || out.Hunting.Meshes != 713 || out.Hunting.Turns1 != 31 || !out.Reverses || out.Sum != 54 {
		t.Errorf("%+v", out)
	}
	if out.Verdict.Suits != SuitsWell || math.Abs(out.Verdict.Shift+0.04) > 0.005 {
		t.Errorf("verdict %+v", out.Verdict)
	}
	if d := out.PlainHelix.Degrees(); d[:4] != "25.8" {
		t.Errorf("helix without shift %s", d)
	}
	if len(out.Sizes) != 2 || out.Sizes[0].Span <= 0 || out.Sizes[1].SpanTeeth <= out.Sizes[0].SpanTeeth {
		t.Errorf("sizes %+v", out.Sizes)
	}
	in.Driven = 35
	if out, err = Examine(in); err != nil || out.Verdict.Suits != SuitsNot {
		t.Errorf("58 teeth: %+v, %v", out.Verdict, err)
	}
}

func TestExamineTakesWhatThereIs(t *testing.T) {
	out, err := Examine(Examination{Mesh: Mesh{Driving: 15, Driven: 37, Idlers: []int{22}}})
	if err != nil || out.Ratio.String() != "37/15" || out.Reverses || out.Geometry != nil || out.Sizes != nil {
		t.Errorf("%+v, %v", out, err)
	}
	for _, bad := range []Examination{{}, {Mesh: Mesh{Driving: 1, Driven: 30}}, {Mesh: Mesh{Driving: 20, Driven: 30}, Tooth: Tooth{NormalModule: -1}}} {
		if _, err := Examine(bad); err == nil {
			t.Errorf("%+v is taken", bad)
		}
	}
}
