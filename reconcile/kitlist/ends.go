package kitlist

// splitEnds cuts "front and rear seals" and "seals - f + r": one name in the plural at two places is two parts. Left and
// right stay one line, "per side": those are often the same part.
func (e *entry) splitEnds() []part {
	if len(e.cells) > 0 || len(e.designations) > 0 || len(e.sizes) > 0 || len(e.traits) == 0 || e.has(e.body, e.b, mSides, mWith, mWithout, mContentWith) {
		return nil
	}
	var at []int
	for i := e.body; i < e.b; i++ {
		if t := e.at[i].text; e.at[i].class == cLetters && (placeWords[t] || placeLetters[t] || placeEnds[t]) && e.at[i].word.thing == "" {
			at = append(at, i)
		}
	}
	for k := 1; k < len(at); k++ {
		l, r := at[k-1], at[k]
		sep, ok := e.joiner(l+1, r)
		if !ok || sep == "," || e.text(l) == e.text(r) || e.inBrackets(l) || !e.divides(l, r) {
			continue
		}
		parts := e.cutAt([]int{e.body, r})
		if e.thing(e.body, l) {
			parts[1].heads = [][2]int{{e.body, l}}
		} else {
			parts[0].heads = [][2]int{{r + 1, e.b}}
		}
		for i := range parts {
			if parts[i].tails = true; len(e.counts) > 0 {
				c := e.counts[0]
				if !e.eachWord(&c) {
					c.n /= 2
				}
				parts[i].count = &c
			}
		}
		return parts
	}
	return nil
}

// divides says that the names stand in the plural, all before or all behind the two places, with no count, or one that
// is for each or can be halved.
func (e *entry) divides(l, r int) bool {
	before, behind := e.thing(e.body, l), e.thing(r+1, e.b)
	if before == behind || e.thing(l, r) {
		return false
	}
	for _, t := range e.traits {
		if t.kind != "shaft" && !e.at[t.at].word.plural { // "laygear thrusts"
			return false
		}
	}
	switch len(e.counts) {
	case 0:
		return true
	case 1:
		c := &e.counts[0]
		return c.n > 0 && c.pack == 0 && (e.eachWord(c) || c.n == 2)
	}
	return false
}
