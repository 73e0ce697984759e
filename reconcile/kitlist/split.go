package kitlist

import "slices"

// part is one of the things that an entry names.
type part struct {
	a, b   int      // atoms
	heads  [][2]int // atoms of earlier parts that apply too
	tails  bool     // counts and flags after the last part apply
	count  *count   // count given by position: "1/1"
	either bool     // only one of the parts so marked is meant
	own    bool     // stands for itself: nothing of the rest of the line applies
}

// minPhone is how many commas make a line a message that lists several things.
const minPhone = 3

// maxParts bounds how many things one line may name; longer ones stay whole.
const maxParts = 200

// split cuts an entry into its parts; one part is the usual case.
func (e *entry) split() []part {
	for _, f := range []func() []part{e.splitOr, e.splitPlaced, e.splitEnds, e.splitColon, e.splitTrailing, e.splitListed, e.splitMessage, e.splitBracket, e.splitCounts, e.splitDesignations, e.splitSizes, e.splitThings} {
		if parts := f(); parts != nil && len(parts) <= maxParts {
			return e.spread(parts)
		} else if parts != nil {
			e.ask("too-many-parts", "this line names very many things; break it into lines", e.body, e.b)
			break
		}
	}
	e.askUncut()
	return []part{{a: e.a, b: e.b}}
}

// askUncut asks about "front brg, 2 c/s brgs": one thing with a remark, or two?
func (e *entry) askUncut() {
	for _, c := range e.counts {
		if p := e.back(c.a); c.n > 0 && len(e.cells) == 0 && p > e.body && e.text(p) == "," && e.thing(e.body, p) && e.namedSoon(c.b) {
			e.ask("several-parts", "does this line name several parts?", e.body, e.b)
			return
		}
	}
}

// cutAt makes parts that begin at the given atoms; the first reaches back to the entry's start.
func (e *entry) cutAt(starts []int) []part {
	parts := make([]part, len(starts))
	for i, s := range starts {
		parts[i] = part{a: s, b: e.b}
		if i == 0 {
			parts[i].a = e.a
		} else {
			parts[i-1].b = s
		}
	}
	return parts
}

// splitMessage cuts a message at its commas and semicolons when most pieces name something.
func (e *entry) splitMessage() []part {
	if e.filled() > 1 {
		return nil
	}
	starts := []int{e.body}
	depth, semicolons := 0, 0
	for i := e.body; i < e.b; i++ {
		switch e.text(i) {
		case "(":
			depth++
		case ")":
			depth--
		case ";":
			semicolons++
			fallthrough
		case ",":
			if k := e.skip(i + 1); depth <= 0 && k < e.b && e.at[i].role == none && e.lettersIn(k, e.b) && !(e.is(i-1, cDigits) && e.is(i+1, cDigits)) {
				starts = append(starts, k)
			}
		}
	}
	if len(starts) <= minPhone && !(semicolons > 0 && len(starts) > 1) || len(e.designations) == 0 && len(e.traits) < 2 {
		return nil
	}
	starts = e.countsInside(starts)
	parts := e.cutAt(starts)
	good := 0
	nounFirst := e.wordCountIn(parts[0]) == 1
	for _, p := range parts {
		if nounFirst && !e.thing(p.a, p.b) {
			return nil // "key, synchroniser, standard thickness, pressed steel"
		}
		if e.thing(p.a, p.b) || e.within(p.a, p.b, rDesignation) || e.within(p.a, p.b, rCount) {
			good++
		}
	}
	if good*5 < len(parts)*3 {
		return nil
	}
	for i := range parts {
		parts[i].own = true
	}
	return parts
}

// countsInside adds the counts that stand before a further name without a comma: "9 keys 6 springs".
func (e *entry) countsInside(starts []int) []int {
	for i := range e.counts {
		c := &e.counts[i]
		at, found := slices.BinarySearch(starts, c.a)
		if found || at == 0 || c.rule != "number before the name" || e.inBrackets(c.a) {
			continue
		}
		if from := starts[at-1]; e.within(from, c.a, rCount) && e.thing(from, c.a) && e.is(e.back(c.a), cLetters) {
			starts = slices.Insert(starts, at, c.a)
		}
	}
	return starts
}

func (e *entry) wordCountIn(p part) int {
	n := 0
	for i := max(p.a, e.body); i < p.b; i++ {
		if e.at[i].class == cLetters && e.at[i].role != rCount && !e.sticky(i-1, -1) {
			n++
		}
	}
	return n
}

// within says that an atom of [a,b) has the role.
func (e *entry) within(a, b int, r role) bool {
	for i := a; i < b; i++ {
		if e.at[i].role == r {
			return true
		}
	}
	return false
}

