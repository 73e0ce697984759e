package match

import (
	"bytes"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"
)

// randomRows draws answers from known weights.
func randomRows(rng *rand.Rand, truth *Weights, n int) []Row {
	rows := make([]Row, n)
	for i := range rows {
		r := Row{alternatives: make([]vector, 5)}
		for k := range r.alternatives {
			for _, f := range []feature{fNumberExact, fKindAgree, fGearEqual} {
				r.alternatives[k].set(f, rng.IntN(2) == 0)
			}
			r.alternatives[k][fCoverLine] = rng.Float32()
		}
		p := r.chances(truth, nil)
		x := rng.Float64()
		for k := range p {
			if x -= p[k]; x < 0 {
				r.chosen = k
				break
			}
		}
		rows[i] = r
	}
	return rows
}

func TestFitRecoversWeights(t *testing.T) {
	truth := &Weights{}
	truth.value[fNumberExact], truth.value[fKindAgree], truth.value[fGearEqual], truth.value[fCoverLine] = 2, 1, -1, 1.5
	rows := randomRows(rand.New(rand.NewPCG(1, 2)), truth, 6000)
	got := Fit(&Weights{}, rows, 1)
	for f := range truth.value {
		if math.Abs(got.value[f]-truth.value[f]) > 0.2 {
			t.Errorf("%s: %.3f, want %.3f", featureNames[f], got.value[f], truth.value[f])
		}
	}
}

// The gradient must be that of the objective.
func TestGradientAgainstDifferences(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	start, w := &Weights{}, &Weights{}
	for i := range w.value {
		w.value[i] = rng.Float64()
	}
	rows := randomRows(rng, w, 50)
	g, h := derivatives(w, start, rows, 2)
	for _, f := range []feature{fNumberExact, fCoverLine, fNone} {
		up, down := *w, *w
		up.value[f] += 1e-5
		down.value[f] -= 1e-5
		want := (objective(&up, start, rows, 2) - objective(&down, start, rows, 2)) / 2e-5
		if math.Abs(g[f]-want) > 1e-4 {
			t.Errorf("%s: gradient %.6f, differences give %.6f", featureNames[f], g[f], want)
		}
		gUp, _ := derivatives(&up, start, rows, 2)
		if curve := (g[f] - gUp[f]) / 1e-5; math.Abs(h[f][f]-curve) > 1e-2*math.Max(1, curve) {
			t.Errorf("%s: curvature %.4f, differences give %.4f", featureNames[f], h[f][f], curve)
		}
	}
}

func TestFewRowsHardlyMoveWeights(t *testing.T) {
	w := Shipped()
	got := Fit(w, randomRows(rand.New(rand.NewPCG(5, 6)), w, 3), 1)
	for f := range w.value {
		if math.Abs(got.value[f]-w.value[f]) > 1.5 {
			t.Errorf("%s moved from %.2f to %.2f by three rows", featureNames[f], w.value[f], got.value[f])
		}
	}
}

func TestWeightsRoundTrip(t *testing.T) {
	w := Shipped().WithThresholds([]Threshold{{1000, true, 980}, {100000, true, 990}, {1000, false, 995}})
	var b bytes.Buffer
	if err := w.Write(&b); err != nil {
		t.Fatal(err)
	}
	got, err := ReadWeights(&b)
	if err != nil || !reflect.DeepEqual(got, w) {
		t.Fatalf("%v: %+v, want %+v", err, got, w)
	}
	for _, c := range []struct {
		parts int
		known bool
		want  int
	}{{500, true, 980}, {5000, true, 990}, {1e6, true, 990}, {5000, false, 995}} {
		if p := got.threshold(c.parts, c.known); p != c.want {
			t.Errorf("threshold of %d parts, known %v: %d, want %d", c.parts, c.known, p, c.want)
		}
	}
	if _, err := ReadWeights(bytes.NewBufferString("name,value\nno such feature,1\n")); err == nil {
		t.Error("an unknown feature was read")
	}
}
