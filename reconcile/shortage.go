package reconcile

import (
	"slices"
	"strings"

	"layshaft/catalog"
)

// shortage says what can be done now about demand that nothing supplies.
func (w *work) shortage(s *spot, d *Demand) *Shortage {
	sh := &Shortage{
		ID: string(w.job.ID) + "." + string(s.id), Position: s.id, Quantity: d.Short,
		Blocking: d.Blocking, Possible: d.Possible, Accept: d.Accept, Chain: d.Chain, Wanted: w.wantedSizes(s),
	}
	for _, id := range s.uses {
		if u := &w.uses[id]; w.lines[w.units[u.unit].line].Source == FromOrder {
			sh.OnOrder += u.pieces
		}
	}
	sh.State, sh.Because = w.canOrder(s)
	return sh
}

// canOrder is the state of a shortage and why.
func (w *work) canOrder(s *spot) (ShortageState, string) {
	switch {
	case s.back:
		return InTreatment, w.whenBack(s)
	case w.possible(s):
		root := w.chain(newNode(s.index))[0]
		return BlockedBy, "decide on the " + w.spots[w.at[root.Position]].name() + " first"
	case s.open:
		return AfterMeasuring, w.whatToMeasure(s)
	case s.stuck:
		return AskFirst, "no part of the catalogue goes together with all its neighbours"
	case w.crossed(s):
		return AskFirst, "no part goes together with all that is supplied around it"
	case len(s.cands) == 0:
		return AskFirst, "the catalogue lists no part for this position"
	}
	if why := w.heldBy(s); why != "" {
		return BlockedBy, why
	}
	if why := w.doubtful(s); why != "" {
		return AskFirst, why
	}
	return OrderNow, ""
}

func (w *work) whenBack(s *spot) string {
	why := because("at the treatment shop", s.dec.Treatment)
	switch {
	case s.dec.Due.IsZero():
		return why + "; no date to expect it is recorded"
	case !w.in.Today.IsZero() && s.dec.Due.Compare(w.in.Today) < 0:
		return why + "; it was expected on " + s.dec.Due.String()
	}
	return why + "; expected on " + s.dec.Due.String()
}

func (w *work) whatToMeasure(s *spot) string {
	if s.stack == nil {
		return "the grade is chosen on the bench: try it in the dry build"
	}
	if best, ok := s.gauge.best(); ok {
		return "the stack " + quoted(s.stack.Name) + " is measured: choose the grade; " + strings.TrimSuffix(best.Text, ".")
	}
	return "the grade follows from the dry build: measure the stack " + quoted(s.stack.Name)
}

// heldBy names a neighbour whose own decision or treatment must be settled
// before this position can be ordered.
func (w *work) heldBy(s *spot) string {
	for _, id := range s.mates {
		m := &w.mates[id]
		o := &w.spots[m.other(s.index)]
		seat := m.seat(o.index)
		if o.treated && o.need == 0 || o.back {
			if resizes(o.dec.Treatment) && len(o.dec.Sizes) == 0 && w.keptValue(o, seat).Kind == catalog.KindLength {
				return "the " + o.name() + " is being treated (" + o.dec.Treatment + "): its " + w.attribute(seat) + " afterwards is not recorded"
			}
		}
		if !w.possible(o) {
			continue
		}
		for i := range s.cands {
			v := w.value(s.cands[i].part, nil, m.seat(s.index))
			for k := range o.cands {
				if m.from(s.index, v, w.value(o.cands[k].part, nil, seat)) == broken {
					return "which size is wanted depends on the " + o.name() + ", which is not decided"
				}
			}
		}
	}
	return ""
}

func hasSize(sizes []*catalog.Attribute, seat catalog.Seat) bool {
	return slices.ContainsFunc(sizes, func(a *catalog.Attribute) bool { return a.Name == seat.Name && a.At == seat.At })
}

// mayBe is the least probability, per thousand, at which a line that is not
// settled holds up an order for the part.
const mayBe = 100

// doubtful is why a person must answer something before ordering.
func (w *work) doubtful(s *spot) string {
	if len(w.variants) > 1 && !w.sameForAll(s) {
		return "which part is wanted depends on the variant, which is not known"
	}
	for i, l := range w.lines {
		if l.Outcome == Question && !l.Excluded && slices.ContainsFunc(l.Candidates, func(c *Candidate) bool {
			p, ok := w.ix.Part(c.Part)
			return ok && c.Permille >= mayBe && s.takes(p)
		}) {
			return w.lineName(i) + " may be it: answer that line first"
		}
	}
	if !slices.ContainsFunc(s.cands, func(c cand) bool { return !c.part.NotAvailable }) {
		return "it can't be bought new any more: used, repair or treatment"
	}
	for i := range s.cands {
		for _, t := range w.succession(s.cands[i].part).troubles {
			if t.code == "serial" && s.cands[0].part == t.old {
				return "the successor of " + label(t.old) + " depends on the serial number, which is not recorded"
			}
		}
	}
	return ""
}

// sameForAll: every variant that the box may be takes the first choice here.
func (w *work) sameForAll(s *spot) bool {
	if s.has != present {
		return false
	}
	if s.cands[0].tier == chosen {
		return true
	}
	for _, v := range w.variants {
		if !slices.ContainsFunc(w.ix.Fits(v, s.id), func(f *catalog.Fitment) bool {
			p, ok := w.ix.Part(f.Part)
			return ok && slices.ContainsFunc(w.succession(p).heirs, func(h heir) bool { return h.part == s.cands[0].part })
		}) {
			return false
		}
	}
	return true
}

// wantedSizes are the values that equal mates ask for.
func (w *work) wantedSizes(s *spot) []*catalog.Attribute {
	var out []*catalog.Attribute
	for _, id := range s.mates {
		m := &w.mates[id]
		o := &w.spots[m.other(s.index)]
		v := w.valueAt(o, m.seat(o.index))
		seat := m.seat(s.index)
		if m.rec.Relation == catalog.Equal && v.Stated() && !hasSize(out, seat) {
			out = append(out, &catalog.Attribute{Name: seat.Name, At: seat.At, Value: v})
		}
	}
	return out
}
