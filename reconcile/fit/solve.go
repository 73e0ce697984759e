package fit

import (
	"cmp"
	"slices"

	"layshaft/catalog"

	"github.com/crillab/gophersat/solver"
)

// fact is what may be left out of a problem: a mate, or that a place is fixed.
type fact struct {
	rule  int // -1 when it is about a place
	place int
}

// facts of the region, in list order.
func (p *problem) facts() []fact {
	var out []fact
	for r := range p.rules {
		if p.places[p.rules[r].a].region && p.places[p.rules[r].b].region {
			out = append(out, fact{r, -1})
		}
	}
	for i := range p.places {
		if p.places[i].region && p.places[i].state == Fixed {
			out = append(out, fact{-1, i})
		}
	}
	return out
}

// choice is an option for every place, 0 outside the region.
type choice []int

// encoding numbers the options of the region for the solver. Every place is filled
// by exactly one of them.
type encoding struct {
	first []int // variable of a place's first option
	base  [][]int
	lits  []int // options that are changes
	next  int   // first variable that is free
}

func (p *problem) encode() *encoding {
	e := &encoding{first: make([]int, len(p.places))}
	next := 1
	for i := range p.places {
		s := &p.places[i]
		if !s.region {
			continue
		}
		e.first[i] = next
		all := make([]int, len(s.options))
		for x := range s.options {
			all[x] = next + x
			if p.isChange(i, x) {
				e.lits = append(e.lits, next+x)
			}
		}
		next += len(s.options)
		e.base = append(e.base, all)
		for x := range all {
			for y := range x {
				e.base = append(e.base, []int{-all[x], -all[y]})
			}
		}
	}
	e.next = next
	return e
}

// atMost allows n of the changes, with a counter that runs along them (Sinz 2005:
// after change i, counter j is set when more than j of the changes so far are
// made). Plain clauses, since the solver's own cardinality constraints were seen to
// accept one change too many.
func (e *encoding) atMost(cs [][]int, n int) [][]int {
	if n == 0 {
		for _, l := range e.lits {
			cs = append(cs, []int{-l})
		}
		return cs
	}
	count := func(i, j int) int { return e.next + i*n + j }
	for i, l := range e.lits {
		cs = append(cs, []int{-l, count(i, 0)})
		if i == 0 {
			continue
		}
		for j := range n {
			cs = append(cs, []int{-count(i-1, j), count(i, j)})
			if j > 0 {
				cs = append(cs, []int{-l, -count(i-1, j-1), count(i, j)})
			}
		}
		cs = append(cs, []int{-l, -count(i-1, n-1)})
	}
	return cs
}

// isChange: the option counts among the changes.
func (p *problem) isChange(i, x int) bool {
	return i != p.target && p.places[i].state != Open && !p.places[i].options[x].kept
}

// solve looks for a choice that keeps the facts given, with at most limit changes
// (none set when negative). Unknown counts as going together when lenient.
func (p *problem) solve(e *encoding, facts []fact, lenient bool, limit int) (choice, bool) {
	cs := slices.Clip(e.base)
	for _, f := range facts {
		if f.rule < 0 {
			cs = append(cs, []int{e.first[f.place]})
			continue
		}
		cs = p.clauses(cs, e, f.rule, lenient)
	}
	if limit >= 0 && limit < len(e.lits) {
		cs = e.atMost(cs, limit)
	}
	s := solver.New(solver.ParseSlice(cs))
	if s.Solve() != solver.Sat {
		return nil, false
	}
	model := s.Model()
	out := make(choice, len(p.places))
	for i := range p.places {
		for x := range p.places[i].options {
			if v := e.first[i]; v > 0 && model[v+x-1] {
				out[i] = x
			}
		}
	}
	return out, true
}

// clauses forbids the pairs that break a mate.
func (p *problem) clauses(cs [][]int, e *encoding, r int, lenient bool) [][]int {
	i, k := p.rules[r].a, p.rules[r].b
	for x := range p.places[i].options {
		for y := range p.places[k].options {
			if !allowed(p.judge(r, i, x, k, y), lenient) {
				cs = append(cs, []int{-(e.first[i] + x), -(e.first[k] + y)})
			}
		}
	}
	return cs
}

func allowed(v catalog.Verdict, lenient bool) bool {
	return v == catalog.Holds || lenient && v == catalog.Unknown
}

// fewest is the choice with the fewest changes; of these the one with the fewest
// parts that only sizes speak for, then the fewest that nobody offers, then the
// cheapest, then the first by the order of options.
// It is the first one found when proven is false.
func (p *problem) fewest(e *encoding, facts []fact, lenient bool) (c choice, proven, ok bool) {
	any, ok := p.solve(e, facts, lenient, -1)
	if !ok {
		return nil, false, false
	}
	most := p.changes(any)
	for k := p.mustChange(facts, lenient); k < most; k++ {
		if c, ok := p.solve(e, facts, lenient, k); ok {
			any = c
			break
		}
	}
	s := &search{p: p, lenient: lenient, limit: p.changes(any), best: any, bestCost: p.costOf(any), left: maxNodes}
	s.run()
	return s.best, s.left >= 0, true
}

func (p *problem) changes(c choice) int {
	n := 0
	for i := range c {
		if p.isChange(i, c[i]) {
			n++
		}
	}
	return n
}

// cost of a choice: parts that only sizes speak for, changes nobody offers, money.
type cost struct {
	derived, unpriced int
	minor             int64
}

func (c cost) less(o cost) bool {
	return cmp.Or(cmp.Compare(c.derived, o.derived), cmp.Compare(c.unpriced, o.unpriced), cmp.Compare(c.minor, o.minor)) < 0
}

func (c cost) plus(o cost) cost {
	return cost{c.derived + o.derived, c.unpriced + o.unpriced, c.minor + o.minor}
}

func (p *problem) costAt(i, x int) cost {
	if !p.isChange(i, x) {
		return cost{}
	}
	var c cost
	o := &p.places[i].options[x]
	if o.foreign {
		c.derived = 1
	}
	if o.priced {
		c.minor = o.price
	} else {
		c.unpriced = 1
	}
	return c
}

func (p *problem) costOf(c choice) cost {
	var sum cost
	for i := range c {
		sum = sum.plus(p.costAt(i, c[i]))
	}
	return sum
}
