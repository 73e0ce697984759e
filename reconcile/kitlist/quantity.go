package kitlist

import (
	"fmt"
	"slices"
	"strings"
)

// quantity settles the count and pack of an item from everything the entry says of it.
func (e *entry) quantity(n *Line, p part, hits []hit) Quantity {
	q := Quantity{Count: 1, Pack: 1, Assumed: true, Reason: "nothing said", Start: n.Start, End: n.Start}
	own := e.countsFor(p)
	best, pack := e.choose(n, own)
	if p.count != nil {
		best = p.count
	}
	if best != nil {
		q.Count, q.Assumed, q.Reason, q.Unit = best.n, false, best.rule, best.unit
		q.Start, q.End = e.start(best.a), e.end(best.b)
		if best.pack > 0 {
			q.Pack = best.pack
		}
	}
	if n := e.onlyNow(best); n > 0 {
		e.ask("short-supplied", fmt.Sprintf("%d of %d now: is the rest still to come?", n, q.Count), best.a, best.b)
		q.Count, q.Reason = n, q.Reason+", fewer now"
	}
	if e.zero != "" {
		q.Count, q.Assumed, q.Reason = 0, false, e.zero+" column says none"
		n.Flags.BackOrder = n.Flags.BackOrder || e.zero == "supplied" && !n.Flags.NotAvailable && !n.Flags.Excluded
	}
	if pack != nil {
		e.applyPack(&q, pack, best)
	}
	if q.Assumed && q.Reason == "nothing said" && e.countedAt(e.firstWord(max(p.a, e.body))) {
		q.Assumed, q.Reason = false, "named in the singular"
	}
	e.applyHits(&q, p, hits, own)
	if n := len(n.Gears); n > 0 && q.Assumed && q.Multiplier == "" {
		e.gearByGear(&q, p)
	}
	if q.Assumed && q.Multiplier == "" {
		e.gradesAsStock(n, &q)
	} else if best != nil {
		e.eachGrade(n, &q, best)
	}
	if e.pieces != nil && p.count == nil {
		e.allPieces(&q)
	}
	q.Pieces = q.Count * q.Pack
	e.standing(n, &q)
	if q.Multiplier == "" && best != nil && p.count == nil && (best.unit == "piece" && best.n == 1 || e.eachWord(best)) && e.twoPlaces(p, best.a) {
		q.Multiplier, q.Groups = "each", 2
	}
	if q.Multiplier == "" && best != nil && e.eachWord(best) {
		e.eachGear(n, &q)
	}
	if q.Multiplier == "per side" || q.Multiplier == "each" {
		q.Pieces *= max(q.Groups, 2)
	}
	return q
}

// onlyNow is a smaller count behind a dash or comma and "only": "springs x6 - only 4 today"; 0 when there is none.
func (e *entry) onlyNow(best *count) int {
	if best == nil || best.pack > 0 {
		return 0
	}
	for i := best.b; i < e.b; i++ {
		if n := e.small(e.skip(i + 1)); e.is(i, cLetters) && onlyWords[e.text(i)] && n > 0 && n < best.n && e.breaksClause(e.back(i)) {
			return n
		}
	}
	return 0
}

// allPieces takes the number of pieces from their column; a count and pack that differ are a question.
func (e *entry) allPieces(q *Quantity) {
	c := e.pieces
	if !q.Assumed && q.Count*q.Pack != c.n && q.Count != c.n {
		e.ask("two-quantity-columns", fmt.Sprintf("%d x %d, and %d in all: which is the quantity?", q.Count, q.Pack, c.n), c.a, c.b)
	}
	if q.Count*q.Pack != c.n {
		q.Count, q.Pack = c.n, 1
	}
	q.Assumed, q.Reason, q.Start, q.End = false, c.rule, e.start(c.a), e.end(c.b)
}

// eachGear reads "1st and 2nd, 1 each" and "1-2 and 3-4: 2 each".
func (e *entry) eachGear(n *Line, q *Quantity) {
	groups := len(n.Gears)
	if groups == 1 {
		groups = len(n.Gears[0].Gears)
	}
	if groups > 1 {
		q.Multiplier, q.Groups = "each", groups
	}
}

