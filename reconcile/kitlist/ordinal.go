package kitlist

import "strconv"

var toothWords = wordSet("toothWords")

// scanTeeth finds "29T", "17 teeth", "z=27".
func (e *entry) scanTeeth() {
	for i := e.body; i < e.b; i++ {
		if !e.is(i, cDigits) || e.at[i].role != none || len(e.at[i].text) > 3 {
			continue
		}
		n, err := strconv.Atoi(e.at[i].text)
		if err != nil || n < 4 || e.sticky(i-1, -1) && e.text(i-1) != "z" && e.text(i-1) != "/" {
			continue
		}
		a, b := i, i
		if k := e.skip(i + 1); toothWords[e.text(k)] && !(e.text(k) == "th" && (n <= 8 || k > i+1)) &&
			!(k > i+1 && len(e.text(k)) == 1) && !e.sticky(k+1, 1) {
			b = k + 1
		} else if p := e.back(i); e.text(p) == "=" && e.text(p-1) == "z" && !e.sticky(p-2, -1) {
			a, b = p-1, i+1
		} else if e.text(i-1) == "z" && !e.sticky(i-2, -1) && !e.sticky(i+1, 1) {
			a, b = i-1, i+1
		}
		if b > i {
			e.teeth = append(e.teeth, Teeth{e.raw(a, b), n, e.start(a), e.end(b)})
			e.claim(a, b, rTeeth)
			i = b - 1
		}
	}
}

// ordinals are gears in words: "first and second speed".
var ordinals = wordNumbers("ordinals")

// ordinalNouns make an ordinal something else than a gear: "first motion shaft", "second hand".
var ordinalNouns = wordSet("ordinalNouns")

var ordinalEnds = wordSet("ordinalEnds")

// gear reads one gear at atom i: "3rd", "1ère", "2ª", "5.Gang", and bare digits when bare allows.
func (e *entry) gear(i int, bare bool) (g, b int, marked, ok bool) {
	t := e.text(i)
	if bare && (t == "r" || t == "rev") && !e.is(i+1, cDigits) {
		return 0, i + 1, false, true
	}
	if n := ordinals[t]; n > 0 && (i == e.body || e.is(i-1, cSpace)) && !ordinalNouns[e.text(e.skip(i+1))] {
		return n, i + 1, true, true
	}
	if !e.is(i, cDigits) || len(t) != 1 || t < "1" || t > "8" {
		if t == "lst" {
			return 1, i + 1, true, true
		}
		if t == "sth" {
			return 5, i + 1, true, true
		}
		return 0, i, false, false
	}
	g = int(t[0] - '0')
	b = i + 1
	j := b
	if e.text(j) == "." {
		j = e.skip(j + 1)
		if t := e.text(j); bare && (t == "/" || t == "&" || t == "+" || t == "und") { // "1./2. Gang"
			return g, j, false, true
		}
	}
	if e.text(j) == "st" && g != 1 {
		return 0, i, false, false // "2St. Lager"
	}
	if ordinalEnds[e.text(j)] && (e.text(j) == "gang" || j == b) && !(e.is(j+1, cDigits)) {
		return g, j + 1, true, true
	}
	return g, b, false, bare
}

// scanGears finds gears by ordinal: "5th", "1-2", "3rd/4th", "1&2", "5-R", "1ère/ 2ème".
func (e *entry) scanGears() {
	for i := e.body; i < e.b; i++ {
		if e.at[i].role != none || !e.is(i, cDigits) && !e.is(i, cLetters) || e.sticky(i-1, -1) {
			continue
		}
		g, b, marked, ok := e.gear(i, true)
		if !ok || g == 0 {
			continue
		}
		marked = marked || e.gearInRow(i)
		r := GearRef{Gears: []int{g}}
		prev := g
		for {
			j, joined := e.gearJoin(b)
			if !joined && e.gap(j) > 1 || len(r.Gears) > 1 && e.pairAfter(b, j) {
				break // another column, or another pair
			}
			h, c, m, ok := e.gear(j, joined || marked)
			if !ok || !m && (!joined || h != prev+1 && h != 0 && !(h > prev && h <= 6 && e.wordBetween(b, j))) || m && h <= prev && h != 0 {
				break
			}
			if !m && e.is(c-1, cDigits) && e.sticky(c, 1) && !(e.text(c) == "/" && e.is(c+1, cDigits) && len(e.text(c+1)) == 1) {
				break
			}
			for g := prev + 1; (m || joined) && g < h && e.ranges(b, j); g++ {
				r.Gears = append(r.Gears, g) // "1st-4th"
			}
			marked = marked || m
			r.Gears, b, prev = append(r.Gears, h), c, h
			if h == 0 {
				break
			}
		}
		if e.is(b-1, cSpace) {
			b = e.back(b) + 1
		}
		if !marked && (len(r.Gears) < 2 || !e.alone(i, b) || !e.gearContext(i, b)) || e.is(b, cDigits) || !e.free(i, b) {
			continue
		}
		r.Raw, r.Start, r.End = e.raw(i, b), e.start(i), e.end(b)
		e.gears = append(e.gears, r)
		e.claim(i, b, rPlace)
		i = b - 1
	}
}

