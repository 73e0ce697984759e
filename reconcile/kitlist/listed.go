package kitlist

import "slices"

// splitListed cuts "2 brgs 6206, 1 rear seal and 3 struts", "6207 x1, 6306 x1", "not included: keys, hub nut",
// "keys 9 springs 6": every piece must show by itself that it is a thing of its own.
func (e *entry) splitListed() []part {
	if e.filled() > 1 {
		return nil
	}
	starts := e.listStarts()
	if len(starts) < 2 || e.brokenDown() {
		return nil
	}
	out := e.excludedFrom() && !(e.countedPieces(starts) == 1 && e.countedPieces(starts[:1]) == 1 && e.singular(starts[0], starts[1]))
	message := e.countedPieces(starts) >= 2 || e.allNamed(starts)
	if message {
		starts = e.joinedStarts(starts)
	}
	parts := e.cutAt(starts)
	placed := e.placedAlike(parts)
	for i, p := range parts {
		if i > 0 && e.onlyAttribute(p, parts[0]) {
			return nil
		}
		if !placed && !e.ownThing(p, out) && !(message && e.thing(max(p.a, e.body), p.b) && !e.has(max(p.a, e.body), p.b, mMultiplier)) {
			return nil
		}
		if out {
			parts[i].heads = nil
		} else if i > 0 && !e.thing(p.a, p.b) {
			parts[i].heads = [][2]int{{e.body, e.headEnd(parts[0])}}
		}
		parts[i].own = true
	}
	if out { // the words of exclusion at the start stand for all
		for i := range parts[1:] {
			parts[i+1].heads = [][2]int{{e.body, e.exclusionEnd()}}
		}
	}
	return parts
}

// brokenDown says that the first count is the sum of the others, which say where they go: "4 rings, 2 for 1st, 2 for 2nd".
func (e *entry) brokenDown() bool {
	sum, first := 0, 0
	for i, c := range e.counts {
		if i == 0 {
			first = c.n
		} else if sum += c.n; !e.has(c.a, min(c.b+4, e.b), mFor) && !e.inBrackets(c.a) {
			return false
		}
	}
	return len(e.counts) > 2 && sum == first
}

// listStarts are the atoms after commas, semicolons, joining words, full stops before "no", and counts behind names.
func (e *entry) listStarts() []int {
	starts := []int{e.body}
	depth := 0
	for i := e.body; i < e.b; i++ {
		k := e.skip(i + 1)
		switch t := e.text(i); {
		case t == "(":
			depth++
		case t == ")":
			depth--
		case depth > 0 || k >= e.b || e.at[i].role != none:
		case (t == "," || t == ";") && (k > i+1 || t == ";") && !e.is(i-1, cSpace):
			if e.is(k, cLetters) && andWords[e.text(k)] {
				k = e.skip(k + 1)
			}
			starts = append(starts, k)
		case t == "/" && k > i+1 && e.is(i-1, cSpace) && e.countedAt(k) && e.namedSoon(k):
			starts = append(starts, k)
		case e.joinsAt(i) && k > i+1 && (e.countedAt(k) || e.articleAt(k) && e.within(starts[len(starts)-1], i, rCount)):
			if starts[len(starts)-1] != k {
				starts = append(starts, k)
			}
		case (t == "." || t == "?") && k > i+1 && e.hasAt(k, mDeclined):
			starts = append(starts, k)
		case i > e.body && e.at[i].class == cLetters && e.is(k, cLetters) && e.hasAt(i, mDeclined) && e.namedSoon(k) && e.thing(starts[len(starts)-1], i):
			starts = append(starts, i) // "9 keys no springs"
		}
	}
	starts = e.countsInside(e.countedStarts(starts))
	for _, c := range e.counts {
		k := e.skip(c.b)
		if c.rule != "number after the name" || k >= e.b || e.text(k) == "," || e.text(k) == ";" {
			continue // the comma has cut here
		}
		if at, found := slices.BinarySearch(starts, k); !found {
			starts = slices.Insert(starts, at, k)
		}
	}
	return starts
}

