package notes

import (
	"slices"
	"strings"
)

const notSaid = "what happens to it is not said"

// statement is things with what is said of them.
type statement struct {
	lists    []*list
	items    []item     // of the verdict
	bare     bool       // nothing was said: named only
	narrows  *statement // the group before it was too wide: "no, bearings only"
	unclear  bool       // "both" or "all" follows, of what is not said
	correct  bool       // takes back what was said before
	carried  bool       // its verdict stands before an earlier thing of the sentence
	context  *heading   // what stands above
	head     *thing     // kind named in the heading: "rings: 3rd worn"
	crowd    int        // things of the list before
	pair     []*thing   // the last two before it on the line that are one place each
	above    *heading   // of the sentences before on the same line
	before   *thing     // the last thing of the sentence before, on the same line
	sentence int        // number of its sentence
	days     []item     // days that its sentence names
	later    bool       // the line after it speaks of days: "went Monday, so the 23rd"
	soft     bool       // only a semicolon stands before that
	line     int        // number of its line
	start    int
	end      int
}

// parser turns the runs of sentences into statements.
type parser struct {
	n          *note
	statements []*statement
	last       *statement // of this line
	pending    []*list    // things of this sentence that wait for a verdict
	prefix     *verdict   // said before the things of this sentence
	carry      *verdict   // said in the heading above
	context    *heading   // of this line, else of the lines above
	above      *heading   // of the sentences before on this line
	block      *heading   // of the lines above
	head       *thing     // kind named before a colon of this sentence
	only       *statement // said before a sentence with "only"
	justOne    bool       // the sentence has "only"
	days       []item     // of this sentence
	doubt      bool       // what heads the sentence is not understood
	strange    bool       // words that are not understood head the sentence
	correct    bool
	suffixed   bool // some verdict of this sentence stood after its things
	sentence   int
	soft       bool // only a semicolon stands before this sentence
	lines      int
}

// parse reads one sentence; eol when it ends a line, soft when only a semicolon
// ended the one before.
func (p *parser) parse(items []item, eol, soft bool) {
	p.sentence++
	p.soft = soft
	p.pending, p.prefix, p.correct, p.suffixed, p.head = nil, p.carry, false, false, nil
	p.strange, p.doubt = false, false
	if p.context != p.block && !soft && !p.context.shaft() {
		p.above, p.context = p.context, p.block
	}
	p.days = slices.DeleteFunc(slices.Clone(items), func(it item) bool { return it.role != asDate || it.date.IsZero() })
	p.justOne = slices.ContainsFunc(items, func(it item) bool { return it.role == asOnly })
	if said := len(p.statements); slices.ContainsFunc(items, func(it item) bool { return it.role == asOnly }) && said > 0 {
		p.only = p.statements[said-1]
	} else {
		p.only = nil
	}
	runs := p.n.runs(items)
	if k := len(p.statements) - 1; k >= 0 && !hasThings(runs) && len(p.statements[k].days) == 0 && p.statements[k].line >= p.lines-1 {
		p.statements[k].days = p.days
		p.statements[k].later = len(items) > 0 && whenish(p.n.text[items[0].start:items[len(items)-1].end])
	}
	for k := range runs {
		switch r := &runs[k]; r.kind {
		case runThings:
			p.things(runs, k)
		case runVerdict:
			if next := k + 1; kindAt(runs, next) == runUnknown && runs[next].back && !goesFurther(runs, next) && p.back(r.verdict, &runs[next]) {
				runs[next].kind = runComma // "renew both"
				continue
			}
			p.verdict(runs, k)
		case runUnknown:
			if r.back && kindAt(runs, k+1) == runVerdict && p.back(runs[k+1].verdict, r) {
				runs[k+1].kind = runComma
				continue
			}
			p.unknown(runs, k)
		case runColon:
			p.colon(runs, k, eol)
		}
	}
	p.finish()
	if !eol {
		return
	}
	if len(runs) > 0 && runs[len(runs)-1].kind == runColon && p.context != p.block {
		p.block = p.context
	}
	p.context = p.block
}

