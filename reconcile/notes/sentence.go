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
	if len(l.except) > 0 && !l.group() && p.last != nil && p.last.sentence == p.sentence && p.wide().group() {
		wide := p.wide() // "everything new, its seal too, bar the gears"
		wide.except, l.except = append(wide.except, l.except...), nil
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

// widest is the list that exceptions are taken from: the last that names a group,
// else the last.
func widest(lists []*list) *list {
	for i := len(lists) - 1; i >= 0; i-- {
		if lists[i].group() {
			return lists[i]
		}
	}
	return lists[len(lists)-1]
}

// wide is the widest list of the last sentence of which something was said; there
// is one.
func (p *parser) wide() *list {
	for i := len(p.statements) - 1; i >= 0 && p.statements[i].sentence == p.last.sentence; i-- {
		if l := widest(p.statements[i].lists); l.group() {
			return l
		}
	}
	return widest(p.last.lists)
}

// group: it names more than single parts.
func (l *list) group() bool {
	return slices.ContainsFunc(l.things, func(t *thing) bool { return t.whole || t.all || t.complete || t.rest || t.class != "" })
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
		before := p.wide()
		before.except = append(before.except, l.except...)
		for _, t := range l.except {
			t.apart, t.its = true, true
		}
		p.pending = append(p.pending, &list{things: l.except, start: l.start, end: l.end})
	case len(p.pending) > 0:
		before := widest(p.pending)
		before.except = append(before.except, l.except...)
		before.end = max(before.end, l.end)
	case p.last != nil:
		before := p.wide()
		before.except = append(before.except, l.except...)
		p.last.end = max(p.last.end, l.end)
	default:
		p.n.question(NotUnderstood, l.start, l.end, nil, "an exception to nothing")
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
		if from, to := p.pending[k-1].end, p.pending[k].start; from < to && strings.Contains(p.n.text[from:to], "\n") {
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
	if len(l.things) != 1 || len(l.except) > 0 || !l.things[0].plain() || !l.things[0].plural || !slices.Contains(gearThings, headKind(l.things[0])) && !shared[headKind(l.things[0])] {
		return
	}
	for _, m := range p.pending[1:] {
		if slices.ContainsFunc(m.things, func(t *thing) bool { return t.gears == 0 && !sided(t) || t.kinds() || t.shaft() != "" }) {
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
