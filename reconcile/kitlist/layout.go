package kitlist

import (
	"fmt"
	"strings"

	"layshaft/catalog/quantity"
)

// physical is one line of the text as pasted.
type physical struct {
	start, end int // without the line end
	next       int // start of the next line
	a, b       int // its atoms
	depth      int // quoting depth
	indent     int
	body       int // first atom after quote marks and indent
	blank      bool
	running    bool // printed on every page
	spoken     bool // a speaker was named in front, or above
	stamp      bool // only names a speaker and a time
	rule       bool // only decoration: "-----", "=====" or a table rule
}

// document is a text on its way to a List.
type document struct {
	text, lower string
	opts        Options
	atoms       []atom
	phys        []physical
	unread      int   // lines too long to read
	read        int   // bytes read; the rest is the cut tail
	mended      []int // bytes of numbers that were read otherwise than written, ascending
	looked      map[string]*wordInfo
	groups      int32
	unit        quantity.Unit // guessed for bare sizes
	units       string        // List.Unit
	decimal     string        // List.Decimal
	table       table
	stack       stacked
	records     records
	rows        bool   // lines begin with running numbers
	endCount    bool   // lines end with a bare count
	endPrice    bool   // lines end with a bare price
	solid       [2]int // first and last line that surely belongs to the list, -1 when none does
	commaCount  bool   // lines end in a comma and a bare count
	startPrice  bool   // lines begin with a bare price
	entry       entry  // reused for one entry after the other
	spans       []Span // buffers for building lines
	text8       []byte
	words       []Word
	deepest     int  // quoting depth
	upperStarts bool // lines that begin with a letter begin with a capital
	fullRows    bool // nearly every row of the table has its count and number
	shortNames  int  // short lines in capitals
	bulleted    bool // nearly every part stands behind a bullet
	setIn       bool // nearly every part is set in
	fewCapitals bool // most lines hold small letters
	mostNamed   bool // nearly every line names a part
	mostCounted bool // nearly every line says how many
	capital     bool // what opens an entry has a capital
	endGap      int  // blanks that must stand before a count at the end
	margin      int  // blanks that every line begins with
	checked     bool // lines were ticked off with words such as "ok"
	counted     bool // lines begin with a count or a bullet
	questions   []Question
}

const (
	defaultBytes     = 1 << 20
	defaultLines     = 20_000
	defaultLineBytes = 4 << 10

	// Lines over longLine bytes take more than linear time; together they get longBudget bytes.
	longLine   = 1 << 10
	longBudget = 128 << 10
)

func (o Options) withDefaults() Options {
	if o.MaxBytes <= 0 {
		o.MaxBytes = defaultBytes
	}
	if o.MaxLines <= 0 {
		o.MaxLines = defaultLines
	}
	if o.MaxLineBytes <= 0 {
		o.MaxLineBytes = defaultLineBytes
	}
	return o
}

// layOut cuts the text into physical lines and atoms, within the limits.
func layOut(text string, opts Options) *document {
	d := &document{text: text, opts: opts.withDefaults()}
	limit := min(len(text), d.opts.MaxBytes)
	d.lower, d.mended = lowered(text, limit)
	d.looked = map[string]*wordInfo{}
	d.atoms = make([]atom, 0, limit/2+16)
	d.phys = make([]physical, 0, min(strings.Count(text[:limit], "\n")+1, d.opts.MaxLines))
	d.margin = margin(text[:limit])
	at, long := 0, 0
	for at < limit && len(d.phys) < d.opts.MaxLines {
		end, next := lineEnd(text, at)
		if end > limit || next > limit && limit < len(text) {
			break // a half line at the limit is not read: it could say the opposite of the whole
		}
		if end-at > longLine {
			long += end - at
		}
		if end-at > d.opts.MaxLineBytes || end-at > longLine && long > longBudget {
			d.addUnread(at, end, next)
		} else {
			d.add(at, end, next)
		}
		at = next
	}
	d.read = at
	if at < len(text) {
		d.ask("text-cut", fmt.Sprintf("only the first %d lines (%d of %d bytes) were read; paste the rest as a second list.",
			len(d.phys), at, len(text)), at, len(text))
	}
	return d
}