// splitBracket takes out a bracket that names something not supplied: "gasket set (rear seal not included)".
func (e *entry) splitBracket() []part {
	for i := e.body; i < e.b; i++ {
		if e.text(i) != "(" {
			continue
		}
		j := i
		for j < e.b && e.text(j) != ")" {
			j++
		}
		if i > e.body && e.has(i, j, mExcluded) && e.thing(i, j) && e.skip(j+1) >= e.b && (e.thing(e.body, i) || e.within(e.body, i, rNumber)) {
			parts := e.cutAt([]int{e.body, i})
			parts[0].own, parts[1].own = true, true
			return parts
		}
	}
	return nil
}

// splitCounts cuts "rings 1-2 (2) and 3-4 (2), 5th x1" after each counted gear.
func (e *entry) splitCounts() []part {
	if len(e.gears) < 2 || e.filled() > 1 {
		return nil
	}
	var starts []int
	counted := 0
	for i, g := range e.gears {
		a, _ := e.atomAt(g.Start)
		next := e.b
		if i+1 < len(e.gears) {
			next, _ = e.atomAt(e.gears[i+1].Start)
		}
		if c, ok := e.countBefore(a); ok {
			a = c
			counted++
		} else if e.within(a, next, rCount) {
			counted++
		}
		starts = append(starts, a)
	}
	if counted < len(e.gears) || e.brokenDown() {
		return nil
	}
	head := [2]int{e.body, starts[0]}
	starts[0] = e.body
	parts := e.cutAt(starts)
	for i := range parts[1:] {
		parts[i+1].heads = [][2]int{head}
	}
	return parts
}

// countBefore is where a count begins that stands just before the gears at atom i: "2x 1/2", "2 de 3-4".
func (e *entry) countBefore(i int) (int, bool) {
	p := e.back(i)
	for p > e.body && e.is(p, cLetters) && trailing[e.text(p)] && !andWords[e.text(p)] {
		p = e.back(p)
	}
	if p <= e.body || e.roleOf(p) != rCount || !e.thing(e.body, p) {
		return 0, false
	}
	for p-1 > e.body && e.at[p-1].role == rCount && e.at[p-1].group == e.at[p].group {
		p--
	}
	return p, true
}

// splitDesignations cuts "brgs 30206 & 32206, 1 ea"; with a slash it asks whether "and" or "or" is meant.
func (e *entry) splitDesignations() []part {
	if len(e.designations) < 2 {
		return nil
	}
	starts, seps := e.listed(len(e.designations), func(i int) (int, int) { return e.designations[i].Start, e.designations[i].End })
	if starts == nil {
		return nil
	}
	parts := e.inherit(starts)
	for i, s := range seps {
		if s == "/" && len(e.tailCounts(starts[len(starts)-1])) < 2 {
			a, _ := e.atomAt(e.designations[i].Start)
			b, _ := e.atomEnd(e.designations[i+1].End)
			e.ask("and-or", "are both meant, or one or the other? "+e.raw(a, b), a, b)
		}
	}
	return parts
}

// splitSizes cuts "seals 35x50x8 / 40x60x10" and "35x50x8 / 40x55x8  1/1".
func (e *entry) splitSizes() []part {
	var groups []SizeGroup
	for _, g := range e.sizes {
		if !g.Grades && len(g.Measures) >= 2 {
			groups = append(groups, g)
		}
	}
	if len(groups) < 2 {
		return nil
	}
	starts, _ := e.listed(len(groups), func(i int) (int, int) { return groups[i].Start, groups[i].End })
	if starts == nil {
		return nil
	}
	return e.inherit(starts)
}

// listed checks that finds follow each other with only a joining sign between, and gives their atoms and the signs.
func (e *entry) listed(n int, at func(int) (int, int)) (starts []int, seps []string) {
	for i := range n {
		s, _ := at(i)
		a, ok := e.atomAt(s)
		if !ok {
			return nil, nil
		}
		if i > 0 {
			_, end := at(i - 1)
			b, ok := e.atomEnd(end)
			if !ok {
				return nil, nil
			}
			for a > b && e.placeBefore(a) >= b { // "35x52x7 and rear 40x60x10"
				a = e.placeBefore(a)
			}
			sep, ok := e.joiner(b, a)
			if !ok {
				return nil, nil
			}
			seps = append(seps, sep)
		}
		starts = append(starts, a)
	}
	return starts, seps
}

// placeBefore is the atom of a word that says where, just before atom i, or -1.
func (e *entry) placeBefore(i int) int {
	p := e.back(i)
	if p > e.body && e.at[p].class == cLetters && e.at[p].word.thing == "" && (e.at[p].word.place || placeEnds[e.at[p].text]) {
		return p
	}
	return -1
}

// joiner reads what stands between two listed things: "/", "&", "+", ",", "and".
func (e *entry) joiner(a, b int) (string, bool) {
	sep := ""
	for i := a; i < b; i++ {
		switch t := e.text(i); t {
		case " ":
		case "/", "&", "+", ",", ";", "and", "und", "et", "y", "or", "oder", "ou", "o":
			if sep != "" && sep != "," {
				return "", false
			}
			sep = t
		default:
			if e.at[i].role != rFlag {
				return "", false
			}
		}
	}
	return sep, sep != ""
}

