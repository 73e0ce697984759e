package reconcile

import (
	"cmp"
	"math"
	"slices"

	"layshaft/catalog"
)

// tier says why a part may go in at a position; lower is better.
type tier uint8

const (
	chosen  tier = iota // a decision, a companion or a measured grade names it
	fits                // the catalogue says that it fits this variant
	foreign             // fits this place in another variant, and the mates allow it
	bySize              // as foreign, and equal in every stated size to a part that fits
)

// cand is a part that may go in at a position.
type cand struct {
	part     *catalog.Part
	tier     tier
	standing catalog.Standing
	path     []*catalog.Supersession // from the part that the catalogue names to this one
	live     bool                    // not ruled out by a mate
	// What it is sorted by, set when there is a choice.
	replaced bool
	price    int64
	lead     int
}

// companion is a part that a successor in use brings along.
type companion struct {
	from, to int
	by       *catalog.Part // the successor in use at from
	part     *catalog.Part
	count    int // pieces for one piece of the successor
	reason   string
}

// bar keeps a part out of a position where it clashes with other supply.
type bar struct {
	spot int
	part *catalog.Part
}

// choose finds, for every position in demand, the parts that would do.
func (w *work) choose() {
	for i := range w.spots {
		s := &w.spots[i]
		s.cands, s.need, s.open, s.back, s.widened, s.stuck, s.firm = nil, 0, false, false, false, false, false
		switch {
		case w.graph.reached(newNode(i)):
			s.need = w.wanted(s)
			s.open = s.selectFit() && !s.measured()
			if s.cands = w.namedOrFitting(s); len(s.cands) == 0 && !s.open {
				w.widen(s)
			}
		case s.sentOut() && s.eligible() && w.awaited(s):
			s.need, s.back = s.dec.pieces(s), true
			if s.base != nil {
				s.cands = []cand{{part: s.base, live: true, standing: catalog.Confirmed}}
			}
		}
	}
	w.narrow(w.certain)
	w.narrow(w.possible)
	for i := range w.spots {
		w.proveForeign(&w.spots[i])
		w.addBySize(&w.spots[i])
	}
	for i := range w.spots {
		s := &w.spots[i]
		if s.cands = slices.DeleteFunc(s.cands, func(c cand) bool { return !c.live }); s.stuck {
			s.cands = nil
		}
		if s.open {
			w.sortByThickness(s.cands)
		} else {
			w.sortByPreference(s.cands)
		}
	}
}

func (w *work) certain(s *spot) bool {
	return s.need > 0 && !s.back && !w.graph.maybe[newNode(s.index)]
}

func (w *work) possible(s *spot) bool {
	return s.need > 0 && !s.back && w.graph.maybe[newNode(s.index)]
}

// selectFit: the part is chosen by measuring.
func (s *spot) selectFit() bool { return s.pos.Life == catalog.SelectFit || s.stack != nil }

// measured: grades were chosen after measuring, or a named part carries a reading.
func (s *spot) measured() bool {
	return len(s.grades) > 0 || s.dec != nil && s.dec.Part != "" && s.dec.Measured != ""
}

func (d *Decision) pieces(s *spot) int {
	if d != nil && d.Quantity > 0 {
		return d.Quantity
	}
	return s.pieces
}

// wanted is how many pieces a demand is for: those of the decision when it alone
// is the cause, else all of the position, and what companions ask for.
func (w *work) wanted(s *spot) int {
	if len(s.grades) > 0 {
		return len(s.grades)
	}
	node, need := newNode(s.index), 0
	partly := (s.choice == Replace || s.choice == Absent) && s.dec.Quantity > 0
	companion := func(e *edge) bool { return e.cause == CauseCompanion }
	own := func(e *edge) bool { return companion(e) || e.cause == CauseDecision || e.cause == CauseAbsent }
	if partly {
		need = min(s.dec.Quantity, s.pieces)
	}
	if len(w.rules) > 0 && w.graph.asks(node, companion) {
		need = max(need, w.companionPieces(s.index))
	}
	switch {
	case partly && w.graph.without(node, own),
		!partly && w.graph.asks(node, func(e *edge) bool { return !companion(e) }):
		need = max(need, s.pieces)
	}
	return need
}

