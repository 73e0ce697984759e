package kitlist

import (
	"slices"
	"strings"
)

// state is what earlier entries leave behind for later ones.
type state struct {
	l        *List
	items    bool // an item was seen
	over     bool // a sign-off was seen
	kit      *int // index of the heading that names the kit
	section  *int // index of the nearest heading below it
	previous int  // last physical line of the entry before
	demand   int
	supply   int
	groups   int   // alternative groups given so far
	or       []int // lines that open with "or": the thing before, or this one
}

// fresh says that the entry opens the list or follows a heading or a blank line.
func (s *state) fresh(e *entry) bool {
	return !s.items || e.first > s.previous+1 || e.afterBlank()
}

// Read reads a pasted text. It never fails: what is not understood stays in the list, and what was cut off by a limit
// stays as one noise line with a Question that says how to go on. The same text and options give the same list.
func Read(text string, opts Options) List {
	d := layOut(text, opts)
	d.survey()
	l := List{Text: text, Voice: Unknown, Totals: Totals{Line: -1}, Delimiter: d.table.name(), Decimal: d.decimal, Unit: d.units}
	for _, c := range d.table.cols {
		l.Columns = append(l.Columns, Column{Name: c.name, Role: columnRole(c.kind)})
	}
	s := &state{l: &l, previous: -1}
	spans := d.entries()
	l.Lines = make([]Line, 0, len(spans)+len(spans)/8+2)
	for _, span := range spans {
		e := d.open(span[0], span[1])
		e.scan()
		s.take(e)
	}
	if d.read < len(text) {
		n := len(d.phys) + 1
		l.Lines = append(l.Lines, Line{No: n, Last: n + strings.Count(text[d.read:], "\n"), Start: d.read, End: len(text),
			Kind: Noise, Quantity: Quantity{Pack: 1}, Spans: []Span{{d.read, len(text), RoleNoise}}})
	}
	l.Questions = d.questions
	l.fill()
	s.finish()
	return l
}

func columnRole(kind string) Role {
	switch kind {
	case "number":
		return RoleNumber
	case "qty", "ordered", "supplied", "second", "pieces":
		return RoleCount
	case "pack":
		return RolePack
	case "price", "total":
		return RolePrice
	case "row":
		return RoleMarker
	}
	return RoleWords
}

// scan finds everything in an entry, the surest things first: what one scanner has claimed the next leaves alone.
func (e *entry) scan() {
	e.cutCells()
	e.scanPhrases()
	e.claimNames()
	e.scanSerials()
	e.scanDates()
	e.scanCells()
	e.scanBearings()
	e.scanSpoken()
	e.scanThreads()
	e.scanSizes()
	e.scanTeeth()
	e.scanGears()
	e.scanPrices()
	e.scanGrades()
	e.scanCounts()
	e.scanBareCounts()
	e.scanNumbers()
	e.askMended()
}

// claimNames keeps digits of phrases such as "5 spd", "4x4 only" and "note 3" from being read as counts.
func (e *entry) claimNames() {
	for _, c := range e.clauses {
		if e.free(c[0], c[1]) {
			e.claim(c[0], c[1], rFlag)
		}
	}
	for _, h := range e.hits {
		switch h.meaning {
		case mVariant, mConditional:
			if e.free(h.a, h.b) {
				e.claim(h.a, h.b, rFlag)
			}
		case mSeeNote, mPage, mNote:
			if k := e.skip(h.b); e.is(k, cDigits) && e.free(k, k+1) && len(e.at[k].text) <= 2 {
				e.claim(k, k+1, rFlag)
			}
		}
	}
}

// take turns an entry into its lines.
func (s *state) take(e *entry) {
	kind := e.kind(s)
	parts := []part{{a: e.a, b: e.b}}
	if kind == Item {
		parts = e.split()
	}
	e.tailFrom = e.b
	if len(parts) > 1 {
		e.tailFrom = e.tailOf(parts[len(parts)-1])
	}
	group := 0
	if slices.ContainsFunc(parts, func(p part) bool { return p.either }) {
		s.groups++
		group = s.groups
	}
	if n := len(s.l.Lines); kind == Item && len(parts) == 1 && n > 0 && s.l.Lines[n-1].Kind == Item && e.hasAt(e.skip(e.body), mOr) {
		s.or = append(s.or, n)
	}
	for i, p := range parts {
		sub := 0
		if len(parts) > 1 {
			sub = i + 1
		}
		n := e.build(p, sub, kind)
		if p.either {
			n.Flags.Alternative = group
		}
		e.finish(&n, p)
		s.context(e, &n)
		s.l.Lines = append(s.l.Lines, n)
	}
	s.give(e, len(parts))
	s.after(e, kind)
}

// give hands the questions of an entry to the lines they stand in.
func (s *state) give(e *entry, parts int) {
	lines := s.l.Lines[len(s.l.Lines)-parts:]
	for _, q := range e.questions {
		k := 0
		for i := range lines {
			if lines[i].Start <= q.Start {
				k = i
			}
		}
		lines[k].Questions = append(lines[k].Questions, q)
	}
}

func (s *state) after(e *entry, kind Kind) {
	s.items = s.items || kind == Item
	s.previous = e.last
	for _, h := range e.hits {
		switch h.meaning {
		case mDemand:
			s.demand++
		case mSupply:
			s.supply++
		}
	}
	if h, ok := e.find(e.body, e.b, mContinued); ok && kind != Item {
		e.d.ask("incomplete", "the list continues from or on another page: is all of it here?", e.start(h.a), e.end(h.b))
	}
}

// fill adds the spans between the lines.
func (l *List) fill() {
	at := 0
	for _, n := range l.Lines {
		if n.Start > at {
			l.Between = append(l.Between, Span{at, n.Start, RoleSpace})
		}
		at = n.End
	}
	if at < len(l.Text) {
		l.Between = append(l.Between, Span{at, len(l.Text), RoleSpace})
	}
}