// inherit makes parts that share the words before the first and the counts after the last.
func (e *entry) inherit(starts []int) []part {
	first := starts[0]
	counts := e.tailCounts(starts[len(starts)-1])
	head := [2]int{e.body, first}
	starts[0] = e.body
	parts := e.cutAt(starts)
	for i := range parts {
		parts[i].tails = true
		if i > 0 {
			parts[i].heads = [][2]int{e.nameIn(head, parts[i])}
		}
		if len(counts) == len(parts) {
			parts[i].count = &counts[i]
		} else if len(counts) == 0 {
			parts[i].count = e.shared(first, len(parts))
		}
	}
	return parts
}

// nameIn leaves the place out of the words that a part with a place of its own inherits.
func (e *entry) nameIn(head [2]int, p part) [2]int {
	if k := e.skip(p.a); e.is(k, cLetters) && e.at[k].word.place {
		for i := head[0]; i < head[1]; i++ {
			if e.thing(i, i+1) {
				return [2]int{i, head[1]}
			}
		}
	}
	return head
}

// shared divides a count before the names among n parts: "2 seals 35x50x8 and 40x55x8" is one of each.
func (e *entry) shared(before, n int) *count {
	for _, c := range e.counts {
		if c.b <= before && c.n > 0 && e.eachWord(&c) {
			return &c // "1 each of"
		}
		if c.b <= before && c.n > 0 && c.n%n == 0 {
			c.n /= n
			c.rule = "share of " + c.rule
			return &c
		}
	}
	return nil
}

// tailCounts are the counts after atom i.
func (e *entry) tailCounts(i int) []count {
	var out []count
	for _, c := range e.counts {
		if c.a >= i && c.n > 0 {
			out = append(out, c)
		}
	}
	return out
}

// oneThing are pairs joined by "&" that are bought as one thing or name one.
var oneThing = wordSet("oneThing")

// splitThings cuts "keys + springs", "nuts & lock tabs", "cone 1.3775\" & cup 2.7170\"" when both sides name a part.
func (e *entry) splitThings() []part {
	if len(e.traits) < 2 || e.filled() > 1 {
		return nil
	}
	starts := []int{e.body}
	for i := e.body; i < e.b; i++ {
		t := e.text(i)
		if nor := t == "nor" || t == "ni" || t == "noch" || e.hasAt(i, mOr) && e.denies(i); !e.joinsAt(i) && !nor && !e.slashJoins(i) || e.at[i].role != none {
			continue
		}
		k := e.skip(i + 1)
		prev := starts[len(starts)-1]
		if !e.thing(prev, i) || !e.namedSoon(k) || e.bundled(i, k) || e.onlyPlaces(prev, i, k) || e.has(prev, i, mWith, mContentWith) {
			continue
		}
		starts = append(starts, k)
	}
	if len(starts) < 2 {
		return nil
	}
	parts := e.cutAt(starts)
	for i := range parts {
		parts[i].tails = true
		if i > 0 && e.excludedFrom() {
			parts[i].heads = [][2]int{{e.body, e.exclusionEnd()}}
		}
	}
	return parts
}

// andWords join two names.
var andWords = wordSet("andWords")

// joinsAt says that atom i joins two names; "n" does so between two words in small letters only: N is a suffix of bearings.
func (e *entry) joinsAt(i int) bool {
	t := e.text(i)
	if t == "n" && e.is(i-1, cSpace) && e.is(i+1, cSpace) && !e.upper(i) {
		return e.at[i].role == none && e.thing(e.body, i) && e.namedSoon(i+1)
	}
	return andWords[t]
}

// slashJoins says that a slash stands between two names in the plural: "balls/springs". They are two things; "hub/sleeve"
// may be one.
func (e *entry) slashJoins(i int) bool {
	l, r := e.back(i), e.skip(i+1)
	return e.text(i) == "/" && l > e.body && e.is(l, cLetters) && e.is(r, cLetters) && e.at[l].word.plural && e.at[r].word.plural
}

// setWords make one set of the two names before them.
var setWords = wordSet("setWords")

// bundled says that the words left and right of a sign make one thing.
func (e *entry) bundled(i, k int) bool {
	l, r := e.text(e.back(i)), e.text(k)
	if oneThing[l+" "+r] && len(e.sizes) < 2 {
		return true
	}
	if len(e.counts) == 1 && e.counts[0].unit == "set" && e.counts[0].a <= e.skip(e.body) && e.counts[0].n > 0 {
		return true // 1 set keys and springs
	}
	if w := e.skip(k + 1); setWords[e.text(w)] && e.is(e.back(i), cLetters) {
		return true // gasket & seal set
	}
	both := e.is(i-1, cLetters) && e.is(i+1, cLetters)
	return both && e.text(i) == "+" && !(e.at[i-1].word.plural && e.at[i+1].word.plural) // big+small
}