// gearByGear counts gears that are named one by one, "2nd, 3rd, 5th": one piece for each.
func (e *entry) gearByGear(q *Quantity, p part) {
	for _, g := range e.gears {
		a, _ := e.atomAt(g.Start)
		b, ok := e.atomEnd(g.End)
		if !ok || a < p.a || b > p.b || len(g.Gears) < minNamed || e.ranges(a, b) {
			continue
		}
		q.Count, q.Assumed, q.Reason, q.Start, q.End = len(g.Gears), false, "one for each gear named", g.Start, g.End
	}
}

// minNamed is how many gears must be named one by one to be counted: one part often serves two.
const minNamed = 3

// fillers open what is said aloud: "oh and", "ok then".
var fillers = wordSet("fillers")

// firstWord is the first atom behind a joining word that opens a line: "and a tube of sealant".
func (e *entry) firstWord(i int) int {
	i = e.skip(i)
	if h, ok := e.hitAt(i, mDemand); ok {
		return e.skip(h.b)
	}
	for fillers[e.text(i)] || andWords[e.text(i)] {
		if i = e.skip(i + 1); e.text(i) == "," {
			i = e.skip(i + 1)
		}
	}
	return i
}

// countsFor are the counts of a part, and those behind the last part when they apply to all.
func (e *entry) countsFor(p part) []count {
	return keep(e.counts, func(c count) bool {
		if c.strength == bare && e.has(max(p.a, e.body), c.a, mWith) {
			return false // "cluster w/ both washers"
		}
		return c.a >= p.a && c.b <= p.b || p.tails && c.a >= e.tailFrom
	})
}

// choose takes the strongest count and the pack beside it; two different strong counts are a question.
func (e *entry) choose(n *Line, own []count) (best, pack *count) {
	for i := range own {
		c := &own[i]
		switch {
		case c.n == 0:
			if pack == nil || c.strength > pack.strength {
				pack = c
			}
		case best != nil && best.strength >= trailer && e.inBrackets(c.a) && !e.inBrackets(best.a):
		case best != nil && best.strength == bracket && c.strength == trailer && c.a > best.b && !e.inBrackets(c.a):
			best = c // the count of the row
		case best == nil, best.each && !c.each, c.strength > best.strength && (best.each || !c.each):
			best = c
		}
	}
	for i := range own {
		c := &own[i]
		if best == nil || c == best || c.n == 0 || c.each {
			continue
		}
		if e.isPack(c, best, own) {
			pack = &count{a: c.a, b: c.b, pack: c.n, unit: "set", rule: c.rule, strength: c.strength}
		} else if c.n != best.n && c.strength >= trailer {
			if best.strength == column && c.strength < worded {
				continue
			}
			e.ask("two-quantities", fmt.Sprintf("%s and %s: which is the quantity?", best.rule, c.rule), min(c.a, best.a), max(c.b, best.b))
		}
	}
	if best != nil && pack == nil && best.strength == bracket && best.unit == "" && e.rollers(best.a) {
		pack = &count{a: best.a, b: best.b, pack: best.n, unit: "set", rule: best.rule}
		best = nil
	}
	return best, pack
}

