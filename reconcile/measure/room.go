package measure

import (
	"fmt"
	"math"
	"slices"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

// read parses every series and checks that the method has what it needs.
func (w *stackWork) read() bool {
	needs := Needs(w.out.Method)
	w.series = map[string]*Series{}
	w.out.Series = make([]Series, 0, len(w.in.Readings))
	for _, r := range w.in.Readings {
		i := slices.IndexFunc(needs, func(n ReadingSpec) bool { return n.Name == r.Name })
		if i < 0 {
			w.refuse("unknown-reading", r.Name, "the method "+string(w.out.Method)+" takes no reading "+fmt.Sprintf("%q", shorten(r.Name)), "give the readings that the method asks for")
			continue
		}
		if w.series[r.Name] != nil {
			w.refuse("double-reading", r.Name, "the reading is given twice", "put all its values into one series")
			continue
		}
		s, refused := readSeries(r, needs[i].Kind, w.in.Unit, w.in.TorqueUnit)
		w.out.Refusals = append(w.out.Refusals, refused...)
		if len(s.amounts) == 0 && len(refused) == 0 {
			continue // an empty field is no reading
		}
		w.out.Series = append(w.out.Series, s)
		w.series[r.Name] = &w.out.Series[len(w.out.Series)-1]
	}
	w.complete(needs)
	for i := range w.out.Series {
		w.consistent(&w.out.Series[i])
	}
	slices.SortStableFunc(w.out.Refusals, func(a, b Refusal) int { return w.order(a.Place) - w.order(b.Place) })
	return len(w.out.Refusals) == 0
}

// order of a place among the series as given, for a fixed order of refusals.
func (w *stackWork) order(place string) int {
	for i, r := range w.in.Readings {
		if place == r.Name || len(place) > len(r.Name) && place[:len(r.Name)+1] == r.Name+" " {
			return i
		}
	}
	return len(w.in.Readings)
}

func (w *stackWork) complete(needs []ReadingSpec) {
	groups := map[string]int{}
	for _, n := range needs {
		if n.Group != "" && w.series[n.Name] != nil {
			groups[n.Group]++
		}
	}
	for _, n := range needs {
		switch {
		case n.Group != "":
			if c := groups[n.Group]; c == 0 {
				w.refuse("missing-reading", n.Name, n.Label+" is not entered", "measure it and enter each value with its unit")
			} else if c > 1 {
				w.refuse("two-ways", n.Name, "the "+n.Group+" is entered in two ways", "keep one of them")
			}
			groups[n.Group] = 1 // said once
		case n.Required && w.series[n.Name] == nil:
			w.refuse("missing-reading", n.Name, n.Label+" is not entered", "measure it and enter each value with its unit")
		}
	}
	over := w.series[DepthOverBlock] != nil || w.series[HeightOverBlock] != nil || w.series[SecondOverBlock] != nil
	if over && w.series[Block] == nil {
		w.refuse("missing-reading", Block, "a reading was taken over a block whose size is not entered", "enter the size of the block")
	}
	if !over && w.series[Block] != nil {
		w.refuse("two-ways", Block, "a block is entered and no reading was taken over it", "enter the readings taken over the block as such, or leave the block out")
	}
}

func (w *stackWork) consistent(s *Series) {
	if s.Kind == KindTemperature || len(s.amounts) == 0 {
		return
	}
	widest := int64(0)
	if (s.Kind == KindTorque) == w.byTorque() {
		widest = *w.limits.hi - *w.limits.lo
	}
	refused, notices := s.consistent(w.gauge(s).resolution, widest)
	w.out.Refusals = append(w.out.Refusals, refused...)
	w.out.Notices = append(w.out.Notices, notices...)
}

func (w *stackWork) gauge(s *Series) gauge {
	if s.Kind == KindTorque {
		return w.in.TorqueMeter.gauge(s.resolution)
	}
	if i, ok := w.in.Instruments[s.Name]; ok {
		return i.gauge(s.resolution)
	}
	return w.in.Instrument.gauge(s.resolution)
}

// room adds the readings up by the method: to a play at a thickness, or to a
// turning torque at a thickness.
func (w *stackWork) room() {
	play, at := whole(0), whole(0)
	add := func(name string, k int64) bool {
		s := w.series[name]
		if s == nil {
			return false
		}
		play = play.plus(s.mean, k)
		w.budget.addSeries(s, float64(k), w.gauge(s))
		return true
	}
	switch w.out.Method {
	case catalog.MethodDepth:
		w.depth(add, &play)
	case catalog.MethodTrialPlay, catalog.MethodTrialLoad:
		add(Travel, 1)
		at = w.shim(TrialShim)
		if w.series[Travel].mean.num == 0 {
			w.refuse("void", Travel, "the indicator showed no travel: a bearing that is already tight gives the same reading", "fit a thinner trial shim and read again")
		}
	case catalog.MethodFeeler, catalog.MethodHoldDown:
		add(Gap, 1)
		if len(w.series[Gap].amounts) < 3 {
			w.say("few-places", LevelCheck, "Check the gap at 3 or 4 places round the cover: fewer do not show a tilted cover.")
		}
	case catalog.MethodSolder:
		add(Wire, 1)
		if before := w.series[WireBefore]; before != nil && w.series[Wire].mean.plus(before.mean, -1).num >= 0 {
			w.refuse("void", Wire, "the wire was not crushed: "+show(w.series[Wire].Mean)+" after, "+show(before.Mean)+" before", "use thicker wire and measure again")
		}
	case catalog.MethodGroove:
		add(Gap, 1)
		at = w.shim(Fitted)
	case catalog.MethodTorque:
		w.turning()
		return
	}
	w.base = at.plus(play, w.sign)
	w.out.Room, w.out.RoomAt = quantity.Length(play.nearest()), quantity.Length(at.nearest())
}

// shim adds a measured shim or ring: its own uncertainty is that of a shim.
func (w *stackWork) shim(name string) exact {
	s := w.series[name]
	sigma, typical := w.shimSigma()
	w.budget.add(name+": size", sigma, 0, float64(w.sign), "by micrometer, "+statedOr(typical), typical)
	if s.mean.cmp(int64(maxShim)) > 0 {
		w.refuse("absurd", name, show(s.Mean)+" is no thickness of a shim", "check the unit")
	}
	return s.mean
}

func (w *stackWork) shimSigma() (mm float64, typical bool) {
	if w.in.ShimSigma > 0 {
		return w.in.ShimSigma.Millimetres(), false
	}
	return typicalShim.Millimetres(), true
}

func statedOr(typical bool) string {
	if typical {
		return "typical"
	}
	return "stated"
}

// depth is t = D + G - H - e, with the block as often as it was under the gauge.
func (w *stackWork) depth(add func(string, int64) bool, play *exact) {
	blocks := int64(0)
	_ = add(Depth, 1)
	if add(DepthOverBlock, 1) {
		blocks--
	}
	_ = add(Height, -1)
	if add(HeightOverBlock, 1) { // H = B - reading
		blocks--
	}
	_ = add(SecondDepth, -1)
	if add(SecondOverBlock, -1) {
		blocks++
	}
	if b := w.series[Block]; b != nil {
		*play = play.plus(b.mean, blocks)
		sigma, typical := w.in.BlockSigma, w.in.BlockSigma <= 0
		if typical {
			sigma = typicalBlock
		}
		w.budget.add(Block+": size", sigma.Millimetres(), 0, float64(blocks), statedOr(typical), typical)
	}
	w.gasket(play)
}

func (w *stackWork) gasket(play *exact) {
	g, sigma := whole(int64(w.in.Stack.Gasket)), w.in.Stack.GasketSigma
	if s := w.series[Gasket]; s != nil {
		g = s.mean
	}
	if g.num == 0 {
		if w.in.GasketFitted {
			w.refuse("gasket-unknown", Gasket, "a gasket is fitted and its clamped thickness is not entered", "enter the clamped thickness")
		}
		return
	}
	if g.num < 0 || g.cmp(int64(5*quantity.MM)) > 0 {
		w.refuse("absurd", Gasket, "a clamped gasket of "+show(quantity.Length(g.nearest()))+" cannot be", "check size and unit")
		return
	}
	typical := sigma <= 0
	if typical {
		sigma = quantity.Length(exact{g.num, g.den * 16}.nearest()) // 0.015 for 0.24, from memory
	}
	*play = play.plus(g, 1)
	w.budget.add(Gasket+": clamped thickness", sigma.Millimetres(), 0, 1, statedOr(typical), typical)
}

// turning takes the torque at the fitted thickness.
func (w *stackWork) turning() {
	t := w.series[TurningTorque]
	w.torque, w.fitted = t.mean, w.shim(Fitted)
	w.out.RoomAt = quantity.Length(w.fitted.nearest())
	w.step = int64(w.in.GradeStep)
	if w.step <= 0 {
		w.step = gradeStep(w.in.Grades)
	}
	if w.step <= 0 || w.step > int64(maxShim) {
		w.refuse("no-step", "grades", "the step between two grades is not known", "enter at least two grades, or the step")
		return
	}
	perGrade := float64(w.in.Stack.TorquePerGrade) / 1000
	perMM := perGrade / quantity.Length(w.step).Millimetres()
	w.budget.lines[len(w.budget.lines)-1].Sensitivity = -float64(w.sign) * perMM
	w.budget.addSeries(t, 1, w.gauge(t))
	w.budget.add("method scatter", 0.2*t.mean.float()/1000/math.Sqrt(3), 0, 1,
		"up to 20 % of the reading, rectangular, common practice", true)
	spread, typical := float64(w.in.TorqueSpread)/1000, w.in.TorqueSpread <= 0
	if typical {
		spread = perGrade / 7 // 0.30 to 0.40 for 0.35, a service page's range
	}
	steps := w.steps()
	w.out.Steps = steps
	w.budget.add("torque per grade", spread/math.Sqrt(3), 0, steps, statedOr(typical)+", rectangular, times the steps wanted", typical)
}

// steps is n = (aim - measured) / torque per grade, with the stack's sign.
func (w *stackWork) steps() float64 {
	return float64(w.sign) * (float64(w.aim) - w.torque.float()) / float64(w.in.Stack.TorquePerGrade)
}

// gradeStep is the smallest distance between two grades; 0 for fewer than two.
func gradeStep(grades []Grade) int64 {
	var t []int64
	for _, g := range grades {
		t = append(t, int64(g.Thickness))
	}
	slices.Sort(t)
	t = slices.Compact(t)
	step := int64(0)
	for i := 1; i < len(t); i++ {
		if d := t[i] - t[i-1]; step == 0 || d < step {
			step = d
		}
	}
	return step
}

// wanted turns the window of play or torque into one of thickness.
func (w *stackWork) wanted() {
	at := func(y int64) exact { // thickness that gives y
		if w.byTorque() {
			k := w.sign * int64(w.in.Stack.TorquePerGrade)
			more := whole(y).plus(w.torque, -1)
			return w.fitted.plus(fraction(more.num*w.step, more.den*k), 1)
		}
		return w.base.plus(whole(y), -w.sign)
	}
	w.lo, w.hi, w.want = at(*w.limits.lo), at(*w.limits.hi), at(w.aim)
	if w.lo.plus(w.hi, -1).num > 0 {
		w.lo, w.hi = w.hi, w.lo
	}
	w.out.Wanted = quantity.Length(w.want.nearest())
	w.out.Thinnest, w.out.Thickest = quantity.Length(w.lo.ceil()), quantity.Length(w.hi.floor())
	w.out.Budget = w.budget.finish()
	w.plausible()
}

// plausible refuses a thickness that no shim can have.
func (w *stackWork) plausible() {
	if w.want.num <= 0 {
		w.refuse("void", "thickness", "a shim of "+w.out.Wanted.String()+" would be needed: the play found is already less than the play wanted", w.negativeRemedy())
		return
	}
	limit := int64(25 * quantity.MM)
	if most := w.thickestStack(); most > 0 {
		limit = 2*most + int64(quantity.MM)
	}
	if w.want.cmp(limit) > 0 {
		w.refuse("absurd", "thickness", "a shim of "+show(w.out.Wanted)+" would be needed, far beyond every grade", "check the units and which face each reading was taken from")
	}
	if old := w.series[OldShim]; old != nil {
		if d := old.mean.plus(w.want, -1); d.cmp(int64(150*quantity.Micron)) > 0 || d.cmp(-int64(150*quantity.Micron)) < 0 {
			w.say("far-from-old", LevelCheck, fmt.Sprintf("Check the readings of %s: %s is wanted and the old shim is %s; they are usually within 0.15 mm (from memory).", w.name(), show(w.out.Wanted), show(old.Mean)))
		}
	}
}

func (w *stackWork) negativeRemedy() string {
	if w.out.Method == catalog.MethodDepth && w.sign > 0 && w.series[Depth] != nil && w.series[Height] != nil &&
		w.series[Depth].mean.plus(w.series[Height].mean, -1).num < 0 {
		return "the height is more than the depth: were the two swapped? Otherwise look for a bearing not home, an old shim left in, dirt"
	}
	return "look for a bearing not seated, an old shim left in, dirt; then measure again"
}

// thickestStack is the most that the allowed pieces add up to; 0 without grades.
func (w *stackWork) thickestStack() int64 {
	var most quantity.Length
	for _, g := range w.in.Grades {
		if g.Thickness <= maxShim {
			most = max(most, g.Thickness)
		}
	}
	return int64(most) * int64(w.maxCount())
}

// maxCount of pieces; more than 3 are not searched.
func (w *stackWork) maxCount() int { return min(max(w.in.Stack.MaxCount, 1), 3) }
