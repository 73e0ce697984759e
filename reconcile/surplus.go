package reconcile

import (
	"slices"
	"strconv"

	"layshaft/catalog"
)

// Reason codes of Surplus.
const (
	SurplusOtherVariant = "other-variant" // belongs to another variant or gearbox
	SurplusReused       = "reused"        // the part in the box goes back
	SurplusDuplicate    = "duplicate"     // something else covers it already
	SurplusByDesign     = "by-design"     // an alternative that is not the one
	SurplusNotNeeded    = "not-needed"    // nothing asks for it
	SurplusMismatch     = "mismatch"      // meant for a position that takes another size
	SurplusSpread       = "spread"        // a grade kept until the stack is measured
)

// findSurplus says of every piece that is not used why it is over.
func (w *work) findSurplus() {
	taken := map[int]int{} // group -> alternative in use
	for i := range w.units {
		if u := &w.units[i]; u.used > 0 && u.group != 0 {
			taken[u.group] = u.option
		}
	}
	for i := range w.units {
		u := &w.units[i]
		left := u.pieces - u.used
		if left == 0 {
			continue
		}
		reason, message := w.whyOver(u, taken)
		l := w.lines[u.line]
		if n := len(w.surplus); n > 0 {
			if last := w.surplus[n-1]; last.Line == u.line && last.Part == u.part.ID && last.Reason == reason {
				last.Pieces += left
				continue
			}
		}
		s := &Surplus{Line: u.line, Part: u.part.ID, Pieces: left, Reason: reason, Message: message, ReturnBy: l.ReturnBy.String()}
		if !l.ReturnBy.IsZero() && !w.in.Today.IsZero() && l.ReturnBy.Compare(w.in.Today) < 0 {
			s.Message += "; the last day to return it was " + l.ReturnBy.String()
		}
		if u.via != nil {
			s.Set = u.via.ID
		}
		w.surplus = append(w.surplus, s)
	}
}

func (w *work) whyOver(u *unit, taken map[int]int) (reason, message string) {
	what := upperFirst(label(u.part))
	if o, ok := taken[u.group]; ok && u.group != 0 && o != u.option {
		return SurplusByDesign, what + " is an alternative to one that is used"
	}
	takers := w.takers[u.part]
	for _, s := range takers {
		if s.open {
			return SurplusSpread, what + " is a grade for the " + s.name() + "; which one is wanted is known after measuring"
		}
	}
	for _, s := range w.meant(u) {
		if len(w.misfits(u.part, s)) > 0 {
			return SurplusMismatch, what + " does not fit the " + s.name()
		}
	}
	for _, s := range takers {
		if !s.back {
			return SurplusDuplicate, what + " is covered already at the " + s.name()
		}
	}
	places := w.placesFor(u.part)
	for _, s := range places {
		if s.has != missing && s.choice != NotFitted && s.need == 0 {
			return SurplusReused, what + " is for the " + s.name() + "; the part in the box goes back"
		}
	}
	for _, s := range places {
		if s.need > 0 {
			return SurplusNotNeeded, what + " is not the one wanted at the " + s.name()
		}
	}
	if slices.Contains(w.flaws, flaw{"empty", u.part.ID, u.line}) {
		return SurplusNotNeeded, what + " is not counted: its contents are not known"
	}
	if len(places) == 0 {
		return SurplusOtherVariant, what + " fits no position of this variant"
	}
	return SurplusNotNeeded, what + " is not needed"
}

func (s *spot) takes(p *catalog.Part) bool {
	return slices.ContainsFunc(s.cands, func(c cand) bool { return c.part == p })
}

// findTakers lists, for every part, the positions in demand that would take it,
// in list order.
func (w *work) findTakers() {
	for i := range w.spots {
		s := &w.spots[i]
		if s.need == 0 {
			continue
		}
		for k := range s.cands {
			p := s.cands[k].part
			w.takers[p] = append(w.takers[p], s)
		}
	}
}

