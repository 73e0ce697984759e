package fit

import "slices"

// maxCalls bounds the solver calls spent on proving that an explanation is the
// smallest one.
const maxCalls = 400

// core finds the smallest set of facts that no choice satisfies; smallest is
// false when the search was cut short and only no single fact can be left out.
func (p *problem) core(e *encoding, facts []fact) (out []fact, smallest bool) {
	calls := 0
	unsat := func(fs []fact) bool {
		calls++
		_, ok := p.solve(e, fs, true, -1)
		return !ok
	}
	start := facts
	if _, used, nothing := p.ruledOut(facts, true); nothing && unsat(used) {
		start = used
	}
	best := shrink(start, unsat)
	for _, order := range orders(start) {
		if c := shrink(order, unsat); len(c) < len(best) {
			best = c
		}
	}
	best, smallest = p.smaller(e, facts, best, maxCalls+calls, &calls)
	slices.SortFunc(best, func(a, b fact) int {
		if (a.rule < 0) != (b.rule < 0) {
			return order(b.rule < 0, a.rule < 0)
		}
		return a.rule - b.rule + a.place - b.place
	})
	return best, smallest
}

// orders in which facts are tried: leaving out another one first leads to another
// explanation.
func orders(facts []fact) [][]fact {
	back := slices.Clone(facts)
	slices.Reverse(back)
	half := len(facts) / 2
	return [][]fact{back, append(slices.Clone(facts[half:]), facts[:half]...)}
}

// shrink leaves out chunks, then single facts, as long as the rest can't be
// satisfied. What remains is minimal: nothing of it can be left out.
func shrink(facts []fact, unsat func([]fact) bool) []fact {
	kept := slices.Clone(facts)
	for chunk := (len(kept) + 1) / 2; chunk > 0; chunk /= 2 {
		for at := 0; at < len(kept); {
			rest := slices.Concat(kept[:at], kept[min(at+chunk, len(kept)):])
			if unsat(rest) {
				kept = rest
			} else {
				at += chunk
			}
		}
	}
	return kept
}

// smaller looks for an explanation with fewer facts than best: every explanation
// holds a fact of each set that some choice breaks, so the smallest set that hits
// all such sets found so far is either an explanation or shows another set.
func (p *problem) smaller(e *encoding, facts, best []fact, limit int, calls *int) ([]fact, bool) {
	var broken [][]fact
	for *calls < limit {
		hit := hitting(broken, len(best)-1)
		if hit == nil {
			return best, true
		}
		*calls++
		c, ok := p.solve(e, hit, true, -1)
		if !ok {
			return hit, true
		}
		broken = append(broken, p.grow(e, facts, hit, c, calls))
	}
	return best, false
}

// grow adds facts to a set that a choice satisfies for as long as one does, and
// returns those that had to stay out.
func (p *problem) grow(e *encoding, facts, kept []fact, c choice, calls *int) []fact {
	kept = slices.Clone(kept)
	var out []fact
	for _, f := range facts {
		if slices.Contains(kept, f) {
			continue
		}
		with := append(slices.Clone(kept), f)
		if !p.satisfies(c, f) {
			*calls++
			next, ok := p.solve(e, with, true, -1)
			if !ok {
				out = append(out, f)
				continue
			}
			c = next
		}
		kept = with
	}
	return out
}

// satisfies: the choice keeps one fact.
func (p *problem) satisfies(c choice, f fact) bool {
	if f.rule < 0 {
		return c[f.place] == 0
	}
	m := &p.rules[f.rule]
	return allowed(p.judge(f.rule, m.a, c[m.a], m.b, c[m.b]), true)
}

// hitting is the smallest set of at most limit facts with one of each set; nil
// when there is none. Without sets it is empty, not nil.
func hitting(sets [][]fact, limit int) []fact {
	for n := 0; n <= limit; n++ {
		if h := hitWith(sets, make([]fact, 0, n), n); h != nil {
			return h
		}
	}
	return nil
}

func hitWith(sets [][]fact, have []fact, left int) []fact {
	i := slices.IndexFunc(sets, func(s []fact) bool {
		return !slices.ContainsFunc(s, func(f fact) bool { return slices.Contains(have, f) })
	})
	if i < 0 {
		return have
	}
	if left == 0 {
		return nil
	}
	for _, f := range sets[i] {
		if h := hitWith(sets, append(slices.Clone(have), f), left-1); h != nil {
			return h
		}
	}
	return nil
}

// ruledOut says which options no option at a neighbour goes with (arc consistency),
// and which facts ruled them out. It stops where nothing is left at some place:
// then those facts explain why.
func (p *problem) ruledOut(facts []fact, lenient bool) (dead [][]bool, used []fact, nothing bool) {
	dead = make([][]bool, len(p.places))
	for i := range dead {
		dead[i] = make([]bool, len(p.places[i].options))
	}
	for changed := true; changed; {
		changed = false
		for _, f := range facts {
			n := 0
			if f.rule < 0 {
				n = kill(dead[f.place], func(x int) bool { return x == 0 })
			} else {
				n = p.revise(dead, f.rule, lenient)
			}
			if n == 0 {
				continue
			}
			changed = true
			if !slices.Contains(used, f) {
				used = append(used, f)
			}
			for i := range dead {
				if !slices.Contains(dead[i], false) {
					return dead, used, true
				}
			}
		}
	}
	return dead, used, false
}

// mustChange counts the places that can't keep what they have.
func (p *problem) mustChange(facts []fact, lenient bool) int {
	dead, _, _ := p.ruledOut(facts, lenient)
	n := 0
	for i := range dead {
		if p.places[i].state != Open && dead[i][0] && i != p.target {
			n++
		}
	}
	return n
}

func (p *problem) revise(dead [][]bool, r int, lenient bool) int {
	m := &p.rules[r]
	n := 0
	for _, end := range [2][2]int{{m.a, m.b}, {m.b, m.a}} {
		i, k := end[0], end[1]
		n += kill(dead[i], func(x int) bool {
			for y := range dead[k] {
				if !dead[k][y] && allowed(p.judge(r, i, x, k, y), lenient) {
					return true
				}
			}
			return false
		})
	}
	return n
}

func kill(dead []bool, keep func(int) bool) int {
	n := 0
	for x := range dead {
		if !dead[x] && !keep(x) {
			dead[x] = true
			n++
		}
	}
	return n
}
