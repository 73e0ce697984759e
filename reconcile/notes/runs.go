package notes

import "slices"

// runKind says what a run of items is.
type runKind byte

const (
	runThings  runKind = 'T'
	runVerdict runKind = 'V'
	runUnknown runKind = 'U'
	runComma   runKind = 'C'
	runColon   runKind = 'X'
)

// run is a stretch of a sentence.
type run struct {
	kind       runKind
	list       *list
	verdict    *verdict
	unclear    bool // of runUnknown: "do both", of what is not said
	back, both bool // of runUnknown: "both" or "all", of what was named before
	count      int  // "all three"
	feature    bool // of runUnknown: a part of what was named
	joined     bool // "and" stands before it
	but        bool // of runComma: the word
	start, end int
}

// runs cuts the items of a sentence into stretches.
func (n *note) runs(items []item) []run {
	var out []run
	add := func(r run) { out = append(out, r) }
	joined := false // "and" before a list
	for i := 0; i < len(items); {
		it := &items[i]
		switch {
		case it.role == asComma || it.role == asBut:
			add(run{kind: runComma, but: it.role == asBut, start: it.start, end: it.end})
			i++
		case it.role == asColon:
			add(run{kind: runColon, start: it.start, end: it.end})
			i++
		case it.role == asNo && joined && denies(out) && beforeThing(items, i):
			i++ // "no flange and no nut"
			continue
		case verdictRole(it.role):
			v, next := verdictRun(items, i)
			add(run{kind: runVerdict, verdict: v, start: it.start, end: items[next-1].end})
			i = next
		case it.role == asClause && it.arg == "that" && saysOf(items, i+1):
			if k := len(out) - 1; k > 0 && out[k].kind == runComma {
				out = out[:k] // "the side bearings, which are fine"
			}
			i++
		case it.role == asClause:
			i = clause(items, i, add)
		case it.role == asOf && n.apportioned(items, i, out):
			_, i = n.parseList(items, i+1)
		case it.role == asOf && len(out) > 0 && out[len(out)-1].kind == runVerdict && (n.ofFeatures(items, i) || n.causes(items, i, out)):
			i = n.whereabouts(items, i, add)
		case it.role == asOf && len(out) > 0 && out[len(out)-1].kind == runThings && hasThings(out) && (whereWords[fold(n.text[it.start:it.end])] || !lastThing(out).plural) && somewhere(items, i) > 0:
			next := somewhere(items, i)
			add(run{kind: runUnknown, feature: true, start: it.start, end: items[next-1].end})
			i = next
		case it.role == asNumber && it.arg == "of" && len(out) > 0 && !beforeThing(items, i):
			v, next := verdictRun(items, i)
			add(run{kind: runVerdict, verdict: v, start: it.start, end: items[next-1].end})
			i = next
		case it.role == asAt && len(out) > 0:
			i = n.whereabouts(items, i, add)
		case it.role == asFeature && len(it.senses) > 0 && i+1 < len(items) && items[i+1].role == asGears:
			i = n.listRun(items, i, joined, &out, add)
		case it.role == asExcept && len(out) > 0 && !n.leadsOn(items, i):
			add(run{kind: runUnknown, unclear: true, start: it.start, end: it.end})
			i++
		case it.role == asOf || it.role == asAt || it.role == asStop || it.role == asMarker || it.role == asAnd || it.role == asFeature || it.role == asOnly || it.role == asOnes:
			joined = it.role == asAnd || joined && it.role == asStop
			i++
			continue
		default:
			at := i
			i = n.listRun(items, i, joined, &out, add)
			if k := len(out) - 1; it.role == asThing && at > 0 && items[at-1].arg == "one" && k >= 0 && out[k].kind == runThings && len(out[k].list.things) > 0 {
				out[k].list.things[0].one = true // "a ball missing"
			}
		}
		joined = false
	}
	return oneList(afterwards(out))
}

// afterwards reads gears that are named after what is said of a plural: "gears
// good 1 to 5".
func afterwards(runs []run) []run {
	for k := 0; k+2 < len(runs); k++ {
		if runs[k].kind != runThings || runs[k+1].kind != runVerdict || runs[k+2].kind != runThings || k+3 < len(runs) && runs[k+3].kind != runComma {
			continue
		}
		if runs[k].list.apportion(runs[k+2].list) {
			return afterwards(slices.Delete(runs, k+2, k+3))
		}
	}
	return runs
}