// placesFor lists the positions that the catalogue names for a part in the job's
// variants, in list order.
func (w *work) placesFor(p *catalog.Part) []*spot {
	var out []*spot
	for _, f := range w.ix.FitsOf(p.ID) {
		if i, ok := w.at[f.Position]; ok && slices.Contains(w.variants, f.Variant) && !slices.Contains(out, &w.spots[i]) {
			out = append(out, &w.spots[i])
		}
	}
	slices.SortFunc(out, func(a, b *spot) int { return a.index - b.index })
	return out
}

// fitsHere: the catalogue lists the part for this position of the job's variant.
func (w *work) fitsHere(p *catalog.Part, s *spot) bool {
	return slices.ContainsFunc(w.ix.FitsOf(p.ID), func(f *catalog.Fitment) bool {
		return f.Position == s.id && slices.Contains(w.variants, f.Variant)
	})
}

// meant lists positions that are short and that a unit's part was meant for: it
// goes there in some variant, and can't be taken here.
func (w *work) meant(u *unit) []*spot {
	var out []*spot
	for _, f := range w.ix.FitsOf(u.part.ID) {
		v, ok := w.ix.Variant(f.Variant)
		if !ok || v.Family != w.job.Family {
			continue
		}
		i, ok := w.at[f.Position]
		if !ok {
			continue
		}
		s := &w.spots[i]
		if s.need > s.cover && !s.open && !s.back && !s.takes(u.part) && !slices.Contains(out, s) {
			out = append(out, s)
		}
	}
	slices.SortFunc(out, func(a, b *spot) int { return a.index - b.index })
	return out
}

// findMistaken marks the positions of which a finding says that a wrong part, or
// half a bearing, was supplied.
func (w *work) findMistaken() {
	w.mistaken = resized(w.mistaken, len(w.spots))
	for i := range w.units {
		u := &w.units[i]
		if u.used == u.pieces {
			continue
		}
		for _, s := range w.meant(u) {
			if len(w.misfits(u.part, s)) > 0 || !w.fitsHere(u.part, s) && w.lines[u.line].Source != FromShelf {
				w.mistaken[s.index] = true
			}
		}
	}
	w.pairs("bearing cup", "bearing cone", func(a, b *spot) {
		if _, lack := w.half(a, b); lack != nil {
			w.mistaken[lack.index] = true
		}
	})
}

// misfit is one mate that a part would break at a position.
type misfit struct {
	m     *mate
	other *spot
	want  string
	has   string
}

// misfits lists the mates that a part breaks at s, beside what is in the case
// when it closes.
func (w *work) misfits(p *catalog.Part, s *spot) []misfit {
	var out []misfit
	for _, id := range s.mates {
		m := &w.mates[id]
		o := &w.spots[m.other(s.index)]
		v := w.value(p, nil, m.seat(s.index))
		there := w.valueAt(o, m.seat(o.index))
		if m.from(s.index, v, there) == broken {
			out = append(out, misfit{m, o, w.want(m, s.index, there), w.show(v)})
		}
	}
	return out
}

// valueAt is the value of what is fitted at s, when all that it may be agree.
func (w *work) valueAt(s *spot, seat catalog.Seat) catalog.Value {
	if s.now.part != nil || len(s.now.sizes) > 0 {
		return w.value(s.now.part, s.now.sizes, seat)
	}
	if s.state != FittedNew || s.stuck {
		return catalog.Value{}
	}
	var all catalog.Value
	for i := range s.cands {
		v := w.value(s.cands[i].part, s.sizesOn(&s.cands[i]), seat)
		if i > 0 && !sameValue(v, all) {
			return catalog.Value{}
		}
		all = v
	}
	return all
}

// ofList names the list where the job has more than one.
func (w *work) ofList(id string) string {
	if len(w.job.KitLists) < 2 {
		return ""
	}
	for _, k := range w.job.KitLists {
		if k.ID == id && k.Name != "" {
			return " of " + quoted(k.Name)
		}
	}
	return " of list " + id
}

// lineName is how a line is named to people.
func (w *work) lineName(i int) string {
	l := w.lines[i]
	switch {
	case l.Place != nil:
		return "line " + strconv.Itoa(l.Place.Line) + w.ofList(l.Place.List)
	case l.Source == FromOrder:
		return "the open order"
	case l.Source == FromReturn:
		return "the part back from treatment"
	case l.Source == FromReceived:
		return "the part received"
	}
	return "the shelf"
}