// back: "both new" and "all of them new" speak of the things of the sentence,
// whatever was said of each.
func (p *parser) back(v *verdict, r *run) bool {
	both := r.both
	lists, things := slices.Clone(p.pending), 0
	kept := p.statements[:len(p.statements):len(p.statements)]
	of := p.sentence
	if len(lists) == 0 && p.last != nil {
		of = p.last.sentence // "m/s good, c/s chipped. Both new"
	}
	for len(kept) > 0 && kept[len(kept)-1].sentence == of {
		lists = append(slices.Clone(kept[len(kept)-1].lists), lists...)
		kept = kept[:len(kept)-1]
	}
	for _, l := range lists {
		things += len(l.things)
	}
	if both && things == 1 && lists[0].things[0].plural && len(lists[0].things[0].items) > 0 {
		lists[0].things[0].both, things = true, 2 // "bearings of the countershaft, both new"
	} else if t := lists; both && things == 1 && sided(t[0].things[0]) {
		other := t[0].things[0] // "the left one noisy but do both"
		other.slots, other.both, things = withoutSides(other.slots), true, 2
	}
	if !v.explicit && !(both || r.count > 0) || both && things != 2 || things < 2 || r.count > 0 && r.count != things {
		return false
	}
	for _, l := range lists {
		for _, t := range l.things {
			t.unread = false
		}
	}
	context := p.context
	if len(kept) < len(p.statements) {
		context = p.statements[len(kept)].context
	}
	p.statements, p.pending = kept, nil
	p.add(lists, v.items).context = context
	return true
}

// goesFurther: something is said after run k, before any comma.
func goesFurther(runs []run, k int) bool { return k+1 < len(runs) && runs[k+1].kind != runComma }

func kindAt(runs []run, k int) runKind {
	if k < 0 || k >= len(runs) {
		return 0
	}
	return runs[k].kind
}

// things: under a verdict said before, or waiting for one.
func (p *parser) things(runs []run, k int) {
	r := &runs[k]
	l := r.list
	if len(l.things) == 0 {
		p.excepted(l, runs, k)
		return
	}
	if p.doubt && lacksKind(l) {
		markUnread(l.things)
	}
	if p.exceptsMore(runs, k) {
		more := runs[k-2].list // "all but the bearing, the seal"
		more.except, more.end = append(more.except, l.things...), l.end
		runs[k].list = more
		return
	}
	direct := kindAt(runs, k-1) == runVerdict && p.prefix == runs[k-1].verdict
	switch {
	case kindAt(runs, k-1) == runVerdict && runs[k-1].verdict.only(asNot) && p.last != nil && p.last.sentence == p.sentence && kindAt(runs, k+1) != runVerdict:
		p.prefix = nil
		p.add([]*list{l}, append(slices.Clone(runs[k-1].verdict.items), p.last.items...)) // "replace the 3-4 fork, not 1-2"
	case p.prefix != nil && p.prefix == p.carry && kindAt(runs, k+1) == runColon:
		p.pending = append(p.pending, l)
	case p.prefix != nil:
		s := p.add([]*list{l}, p.prefix.items)
		s.carried = !direct
	case l.things[0].with && p.last != nil && len(p.pending) == 0 && p.last.sentence == p.sentence && kindAt(runs, k+1) != runVerdict:
		p.add([]*list{l}, p.last.items)
	default:
		p.pending = append(p.pending, l)
	}
}

// exceptsMore: an exception goes on after a comma, where the list is told apart
// by a verdict before it or by what is said of the exceptions.
func (p *parser) exceptsMore(runs []run, k int) bool {
	if kindAt(runs, k-1) != runComma || p.n.text[runs[k-1].start] != ',' || kindAt(runs, k-2) != runThings || len(runs[k-2].list.except) == 0 {
		return false
	}
	of := kindAt(runs, k+1) == runComma && kindAt(runs, k+2) == runVerdict && runs[k+2].verdict.items[0].role == asPron
	return of || p.prefix != nil && kindAt(runs, k+1) != runVerdict
}

