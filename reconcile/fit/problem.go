package fit

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"

	"layshaft/catalog"
)

// option is one part that may be at a place.
type option struct {
	part  *catalog.Part // nil: not known
	sizes []*catalog.Attribute
	// kept is what is there already; two kept parts are never judged.
	kept     bool
	stated   bool // the catalogue states that it fits this variant
	foreign  bool // it is only known from another variant
	standing catalog.Standing
	price    int64 // for all pieces of the place, minor units; 0 when kept or not priced
	priced   bool
}

// place is a position with what may be there. Options are in order of preference;
// the first is what is kept, if anything is.
type place struct {
	pos     *catalog.Position
	state   State
	options []option
	rules   []int // into problem.rules
	region  bool  // something may have to change here
}

// rule is a mate between two places that both hold something.
type rule struct {
	rec  *catalog.Mate
	a, b int
}

// problem is one question laid out.
type problem struct {
	ix       *catalog.Index
	variant  *catalog.Variant
	currency string
	places   []place
	rules    []rule
	target   int
}

func newProblem(ix *catalog.Index, v *catalog.Variant, pos *catalog.Position, part *catalog.Part, given map[catalog.PositionID]Place) *problem {
	p := &problem{ix: ix, variant: v, currency: ix.Currency(), target: -1}
	at := map[catalog.PositionID]int{}
	for _, x := range ix.Positions(v.Family) {
		if !ix.Has(v.ID, x.ID) || x.ID != pos.ID && given[x.ID].State == Empty {
			continue
		}
		at[x.ID] = len(p.places)
		p.places = append(p.places, place{pos: x})
	}
	p.target = at[pos.ID]
	for _, m := range ix.Mates(v.Family) {
		a, okA := at[m.A.Position]
		b, okB := at[m.B.Position]
		if okA && okB && a != b && m.Standing != catalog.Doubted {
			p.places[a].rules = append(p.places[a].rules, len(p.rules))
			p.places[b].rules = append(p.places[b].rules, len(p.rules))
			p.rules = append(p.rules, rule{m, a, b})
		}
	}
	for i := range p.places {
		s := &p.places[i]
		if i == p.target {
			s.options = []option{p.option(s, part)}
			continue
		}
		p.fill(s, given)
	}
	p.spread()
	return p
}

// fill gives a place its options: what is there, then what fits the variant, then
// what fits there in other variants where a mate can speak for it.
func (p *problem) fill(s *place, given map[catalog.PositionID]Place) {
	g, told := given[s.pos.ID]
	s.state = g.State
	var there *catalog.Part
	if told {
		there, _ = p.ix.Part(g.Part)
	} else {
		there, _ = p.ix.Standard(p.variant.ID, s.pos.ID)
	}
	var others []option
	seen := map[*catalog.Part]bool{}
	add := func(id catalog.PartID) {
		if o, ok := p.ix.Part(id); ok && !seen[o] && o != there {
			seen[o] = true
			others = append(others, p.option(s, o))
		}
	}
	for _, f := range p.ix.Fits(p.variant.ID, s.pos.ID) {
		if f.Standing != catalog.Doubted {
			add(f.Part)
		}
	}
	if len(s.rules) > 0 {
		for _, v := range p.ix.VariantsOf(p.variant.Family) {
			for _, f := range p.ix.Fits(v.ID, s.pos.ID) {
				if o, ok := p.ix.Part(f.Part); ok && f.Standing != catalog.Doubted && !o.Special && wheelOff(p.ix, p.variant, s.pos.ID, o) == nil {
					add(f.Part)
				}
			}
		}
	}
	slices.SortStableFunc(others, func(a, b option) int {
		return cmp.Or(order(a.foreign, b.foreign), order(a.part.NotAvailable, b.part.NotAvailable),
			cmp.Compare(b.standing.Rank(), a.standing.Rank()), order(!a.priced, !b.priced),
			cmp.Compare(a.price, b.price), cmp.Compare(a.part.ID, b.part.ID))
	})
	if s.state != Open {
		kept := option{part: there, sizes: g.Sizes, kept: true}
		if there != nil {
			kept.standing, kept.stated = p.statement(s, there)
		}
		s.options = append(s.options, kept)
	}
	s.options = append(s.options, others...)
	if len(s.options) == 0 { // open, and the catalogue lists nothing: not judged
		s.options = []option{{kept: true}}
	}
}

func order(a, b bool) int {
	switch {
	case a == b:
		return 0
	case b:
		return -1
	}
	return 1
}

