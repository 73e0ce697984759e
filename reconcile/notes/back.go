package notes

// allRun reads "all" where no thing follows: it speaks of what was named before.
func allRun(items []item, i int, done []run, add func(run)) int {
	r := run{kind: runUnknown, back: true, start: items[i].start, end: items[i].end}
	end := i + 1
	if end < len(items) && items[end].role == asNumber {
		r.count, r.end, end = items[end].number, items[end].end, end+1
	}
	if hasThings(done) && beforeEnd(items, end) && takesAll(items, i, done) {
		t := lastThing(done)
		t.all = true // "rings - the lot"
		if t.count == 0 {
			t.count = r.count
		}
		return end
	}
	if k := len(done) - 1; k > 0 && hasThings(done) && done[k].kind != runVerdict && done[k-1].kind == runThings && i+1 < len(items) && verdictRole(items[i+1].role) {
		if t := lastThing(done); len(done[k-1].list.things) == 1 && t.plural {
			t.all = true // "hubs: all ok"
			return i + 1
		}
	}
	add(r)
	return end
}

// takesAll: the "all" at a sentence's end is of the last thing; after a verdict
// only of a plural that stands alone and names no scattered kind.
func takesAll(items []item, i int, done []run) bool {
	if kindAt(done, len(done)-1) != runVerdict {
		return true
	}
	t := lastThing(done)
	return t.plural && onlyThing(done) && items[i-1].role != asOf && !generic[headKind(t)] && !scattered[headKind(t)]
}

// bothOfLast reads "both" as said of the things named last, or as saying nothing.
func bothOfLast(items []item, i int, done []run) bool {
	if !hasThings(done) {
		return false
	}
	ends, t, k := items[i].arg == "ends", lastThing(done), len(done)-1
	switch {
	case i+1 < len(items) && items[i+1].role == asFeature:
		return true // "both holes plugged"
	case items[i-1].arg == "(":
		t.both = true // "bearings new (both)"
		return true
	case items[i].arg != "" && !ends:
		return false
	case k > 0 && done[k].kind == runVerdict && done[k-1].kind == runThings && beforeEnd(items, i+1) && t.plural:
		t.both, t.count = true, 0 // "bearings smooth both sides"
		return true
	case k > 1 && !ends && done[k].kind == runComma && done[k-1].kind == runVerdict && beforeEnd(items, i+1) && onlyThing(done) && t.plural:
		t.both = true // "bearings noisy, both"
		return true
	case ends && beforeEnd(items, i+1):
		return true // "shaft scored both ends"
	}
	return done[k].kind == runThings && len(done[k].list.things) == 2 // "new cups and cones both"
}

// bothRun reads "both" of what was named before, and "do both", which also says
// what.
func bothRun(items []item, i int, add func(run)) int {
	it := &items[i]
	add(run{kind: runUnknown, unclear: true, back: true, both: true, start: it.start, end: it.end})
	if it.arg != "" && it.arg != "ends" {
		v := &verdict{items: []item{{role: asVerb, arg: it.arg, start: it.start, end: it.end}}, explicit: true}
		add(run{kind: runVerdict, verdict: v, start: it.start, end: it.end})
	}
	return i + 1
}