// awaited: not back yet, or back as goods of this job.
func (w *work) awaited(s *spot) bool {
	if !s.dec.Returned {
		return true
	}
	return s.base != nil && slices.ContainsFunc(w.job.Goods, func(g *Goods) bool {
		return g.Source == FromReturn && g.Part == s.base.ID
	})
}

// namedOrFitting lists the first candidates: grades measured, the part decided
// on, companions, else what fits the variant.
func (w *work) namedOrFitting(s *spot) []cand {
	var out []cand
	switch {
	case len(s.grades) > 0:
		for _, g := range s.grades {
			out = w.addCand(out, s, g, chosen, catalog.Confirmed)
		}
	case s.dec != nil && s.dec.Part != "" && s.choice != NotFitted:
		out = w.addCand(out, s, s.dec.Part, chosen, catalog.Confirmed)
	default:
		for _, c := range w.rules {
			if c.to == s.index {
				out = w.addCand(out, s, c.part.ID, chosen, catalog.Stated)
			}
		}
	}
	if len(out) > 0 {
		return out
	}
	for _, v := range w.variants {
		for _, f := range w.ix.Fits(v, s.id) {
			out = w.addCand(out, s, f.Part, fits, f.Standing)
		}
	}
	return out
}

// widen takes in what fits this place in other variants of the family.
func (w *work) widen(s *spot) {
	s.widened = true
	for _, v := range w.ix.VariantsOf(w.job.Family) {
		if slices.Contains(w.variants, v.ID) {
			continue
		}
		for _, f := range w.ix.Fits(v.ID, s.id) {
			s.cands = w.addCand(s.cands, s, f.Part, foreign, f.Standing)
		}
	}
}

// addCand adds a part and what may stand in for it, each once.
func (w *work) addCand(to []cand, s *spot, id catalog.PartID, t tier, standing catalog.Standing) []cand {
	p, ok := w.ix.Part(id)
	if !ok {
		return to
	}
	for _, h := range w.succession(p).heirs {
		if slices.ContainsFunc(to, func(c cand) bool { return c.part == h.part }) ||
			slices.Contains(w.barred, bar{s.index, h.part}) {
			continue
		}
		st := standing
		for _, e := range h.path {
			if e.Standing.Rank() < st.Rank() {
				st = e.Standing
			}
		}
		to = append(to, cand{part: h.part, tier: t, standing: st, path: h.path, live: true})
	}
	return to
}

// proveForeign drops parts of other variants that no mate speaks for.
func (w *work) proveForeign(s *spot) {
	for i := range s.cands {
		if c := &s.cands[i]; c.tier == foreign && c.live {
			c.live = w.someMateHolds(s, c.part)
		}
	}
}

func (w *work) someMateHolds(s *spot, p *catalog.Part) bool {
	for _, id := range s.mates {
		m := &w.mates[id]
		o := &w.spots[m.other(s.index)]
		v := w.value(p, nil, m.seat(s.index))
		for x := range w.options(o, true) {
			if m.from(s.index, v, w.value(x.part, x.sizes, m.seat(o.index))) == holds {
				return true
			}
		}
	}
	return false
}

// addBySize adds parts of other variants that can't be told from one that fits:
// every stated attribute is equal and every mate holds. Special parts never.
func (w *work) addBySize(s *spot) {
	if s.need == 0 || s.open || s.back || s.widened || s.firm || s.stuck || len(s.cands) == 0 || s.cands[0].tier != fits {
		return
	}
	for i := range s.cands {
		if s.cands[i].part.Special {
			return
		}
	}
	known := len(s.cands)
	w.widen(s)
	s.widened = false
	for i := known; i < len(s.cands); i++ {
		c := &s.cands[i]
		c.tier, c.standing = bySize, catalog.Derived
		c.live = !c.part.Special && w.matesHold(s, c.part) && slices.ContainsFunc(s.cands[:known], func(k cand) bool {
			return k.live && w.sameSizes(k.part, c.part)
		})
	}
}