func (p *problem) option(s *place, part *catalog.Part) option {
	o := option{part: part}
	o.standing, o.stated = p.statement(s, part)
	o.foreign = !o.stated
	if m, ok := p.ix.LeastPrice(part.ID, p.currency); ok {
		o.priced = true
		o.price = m.Minor * int64(max(1, p.ix.Quantity(p.variant.ID, s.pos.ID)))
	}
	return o
}

// statement finds the catalogue's own word on a part at a place of the variant.
func (p *problem) statement(s *place, part *catalog.Part) (catalog.Standing, bool) {
	for _, f := range p.ix.Fits(p.variant.ID, s.pos.ID) {
		if f.Part == part.ID && f.Standing != catalog.Doubted {
			return f.Standing, true
		}
	}
	return catalog.Derived, false
}

// spread marks the places where something may have to change: the target, and
// every place that some option at a marked place does not go with as it is. What
// is not marked can be left alone in every answer with the fewest changes.
func (p *problem) spread() {
	queue := []int{p.target}
	p.places[p.target].region = true
	for len(queue) > 0 {
		i := queue[0]
		queue = queue[1:]
		for _, r := range p.places[i].rules {
			k := p.rules[r].other(i)
			if p.places[k].region || p.alwaysGoes(r, i, k) {
				continue
			}
			p.places[k].region = true
			queue = append(queue, k)
		}
	}
}

// alwaysGoes: every option at i goes with what is kept at k, or with every option
// there when k is open.
func (p *problem) alwaysGoes(r, i, k int) bool {
	last := 1
	if p.places[k].state == Open {
		last = len(p.places[k].options)
	}
	for x := range p.places[i].options {
		for y := range last {
			if p.judge(r, i, x, k, y) != catalog.Holds {
				return false
			}
		}
	}
	return true
}

func (r *rule) other(i int) int {
	if r.a == i {
		return r.b
	}
	return r.a
}

func (r *rule) seat(i int) catalog.Seat {
	if r.a == i {
		return r.rec.A
	}
	return r.rec.B
}

// judge says whether option x at place i goes with option y at place k by one
// mate. What nobody vouches for is Unknown; a change to a part of another variant
// needs a mate that holds.
func (p *problem) judge(r, i, x, k, y int) catalog.Verdict {
	m := &p.rules[r]
	a, b := &p.places[i].options[x], &p.places[k].options[y]
	if a.kept && b.kept {
		return catalog.Holds
	}
	va, vb := p.value(a, m.seat(i)), p.value(b, m.seat(k))
	got := m.rec.Judge(va, vb)
	if m.a != i {
		got = m.rec.Judge(vb, va)
	}
	if got != catalog.Unknown {
		return got
	}
	if vouched(a, m.seat(i)) && vouched(b, m.seat(k)) {
		return catalog.Holds
	}
	if a.foreign && i != p.target || b.foreign && k != p.target {
		return catalog.Broken
	}
	return catalog.Unknown
}

// vouched: the catalogue states the fit, and the size was not changed since.
func vouched(o *option, seat catalog.Seat) bool {
	return o.stated && !slices.ContainsFunc(o.sizes, func(a *catalog.Attribute) bool { return a.Name == seat.Name && a.At == seat.At })
}

func (p *problem) value(o *option, seat catalog.Seat) catalog.Value {
	for _, a := range o.sizes {
		if a.Name == seat.Name && a.At == seat.At {
			return a.Value
		}
	}
	if o.part == nil {
		return catalog.Value{}
	}
	if a, ok := p.ix.Attribute(o.part.ID, seat.Name, seat.At); ok {
		return a.Value
	}
	return catalog.Value{}
}

// wheelOff is a wheel of the variant whose tooth count a part does not have: with it
// the box would be another variant. Nil when all counts agree; a count that the
// part does not state agrees.
func wheelOff(ix *catalog.Index, v *catalog.Variant, pos catalog.PositionID, part *catalog.Part) *Fact {
	family, ok := ix.Family(v.Family)
	if !ok {
		return nil
	}
	for _, w := range family.Wheels {
		want, known := ix.Teeth(v.ID, w.ID)
		a, ok := ix.Attribute(part.ID, catalog.KeyTeeth, w.At)
		if w.Position != pos || !known || !ok || a.Value.Number == int64(want) {
			continue
		}
		return &Fact{Code: FactTeeth, Position: pos, Expected: strconv.Itoa(want), Found: a.Value.String(),
			Text: fmt.Sprintf("%s of %s has %d teeth, and %s has %s", lowerFirst(w.Label), v.Name, want, PartName(part), a.Value)}
	}
	return nil
}
