package gearing

import "layshaft/catalog/quantity"

// Steps between neighbouring forward speeds that are usual (from memory: 1.2
// to 2.0).
const usualStepLow, usualStepHigh = 1.2, 2.0

// StepFault is a pair of neighbouring speeds with an unlikely step.
type StepFault struct {
	// Lower is the index of the lower of the two speeds.
	Lower int
	// Rising: the ratio does not fall towards the higher speed; a pair may be
	// exchanged in the record. Otherwise the step is merely unusual.
	Rising bool
}

// JudgeSteps tests the ratios of the forward speeds, lowest first: they fall
// from speed to speed, by usual steps. A ratio of 0 is not known and skipped.
func JudgeSteps(ratios []quantity.Ratio) []StepFault {
	var out []StepFault
	last := -1
	for i, r := range ratios {
		if r.IsZero() {
			continue
		}
		if last >= 0 {
			step := ratios[last].Float64() / r.Float64()
			switch {
			case r.Cmp(ratios[last]) >= 0:
				out = append(out, StepFault{Lower: last, Rising: true})
			case i == last+1 && (step < usualStepLow || step > usualStepHigh):
				out = append(out, StepFault{Lower: last})
			}
		}
		last = i
	}
	return out
}