// oneList joins bare gears to the plural that ends their list: "2nd, 3rd and 4th
// rings".
func oneList(runs []run) []run {
	bare := func(t *thing) bool { return t.gears != 0 && !t.kinds() && len(t.slots)+len(t.features) == 0 }
	for k := 0; k+2 < len(runs); k++ {
		a, b := runs[k].list, runs[k+2].list
		if runs[k].kind != runThings || runs[k+1].kind != runComma || runs[k+1].end-runs[k+1].start != 1 || runs[k+2].kind != runThings || len(a.things) == 0 || len(a.except) > 0 {
			continue
		}
		last := slices.IndexFunc(b.things, (*thing).kinds)
		if last < 0 || !b.things[last].plural || b.things[last].gears == 0 || slices.ContainsFunc(a.things, func(t *thing) bool { return !bare(t) }) ||
			slices.ContainsFunc(b.things[:last], func(t *thing) bool { return !bare(t) }) {
			continue
		}
		b.things, b.start = append(slices.Clone(a.things), b.things...), a.start
		runs[k+2].start, runs[k+2].joined = runs[k].start, runs[k].joined
		return oneList(slices.Delete(runs, k, k+2))
	}
	return runs
}

func hasThings(runs []run) bool {
	return slices.ContainsFunc(runs, func(r run) bool { return r.kind == runThings && len(r.list.things) > 0 })
}

// onlyThing: a single thing was named.
func onlyThing(runs []run) bool {
	things := 0
	for _, r := range runs {
		if r.kind == runThings {
			things += len(r.list.things)
		}
	}
	return things == 1
}

// lastThing named; there is one.
func lastThing(runs []run) *thing {
	for k := len(runs) - 1; ; k-- {
		if l := runs[k].list; l != nil && len(l.things) > 0 {
			return l.things[len(l.things)-1]
		}
	}
}

// listRun reads things, or what is not understood.
func (n *note) listRun(items []item, i int, joined bool, done *[]run, add func(run)) int {
	if l, next := n.parseList(items, i); l != nil {
		if l.featureOnly(hasThings(*done)) {
			add(run{kind: runUnknown, feature: true, start: l.start, end: l.end})
			return next
		}
		if joined && len(l.things) > 0 && (l.things[0].its || kindAt(*done, len(*done)-1) == runVerdict) {
			l.things[0].with = true
		}
		add(run{kind: runThings, list: l, joined: joined, start: l.start, end: l.end})
		return next
	}
	switch items[i].role {
	case asNumber:
		if i+1 < len(items) && items[i+1].role == asFeature {
			return i + 1 // "two teeth chipped"
		}
		add(run{kind: runUnknown, start: items[i].start, end: items[i].end})
	case asUnknown, asEverything:
		add(run{kind: runUnknown, start: items[i].start, end: items[i].end})
	case asAll:
		return allRun(items, i, *done, add)
	case asBoth:
		if bothOfLast(items, i, *done) {
			return i + 1
		}
		return bothRun(items, i, add)
	case asRest:
		add(run{kind: runUnknown, unclear: true, both: true, start: items[i].start, end: items[i].end})
	}
	return i + 1
}

// denies: the last things stand after a bare "no".
func denies(runs []run) bool {
	k := len(runs) - 1
	return k > 0 && runs[k].kind == runThings && runs[k-1].kind == runVerdict && runs[k-1].verdict.only(asNo)
}

// leadsOn: things can be read from item i on.
func (n *note) leadsOn(items []item, i int) bool {
	l, _ := n.parseList(items, i)
	return l != nil
}

// beforeEnd: a comma or the end of the sentence is next.
func beforeEnd(items []item, i int) bool {
	return i >= len(items) || items[i].role == asComma || items[i].role == asBut
}

// whereabouts swallows "at the drain plug": it only says where.
func (n *note) whereabouts(items []item, i int, add func(run)) int {
	next := i + 1
	for next < len(items) && next < i+4 && (items[next].role == asStop || items[next].role == asUnknown) {
		next++
	}
	if next < len(items) {
		if l, end := n.parseList(items, next); l != nil {
			next = end
		}
	}
	add(run{kind: runUnknown, start: items[i].start, end: items[next-1].end})
	return next
}