// isPack says that count c stands for what is in one of best: "1 Satz (4 Stk.)", "2 x rollers (15)".
func (e *entry) isPack(c, best *count, own []count) bool {
	if t := e.text(e.back(c.a)); (t == "zu" || t == "de" || t == "of" || t == "a") && best.a < c.a && e.setNamed(c.a) && e.tailAt(c.b) {
		return true // "3 Gleitsteinsatz zu 3 Stück"
	}
	if t := e.text(e.back(c.a)); best.unit == "set" && (t == "a" || t == "zu" || t == "je") && c.a > best.b { // "3 Satz à 3 Stück"
		return true
	}
	if best.strength == column && c.strength == worded && c.unit == "piece" && e.setNamed(c.a) && !e.eachWord(c) {
		return true // "synchro ring set, 4 pcs" beside a column of counts
	}
	if next := e.skip(c.b); e.setNamed(c.a) && c.n > 0 && e.is(next, cLetters) && e.thing(next, next+1) && eachWords[e.text(e.skip(next+1))] {
		return true // "3 key sets, 3 keys each"
	}
	if best.strength >= trailer && c.strength == bracket && c.a < best.a && e.text(e.skip(c.a+1)) == "x" && e.thing(e.body, c.a, "key") {
		return true // "keys (x3)   3"
	}
	if best.strength == column && c.unit == "set" && c.pack == 0 && c.b == c.a+2 && e.is(c.a, cDigits) {
		return true // "9PK"
	}
	if e.text(c.a) != "(" && e.text(c.a) != "[" && !e.inBrackets(c.a) {
		return false
	}
	if c.n == best.n && c.n > maxRow && e.rollers(c.a) {
		return false // "(2 x 23)   46" says it twice
	}
	if best.strength == column && e.packNamed(c.a) {
		return true // "strut pack (3)"
	}
	return best.unit == "set" || e.rollers(c.a) || (c.a > best.a || best.strength == column) && (c.unit == "piece" || c.unit == "") && e.setNamed(c.a)
}

// packNamed says that a word for a pack stands just before atom i, or the bracket there.
func (e *entry) packNamed(i int) bool {
	p := e.back(i)
	if e.text(i) == "(" {
		p = e.back(i)
	}
	h, ok := e.find(p, p+1, mUnit)
	return ok && h.arg == "set"
}

// maxRow is more than the packs of rollers that one line counts.
const maxRow = 12

// setNamed says that a word for a set stands before atom i.
func (e *entry) setNamed(i int) bool {
	for k := e.body; k < i; k++ {
		if e.at[k].class == cLetters && len(e.text(k)) > 6 && strings.HasSuffix(e.text(k), "satz") {
			return true
		}
	}
	h, ok := e.find(e.body, i, mUnit, mKit, mSetOf)
	return ok && (h.meaning == mKit || h.meaning == mSetOf || h.arg == "set")
}

// rollers says that loose rollers are named before atom i.
func (e *entry) rollers(i int) bool { return e.thing(e.body, i, "roller") }

func (e *entry) applyPack(q *Quantity, pack, best *count) {
	if pack.pack > 0 {
		q.Pack = pack.pack
	}
	if q.Unit == "" || q.Unit == "piece" {
		q.Unit = pack.unit
	}
	if best == nil {
		q.Reason, q.Start, q.End = pack.rule, e.start(pack.a), e.end(pack.b)
		q.Assumed = pack.pack == 0 || pack.strength == column
	} else if pack.pack > 0 {
		q.Reason += " of " + pack.rule
	}
}

// applyHits reads multipliers, "all", sides and groups.
func (e *entry) applyHits(q *Quantity, p part, hits []hit, own []count) {
	for _, h := range hits {
		switch h.meaning {
		case mMultiplier:
			if slices.ContainsFunc(own, func(c count) bool { return !c.each && c.n > 0 }) && slices.ContainsFunc(own, func(c count) bool { return c.each }) {
				continue // "4 rings (2 per hub)": the count of all is said
			}
			q.Multiplier = h.arg
			q.Reason += ", " + e.raw(h.a, h.b)
		case mAll:
			if q.Assumed && q.Multiplier == "" && !e.setOfAll(p, h) {
				q.Multiplier = "all"
			}
		case mGroup:
			k := e.back(h.a)
			if n := e.groupCount(k); n > 0 && e.has(e.body, h.a, mAll, mFor) {
				q.Multiplier, q.Groups, q.Assumed = h.arg, n, true
				q.Reason = "for all " + e.raw(k, h.b)
				q.Count, q.Unit = 1, ""
			} else if n > 0 && q.Multiplier == h.arg {
				q.Groups = n // "2 per hub (3 hubs)"
			}
		case mSides:
			if len(own) == 0 || q.Unit == "piece" && q.Count == 1 {
				q.Multiplier = "per side"
				q.Reason += ", " + e.raw(h.a, h.b)
			}
		}
	}
}