// excepted takes things out of what was said before them.
func (p *parser) excepted(l *list, runs []run, k int) {
	switch {
	case kindAt(runs, k+1) == runVerdict && p.last != nil && p.last.sentence == p.sentence:
		before := p.last.lists[len(p.last.lists)-1]
		before.except = append(before.except, l.except...)
		for _, t := range l.except {
			t.apart, t.its = true, true
		}
		p.pending = append(p.pending, &list{things: l.except, start: l.start, end: l.end})
	case len(p.pending) > 0:
		before := p.pending[len(p.pending)-1]
		before.except = append(before.except, l.except...)
		before.end = l.end
	case p.last != nil:
		before := p.last.lists[len(p.last.lists)-1]
		before.except = append(before.except, l.except...)
		p.last.end = max(p.last.end, l.end)
	default:
		p.n.question(NotUnderstood, l.start, l.end, nil, "an exception to nothing")
	}
}

// verdict closes what waits, begins a new rule for what follows, or says more
// of the last things.
func (p *parser) verdict(runs []run, k int) {
	v := runs[k].verdict
	afterThing, beforeThing := kindAt(runs, k-1) == runThings, kindAt(runs, k+1) == runThings
	if p.corrects(runs, k) {
		return
	}
	if v.only(asNot) && beforeThing && p.last != nil && p.last.sentence == p.sentence && kindAt(runs, k+2) != runVerdict {
		return // see things
	}
	if beforeThing && v.only(asTreat) && ofFeature(runs[k+1].list) && (len(p.pending) > 0 || p.prefix == nil && p.last == nil && p.own()) {
		runs[k+1].kind = runUnknown // "main case: helicoil drain thread"
		runs[k+1].feature = true
		p.suffixed = true
		p.closePending(v)
		return
	}
	if v.items[0].arg == "or" && v.only(asMaybe) && beforeThing {
		markUnread(runs[k+1].list.things) // "the seal or the yoke": which of them is not said
	}
	switch {
	case headed(runs, k) && !afterThing:
		p.flush()
		p.prefix = v
	case p.prefix != nil:
		p.under(runs, k, afterThing, beforeThing)
	case afterThing && len(p.pending) > 0, len(p.pending) > 0 && !(beforeThing && v.explicit):
		p.suffixed = true
		p.closePending(v)
	case beforeThing:
		p.prefix = p.turn(v)
		p.flush()
	case v.only(asDue, asDate) && p.last == nil:
		p.n.remark(runs[k].start, runs[k].end)
	case kindAt(runs, k-1) == runUnknown && kindAt(runs, k-2) != runVerdict && !v.only(asDue, asDate):
		if p.last != nil && p.last.sentence == p.sentence && (v.explicit || !p.last.explicit()) {
			p.last.unclear = true // it may be what is said of the part
		}
		p.n.question(NotUnderstood, runs[k-1].start, runs[k].end, nil, "it is not understood of what this is said")
	case p.last == nil && p.own():
		p.closePending(v)
	default:
		if kindAt(runs, k-1) == runComma && runs[k-1].but && p.ones(v) {
			return
		}
		if p.last != nil && kindAt(runs, k-1) == runComma && runs[k-1].but && !v.explicit && v.has(asGood) != v.has(asBad) && !p.last.explicit() {
			p.last.items = slices.DeleteFunc(slices.Clone(p.last.items), func(it item) bool { return it.role == asGood || it.role == asBad }) // "marked but ok"
		}
		p.refine(v, runs[k].start, runs[k].end)
	}
}

// ones: "both dry, but new ones anyway" speaks of all that the sentence names.
func (p *parser) ones(v *verdict) bool {
	return v.explicit && len(v.items) > 0 && strings.Contains(fold(p.n.text[v.items[0].start:v.items[len(v.items)-1].end]), "ones") && p.back(v, &run{})
}

