package measure

import (
	"fmt"
	"strings"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

// Action is what an inspection comes to.
type Action string

const (
	ActionNone    Action = "" // refused
	ActionKeep    Action = "keep"
	ActionRenew   Action = "renew"
	ActionAgain   Action = "measure again"  // within a guard band of a limit
	ActionNoLimit Action = "no limit known" // never a pass
)

// InspectInput is one measured value, repeated, against a limit.
type InspectInput struct {
	Limit      *catalog.Limit
	Values     []string
	Unit       quantity.Unit // for bare numbers; "" refuses them
	Instrument Instrument    // a zero resolution takes the limit's
	Rule       Rule
	Date       quantity.Date // of this reading, for the wear trend
	Before     []Earlier     // the same position measured before, any order
}

// InspectResult is the outcome of an inspection. With refusals there is no
// action.
type InspectResult struct {
	Refusals []Refusal
	Notices  []Notice
	Series   Series
	Budget   Budget
	Rule     Rule
	// GuardBand in mm at each limit.
	GuardBand float64
	Action    Action
	// Probability that the size is within the limits, measurement error only;
	// meaningless without limits.
	Probability float64
	Trend       *Trend
	Text        string

	size, fact, remedy string
}

// Size is the mean as the sentence has it, never rounded across a limit; ""
// without a result.
func (r *InspectResult) Size() string { return r.size }

// Fact is the sentence without what to do, Remedy what to do; both may be "".
func (r *InspectResult) Fact() string   { return r.fact }
func (r *InspectResult) Remedy() string { return r.remedy }

// Inspect judges a measured value: proved within the wear limits is keep,
// proved outside is renew, between the two is measure again. Without a wear
// limit the answer is no limit known, even inside the range of a new part.
func Inspect(in InspectInput) InspectResult {
	out := InspectResult{Rule: in.Rule.orDefault()}
	l := in.Limit
	if l == nil {
		out.Refusals = []Refusal{{"no-limit-named", "limit", "no limit is named", "choose what is measured"}}
		return out
	}
	if l.WearMin != nil && l.WearMax != nil && *l.WearMin > *l.WearMax {
		out.Refusals = []Refusal{{"bad-limit", "limit", "the limits " + span(*l.WearMin, *l.WearMax) + " exclude every size", "correct the limit's record"}}
		return out
	}
	if in.Instrument.Resolution <= 0 {
		in.Instrument.Resolution = l.Resolution
	}
	b := bounds{units(l.WearMin), units(l.WearMax)}
	m, ok := measureOne(&out, l.What, in.Values, in.Unit, in.Instrument, b)
	if !ok {
		return out
	}
	out.Trend = trend(in, &out)
	if b.lo == nil && b.hi == nil {
		out.Action, out.size = ActionNoLimit, show(out.Series.Mean)
		out.Text = "Measured " + show(out.Series.Mean) + "; no wear limit known" + newRange(l, m) + "."
		return out
	}
	out.judge(m, b, limitText(l))
	return out
}

func units(l *quantity.Length) *int64 {
	if l == nil {
		return nil
	}
	n := int64(*l)
	return &n
}

// measureOne reads a single series and its budget; false when refused.
func measureOne(out *InspectResult, what string, values []string, unit quantity.Unit, instrument Instrument, b bounds) (exact, bool) {
	if what == "" {
		what = "size"
	}
	s, refused := readSeries(Reading{what, values}, KindLength, unit, "")
	out.Series, out.Refusals = s, refused
	if len(refused) > 0 {
		return exact{}, false
	}
	if len(s.amounts) == 0 {
		out.Refusals = []Refusal{{"missing-reading", what, "nothing is entered", "measure it and enter each value with its unit"}}
		return exact{}, false
	}
	g := instrument.gauge(s.resolution)
	width := int64(0)
	if b.lo != nil && b.hi != nil {
		width = *b.hi - *b.lo
	}
	refused, out.Notices = s.consistent(g.resolution, width)
	if len(refused) > 0 {
		out.Refusals = refused
		return exact{}, false
	}
	var lines budget
	lines.addSeries(&s, 1, g)
	out.Budget = lines.finish()
	out.GuardBand = out.Rule.Factor * out.Budget.U
	if g.certificateTypical || g.pooledTypical && len(s.amounts) < ownRepeatability {
		out.Notices = append(out.Notices, Notice{"typical-values", LevelNote, "The uncertainty uses typical values of the instrument, not the shop's own."})
	}
	return s.mean, true
}

// judge applies the decision rule and writes the sentence.
func (r *InspectResult) judge(m exact, b bounds, limits string) {
	r.Probability = b.chance(m.mm(), r.Budget.U, perMM)
	r.size = showBeside(m, b)
	r.fact = fmt.Sprintf("Measured %s; %s; %s that it is within, measurement error only.", r.size, limits, Chance(r.Probability))
	switch b.judge(m, r.Rule.guard(r.Budget.U, perMM)) {
	case ProvedInside:
		r.Action = ActionKeep
	case ProvedOutside:
		r.Action, r.remedy = ActionRenew, "Renew it, or have it treated."
	default:
		r.Action, r.remedy = ActionAgain, "Measure again with more readings."
		if len(r.Series.amounts) >= ownRepeatability {
			r.remedy = "Measure again with a finer instrument."
		}
		r.remedy = fmt.Sprintf("Nearer to a limit than the guard band %.3f mm. %s", r.GuardBand, r.remedy)
	}
	r.Text = strings.TrimSpace(r.fact + " " + r.remedy)
}

// showBeside rounds to the micrometre unless that would move the size across a
// limit; then it is written to the nanometre, rounded away from the limits.
func showBeside(m exact, b bounds) string {
	r := exact{m.num, m.den * 1000}.nearest() * int64(quantity.Micron)
	if b.holds(whole(r)) == b.holds(m) {
		return show(quantity.Length(r))
	}
	n := m.nearest()
	switch {
	case b.lo != nil && m.cmp(*b.lo) < 0:
		n = m.floor()
	case b.hi != nil && m.cmp(*b.hi) > 0:
		n = m.ceil()
	}
	return quantity.Length(n).String()
}

func limitText(l *catalog.Limit) string {
	switch {
	case l.WearMin != nil && l.WearMax != nil:
		return "limits " + span(*l.WearMin, *l.WearMax)
	case l.WearMin != nil:
		return "limit at least " + l.WearMin.String()
	}
	return "limit at most " + l.WearMax.String()
}

func newRange(l *catalog.Limit, m exact) string {
	switch {
	case l.NewMin == 0 && l.NewMax == 0:
		return ""
	case window(int64(l.NewMin), int64(l.NewMax)).holds(m):
		return "; inside the range of a new part, " + span(l.NewMin, l.NewMax)
	}
	return "; outside the range of a new part, " + span(l.NewMin, l.NewMax)
}