// setOfAll says that "all" only stands in "all seals" of a set's description.
func (e *entry) setOfAll(p part, h hit) bool {
	return e.has(max(p.a, e.body), h.a, mWith, mContentWith)
}

// placeLetters stand for a place only beside another: "F & R", "L/R".
var placeLetters = wordSet("placeLetters")

// twoPlaces says that "front and rear" stands before a count of each.
func (e *entry) twoPlaces(p part, before int) bool {
	var at []int
	for i := max(p.a, e.body); i < before; i++ {
		if t := e.at[i].text; e.at[i].class == cLetters && (placeWords[t] || placeEnds[t] || placeLetters[t]) {
			at = append(at, i)
		}
	}
	for k := 1; k < len(at); k++ {
		if _, ok := e.joiner(at[k-1]+1, at[k]); ok {
			return true
		}
	}
	return false
}

func (e *entry) groupCount(i int) int {
	if !e.is(i, cDigits) || len(e.at[i].text) > 2 {
		return 0
	}
	n := 0
	for _, c := range e.at[i].text {
		n = n*10 + int(c-'0')
	}
	return n
}

// gradesAsStock counts listed shim grades as one piece each, which must be confirmed.
func (e *entry) gradesAsStock(n *Line, q *Quantity) {
	for _, g := range n.Sizes {
		if !g.Grades || len(g.Measures) < 2 {
			continue
		}
		a, _ := e.atomAt(g.Start)
		b, ok := e.atomEnd(g.End)
		if !ok {
			continue
		}
		raw := e.raw(a, b)
		switch {
		case strings.Contains(raw, "-") && len(g.Measures) == 2:
			e.ask("grade-range", "a range of grades, "+raw+": which ones, in which steps?", a, b)
		case e.has(e.body, e.b, mSelect):
			e.ask("grades", "one of these grades, or one of each? "+raw, a, b)
		default:
			q.Count, q.Reason = len(g.Measures), "one of each grade listed"
			e.ask("grades", "one of each grade? "+raw, a, b)
		}
	}
}

// eachGrade reads "1.85 1.90 1.95 x1 each".
func (e *entry) eachGrade(n *Line, q *Quantity, best *count) {
	if !e.eachWord(best) {
		return
	}
	for _, g := range n.Sizes {
		if g.Grades && len(g.Measures) > 1 {
			q.Count *= len(g.Measures)
			q.Reason += " of each grade"
			return
		}
	}
}

// eachWords say that a count holds for every one of the things named.
var eachWords = wordSet("eachWords")

// unitCell says that a unit fills a cell of its own, where every row has one: "EA" is no "each" there.
func (e *entry) unitCell(h hit) bool {
	for _, c := range e.cells {
		if a, b := e.tight(c); a == h.a && b == h.b {
			return true
		}
	}
	return false
}

// eachWord says that such a word stands in, before or behind a count.
func (e *entry) eachWord(c *count) bool {
	for _, h := range e.hits {
		if h.meaning == mUnit && !e.unitCell(h) && (h.a >= c.a && h.b <= c.b || h.a == e.skip(c.b) || e.back(c.a) == h.b-1) && eachWords[Fold(e.raw(h.a, h.b))] {
			return true
		}
	}
	return false
}

// standing takes away the pieces that a line expressly does not bring.
func (e *entry) standing(n *Line, q *Quantity) {
	f := n.Flags
	switch {
	case f.Excluded, f.NotAvailable, f.BackOrder:
		q.Pieces = 0
	case f.Conditional && f.Variant == "" && q.Assumed:
		q.Pieces = 0
	}
	if q.Count > 500 && !e.rollers(e.b) && !f.Excluded {
		e.ask("quantity-implausible", fmt.Sprintf("%d pieces?", q.Count), e.body, e.b)
	}
}
