package notes

import (
	"slices"
	"strconv"
	"unicode/utf8"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
	"layshaft/reconcile/match"
)

// Limits of what is read: a bench note is a page, not a book.
const (
	maxBytes      = 64 << 10
	maxStatements = 2000
	maxQuestions  = 500
	maxList       = 64 // things of one list
	maxPositions  = 12 // of one question
)

var noDay quantity.Date

// Reader reads notes against one catalogue index. It may be used by any number
// of goroutines.
type Reader struct {
	ix         *catalog.Index
	vocabulary *match.Vocabulary
}

// NewReader returns a reader that knows the words of a vocabulary, which must
// be of the same index.
func NewReader(ix *catalog.Index, v *match.Vocabulary) *Reader { return &Reader{ix: ix, vocabulary: v} }

// Read reads a note of a family, and of a variant when it is known. Today, when
// it is not zero, dates weekdays.
func Read(ix *catalog.Index, family catalog.FamilyID, variant catalog.VariantID, text string, today quantity.Date) Result {
	return NewReader(ix, match.NewVocabulary(ix)).Read(family, variant, text, today)
}

// note is one text being read.
type note struct {
	rd     *Reader
	text   string
	family *catalog.Family
	places []*place
	names  map[string]bool // words of their names
	wheels []wheel
	lies   map[string]string // shaft of the drawing -> its name's shaft
	roles  []Role            // of each byte that was read
	narrow bool              // places are those of a heading
	failed map[int]bool      // sentences of which something is asked

	sentences [][2]int // their bytes
	today     quantity.Date
	out       Result
	merged    *merger
}

// wheel is a gear that another part carries.
type wheel struct {
	place *place
	gears uint16
}

// Read is as the function of that name.
func (rd *Reader) Read(family catalog.FamilyID, variant catalog.VariantID, text string, today quantity.Date) Result {
	n := &note{rd: rd, text: text, family: &catalog.Family{}, today: today, roles: make([]Role, min(len(text), maxBytes)), merged: newMerger(), failed: map[int]bool{}}
	if v, ok := rd.ix.Variant(variant); ok {
		family = v.Family
	} else {
		variant = ""
	}
	if f, ok := rd.ix.Family(family); ok {
		n.family = f
		n.places = rd.places(family, variant)
		n.layOut()
		n.names = map[string]bool{}
		for _, p := range n.places {
			for _, t := range lex(p.pos.Name) {
				n.names[t.text] = t.word && !t.digits
			}
		}
	}
	end := cut(text)
	tokens := lex(text[:end])
	items := rd.itemize(tokens, today)
	n.titles(tokens, items, variant)
	n.local(tokens, items)
	n.inOut(tokens, items)
	n.rolesOf(items)
	n.settle(items)
	lone(items)
	qualifiers(items)
	conesWithCups(items)
	spelt(items, text)
	spared(items)
	n.apply(n.statements(items))
	n.merged.finish(n)
	n.gather()
	n.out.Text = text
	if end < len(text) {
		n.out.Questions = append(n.out.Questions, Question{Code: TooLong, Text: clip(text[end:]), Start: end, End: len(text),
			Why: "a note of more than " + strconv.Itoa(maxBytes>>10) + " KiB is read only so far"})
	}
	n.spans(end)
	return n.out
}

// cut finds where to stop, not inside a character.
func cut(text string) int {
	if len(text) <= maxBytes {
		return len(text)
	}
	end := maxBytes
	for end > maxBytes-utf8.UTFMax && !utf8.RuneStart(text[end]) {
		end--
	}
	return end
}

// layOut finds what shafts of the drawing are called and which parts carry
// gears of theirs.
func (n *note) layOut() {
	n.lies = map[string]string{}
	for _, s := range n.family.Shafts {
		for _, it := range n.rd.itemize(lex(s.Name), noDay) {
			for _, x := range it.senses {
				if x.Shaft != "" && n.lies[s.ID] == "" {
					n.lies[s.ID] = x.Shaft
				}
			}
		}
	}
	byID := map[catalog.PositionID]*place{}
	for _, p := range n.places {
		byID[p.pos.ID] = p
	}
	for _, w := range n.family.Wheels {
		p := byID[w.Position]
		if p == nil || w.At == "" {
			continue
		}
		g := uint16(0)
		for _, it := range n.rd.itemize(lex(w.Label), noDay) {
			if it.role == asGears {
				g |= it.gears
			}
		}
		if g != 0 {
			n.wheels = append(n.wheels, wheel{p, g})
		}
	}
}