// verdictRun takes verdict items with the readings between them.
func verdictRun(items []item, i int) (*verdict, int) {
	v := &verdict{}
	last := i + 1
	measured := false
	for ; i < len(items); i++ {
		switch r := items[i].role; {
		case len(v.items) > 0 && takesBack(items, i):
			return v, last
		case verdictRole(r), r == asNumber && items[i].arg == "of":
			v.explicit = v.explicit || r == asVerb || r == asTreat || r == asTreatOut
			measured = measured || evidence(r)
		case r == asNumber && i > 0 && items[i-1].role == asVerb && !startsThing(items, i):
		case (r == asNumber || r == asSpec) && measured && !startsThing(items, i):
		case r == asStop || r == asMarker:
			continue
		case r == asAnd && i+1 < len(items) && verdictRole(items[i+1].role):
			continue
		default:
			return v, last
		}
		v.items = append(v.items, items[i])
		last = i + 1
	}
	return v, last
}

// takesBack: "sorry" and "no sorry" begin anew.
func takesBack(items []item, i int) bool {
	if items[i].role == asNo && i+1 < len(items) {
		i++
	}
	return items[i].role == asCorrect && items[i-1].role != asCorrect && (items[i-1].role != asNo || i > 1 && items[i-2].role != asNo)
}

// beforeThing: a thing follows, perhaps after articles.
func beforeThing(items []item, i int) bool {
	for i++; i < len(items) && items[i].role == asStop; i++ {
	}
	return i < len(items) && (items[i].role == asThing || items[i].role == asGears)
}

// saysOf: a verdict follows, perhaps after articles.
func saysOf(items []item, i int) bool {
	for i < len(items) && items[i].role == asStop {
		i++
	}
	return i < len(items) && verdictRole(items[i].role)
}

// ofFeatures: "n/g on the 2nd gear teeth" says where on the part.
func (n *note) ofFeatures(items []item, i int) bool {
	for i++; i < len(items) && items[i].role == asStop; i++ {
	}
	if i >= len(items) {
		return false
	}
	l, _ := n.parseList(items, i)
	return l != nil && len(l.things) == 1 && len(l.things[0].features) > 0
}

// apportioned: "pads worn on 1-2 and 5-R" says which of the pads.
func (n *note) apportioned(items []item, i int, out []run) bool {
	k := len(out) - 1
	if k < 1 || out[k].kind != runVerdict || out[k-1].kind != runThings || i+1 >= len(items) {
		return false
	}
	l, _ := n.parseList(items, i+1)
	return l != nil && out[k-1].list.apportion(l)
}

// apportion makes bare gears those of a plural that was named without.
func (named *list) apportion(l *list) bool {
	if len(l.things) == 0 || len(l.except) > 0 || len(named.things) != 1 || !named.things[0].plain() || !named.things[0].plural {
		return false
	}
	for _, t := range l.things {
		if t.gears == 0 || t.kinds() || len(t.slots)+len(t.features) > 0 {
			return false
		}
	}
	for _, t := range l.things {
		t.slots, t.plural = slices.Clone(named.things[0].slots), true
	}
	named.things, named.end = l.things, l.end
	return true
}

// causes: what follows "from" or "on" after a mere condition only says by what or
// where: "grooved from the seal".
func (n *note) causes(items []item, i int, out []run) bool {
	v := out[len(out)-1].verdict
	if v.explicit || !hasThings(out) || !(v.has(asBad) || v.has(asGood)) {
		return false
	}
	next := i + 1
	for next < len(items) && items[next].role == asStop {
		next++
	}
	if next >= len(items) {
		return false
	}
	l, end := n.parseList(items, next)
	return l != nil && len(l.things) == 1 && (end >= len(items) || !verdictRole(items[end].role))
}

// whereWords are prepositions that say where, not which.
var whereWords = map[string]bool{"at": true, "in": true, "on": true, "an": true, "am": true, "im": true, "en": true, "in the": true, "on the": true, "auf": true, "sur": true}

// somewhere: words that are no part follow a preposition and a verdict follows
// them, so they only say where: "case at the flange cracked". It gives the item
// after them, 0 when it is not so.
func somewhere(items []item, i int) int {
	k, words := i+1, 0
	for ; k < len(items) && (items[k].role == asStop || items[k].role == asUnknown); k++ {
		if items[k].role == asUnknown {
			words++
		}
	}
	if words == 0 || words > 2 || k >= len(items) || !verdictRole(items[k].role) || items[k].role == asMaybe {
		return 0
	}
	return k
}

// clause swallows "where the seal runs".
func clause(items []item, i int, add func(run)) int {
	next := i + 1
	for next < len(items) && items[next].role != asComma && items[next].role != asColon && items[next].role != asBut {
		next++
	}
	add(run{kind: runUnknown, start: items[i].start, end: items[next-1].end})
	return next
}

func startsThing(items []item, i int) bool {
	return i+1 < len(items) && (items[i+1].role == asThing || items[i+1].role == asGears) && items[i].role == asNumber
}
