package identify

import (
	"math"
	"testing"

	"layshaft/catalog"
)

func entropy(r Result) float64 {
	h := plogp(r.None)
	for _, v := range r.Ranked {
		h += plogp(v.Posterior)
	}
	return h
}

// The gain of a suggestion is the entropy now less that expected after. Here the
// latter is taken from Run itself for every outcome there is. Suggestions lump
// structured errors together, so the two agree closely, not exactly.
func TestGainIsExpectedEntropyLost(t *testing.T) {
	ix := exampleIndex()
	m := NewModel(ix)
	base := Input{Evidence: mustParse(ix, "m3=29 marked", "c5=33", "m5=20 marked")}
	now := m.Run(base)
	checked := 0
	for _, s := range now.Next {
		if s.Repeat {
			continue
		}
		var outcomes []Evidence
		switch {
		case s.Wheel != "":
			for z := minTeeth; z <= maxTeeth; z++ {
				e := count(s.Wheel, z)
				e.Care = CareMarked
				outcomes = append(outcomes, e)
			}
		case s.Feature == "cable-speedo":
			outcomes = mustParse(ix, "cable-speedo=yes", "cable-speedo=no")
		case s.Feature == "splines":
			for n := 1; n <= maxCount; n++ {
				outcomes = append(outcomes, Evidence{Feature: "splines", Value: catalog.CountValue(n)})
			}
		default:
			continue
		}
		sum, after := 0.0, 0.0
		for _, e := range outcomes {
			p := m.predictive(now, e)
			sum += p
			after += p * entropy(m.Run(Input{Evidence: append(base.Evidence[:3:3], e)}))
		}
		gain := entropy(now) - after/sum
		if math.Abs(gain-s.Gain) > 0.03+0.05*gain {
			t.Errorf("%s%s: gain %.3f, worked out %.3f", s.Wheel, s.Feature, s.Gain, gain)
		}
		checked++
	}
	if checked < 4 {
		t.Errorf("only %d suggestions checked: %+v", checked, now.Next)
	}
}

// predictive chance of one more observation under the posterior of r.
func (m *Model) predictive(r Result, e Evidence) float64 {
	obs, _ := check(m.families, Input{Evidence: []Evidence{e}})
	p := 0.0
	for _, fm := range m.families {
		for _, f := range fm.factors(obs) {
			for row, v := range fm.variants {
				for _, x := range r.Ranked {
					if x.ID == v.ID {
						p += x.Posterior * f(row)
					}
				}
			}
		}
	}
	return p + r.None*obs[0].none
}

func TestCaseClosedComesFirst(t *testing.T) {
	ix := exampleIndex()
	closed := Run(ix, Input{})
	for i, s := range closed.Next {
		if i > 0 && s.CaseClosed && s.Gain >= closedFirstGain && !closed.Next[i-1].CaseClosed {
			t.Errorf("%s after %s, which needs the case open", s.Label, closed.Next[i-1].Label)
		}
	}
	if s := closed.Next[0]; !s.CaseClosed || s.Text == "" || s.Why == "" || s.Effort == 0 {
		t.Errorf("%+v", s)
	}
}

// With the case open, information per minute alone decides.
func TestCaseOpenGoesByMinutes(t *testing.T) {
	r := Run(exampleIndex(), Input{CaseOpen: true})
	if len(r.Next) < 4 {
		t.Fatalf("%+v", r.Next)
	}
	for i := 1; i < len(r.Next); i++ {
		a, b := r.Next[i-1], r.Next[i]
		if a.Gain/float64(a.Effort) < b.Gain/float64(b.Effort) {
			t.Errorf("%s before %s", a.Label, b.Label)
		}
	}
}
