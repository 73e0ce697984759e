package identify

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"layshaft/catalog"
)

// contradictions lists the observations that do not suit a candidate, the worst
// first: least chance against that on an unknown box.
func contradictions(c *candidate, obs []observed) []Contradiction {
	type ranked struct {
		Contradiction
		against float64
	}
	var found []ranked
	for i := range obs {
		o := &obs[i]
		var x Contradiction
		var ok bool
		if o.Wheel != "" {
			x, ok = c.wheelContradiction(o, obs)
		} else {
			x, ok = c.featureContradiction(o)
		}
		if ok {
			x.Evidence, x.ID, x.Place, x.Found = o.index, o.ID, o.place, o.found()
			x.Text = fmt.Sprintf("%s: found %s where %s has %s%s; %s.", x.Label, x.Found, c.family.variants[c.row].Name, x.Should, x.sum, advice[x.Cause])
			found = append(found, ranked{x, x.Chance / o.none})
		}
	}
	slices.SortStableFunc(found, func(a, b ranked) int { return cmp.Compare(a.against, b.against) })
	out := make([]Contradiction, 0, len(found))
	for _, f := range found {
		out = append(out, f.Contradiction)
	}
	return out
}

// advice names the likely cause and what to do about it.
var advice = map[Cause]string{
	CauseMiscountOne: "probably a miscount by one: mark a tooth and count again",
	CauseMiscountTwo: "probably a miscount by two: mark a tooth and count again, or turn the speed",
	CauseNeighbour:   "probably the wheel beside it on the same part was counted: sketch the order of the wheels and count again",
	CauseDogTeeth:    "probably the dog teeth were counted, which are small and pointed: count the gear's own teeth",
	CauseSwapped:     "probably gear and mate are exchanged in the record: check which wheel sits on which shaft",
	CauseMiscount:    "count again with a tooth marked; if the count stands, it is another variant",
	CauseFewMore:     "probably a miscount: make a rubbing on paper and count again",
	CauseOtherCount:  "count again; if the count stands, the part was exchanged or it is another variant",
	CauseDoubled:     "the output is twice what it should be: with one flange held the other turns twice as fast, so halve the reading",
	CauseTurn:        "probably one input turn too many or too few: turn again and count aloud",
	CauseSpeed:       "it is the ratio of another speed: check which one is engaged",
	CauseReading:     "the reading is off by more than its accuracy: read again",
	CauseExchanged:   "misread, or the part was exchanged: look again, and rely on tooth counts",
}

var countCauses = [countParts]Cause{
	partOne: CauseMiscountOne, partTwo: CauseMiscountTwo, partNeighbour: CauseNeighbour,
	partDog: CauseDogTeeth, partOther: CauseMiscount,
}

func (c *candidate) wheelContradiction(o *observed, obs []observed) (x Contradiction, ok bool) {
	fm, row := c.family, c.row
	w := fm.wheel(o.Wheel)
	truth := fm.count(w, row)
	if truth == 0 || int(o.Value.Number) == truth {
		return x, false
	}
	parts := fm.countParts(o, w, row)
	x = Contradiction{
		Label: fm.Wheels[w].Label, Should: fmt.Sprint(truth),
		Chance: total(parts[:]), Cause: countCauses[largest(parts[1:])+1],
	}
	if fm.swapLikelier(w, row, obs) {
		x.Cause = CauseSwapped
	} else {
		x.sum = fm.sumRemark(o, w, row, obs)
	}
	return x, true
}

// sumRemark compares the tooth sum when the mate was counted as it should be:
// the shafts' distance speaks against this count alone.
func (fm *family) sumRemark(o *observed, w, row int, obs []observed) string {
	mate := fm.mate[w]
	z := fm.count(mate, row)
	for _, m := range obs {
		if z > 0 && m.Wheel != "" && fm.wheel(m.Wheel) == mate && int(m.Value.Number) == z {
			return fmt.Sprintf(", and with %d on its mate the sum would be %d, not %d", z, z+int(o.Value.Number), z+fm.count(w, row))
		}
	}
	return ""
}

// swapLikelier reports whether the counts of w and its mate are likelier
// exchanged in the record than wrong one by one.
func (fm *family) swapLikelier(w, row int, obs []observed) bool {
	mate := fm.mate[w]
	if fm.count(mate, row) == 0 {
		return false
	}
	var on, onMate []observed
	for _, o := range obs {
		switch {
		case o.Wheel == "":
		case fm.wheel(o.Wheel) == w:
			on = append(on, o)
		case fm.wheel(o.Wheel) == mate:
			onMate = append(onMate, o)
		}
	}
	s := table["pair/swapped"]
	return s*fm.counts(on, mate, row)*fm.counts(onMate, w, row) > (1-s)*fm.counts(on, w, row)*fm.counts(onMate, mate, row)
}

func largest(parts []float64) int {
	best := 0
	for i, p := range parts {
		if p > parts[best] {
			best = i
		}
	}
	return best
}

var turnCauses = [turnParts]Cause{
	turnRight: CauseReading, turnDoubled: CauseDoubled, turnMissed: CauseTurn, turnSpeed: CauseSpeed, turnOther: CauseReading,
}

func (c *candidate) featureContradiction(o *observed) (x Contradiction, ok bool) {
	ft := c.family.feature(o.Feature)
	if ft == nil || !o.suits(ft) {
		return x, false
	}
	x.Label = ft.Label
	if ft.Kind == catalog.FeatureRatio {
		return c.turningContradiction(x, ft, o)
	}
	want := ft.value(c.row)
	if !want.Stated() {
		return x, false
	}
	x.Should = valueText(want)
	x.Chance = c.family.featureFactor(ft, *o)(c.row)
	switch ft.Kind {
	case catalog.FeatureCount:
		x.Cause = CauseOtherCount
		if d := o.Value.Number - want.Number; d >= -2 && d <= 2 {
			x.Cause = CauseFewMore
		}
		return x, o.Value.Number != want.Number
	case catalog.FeatureSize:
		z := math.Abs((o.Value.Length() - want.Length()).Millimetres()) / ft.sigma()
		x.Cause = CauseReading
		if z > 6 {
			x.Cause = CauseExchanged
		}
		return x, z > 3
	default:
		x.Cause = CauseExchanged
		return x, !sameValue(o.Value, want)
	}
}

func (c *candidate) turningContradiction(x Contradiction, ft *feature, o *observed) (Contradiction, bool) {
	r := ft.ratios[c.row]
	if r == 0 {
		return x, false
	}
	k := c.family.turning(ft)
	parts := k.weigh(o, c.row)
	want := float64(o.Turns) / r
	x.Should = fmt.Sprintf("%.3f output turns", want)
	x.Chance = total(parts[:])
	cause := largest(parts[:])
	x.Cause = turnCauses[cause]
	z := math.Abs(float64(o.Output)/1e6-want) / k.sigma
	return x, cause != turnRight && z > 2 || z > 3
}
