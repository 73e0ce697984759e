package fit

import (
	"fmt"
	"slices"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

func (p *problem) answer() (*Answer, error) {
	e, facts := p.encode(), p.facts()
	sure, provenSure, okSure := p.fewest(e, facts, false)
	maybe, proven, ok := sure, provenSure, okSure
	if !okSure || p.changes(sure) > 0 {
		maybe, proven, ok = p.fewest(e, facts, true)
	}
	if !ok {
		a := &Answer{Verdict: No, Cheapest: true}
		core, smallest := p.core(e, facts)
		a.Smallest = smallest
		for _, f := range core {
			a.Because = append(a.Because, p.factOf(f))
		}
		return a, nil
	}
	if err := p.check(maybe, true); err != nil {
		return nil, err
	}
	t := &p.places[p.target].options[0]
	a := &Answer{Standing: t.standing, Smallest: true}
	a.Measure = p.noEvidence(t)
	switch {
	case okSure && p.changes(sure) <= p.changes(maybe) && len(a.Measure) == 0:
		a.Verdict = Yes
		if p.changes(sure) > 0 {
			a.Verdict = YesIf
		}
	default:
		a.Verdict, a.Standing = Unknown, ""
		a.Measure = append(a.Measure, p.measures(maybe)...)
	}
	a.Cheapest = proven
	if okSure {
		if err := p.check(sure, false); err != nil {
			return nil, err
		}
		a.Cheapest = provenSure
		p.tell(a, sure)
	}
	a.Together = p.together(a)
	return a, nil
}

// check asserts that a choice breaks no rule of the region.
func (p *problem) check(c choice, lenient bool) error {
	for _, f := range p.facts() {
		ok := f.rule < 0 && c[f.place] == 0
		if f.rule >= 0 {
			m := &p.rules[f.rule]
			ok = allowed(p.judge(f.rule, m.a, c[m.a], m.b, c[m.b]), lenient)
		}
		if !ok {
			return fmt.Errorf("fit: the parts found for %s break a rule of the question", p.places[p.target].pos.ID)
		}
	}
	return nil
}

// noEvidence says what to look at when neither a statement nor a mate speaks for
// the part.
func (p *problem) noEvidence(t *option) []*Measure {
	s := &p.places[p.target]
	if t.stated || len(s.rules) > 0 && !t.part.Special {
		return nil
	}
	text := fmt.Sprintf("the catalogue states no fit and has no rule for the %s: compare %s with the old part on the bench", posName(s.pos), PartName(t.part))
	if t.part.Special {
		text = fmt.Sprintf("%s is special and never taken by its sizes alone: compare it with the old part on the bench", PartName(t.part))
	}
	return []*Measure{{Position: s.pos.ID, Part: t.part.ID, Text: text}}
}

// measures lists what is not stated where a choice rests on it, each once.
func (p *problem) measures(c choice) []*Measure {
	var out []*Measure
	add := func(i int, seat catalog.Seat, because string) {
		o := &p.places[i].options[c[i]]
		m := &Measure{Position: p.places[i].pos.ID, Seat: seat}
		what := "the " + posName(p.places[i].pos) + " in the box"
		if o.part != nil {
			m.Part, what = o.part.ID, PartName(o.part)
		}
		m.Text = fmt.Sprintf("measure or look up the %s of %s: %s", p.label(seat), what, because)
		if def, ok := p.ix.AttributeDef(seat.Name); ok {
			m.HowTo = def.HowTo
		}
		if !slices.ContainsFunc(out, func(x *Measure) bool { return x.Position == m.Position && x.Seat == m.Seat }) {
			out = append(out, m)
		}
	}
	for r := range p.rules {
		m := &p.rules[r]
		if !p.places[m.a].region && !p.places[m.b].region || p.judge(r, m.a, c[m.a], m.b, c[m.b]) != catalog.Unknown {
			continue
		}
		va := p.value(&p.places[m.a].options[c[m.a]], m.rec.A)
		vb := p.value(&p.places[m.b].options[c[m.b]], m.rec.B)
		if !va.Stated() || vb.Stated() {
			add(m.a, m.rec.A, m.rec.Reason)
		}
		if !vb.Stated() {
			add(m.b, m.rec.B, m.rec.Reason)
		}
	}
	return out
}

// tell lists the changes of a choice, with their cost.
func (p *problem) tell(a *Answer, c choice) {
	for i := range c {
		if !p.isChange(i, c[i]) {
			continue
		}
		s := &p.places[i]
		to := &s.options[c[i]]
		ch := &Change{Position: s.pos.ID, To: to.part.ID, Standing: to.standing,
			Pieces: p.ix.Quantity(p.variant.ID, s.pos.ID), Reasons: p.reasons(i, c)}
		if was := s.options[0].part; was != nil {
			ch.From = was.ID
		}
		if m, ok := p.ix.LeastPrice(to.part.ID, p.currency); ok {
			ch.Price = &m
		}
		a.Changes = append(a.Changes, ch)
	}
	total := p.costOf(c)
	a.Unpriced = total.unpriced
	if len(a.Changes) > total.unpriced {
		a.Cost = quantity.Money{Minor: total.minor, Currency: p.currency}
	}
}

// reasons are the mates that the part kept at place i would break.
func (p *problem) reasons(i int, c choice) []*Fact {
	var out []*Fact
	for _, r := range p.places[i].rules {
		k := p.rules[r].other(i)
		if p.judge(r, i, 0, k, c[k]) == catalog.Holds {
			continue
		}
		seat, far := p.rules[r].seat(i), p.rules[r].seat(k)
		has := p.value(&p.places[i].options[0], seat)
		there := &p.places[k].options[c[k]]
		f := &Fact{Code: FactMate, Position: p.places[i].pos.ID, Mate: p.rules[r].rec, Found: shown(has),
			Expected: p.wanted(r, i, p.value(there, far))}
		what := "part of it"
		if there.part != nil {
			what = PartName(there.part)
		}
		f.Text = fmt.Sprintf("%s %s, wanted %s because the %s is %s", p.label(seat), f.Found, f.Expected, posName(p.places[k].pos), what)
		out = append(out, f)
	}
	return out
}

func (p *problem) together(a *Answer) []*catalog.Bond {
	var out []*catalog.Bond
	add := func(id catalog.PositionID) {
		for _, b := range p.ix.BondsAt(p.variant.Family, id) {
			if !slices.Contains(out, b) {
				out = append(out, b)
			}
		}
	}
	add(p.places[p.target].pos.ID)
	for _, c := range a.Changes {
		add(c.Position)
	}
	return out
}