// turn closes what waits with the condition at a verdict's head and gives what
// is said of the things that follow: "shaft - bent? check the bearing".
func (p *parser) turn(v *verdict) *verdict {
	k := slices.IndexFunc(v.items, func(it item) bool { return it.role == asVerb || it.role == asTreat || it.role == asTreatOut })
	if len(p.pending) == 0 || k <= 0 || !slices.ContainsFunc(v.items[:k], func(it item) bool { return it.role == asGood || it.role == asBad || it.role == asMaybe }) {
		return v
	}
	p.closePending(&verdict{items: v.items[:k]})
	return &verdict{items: v.items[k:], explicit: true}
}

// under a verdict that stands before its things.
func (p *parser) under(runs []run, k int, afterThing, beforeThing bool) {
	v := runs[k].verdict
	if p.prefix.only(asNo) && !v.only(asNo) { // "no flange and no nut in the crate"
		for _, s := range p.statements {
			if s.sentence == p.sentence && len(s.items) == 1 && s.items[0].role == asNo {
				s.items = append(s.items[:1:1], v.items...)
				s.end = max(s.end, runs[k].end)
			}
		}
		return
	}
	switch {
	case beforeThing && p.last != nil && p.last.sentence == p.sentence && v.only(asTreat) && (p.prefix.has(asVerb)) && ofFeature(runs[k+1].list):
		p.refine(v, runs[k].start, runs[k].end) // "main case: chase drain plug thread"
		runs[k+1].kind = runUnknown
	case afterThing && beforeThing && v.explicit && !p.last.carriedHere(p):
		p.prefix = v
	case afterThing && p.last != nil && p.last.carried && !v.only(asDue, asDate):
		p.last.items, p.last.carried = v.items, false
		p.last.end = runs[k].end
	case !afterThing && beforeThing && v.explicit:
		p.prefix = v
	default:
		p.refine(v, runs[k].start, runs[k].end)
	}
}

// ofFeature: a treatment is done to a thread or seat, not to a part.
func ofFeature(l *list) bool { return len(l.things) == 1 && len(l.things[0].features) > 0 }

func (s *statement) carriedHere(p *parser) bool {
	return s != nil && s.carried && s.sentence == p.sentence
}

// corrects: "no," and "correction" take back what was said.
func (p *parser) corrects(runs []run, k int) bool {
	v := runs[k].verdict
	if v.has(asCorrect) || v.only(asNo) && (kindAt(runs, k+1) == runComma || k+1 == len(runs)) {
		p.correct = true
	} else if len(v.items) > 1 && v.items[0].role == asNo && v.items[1].role == asVerb && Choice(v.items[1].arg) != Replace {
		p.correct = true // "no keep the 3rd"
		v.items = v.items[1:]
	}
	return v.only(asCorrect, asNo) && p.correct
}

// refine adds to what was said of the last things.
func (p *parser) refine(v *verdict, start, end int) {
	if v.only(asToo, asPron, asCorrect) {
		if p.last == nil && v.has(asToo) {
			p.n.question(NotUnderstood, start, end, nil, "what it is the same as is not said")
		}
		return
	}
	if p.last != nil && v.items[0].role == asPron && len(v.items) > 1 {
		if l := p.last.lists[len(p.last.lists)-1]; len(l.except) > 0 { // "all new except the 5th, that is fine"
			p.add([]*list{{things: l.except, start: l.start, end: l.end}}, v.items[1:])
			return
		}
	}
	if p.last == nil {
		if !v.only(asGood, asBad, asMeasured, asDue, asDate, asNot, asNo, asInHouse) {
			p.n.question(NotUnderstood, start, end, nil, "it is not said of which part")
		} else {
			p.n.remark(start, end)
		}
		return
	}
	if p.correct {
		s := p.add(p.last.lists, v.items)
		s.start, s.end = start, end
		return
	}
	if p.last.bare {
		p.last.bare = false
	}
	said := p.last.items
	p.last.items = append(said[:len(said):len(said)], v.items...)
	p.last.end = max(p.last.end, end)
	if !v.only(asDue, asDate, asTreat, asTreatOut) {
		return
	}
	for _, s := range p.statements { // "sent out: the shaft, the gear. Back Friday."
		if s != p.last && s.sentence == p.last.sentence && slices.EqualFunc(s.items, said, func(a, b item) bool { return a.start == b.start }) {
			s.items = p.last.items
		}
	}
}

