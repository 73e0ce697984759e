package fit

import "slices"

// maxNodes bounds the search for the cheapest choice: far above what gearboxes
// need, and it keeps a hostile catalogue from holding up a server.
const maxNodes = 200_000

// search finds the cheapest of the choices with the fewest changes. At every node
// some places are settled and the others keep what they have; a kept part that
// does not go with a settled one must change, so only the ways to change it
// are tried.
type search struct {
	p        *problem
	lenient  bool
	limit    int
	settled  []bool
	now      choice
	cost     cost
	changes  int
	best     choice
	bestCost cost
	left     int
}

func (s *search) run() {
	s.settled = make([]bool, len(s.p.places))
	s.now = make(choice, len(s.p.places))
	s.settled[s.p.target] = true
	s.node()
}

func (s *search) node() {
	if s.left--; s.left < 0 || s.bestCost.less(s.cost) {
		return
	}
	i, more := s.next()
	if more.changes > s.limit-s.changes || s.bestCost.less(s.cost.plus(more.cost)) {
		return
	}
	if i < 0 {
		if s.cost.less(s.bestCost) || slices.Compare(s.now, s.best) < 0 {
			s.best, s.bestCost = slices.Clone(s.now), s.cost
		}
		return
	}
	s.settled[i] = true
	for x := range s.p.places[i].options {
		if s.p.places[i].options[x].kept && s.p.places[i].state != Open || !s.goes(i, x) {
			continue
		}
		s.set(i, x)
	}
	s.settled[i], s.now[i] = false, 0
}

// set tries option x at place i.
func (s *search) set(i, x int) {
	was, changes := s.cost, s.changes
	c := s.p.costAt(i, x)
	s.cost = s.cost.plus(c)
	if s.p.isChange(i, x) {
		s.changes++
	}
	s.now[i] = x
	if s.changes <= s.limit {
		s.node()
	}
	s.cost, s.changes = was, changes
}

// toll is what the places that must change cost at least.
type toll struct {
	changes int
	cost    cost
}

// next is a place of the region that must be settled: an open one, or one whose
// part does not go with a settled one, that with the fewest ways; -1 when there is
// none. Toll is what all of them cost at least.
func (s *search) next() (int, toll) {
	best, ways := -1, 0
	var sum toll
	for i := range s.p.places {
		place := &s.p.places[i]
		if !place.region || s.settled[i] || place.state != Open && s.goes(i, 0) {
			continue
		}
		n := 0
		var least cost
		for x := range place.options {
			if place.options[x].kept && place.state != Open || !s.goes(i, x) {
				continue
			}
			if c := s.p.costAt(i, x); n == 0 || c.less(least) {
				least = c
			}
			n++
		}
		if place.state != Open {
			sum.changes++
			sum.cost = sum.cost.plus(least)
		}
		if best < 0 || n < ways {
			best, ways = i, n
		}
	}
	return best, sum
}

// goes: option x at place i goes with everything that is settled.
func (s *search) goes(i, x int) bool {
	if s.p.places[i].state == Fixed && x > 0 {
		return false
	}
	for _, r := range s.p.places[i].rules {
		k := s.p.rules[r].other(i)
		if s.settled[k] && k != i && s.p.places[k].region && !allowed(s.p.judge(r, i, x, k, s.now[k]), s.lenient) {
			return false
		}
	}
	return true
}