// pairAfter says that a joining word stands at atom b and a pair of gears at j: "1./2. und 3./4."
func (e *entry) pairAfter(b, j int) bool {
	k := e.skip(b)
	if e.text(k) == "." {
		k = e.skip(k + 1)
	}
	if !e.is(k, cLetters) || !andWords[e.text(k)] {
		return false
	}
	n := j + 1
	for n < e.b && (e.text(n) == "." || e.is(n, cLetters) && ordinalEnds[e.text(n)]) {
		n++
	}
	return (e.text(n) == "/" || e.text(n) == "-") && e.is(n+1, cDigits)
}

// gearInRow says that a lone digit goes on with counted gears: "1/2 x2, 3/4 x2, 5 x1".
func (e *entry) gearInRow(i int) bool {
	t := e.text(e.skip(i + 1))
	if p := e.back(i); len(e.gears) > 1 && trailing[e.text(p)] && e.tailAt(i+1) && e.is(e.back(p), cDigits) {
		return true // "2 de 1-2, 2 de 3-4, 1 de 5"
	}
	return len(e.gears) > 1 && e.text(e.back(i)) == "," && e.is(i+1, cSpace) && (t == "x" && e.is(e.skip(e.skip(i+1)+1), cDigits) || t == "(")
}

// gearJoin skips what may stand between two gears; joined tells whether it was a sign and not only a blank.
func (e *entry) gearJoin(i int) (int, bool) {
	j := e.skip(i)
	if k := e.skip(j + 1); e.text(j) == "." && e.text(k) == "-" {
		j = k
	}
	switch e.text(j) {
	case "-", "/", "&", "+", "–":
		return e.skip(j + 1), true
	case "to", "bis", "a", "through", "thru":
		if k := e.skip(j + 1); e.is(k, cDigits) && (e.is(k+1, cLetters) || e.text(k+1) == "." || e.synchroBefore(i)) {
			return k, true
		}
	case "und":
		if e.text(e.back(j)) == "." {
			return e.skip(j + 1), true
		}
		fallthrough
	case ",", "and", "et", "y":
		k := e.skip(j + 1)
		if e.is(k, cDigits) && e.is(k+1, cLetters) || ordinals[e.text(k)] > 0 {
			return k, true
		}
		if w := e.skip(k + 1); e.text(j) == "," && andWords[e.text(k)] && ordinals[e.text(w)] > 0 {
			return w, true
		}
	}
	return j, false
}

// synchroBefore says that rings, hubs or gears in the plural are named just before the number before atom i: "rings 1 to 4".
func (e *entry) synchroBefore(i int) bool {
	p := e.back(i)
	if e.is(p, cDigits) {
		p = e.back(p)
	}
	return p >= e.body && e.is(p, cLetters) && (e.at[p].word.plural || e.thing(p, p+1)) && e.thing(e.body, p+1, "synchro", "gear", "hub")
}

// wordBetween says that a word for a range stands between atoms a and b.
func (e *entry) wordBetween(a, b int) bool {
	for i := a; i < b; i++ {
		if e.is(i, cLetters) {
			return e.ranges(i, i+1)
		}
	}
	return false
}

// ranges says that a dash or a word for it stands between the atoms a and b: "1st to 4th".
func (e *entry) ranges(a, b int) bool {
	for i := a; i < b; i++ {
		if t := e.text(i); t == "-" || t == "–" || t == "to" || t == "bis" || t == "a" || t == "through" || t == "thru" {
			return true
		}
	}
	return false
}

// gearContext tells the gears "3/4" from the fraction and from "1/1": a synchro part, a gear or a fork must be near.
func (e *entry) gearContext(a, b int) bool {
	if e.text(b) == `"` && e.roleOf(b) == none || e.text(e.skip(b)) == "in" {
		return false
	}
	return e.thing(e.body, e.b, "synchro", "hub", "fork", "gear", "key", "shaft", "bearing", "roller", "snapring", "washer") ||
		len(e.traits) == 0
}

// places are the atoms of words that say where: front, rear, left.
func (e *entry) places() []int {
	var at []int
	for i := e.body; i < e.b; i++ {
		if e.at[i].class == cLetters && e.at[i].word.place {
			at = append(at, i)
		}
	}
	return at
}

var placeWords = wordSet("placeWords")