func (p *parser) unknown(runs []run, k int) {
	r := &runs[k]
	if r.unclear && p.last != nil && p.last.sentence == p.sentence {
		p.last.unclear = true
		p.last.end = max(p.last.end, r.end)
		return
	}
	before, after := kindAt(runs, k-1), kindAt(runs, k+1)
	if before == runVerdict && p.last != nil && p.last.sentence == p.sentence {
		if it := runs[k-1].verdict.items; Choice(it[len(it)-1].arg) == obtain {
			p.last.unclear = true // "needs something"
		}
	}
	if r.feature || p.n.aside(runs, k) {
		p.n.remark(r.start, r.end)
		return
	}
	if before == runThings && after == runThings && p.prefix != nil && p.last != nil && p.last.sentence == p.sentence {
		p.last.unclear = true // the words may join the two or part them
	}
	if after == runThings && runs[k+1].joined {
		p.n.question(NotUnderstood, r.start, r.end, nil, "it is not known what this names")
		return
	}
	if before == runColon && kindAt(runs, k-2) == runThings && after != runThings {
		before = runThings // "input shim: by feel"
	}
	switch {
	case (before == runThings || before == runComma && after != runThings) && p.prefix == nil && len(p.pending) > 0 && !settledLater(runs, k):
		markUnread(p.pending[len(p.pending)-1].things)
		if after == runThings {
			markUnread(runs[k+1].list.things)
		}
	case after == runThings:
		markUnread(runs[k+1].list.things[:min(1, len(runs[k+1].list.things))])
	default:
		p.n.remark(r.start, r.end)
		return
	}
	p.n.mark(r.start, r.end, RoleUnread)
}

// aside: a bracket holds nothing but words that are not understood: "(done
// before)".
func (n *note) aside(runs []run, k int) bool {
	from, to := k, k
	for kindAt(runs, from-1) == runUnknown {
		from--
	}
	for kindAt(runs, to+1) == runUnknown {
		to++
	}
	return kindAt(runs, from-1) == runComma && kindAt(runs, to+1) == runComma && n.text[runs[from-1].start] == '(' && n.text[runs[to+1].start] == ')'
}

// explicit: its words state a choice or a treatment.
func (s *statement) explicit() bool {
	return slices.ContainsFunc(s.items, func(it item) bool { return it.role == asVerb || it.role == asTreat || it.role == asTreatOut })
}

// settledLater: after a comma or dash a choice is stated, so what is not
// understood is taken for a condition.
func settledLater(runs []run, k int) bool {
	for k++; kindAt(runs, k) == runUnknown; k++ {
	}
	if kindAt(runs, k) != runComma && kindAt(runs, k) != runColon {
		return false
	}
	but := runs[k].but
	for k++; kindAt(runs, k) == runComma; k++ {
	}
	return kindAt(runs, k) == runVerdict && (but || runs[k].verdict.explicit) && kindAt(runs, k+1) != runThings
}

func markUnread(things []*thing) {
	for _, t := range things {
		t.unread = true
	}
}

// flush makes a statement of things that were named without a verdict.
func (p *parser) flush() {
	if len(p.pending) == 0 {
		return
	}
	if p.strange {
		for _, l := range p.pending {
			markUnread(l.things)
		}
	}
	for len(p.pending) > 0 {
		k := p.lineful()
		s := p.add(p.pending[:k:k], nil)
		s.bare = true
		p.pending = p.pending[k:]
	}
	p.pending = nil
}

// lineful counts the lists that stand on the line of the first.
func (p *parser) lineful() int {
	for k := 1; k < len(p.pending); k++ {
		if strings.Contains(p.n.text[p.pending[k-1].end:p.pending[k].start], "\n") {
			return k
		}
	}
	return len(p.pending)
}

