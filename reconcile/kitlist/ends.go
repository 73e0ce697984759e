package kitlist

// splitEnds cuts "front and rear seals", "seals - f + r" and "oil seals: front, rear and selector": one name in the plural
// at several places is as many parts. Left and right stay one line, "per side": those are often the same part.
func (e *entry) splitEnds() []part {
	if e.filled() > 1 || len(e.designations) > 0 || len(e.sizes) > 0 || len(e.traits) == 0 || e.has(e.body, e.b, mSides, mWith, mWithout, mContentWith) {
		return nil
	}
	at := e.placeRun()
	if len(at) < 2 || e.inBrackets(at[0]) || !e.divides(at) {
		return nil
	}
	starts := append([]int{e.body}, at[1:]...)
	parts := e.cutAt(starts)
	before, last := e.thing(e.body, at[0]), at[len(at)-1]
	for i := range parts {
		switch {
		case before && i > 0:
			parts[i].heads = [][2]int{{e.body, at[0]}}
		case !before && i < len(parts)-1:
			end := e.b
			for e.is(end-1, cSpace) || e.text(end-1) == "," || e.text(end-1) == ";" {
				end--
			}
			parts[i].heads = [][2]int{{last + 1, end}}
		}
		if parts[i].tails = true; len(e.counts) > 0 {
			c := e.counts[0]
			parts[i].count = &c
		}
	}
	return parts
}

// spread cuts the pieces of a message that name one thing at several places: "need f+r seals, gasket set and 2 bearings".
func (e *entry) spread(parts []part) []part {
	var out []part
	for _, p := range parts {
		if !p.own || len(p.heads) > 0 {
			out = append(out, p)
			continue
		}
		in := func(at int) bool { return at >= max(p.a, e.body) && at < p.b }
		one := *e
		one.a, one.body, one.b = p.a, max(p.a, e.body), p.b
		one.traits = keep(e.traits, func(t trait) bool { return in(t.at) })
		one.counts = keep(e.counts, func(c count) bool { return in(c.a) })
		one.designations = keep(e.designations, func(d Designation) bool { return d.Start >= e.start(one.body) && d.End <= e.end(p.b) })
		one.sizes = keep(e.sizes, func(g SizeGroup) bool { return g.Start >= e.start(one.body) && g.End <= e.end(p.b) })
		ends := one.splitEnds()
		if ends == nil {
			out = append(out, p)
		}
		for _, q := range ends {
			q.own, q.tails = true, false
			out = append(out, q)
		}
	}
	return out
}

// placeRun is the longest run of words that say where, joined by signs; the last by more than a comma.
func (e *entry) placeRun() []int {
	var run, best []int
	sep := ""
	keep := func() {
		if sep != "," && len(run) > len(best) {
			best = run
		}
		run, sep = nil, ""
	}
	for i := e.body; i < e.b; i++ {
		t := e.at[i].text
		if e.at[i].class != cLetters || !placeWords[t] && !placeLetters[t] && !placeEnds[t] || e.at[i].word.thing != "" {
			continue
		}
		if n := len(run); n > 0 {
			s, ok := e.joiner(run[n-1]+1, i)
			if !ok || e.text(run[n-1]) == t || s != "and" && !andWords[s] && sizeWords[t] {
				keep()
			} else {
				sep = s
			}
		}
		run = append(run, i)
	}
	keep()
	return best
}

// sizeWords tell two parts of one line apart by size; with a slash between they stay one line: "washers large/small".
var sizeWords = wordSet("sizeWords")

// divides says that the names stand in the plural, all before or all behind the places, with no count, or one that is for
// each or can be divided.
func (e *entry) divides(at []int) bool {
	first, last := at[0], at[len(at)-1]
	before, behind := e.thing(e.body, first), e.thing(last+1, e.b)
	if before == behind || e.thing(first, last) {
		return false
	}
	head := e.traits[len(e.traits)-1].at // "oil seals", "laygear thrusts"
	if k := e.skip(head + 1); e.text(head+1) == "/" && e.thing(k, k+1) || !e.at[head].word.plural && !e.at[e.traits[0].at].word.plural {
		return false
	}
	for _, t := range e.traits[:len(e.traits)-1] {
		if between := e.skip(t.at + 1); !e.thing(between, between+1) && !e.at[t.at].word.plural {
			return false // two names: "front cover gasket and rear cover"
		}
	}
	switch len(e.counts) {
	case 0:
		return true
	case 1:
		c := &e.counts[0]
		return c.n > 0 && c.pack == 0 && e.eachWord(c)
	}
	return false
}