// matesHold: at least one mate, and every one of them holds for certain.
func (w *work) matesHold(s *spot, p *catalog.Part) bool {
	if len(s.mates) == 0 {
		return false
	}
	for _, id := range s.mates {
		m := &w.mates[id]
		o := &w.spots[m.other(s.index)]
		v := w.value(p, nil, m.seat(s.index))
		n := 0
		for x := range w.options(o, true) {
			n++
			if m.from(s.index, v, w.value(x.part, x.sizes, m.seat(o.index))) != holds {
				return false
			}
		}
		if n == 0 {
			return false
		}
	}
	return true
}

// sameSizes: one kind, and every attribute of a is stated equal on b.
func (w *work) sameSizes(a, b *catalog.Part) bool {
	if a.Kind != b.Kind || catalog.Normal(a.Designation) != catalog.Normal(b.Designation) {
		return false
	}
	attributes := w.ix.Attributes(a.ID)
	for _, x := range attributes {
		y, ok := w.ix.Attribute(b.ID, x.Name, x.At)
		if !ok || !sameValue(x.Value, y.Value) {
			return false
		}
	}
	return len(attributes) > 0
}

// sortByPreference: named parts first, then what the catalogue states for the
// variant; what can be had before what can't; the newest number before the one
// it supersedes; better standing, lower price, shorter lead.
func (w *work) sortByPreference(cs []cand) {
	if len(cs) < 2 {
		return
	}
	for i := range cs {
		c := &cs[i]
		c.replaced, c.price, c.lead = w.replaced(c.part), w.price(c.part), w.lead(c.part)
	}
	slices.SortStableFunc(cs, func(a, b cand) int {
		return cmp.Or(
			cmp.Compare(a.tier, b.tier),
			compareBool(a.part.NotAvailable, b.part.NotAvailable),
			compareBool(a.replaced, b.replaced),
			cmp.Compare(len(companionsOf(a.path)), len(companionsOf(b.path))),
			cmp.Compare(b.standing.Rank(), a.standing.Rank()),
			cmp.Compare(a.price, b.price),
			cmp.Compare(a.lead, b.lead),
			cmp.Compare(a.part.ID, b.part.ID))
	})
}

// sortByThickness puts grades in the order in which they lie in the tray.
func (w *work) sortByThickness(cs []cand) {
	thickness := func(c cand) int64 {
		if a, ok := w.ix.Attribute(c.part.ID, catalog.KeyThickness, ""); ok {
			return a.Value.Number
		}
		return math.MaxInt64
	}
	slices.SortStableFunc(cs, func(a, b cand) int {
		return cmp.Or(cmp.Compare(thickness(a), thickness(b)), cmp.Compare(a.part.ID, b.part.ID))
	})
}

func compareBool(a, b bool) int {
	switch {
	case a == b:
		return 0
	case b:
		return -1
	}
	return 1
}

// replaced: the part has a successor that was followed.
func (w *work) replaced(p *catalog.Part) bool {
	for _, h := range w.succession(p).heirs[1:] {
		if h.path[0].Kind == catalog.Replaces || h.path[0].Kind == catalog.SplitBySerial {
			return true
		}
	}
	return false
}

func companionsOf(path []*catalog.Supersession) []*catalog.Content {
	var out []*catalog.Content
	for _, e := range path {
		out = append(out, e.Companions...)
	}
	return out
}

// price is the lowest offer for one piece in minor units of the shop's currency;
// without one, the part sorts last.
func (w *work) price(p *catalog.Part) int64 {
	if m, ok := w.ix.LeastPrice(p.ID, w.currency); ok {
		return m.Minor
	}
	return math.MaxInt64
}

// lead is the shortest likely lead time in working days.
func (w *work) lead(p *catalog.Part) int {
	best := math.MaxInt
	for _, o := range w.ix.Offers(p.ID) {
		best = min(best, o.Lead.Likely)
	}
	return best
}