func (d *document) ask(code, text string, start, end int) {
	d.questions = append(d.questions, Question{code, text, start, end})
}

// lineEnd finds the end of the line at i: before and after "\n", "\r\n", "\r", form feed or vertical tab.
func lineEnd(text string, i int) (end, next int) {
	k := strings.IndexAny(text[i:], "\n\r\f\v")
	if k < 0 {
		return len(text), len(text)
	}
	end = i + k
	if text[end] == '\r' && end+1 < len(text) && text[end+1] == '\n' {
		return end, end + 2
	}
	return end, end + 1
}

// maxUnread is how many unread lines are named one by one.
const maxUnread = 20

func (d *document) addUnread(start, end, next int) {
	if d.unread++; d.unread <= maxUnread {
		d.ask("line-too-long", fmt.Sprintf("line %d has %d bytes; it was kept unread. Break it into lines and paste again.",
			len(d.phys)+1, end-start), start, end)
	}
	a := len(d.atoms)
	d.atoms = append(d.atoms, atom{start: int32(start), end: int32(end), class: cBad, role: rNoise})
	d.newline(end, next)
	d.phys = append(d.phys, physical{start: start, end: end, next: next, a: a, b: a + 1, body: a})
}

func (d *document) add(start, end, next int) {
	p := physical{start: start, end: end, next: next, a: len(d.atoms)}
	d.atoms = lex(d.lower, start, end, d.atoms)
	d.look(p.a)
	p.b = len(d.atoms)
	for p.b > p.a && d.atoms[p.b-1].class == cSpace && p.b > p.a+1 { // blanks at the end
		p.b--
		d.atoms[p.b].role = rSpace
	}
	d.newline(end, next)
	d.prefix(&p)
	if !p.blank {
		d.deepest = max(d.deepest, p.depth)
	}
	d.phys = append(d.phys, p)
}

// look finds the words of the atoms from a on in the word lists.
func (d *document) look(a int) {
	w := words()
	for i := a; i < len(d.atoms); i++ {
		at := &d.atoms[i]
		if at.class != cLetters {
			continue
		}
		info := w.looked[at.text]
		if info == nil {
			if info = d.looked[at.text]; info == nil {
				info = w.look(at.text)
				d.looked[at.text] = info
			}
		}
		at.word, at.text = info, info.text
	}
}

// newline adds the line end as an atom of its own, so that joined lines stay one run of atoms.
func (d *document) newline(end, next int) {
	if next > end {
		d.atoms = append(d.atoms, atom{text: " ", start: int32(end), end: int32(next), class: cSpace, role: rSpace})
	}
}

// margin is how many blanks every line begins with.
func margin(text string) int {
	least := -1
	for line := range strings.Lines(text) {
		rest := strings.TrimLeft(line, " ")
		if strings.TrimSpace(rest) == "" {
			continue
		}
		if n := len(line) - len(rest); least < 0 || n < least {
			least = n
		}
	}
	return max(least, 0)
}

// prefix reads quote marks and indent, and whether the line is blank or a rule.
func (d *document) prefix(p *physical) {
	i := p.a
	for ; i < p.b; i++ {
		a := &d.atoms[i]
		if a.class == cSpace {
			if p.indent += int(a.width); i == p.a {
				p.indent = max(0, p.indent-d.margin)
			}
			continue
		}
		if a.text != ">" || p.depth == 0 && p.indent > 0 { // an indented ">" is a bullet
			break
		}
		a.role = rMarker
		p.depth++
		p.indent = 0
	}
	p.body = i
	p.blank = true
	p.rule = true
	for ; i < p.b; i++ {
		switch a := d.atoms[i]; {
		case a.class == cSpace || a.class == cBad:
		case a.class == cPunct && strings.Contains("-=_*+|.~#:", a.text):
			p.blank = false
		default:
			p.blank, p.rule = false, false
			return
		}
	}
	if p.blank {
		p.rule = false
	}
}