// singular says that no plural stands in the piece: "1 off gasket, front cover" goes on with the name.
func (e *entry) singular(a, b int) bool {
	for i := a; i < b; i++ {
		if e.at[i].class == cLetters && e.at[i].word.plural {
			return false
		}
	}
	return true
}

// countedPieces is how many of the pieces carry a count of their own.
func (e *entry) countedPieces(starts []int) int {
	n := 0
	for i, a := range starts {
		b := e.b
		if i+1 < len(starts) {
			b = starts[i+1]
		}
		if e.within(a, b, rCount) && (e.thing(a, b) || e.within(a, b, rDesignation)) {
			n++
		}
	}
	return n
}

// allNamed says that three pieces or more each name a part, and the first is no noun put first.
func (e *entry) allNamed(starts []int) bool {
	if len(starts) < 3 || e.countedPieces(starts) == 0 {
		return false
	}
	parts := e.cutAt(starts)
	for _, p := range parts {
		if a := max(p.a, e.body); !e.thing(a, p.b) && !e.within(a, p.b, rDesignation) || e.wordCountIn(p) < 2 && !e.within(a, p.b, rCount) {
			return false
		}
	}
	return e.wordCountIn(parts[0]) > 1 || e.within(parts[0].a, parts[0].b, rCount) && e.countedPieces(starts[:1]) > 0
}

// joinedStarts adds the names behind "+", "&" and "and".
func (e *entry) joinedStarts(starts []int) []int {
	out := slices.Clone(starts)
	for i := e.body; i < e.b; i++ {
		if !e.joinsAt(i) || e.at[i].role != none || e.inBrackets(i) {
			continue
		}
		k := e.skip(i + 1)
		at, found := slices.BinarySearch(out, k)
		if found || at == 0 || !e.thing(out[at-1], i) && !e.within(out[at-1], i, rDesignation) || !e.namedSoon(k) || e.bundled(i, k) || e.has(out[at-1], i, mWith, mContentWith) {
			continue
		}
		out = slices.Insert(out, at, k)
	}
	return out
}

// countedStarts adds the counts in front of names where no sign stands between: "1x 6308 brg 2x 30206".
func (e *entry) countedStarts(starts []int) []int {
	var lead []int
	for _, c := range e.counts {
		if c.strength != sign || c.n == 0 || e.text(c.a) == "x" || e.text(c.a) == "*" || e.inBrackets(c.a) {
			continue
		}
		if n := len(lead); n > 0 && !e.thing(lead[n-1], c.a) && !e.within(lead[n-1], c.a, rDesignation) {
			return starts
		}
		lead = append(lead, c.a)
	}
	if len(lead) < 2 || !e.thing(lead[len(lead)-1], e.b) && !e.within(lead[len(lead)-1], e.b, rDesignation) {
		return starts
	}
	for _, i := range lead[1:] {
		if k, found := slices.BinarySearch(starts, i); !found {
			starts = slices.Insert(starts, k, i)
		}
	}
	return starts
}

// countedAt says that a count, or an article before a name, stands at atom i.
func (e *entry) countedAt(i int) bool {
	if e.roleOf(i) == rCount {
		return true
	}
	t := e.text(i)
	return (t == "a" || t == "an") && e.is(i+1, cSpace) && (e.namedSoon(i+1) || e.has(i+1, min(e.b, i+9), mSetOf, mUnit))
}

// states says that a verb of being makes a clause a statement: "the second gear one is a double cone".
func (e *entry) states(a, b int) bool {
	for i := a; i < b; i++ {
		if beWords[e.text(i)] {
			return true
		}
	}
	return false
}

var beWords = wordSet("beWords")