func (p *parser) closePending(v *verdict) {
	p.dashed()
	items := v.items
	if v.only(asToo, asPron) {
		if p.last == nil {
			p.flush()
			return
		}
		items = p.last.items
		for _, s := range p.statements {
			if s.sentence == p.last.sentence && s.sentence != p.sentence && !slices.EqualFunc(s.items, items, func(a, b item) bool { return a.arg == b.arg && a.role == b.role }) {
				items = nil // which of the two is the same as before is not said
			}
		}
		items = append(slices.Clone(items), v.items...)
		for _, l := range p.pending {
			for _, t := range l.things {
				t.its = t.its || t.plural && t.gears == 0 && !t.all && slices.Contains(gearThings, headKind(t)) // "(sleeves too)"
			}
		}
	}
	s := p.add(p.pending, items)
	s.end = max(s.end, v.items[len(v.items)-1].end)
	p.pending = nil
}

// dashed makes a bare plural before bare gears the kind of those: "rings - 3rd
// new only".
func (p *parser) dashed() {
	if len(p.pending) < 2 {
		return
	}
	l := p.pending[0]
	if len(l.things) != 1 || len(l.except) > 0 || !l.things[0].plain() || !l.things[0].plural || !slices.Contains(gearThings, headKind(l.things[0])) {
		return
	}
	for _, m := range p.pending[1:] {
		if slices.ContainsFunc(m.things, func(t *thing) bool { return t.gears == 0 || t.kinds() }) {
			return
		}
	}
	p.head, p.pending = l.things[0], p.pending[1:]
}

// inverted reads "gasket, front" as the front gasket where nothing else stands in
// the sentence.
func (p *parser) inverted() {
	if len(p.pending) != 2 || len(p.pending[0].things)+len(p.pending[1].things) != 2 || len(p.pending[0].except)+len(p.pending[1].except) > 0 {
		return
	}
	a, b := p.pending[0].things[0], p.pending[1].things[0]
	if !a.plain() || a.plural || p.n.resolve(a).code == "" {
		return
	}
	u := *a
	u.slots, u.gears, u.end = append(slices.Clone(b.slots), a.slots...), b.gears, b.end
	u.items = append(slices.Clone(a.items), b.items...)
	if f := p.n.resolve(&u); f.code == "" && len(f.places) == 1 {
		p.pending = []*list{{things: []*thing{&u}, start: a.start, end: b.end}}
	}
}

func (p *parser) finish() {
	p.dashed()
	p.inverted()
	if len(p.pending) > 0 && p.correct && p.justOne && p.last != nil && p.last.sentence == p.sentence && !p.last.correct {
		p.add(p.pending, p.last.items) // "hub and sleeve out, no sorry, just the hub"
		p.pending = nil
	}
	if len(p.pending) > 0 && p.suffixed {
		for _, l := range p.pending {
			p.n.question(Open, l.start, l.end, nil, notSaid)
		}
		p.pending = nil
		return
	}
	p.flush()
}

func (p *parser) add(lists []*list, items []item) *statement {
	s := &statement{lists: lists, items: items, correct: p.correct, context: p.context, above: p.above, head: p.head, days: p.days, sentence: p.sentence, soft: p.soft, line: p.lines,
		start: lists[0].start, end: lists[len(lists)-1].end}
	for i := range items {
		s.start, s.end = min(s.start, items[i].start), max(s.end, items[i].end)
	}
	switch {
	case p.correct && p.justOne && p.last != nil && p.last.sentence == p.sentence && !p.last.correct:
		s.narrows = p.last
	case p.correct && p.only != nil:
		s.narrows, p.only = p.only, nil
	}
	if p.context != p.block {
		s.above = nil // it stands under a heading of its own
	}
	p.statements = append(p.statements, s)
	p.last = s
	return s
}

// line begins a new line: what was said last is out of reach.
func (p *parser) line(blank bool) {
	p.last, p.above = nil, nil
	p.lines++
	if blank {
		p.carry, p.context, p.block = nil, nil, nil
	}
}
