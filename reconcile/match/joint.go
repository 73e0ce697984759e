package match

import (
	"cmp"
	"slices"

	"layshaft/catalog"
	"layshaft/reconcile/kitlist"
)

// joint looks at the list as one kit. Certain lines fill positions; open lines
// are ranked again with that in mind, and lines that fill one position more than
// once are told of each other. No line becomes certain here.
func (m *Matcher) joint(list kitlist.List, out []Result, opens []*open, in Context) {
	if in.Variant == "" {
		return
	}
	full := map[catalog.PositionID]int{} // pieces claimed by certain lines
	for i := range out {
		if out[i].Outcome == Certain && claims(&list.Lines[i]) {
			for _, p := range out[i].Candidates[0].Positions {
				full[p] += share(&list.Lines[i], &out[i])
			}
		}
	}
	for i := range out {
		if opens[i] != nil && !out[i].Alias && (out[i].Outcome == Likely || out[i].Outcome == Question) {
			m.rerank(&out[i], opens[i], full, in)
		}
	}
	m.clashes(list, out, in)
}

// claims: the line promises pieces that must go somewhere.
func claims(n *kitlist.Line) bool {
	f := &n.Flags
	return !f.Excluded && !f.NotAvailable && !f.Conditional && f.Alternative == 0 && !f.Declined
}

// share spreads a line's pieces over the positions it may fill.
func share(n *kitlist.Line, r *Result) int {
	k := max(len(r.Candidates[0].Positions), 1)
	return (n.Quantity.Pieces + k - 1) / k
}

// taken is how much less likely a part is whose every position is full already.
const taken = 0.3

func (m *Matcher) rerank(r *Result, o *open, full map[catalog.PositionID]int, in Context) {
	sum, changed := o.pNone, false
	for i := range o.alts {
		a := &o.alts[i]
		if a.f.inVariant && len(a.f.positions) > 0 && numberLevel(&a.x) == 0 && m.isFull(a.f, full, in) {
			a.p *= taken
			changed = true
		}
		sum += a.p
	}
	if !changed {
		return
	}
	for i := range o.alts {
		o.alts[i].p /= sum
	}
	o.pNone /= sum
	slices.SortStableFunc(o.alts, func(a, b alternative) int { return cmp.Compare(b.p, a.p) })
	m.decide(r, o, in)
	if r.Outcome == Certain {
		r.Outcome = Likely // the joint view never makes a line certain
	}
	if r.Outcome == None {
		r.Outcome = Question
		r.Why = "the positions of the best candidate are taken by other lines"
	}
}

func (m *Matcher) isFull(f *profile, full map[catalog.PositionID]int, in Context) bool {
	for _, p := range f.positions {
		if full[p.ID] < max(m.ix.Quantity(in.Variant, p.ID), 1) {
			return false
		}
	}
	return true
}

// clashes finds positions that lines which can go nowhere else overfill.
func (m *Matcher) clashes(list kitlist.List, out []Result, in Context) {
	lines := map[catalog.PositionID][]int{}
	var order []catalog.PositionID
	for i := range out {
		r := &out[i]
		if r.Outcome != Certain && r.Outcome != Likely || !claims(&list.Lines[i]) || len(r.Candidates[0].Positions) != 1 {
			continue
		}
		p := r.Candidates[0].Positions[0]
		if lines[p] == nil {
			order = append(order, p)
		}
		lines[p] = append(lines[p], i)
	}
	for _, p := range order {
		pieces := 0
		for _, i := range lines[p] {
			pieces += list.Lines[i].Quantity.Pieces
		}
		if len(lines[p]) < 2 || pieces <= m.ix.Quantity(in.Variant, p) {
			continue
		}
		for _, i := range lines[p] {
			for _, k := range lines[p] {
				if k != i {
					out[i].Clashes = append(out[i].Clashes, k)
				}
			}
		}
	}
}
