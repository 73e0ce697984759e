package notes

import (
	"slices"
	"strconv"
	"strings"
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
	out    Result
	merged *merger
}

// wheel is a gear that another part carries.
type wheel struct {
	place *place
	gears uint16
}

// Read is as the function of that name.
func (rd *Reader) Read(family catalog.FamilyID, variant catalog.VariantID, text string, today quantity.Date) Result {
	n := &note{rd: rd, text: text, family: &catalog.Family{}, roles: make([]Role, min(len(text), maxBytes)), merged: newMerger(), failed: map[int]bool{}}
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
	n.rolesOf(items)
	n.settle(items)
	lone(items)
	spelt(items, text)
	spared(items)
	n.apply(n.statements(items))
	n.merged.finish(n)
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

// titles makes the names of the family and variant say nothing.
func (n *note) titles(tokens []token, items []item, variant catalog.VariantID) {
	names := map[string]bool{}
	title := n.family.Name
	if v, ok := n.rd.ix.Variant(variant); ok {
		title += " " + v.Name
	}
	for _, t := range lex(title) {
		names[t.text] = len(t.text) > 3
	}
	for i := range items {
		if it := &items[i]; it.role == asUnknown && it.to == it.from+1 && names[tokens[it.from].text] {
			it.role = asStop
		}
	}
}

// secondary shafts are the main shaft of a box with three shafts and the output
// shaft of one with two.
var secondary = map[string]bool{"secondary shaft": true, "arbre secondaire": true, "eje secundario": true}

// fillers: the words between a verdict and its colon say nothing but when.
func (n *note) fillers(start, end int) bool {
	for _, t := range lex(n.text[start:end]) {
		if e := phrases[t.text]; t.word && e.role != asStop && e.arg != "when" {
			return false
		}
	}
	return true
}

// endsWith: a kind that was named short ends in the word that follows.
func endsWith(senses []match.Sense, word string) bool {
	return slices.ContainsFunc(senses, func(s match.Sense) bool { return s.Kind && strings.HasSuffix(s.Name, " "+word) })
}

// lone makes "sets" and "(pair)" say nothing where no part stands beside them.
func lone(items []item) {
	for i := range items {
		it := &items[i]
		if it.role != asThing || len(it.senses) != 1 || it.senses[0].Name != "set" && it.senses[0].Name != "gear pair" {
			continue
		}
		part := func(k int) bool {
			return k >= 0 && k < len(items) && (items[k].role == asThing || items[k].role == asGears)
		}
		shut := i > 0 && items[i-1].arg == "(" && i+1 < len(items) && items[i+1].arg == ")"
		if shut || it.senses[0].Name == "set" && !part(i-1) && !part(i+1) && !(i+1 < len(items) && items[i+1].role == asOf) {
			it.role, it.senses = asStop, nil
		}
	}
}

// settle reads "mainshaft" by the layout: in a longitudinal box it is the main
// shaft, in a transaxle it may be the input shaft: then nothing answers to it and
// it is asked.
func (n *note) settle(items []item) {
	for i := range items {
		if n.family.Box == catalog.Transaxle && secondary[fold(n.text[items[i].start:items[i].end])] {
			items[i].senses = shaftSlot("output")
		}
		if i > 0 && items[i].role == asThing && items[i-1].role == asThing && endsWith(items[i-1].senses, fold(n.text[items[i].start:items[i].end])) {
			items[i].role, items[i].senses = asStop, nil // "ext housing" is written for the one word
		}
		if word := fold(n.text[items[i].start:items[i].end]); items[i].role == asStop && i > 0 {
			before := &items[i-1]
			switch {
			case word == "off" && before.role != asNumber:
				items[i].role = asUnknown // "cover off" is no count
			case word == "one" && (before.role == asGears || before.role == asThing && firstKind(before.senses) == "" || before.role == asThing && shaftOnly(before.senses)):
				items[i].role = asOnes
			}
		}
		if i > 0 && i+1 < len(items) && items[i].role == asStop && fold(n.text[items[i].start:items[i].end]) == "an" && items[i-1].role == asThing && items[i+1].role == asThing {
			items[i].role = asAnd
		}
		if s := items[i].senses; len(s) == 2 && items[i].means("main shaft") && items[i].means("input shaft") {
			items[i].senses = exactly(s, "main shaft")
		}
	}
}

// spelt makes "first" and "second" ordinary words where no part and no other
// gear stands beside them: "ask first", "on second look".
func spelt(items []item, text string) {
	beside := func(i, step int) bool {
		for i += step; i >= 0 && i < len(items); i += step {
			switch items[i].role {
			case asAnd, asStop, asOf, asNumber:
			case asThing, asGears, asColon, asFeature, asEverything, asComplete:
				return true
			case asComma:
				if items[i].arg != "," {
					return false
				}
			default:
				return false
			}
		}
		return false
	}
	for i := range items {
		it := &items[i]
		if word := fold(text[it.start:it.end]); it.role == asGears && len(word) > 4 && !strings.ContainsAny(word, "0123456789") && word != "reverse" && !beside(i, 1) && !beside(i, -1) {
			it.role, it.gears = asStop, 0
		}
	}
}

// spared turns "all gaskets but the top cover one" into an exception: nothing is
// said of what follows "but".
func spared(items []item) {
	all := false
	for i := range items {
		switch items[i].role {
		case asAll, asEverything:
			all = true
		case asBreak, asLine:
			all = false
		case asBut:
			end := i + 1
			for end < len(items) && (skipped(items[end].role) || items[end].role == asThing || items[end].role == asGears || items[end].role == asOnes) {
				end++
			}
			said := end < len(items) && verdictRole(items[end].role)
			if all && end > i+1 && !said {
				items[i].role = asExcept
			}
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
	for _, p := range places[:min(len(places), 12)] {
		q.Positions = append(q.Positions, p.pos.ID)
	}
	n.out.Questions = append(n.out.Questions, q)
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