// splitTrailing cuts "keys 9 off springs 6 off" and "springs x3 balls x3": every name is followed by its count.
func (e *entry) splitTrailing() []part {
	if e.filled() > 1 || len(e.counts) < 2 {
		return nil
	}
	starts := []int{e.body}
	for i, c := range e.counts {
		from := starts[len(starts)-1]
		if c.n == 0 || c.each || c.strength < sign || c.a <= from || !e.thing(from, c.a) && !e.within(from, c.a, rDesignation) || e.inBrackets(c.a) {
			return nil
		}
		if i+1 < len(e.counts) {
			k := e.skip(c.b)
			for e.text(k) == "," || andWords[e.text(k)] {
				k = e.skip(k + 1)
			}
			starts = append(starts, k)
		} else if !e.tailAt(c.b) {
			return nil
		}
	}
	parts := e.cutAt(starts)
	for i := range parts {
		parts[i].own = true
	}
	return parts
}

// articleAt says that an article before a name stands at atom i, and nothing is said to come with another thing.
func (e *entry) articleAt(i int) bool {
	return e.is(i, cLetters) && articles[e.text(i)] && e.is(i+1, cSpace) && e.namedSoon(i+1) && !e.has(e.body, i, mWith, mContentWith)
}

// excludedFrom says that the entry opens with words such as "not included".
func (e *entry) excludedFrom() bool {
	return e.exclusionEnd() > 0
}

// exclusionEnd is the atom behind such words, 0 when there are none.
func (e *entry) exclusionEnd() int {
	if h, ok := e.hitAt(e.skip(e.body), mExcluded, mWithout, mDeclined, mBackOrder, mUnavailable); ok {
		return h.b
	}
	if h, ok := e.find(e.body, e.b, mDeclined); ok && e.opensTalk(h.a) {
		return h.b
	}
	return 0
}

// onlyAttribute says that a piece is the bare designation of the part named before it: "front bearing, 6307 N".
func (e *entry) onlyAttribute(p, before part) bool {
	return (!e.thing(p.a, p.b) || e.designatedFirst(p) || e.wordCountIn(before) == 1 && !e.within(before.a, before.b, rPlace)) && !e.within(p.a, p.b, rCount) && e.within(p.a, p.b, rDesignation) && !e.within(before.a, before.b, rDesignation)
}

// designatedFirst says that a designation stands in a piece before any name.
func (e *entry) designatedFirst(p part) bool {
	for i := p.a; i < p.b; i++ {
		if e.at[i].role == rDesignation {
			return true
		}
		if e.thing(i, i+1) {
			return false
		}
	}
	return false
}

// ownThing says that a piece is something by itself: a counted or named designation or size, a counted part, or any
// part after words of exclusion.
func (e *entry) ownThing(p part, out bool) bool {
	a := max(p.a, e.body)
	named := e.thing(a, p.b)
	if h, ok := e.find(a, p.b, mMultiplier); ok && !e.thing(a, h.a) && !e.within(a, p.b, rDesignation) {
		return false // "needle cages, one per gear"
	}
	switch {
	case out || e.hasAt(e.skip(a), mDeclined):
		return named
	case e.within(a, p.b, rDesignation), named && e.within(a, p.b, rSize) && len(e.sizes) > 1:
		return true
	case e.articleAt(e.skip(a)) && named && !e.states(a, p.b):
		return true // "44 needles and the pin"
	case e.hasAt(e.skip(a), mSetOf) && named:
		return true // "juego de juntas y 2 retenes"
	case e.within(a, p.b, rCount) || e.within(a, p.b, rPack) || e.countedAt(e.skip(a)):
		return named || e.within(a, p.b, rSize) || e.within(a, p.b, rPlace) && e.has(a, p.b, mFor)
	}
	return false
}

// placedAlike says that the pieces name one kind of part in several places: "front seal, rear seal".
func (e *entry) placedAlike(parts []part) bool {
	last := ""
	for _, p := range parts {
		a := max(p.a, e.body)
		word, place := "", false
		for i := a; i < p.b; i++ {
			if e.thing(i, i+1) {
				word = e.at[i].text
			}
			place = place || e.at[i].class == cLetters && (placeWords[e.at[i].text] || placeEnds[e.at[i].text])
		}
		if word == "" || !place && e.wordCountIn(p) < 2 || last != "" && word != last || e.within(a, p.b, rCount) {
			return false
		}
		last = word
	}
	return true
}

