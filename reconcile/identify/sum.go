package identify

import (
	"fmt"

	"layshaft/catalog/gearing"
)

// sumProblems tests the tooth sum of every pair whose two wheels were counted
// against the sums that the family's variants have and against its centre
// distance. A pair exchanged in the record keeps its sum, as do two errors that
// cancel.
func sumProblems(fm *family, obs []observed) []Problem {
	counted := map[string]*observed{}
	for i := range obs {
		if obs[i].Wheel != "" {
			counted[obs[i].Wheel] = &obs[i] // the latest count of a wheel
		}
	}
	var out []Problem
	for _, m := range fm.Meshes {
		a, b := counted[m.Driving], counted[m.Driven]
		if a == nil || b == nil || len(m.Idler) > 0 {
			continue
		}
		sum := int(a.Value.Number + b.Value.Number)
		why := fm.sumFault(fm.wheel(m.Driving), fm.wheel(m.Driven), sum)
		if why == "" {
			centre := m.CentreDistance
			if centre == 0 {
				centre = fm.CentreDistance
			}
			tooth := gearing.Tooth{NormalModule: m.NormalModule, Helix: m.Helix}
			if v, err := gearing.JudgeSum(tooth, sum, centre); err == nil && v.Suits == gearing.SuitsNot {
				why = fmt.Sprintf("module %v at a centre distance of %v takes %d to %d", m.NormalModule, centre, v.Low, v.High)
			}
		}
		if why != "" {
			out = append(out, Problem{
				Code: "tooth-sum", Evidence: b.index, ID: b.ID, Place: m.Driven, Used: true,
				Cause:  fmt.Sprintf("%s and %s add up to %d teeth; %s.", m.Driving, m.Driven, sum, why),
				Remedy: "Count both wheels again with a tooth marked; if the counts stand, it is another family.",
			})
		}
	}
	return out
}

// sumFault says which sums the variants have when sum lies two or more outside.
func (fm *family) sumFault(a, b, sum int) string {
	if a < 0 || b < 0 {
		return ""
	}
	low, high := 0, 0
	for row := range fm.variants {
		za, zb := fm.count(a, row), fm.count(b, row)
		if za == 0 || zb == 0 {
			continue
		}
		if s := za + zb; low == 0 {
			low, high = s, s
		} else {
			low, high = min(low, s), max(high, s)
		}
	}
	switch {
	case low == 0 || (sum > low-2 && sum < high+2):
		return ""
	case low == high:
		return fmt.Sprintf("every variant of %s has %d there", fm.Name, low)
	default:
		return fmt.Sprintf("the variants of %s have %d to %d there", fm.Name, low, high)
	}
}