// statements cuts the items into sentences and those into statements.
func (n *note) statements(items []item) []*statement {
	p := &parser{n: n}
	from, blank, soft := 0, true, false
	for i := range items {
		it := &items[i]
		if it.role != asLine && it.role != asBreak {
			blank = blank && it.role == asMarker
			continue
		}
		if it.role == asLine && i > from && continues(items[from:i]) {
			continue
		}
		p.sentenceOf(items[from:i], it.role == asLine, soft)
		soft = it.role == asBreak && it.arg == ";"
		if it.role == asLine {
			p.line(blank)
			blank = true
		}
		from = i + 1
		if len(p.statements) > maxStatements {
			n.question(TooLong, it.start, items[len(items)-1].end, nil, "more statements than are read")
			return p.statements
		}
	}
	if from < len(items) {
		p.sentenceOf(items[from:], true, soft)
	}
	return p.statements
}

// sentenceOf parses a sentence, a bracket that is a statement of its own after
// the rest.
func (p *parser) sentenceOf(items []item, eol, soft bool) {
	if len(items) > 0 {
		p.n.sentences = append(p.n.sentences, [2]int{items[0].start, items[len(items)-1].end})
	}
	if side := sideOnly(items); side != nil {
		p.block = &heading{things: []*thing{side}}
		p.context = p.block
		return
	}
	rest, aside := items, []item(nil)
	if open := bracket(items, 0, "("); open >= 0 {
		if shut := bracket(items, open, ")"); shut > open && ownStatement(items[open+1:shut]) {
			aside = items[open+1 : shut]
			rest = append(append([]item{}, items[:open]...), items[shut+1:]...)
		}
	}
	p.parse(rest, eol && aside == nil, soft)
	if aside != nil {
		last := p.last
		p.parse(aside, eol, true)
		p.last = last
	}
}

// sideOnly reads a line that is just "input side" as what stands above others.
func sideOnly(items []item) *thing {
	if len(items) != 2 || items[0].role != asThing || !shaftOnly(items[0].senses) || items[1].role != asStop || items[1].arg != "side" {
		return nil
	}
	return &thing{slots: [][]match.Sense{items[0].senses}, items: items[:1], start: items[0].start, end: items[1].end}
}

func bracket(items []item, from int, mark string) int {
	for i := from; i < len(items); i++ {
		if items[i].role == asComma && items[i].arg == mark {
			return i
		}
	}
	return -1
}

// ownStatement: it names a kind of part, then says something of it.
func ownStatement(items []item) bool {
	kind := false
	for i := range items {
		kind = kind || items[i].role == asThing && firstKind(items[i].senses) != ""
		if kind && (items[i].role == asGood || items[i].role == asBad || items[i].role == asVerb) {
			return true
		}
	}
	return false
}

// continues: the line ends in a comma or "and".
func continues(items []item) bool {
	last := items[len(items)-1].role
	return last == asAnd || last == asComma || last == asWith || last == asLine
}

func (n *note) question(code Code, start, end int, places []*place, why string) {
	if end <= start || len(n.out.Questions) >= maxQuestions {
		return
	}
	for k := len(n.out.Remarks) - 1; k >= 0 && n.out.Remarks[k].Start >= start && n.out.Remarks[k].End <= end; k-- {
		n.mark(n.out.Remarks[k].Start, n.out.Remarks[k].End, RoleUnread)
		n.out.Remarks = n.out.Remarks[:k]
	}
	q := Question{Code: code, Text: clip(n.text[start:end]), Start: start, End: end, Why: why}
	for _, p := range places[:min(len(places), maxPositions)] {
		q.Positions = append(q.Positions, p.pos.ID)
	}
	n.out.Questions = append(n.out.Questions, q)
}

// gather makes one question of neighbours that ask the same of the same words,
// each about another position.
func (n *note) gather() {
	var out []Question
	for _, q := range n.out.Questions {
		k := len(out) - 1
		if k < 0 || !out[k].same(&q) {
			out = append(out, q)
			continue
		}
		for _, id := range q.Positions {
			if len(out[k].Positions) < maxPositions && !slices.Contains(out[k].Positions, id) {
				out[k].Positions = append(out[k].Positions, id)
			}
		}
	}
	n.out.Questions = out
}

// remark keeps text that says nothing of parts; neighbours are joined.
func (n *note) remark(start, end int) {
	n.mark(start, end, RoleRemark)
	if k := len(n.out.Remarks) - 1; k >= 0 && n.out.Remarks[k].End <= start && blankBetween(n.text[n.out.Remarks[k].End:start]) {
		n.out.Remarks[k].End = end
		n.out.Remarks[k].Text = clip(n.text[n.out.Remarks[k].Start:end])
		return
	}
	n.out.Remarks = append(n.out.Remarks, Remark{Text: clip(n.text[start:end]), Start: start, End: end})
}

func blankBetween(s string) bool {
	for i := range len(s) {
		if s[i] != ' ' && s[i] != '\t' {
			return false
		}
	}
	return true
}

// clip shortens kept text.
func clip(s string) string {
	const most = 200
	if len(s) <= most {
		return s
	}
	end := most
	for end > 0 && !utf8.RuneStart(s[end]) {
		end--
	}
	return s[:end] + "…"
}