// headEnd is the end of the words that name the first piece: before its count, size or designation.
func (e *entry) headEnd(p part) int {
	i := max(p.a, e.body)
	for i < p.b && e.at[i].role != rCount && e.at[i].role != rSize && e.at[i].role != rDesignation {
		i++
	}
	return i
}

// splitPlaced cuts "thrust washers 1 front 1 rear" and "seals: 2 small, 1 big": one name, then counted places.
func (e *entry) splitPlaced() []part {
	if e.filled() > 1 || len(e.traits) == 0 {
		return nil
	}
	for _, f := range []func() []part{e.placedCounts, e.countedPlaces} {
		if parts := f(); parts != nil {
			return parts
		}
	}
	var starts []int
	for i := e.traits[0].at + 1; i < e.b; i++ {
		n := e.small(i)
		if n == 0 && (e.at[i].class == cDigits || e.at[i].role != none && e.at[i].role != rSpace) {
			return nil
		}
		if k := e.skip(i + 1); n > 0 {
			for e.is(k, cLetters) && trailing[e.text(k)] {
				k = e.skip(k + 1) // "1 de entrada"
			}
			if !e.is(k, cLetters) || !placeWords[e.at[k].text] && !placeEnds[e.at[k].text] {
				return nil
			}
			starts = append(starts, i)
		}
	}
	if len(starts) < 2 {
		return nil
	}
	head := [2]int{e.body, starts[0]}
	counts := make([]count, len(starts))
	for k, i := range starts {
		counts[k] = count{a: i, b: i + 1, n: e.small(i), strength: bare, rule: "number before the place"}
	}
	for _, i := range starts {
		e.claim(i, i+1, rCount)
	}
	starts[0] = e.body
	parts := e.cutAt(starts)
	for k := range parts {
		if parts[k].count = &counts[k]; k > 0 {
			parts[k].heads = [][2]int{head}
		}
	}
	return parts
}

// placedCounts cuts "thrust washers: front (1), rear (1)": one name, then places with their counts.
func (e *entry) placedCounts() []part {
	var starts []int
	from := e.traits[0].at + 1
	colon := e.text(from) == ":" && e.at[from-1].word.plural // "seals: in x1, out x1"
	for _, c := range e.counts {
		if c.n == 0 || c.a < from {
			return nil
		}
		place := -1
		for i := from; i < c.a; i++ {
			t := e.at[i].text
			switch {
			case e.at[i].class != cLetters:
			case placeWords[t] || placeEnds[t] || colon && e.at[i].word.thing == "" && e.at[i].role == none && !andWords[t]:
				if place < 0 {
					place = i
				}
			case e.thing(i, i+1) && len(starts) > 0:
				return nil
			}
		}
		if place < 0 {
			return nil
		}
		starts = append(starts, place)
		from = c.b
	}
	if len(starts) < 2 || e.thing(from, e.b) {
		return nil
	}
	head := [2]int{e.body, starts[0]}
	starts[0] = e.body
	parts := e.cutAt(starts)
	for k := range parts[1:] {
		parts[k+1].heads = [][2]int{head}
	}
	return parts
}

// countedPlaces cuts "seals: 1 of the input and 1 of the output": one name, then counts with their places.
func (e *entry) countedPlaces() []part {
	var starts []int
	for _, c := range e.counts {
		k := e.skip(c.b)
		for e.is(k, cLetters) && (trailing[e.text(k)] || articles[e.text(k)]) {
			k = e.skip(k + 1)
		}
		if c.n == 0 || c.a <= e.traits[0].at || !e.is(k, cLetters) || !placeWords[e.text(k)] && !placeEnds[e.text(k)] {
			return nil
		}
		starts = append(starts, c.a)
	}
	if len(starts) < 2 || e.thing(starts[0], e.b) {
		return nil
	}
	head := [2]int{e.body, starts[0]}
	starts[0] = e.body
	parts := e.cutAt(starts)
	for k := range parts[1:] {
		parts[k+1].heads = [][2]int{head}
	}
	return parts
}

// placeEnds are further words that tell parts of one name apart.
var placeEnds = wordSet("placeEnds")
