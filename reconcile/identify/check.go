package identify

import (
	"fmt"
	"strings"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

// mostPerPlace bounds the observations of one place, so that products of their
// chances stay within what a float64 holds.
const mostPerPlace = 20

// check sorts out evidence that cannot be used and gives the rest its chance
// on an unknown box.
func check(families []*family, in Input) (obs []observed, problems []Problem) {
	times := map[string]int{}
	for i, e := range in.Evidence {
		o := observed{Evidence: e, index: i, place: e.Wheel + e.Feature}
		p := o.check(families)
		k := o.key()
		if times[k]++; (p.Code == "" || p.Used) && times[k] > mostPerPlace {
			p = Problem{Code: "too-often", Cause: fmt.Sprintf("%q was observed more than %d times.", e.Wheel+e.Feature, mostPerPlace),
				Remedy: "Keep the observations that can be trusted."}
		}
		if p.Code != "" {
			p.Evidence, p.ID, p.Place = i, e.ID, e.Wheel+e.Feature
			problems = append(problems, p)
		}
		if p.Code == "" || p.Used {
			obs = append(obs, o)
		}
	}
	return obs, problems
}

// check returns a problem with an empty code when there is none, and sets the
// chance on an unknown box.
func (o *observed) check(families []*family) Problem {
	switch {
	case (o.Wheel == "") == (o.Feature == ""):
		return Problem{Code: "no-place", Cause: "The observation names no wheel and no feature, or both.",
			Remedy: "Name the one wheel or feature that was looked at."}
	case o.Wheel != "":
		return o.checkCount(families)
	}
	var found []*feature
	for _, fm := range families {
		if ft := fm.feature(o.Feature); ft != nil {
			found = append(found, ft)
		}
	}
	if len(found) == 0 {
		return unknownPlace(families, o.Feature)
	}
	for _, ft := range found {
		if o.suits(ft) {
			if ft.Kind == catalog.FeatureRatio && ft.Speed != "" {
				o.Feature = ft.Speed // families may name its feature differently
			}
			return o.checkFeature(found, ft.Kind)
		}
	}
	return Problem{Code: "wrong-kind", Cause: fmt.Sprintf("%q takes %s, not %s.", found[0].Label, kindWords(found[0].Kind), o.found()),
		Remedy: "Enter " + kindWords(found[0].Kind) + "."}
}

func kindWords(k catalog.FeatureKind) string {
	switch k {
	case catalog.FeatureCount:
		return "a count"
	case catalog.FeatureRatio:
		return "input turns and output turns"
	case catalog.FeatureYesNo:
		return "yes or no"
	case catalog.FeatureSize:
		return "a size with its unit"
	default:
		return "the text of a mark"
	}
}

func unknownPlace(families []*family, place string) Problem {
	var known []string
	for _, fm := range families {
		for _, w := range fm.Wheels {
			known = append(known, w.ID)
		}
		for _, ft := range fm.features {
			known = append(known, ft.ID)
		}
		if len(known) > 30 {
			break
		}
	}
	if len(known) > 30 {
		known = append(known[:30], "...")
	}
	return Problem{Code: "unknown-place", Cause: fmt.Sprintf("No family considered has a wheel, feature or speed %q.", place),
		Remedy: "Use one of: " + strings.Join(known, ", ") + "."}
}

func (o *observed) checkCount(families []*family) Problem {
	low, high, found := 0, 0, false
	for _, fm := range families {
		w := fm.wheel(o.Wheel)
		if w < 0 {
			continue
		}
		found = true
		for _, z := range fm.teeth[w] {
			if z > 0 && (low == 0 || int(z) < low) {
				low = int(z)
			}
			high = max(high, int(z))
		}
	}
	got := o.Value.Number
	switch {
	case !found:
		return unknownPlace(families, o.Wheel)
	case o.Value.Kind != catalog.KindCount || o.Turns != 0:
		return Problem{Code: "wrong-kind", Cause: fmt.Sprintf("Wheel %q takes a tooth count, not %s.", o.Wheel, o.found()), Remedy: "Enter the number of teeth."}
	case got < minTeeth || got > maxTeeth:
		return Problem{Code: "absurd-count", Cause: fmt.Sprintf("%d teeth on %q cannot be; %s", got, o.Wheel, knownRange(low, high)),
			Remedy: "Look whether a digit is wrong, then count again."}
	}
	o.none, o.kernel = table["none/count"], toothKernel(o.Care)
	if high > 0 && (got > 2*int64(high) || 2*got < int64(low)) {
		return Problem{Code: "far-count", Used: true, Cause: fmt.Sprintf("%d teeth on %q is far from every variant; %s", got, o.Wheel, knownRange(low, high)),
			Remedy: "Look whether it is the right wheel, then count again."}
	}
	return Problem{}
}

func knownRange(low, high int) string {
	if high == 0 {
		return "no variant's count is known."
	}
	return fmt.Sprintf("the variants have %d to %d.", low, high)
}

func (o *observed) checkFeature(found []*feature, kind catalog.FeatureKind) Problem {
	switch kind {
	case catalog.FeatureCount:
		o.none = table["none/count"]
		return o.checkFeatureCount(found)
	case catalog.FeatureYesNo:
		o.none = 0.5
	case catalog.FeatureMark:
		most := 0
		for _, ft := range found {
			most = max(most, len(ft.distinct))
		}
		o.none = 1 / float64(most+1)
		if catalog.Normal(o.Value.Text) == "" {
			return Problem{Code: "empty-mark", Cause: fmt.Sprintf("The mark for %q holds no letter or digit.", found[0].Label), Remedy: "Enter the mark as read."}
		}
	case catalog.FeatureSize:
		return o.checkSize(found)
	case catalog.FeatureRatio:
		return o.checkTurning(found)
	}
	return Problem{}
}

func (o *observed) checkFeatureCount(found []*feature) Problem {
	low, high := int64(0), int64(0)
	for _, ft := range found {
		for _, v := range ft.distinct {
			if v.Number > 0 {
				high = max(high, v.Number)
				if low == 0 || v.Number < low {
					low = v.Number
				}
			}
		}
	}
	n := o.Value.Number
	switch {
	case n < 1 || n > maxCount:
		return Problem{Code: "absurd-count", Cause: fmt.Sprintf("A count of %d for %q cannot be; %s", n, found[0].Label, knownRange(int(low), int(high))), Remedy: "Count again."}
	case high > 0 && (n > 2*high || 2*n < low):
		return Problem{Code: "far-count", Used: true, Cause: fmt.Sprintf("%d for %q is far from every variant; %s", n, found[0].Label, knownRange(int(low), int(high))),
			Remedy: "Look whether it is the right place, then count again."}
	}
	return Problem{}
}

func (o *observed) checkSize(found []*feature) Problem {
	largest := 0.0
	for _, ft := range found {
		largest = max(largest, ft.largest)
	}
	size := o.Value.Length()
	switch {
	case size <= 0 || size > 5000*quantity.MM:
		return Problem{Code: "absurd-size", Cause: fmt.Sprintf("A size of %v for %q cannot be.", size, found[0].Label), Remedy: "Measure again; check the unit."}
	case largest == 0:
		return Problem{Code: "not-known", Cause: fmt.Sprintf("No variant states a size for %q.", found[0].Label), Remedy: "Record the size with the variants first."}
	case size.Millimetres() > 2*largest || size.Millimetres() < largest/20:
		return Problem{Code: "absurd-size", Cause: fmt.Sprintf("%v for %q is far from every variant, the largest of which has %g mm.", size, found[0].Label, largest),
			Remedy: "Check the unit (1 in is 25.4 mm) and measure again."}
	}
	o.none = 1 / (2 * largest)
	return Problem{}
}

func (o *observed) checkTurning(found []*feature) Problem {
	label := found[0].Label
	switch {
	case o.Turns > 1000:
		return Problem{Code: "absurd-turns", Cause: fmt.Sprintf("%d turns by hand of %q cannot be.", o.Turns, label), Remedy: "Turn the input about 10 times and count."}
	case o.Output <= 0:
		return Problem{Code: "absurd-turns", Cause: fmt.Sprintf("The output of %q did not turn.", label), Remedy: "Engage the speed and turn again."}
	}
	o.none = 1 / (2 * float64(o.Turns))
	r := float64(o.Turns) * 1e6 / float64(o.Output)
	low, high := 0.0, 0.0
	for _, ft := range found {
		for _, known := range ft.ratios {
			if known > 0 {
				high = max(high, known)
				if low == 0 || known < low {
					low = known
				}
			}
		}
	}
	switch {
	case r < 0.2 || r > 50:
		return Problem{Code: "absurd-turns", Cause: fmt.Sprintf("%s is a ratio of %.3g, which no gearbox has.", o.found(), r),
			Remedy: "Give input turns first, then output turns."}
	// A factor of two is the known error of an open differential.
	case high > 0 && (r > 2.5*high || 2.5*r < low):
		return Problem{Code: "far-ratio", Used: true, Cause: fmt.Sprintf("%s is a ratio of %.3g; the variants have %.3g to %.3g.", o.found(), r, low, high),
			Remedy: "Check which speed is engaged, and that input turns come first."}
	}
	return Problem{}
}
