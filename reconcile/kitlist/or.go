package kitlist

// find is anything that was read at a place: a designation, a size, a thread, a tooth count, a number.
type find struct {
	a, b int
	role role
}

// findEnding and findStarting look for a find that ends just before, or begins at, an atom.
func (e *entry) findEnding(i int) (find, bool) {
	p := e.back(i)
	r := e.roleOf(p)
	if !identifies(r) {
		return find{}, false
	}
	a := p
	for a-1 >= e.body && e.at[a-1].group == e.at[p].group {
		a--
	}
	return find{a, p + 1, r}, true
}

func (e *entry) findStarting(i int) (find, bool) {
	i = e.skip(i)
	r := e.roleOf(i)
	if !identifies(r) {
		return find{}, false
	}
	b := i + 1
	for b < e.b && e.at[b].group == e.at[i].group {
		b++
	}
	return find{i, b, r}, true
}

func identifies(r role) bool {
	return r == rDesignation || r == rSize || r == rThread || r == rTeeth || r == rNumber
}

// splitOr cuts "30205 or 32205", "17T oder 18T", "2 lip seals or 2 o-rings": of such parts only one is meant. What is
// said before the first and after the last counts for all; an "or" between other words is a question.
func (e *entry) splitOr() []part {
	var cuts, starts []int
	for _, h := range e.hits {
		if h.meaning != mOr || !e.free(h.a, h.b) || h.a <= e.body || e.inNote(h.a) || e.denies(h.a) {
			continue
		}
		end := h.a
		if p := e.back(h.a); e.text(p) == "," {
			end = p
		}
		l, okL := e.findEnding(end)
		r, okR := e.findStarting(h.b)
		switch {
		case okL && okR && l.role == r.role:
			if len(starts) == 0 {
				starts = append(starts, l.a)
			}
			cuts = append(cuts, r.a)
		case len(starts) == 0 && e.thing(e.body, h.a) && e.thing(h.b, e.b) && e.namedSoon(h.b) && !e.inBrackets(h.a):
			return e.eitherThing(h)
		default:
			e.ask("or", "which one is meant? "+e.raw(e.body, e.b), h.a, h.b)
		}
	}
	if len(cuts) == 0 {
		starts, cuts = e.shortOr()
	}
	if len(cuts) == 0 {
		return nil
	}
	lead := e.leadingCount(starts[0])
	parts := e.inherit(append(starts, cuts...))
	for i := range parts {
		parts[i].either = true
		if parts[i].count = nil; lead != nil {
			parts[i].count = lead
		}
	}
	return parts
}

// denies says that the entry opens with a denial: an "or" at atom i then means neither.
func (e *entry) denies(i int) bool {
	h, ok := e.find(e.body, i, mDeclined, mExcluded, mWithout)
	return ok && !e.thing(e.body, h.a) && e.thing(h.b, i)
}

// shortOr finds the Spanish and Italian "o", which is a word only between two finds of one kind.
func (e *entry) shortOr() (starts, cuts []int) {
	for i := e.body + 1; i+1 < e.b; i++ {
		if e.text(i) != "o" || !e.is(i-1, cSpace) || !e.is(i+1, cSpace) || e.at[i].role != none {
			continue
		}
		l, okL := e.findEnding(i)
		r, okR := e.findStarting(i + 1)
		if okL && okR && l.role == r.role && e.gap(i) == 1 {
			if len(starts) == 0 {
				starts = append(starts, l.a)
			}
			cuts = append(cuts, r.a)
		}
	}
	return starts, cuts
}

// leadingCount is the count before the names.
func (e *entry) leadingCount(before int) *count {
	for i := range e.counts {
		if c := &e.counts[i]; c.n > 0 && c.b <= before {
			return c
		}
	}
	return nil
}

// eitherThing cuts at an "or" between two named parts.
func (e *entry) eitherThing(h hit) []part {
	parts := e.cutAt([]int{e.body, e.skip(h.b)})
	parts[1].tails = true
	for i := range parts {
		parts[i].either = true
	}
	parts[0].own = true
	if !e.within(parts[1].a, e.b, rCount) {
		parts[1].count = e.leadingCount(h.a)
	} else if !e.within(e.body, h.a, rCount) {
		for i := range e.counts {
			if c := &e.counts[i]; c.n > 0 && c.a >= h.b {
				parts[0].count = c
			}
		}
	}
	return parts
}

// inNote says that atom i stands in a column of remarks.
func (e *entry) inNote(i int) bool {
	for _, c := range e.cells {
		if c.a <= i && i < c.b {
			return e.columnKind(c.col) == "note"
		}
	}
	return false
}

func (e *entry) inBrackets(i int) bool {
	depth := 0
	for k := e.body; k < i; k++ {
		switch e.text(k) {
		case "(":
			depth++
		case ")":
			depth--
		}
	}
	return depth > 0
}
