package kitlist

import "strings"

// Read reads a pasted text. It never fails: what is not understood stays in the list, and what was cut off by a limit
// stays as one noise line with a Question that says how to go on.
func Read(text string, opts Options) List {
	d := layOut(text, opts)
	l := List{Text: text, Voice: Unknown, Totals: Totals{Line: -1}}
	for i := range d.phys {
		p := &d.phys[i]
		if !p.blank {
			l.Lines = append(l.Lines, d.line(p, i+1))
		}
	}
	if d.read < len(text) {
		n := len(d.phys) + 1
		l.Lines = append(l.Lines, Line{No: n, Last: n + strings.Count(text[d.read:], "\n"), Start: d.read, End: len(text),
			Kind: Noise, Spans: []Span{{d.read, len(text), RoleNoise}}})
	}
	l.Questions = d.questions
	l.fill()
	return l
}

func (d *document) line(p *physical, no int) Line {
	n := Line{No: no, Last: no, Start: p.start, End: p.end, Kind: Item, Depth: p.depth, Indent: p.indent,
		Text: strings.TrimSpace(d.text[p.start:p.end]), Quantity: Quantity{Count: 1, Pack: 1, Pieces: 1, Assumed: true}}
	for _, a := range d.atoms[p.a:p.b] {
		n.Spans = append(n.Spans, Span{int(a.start), int(a.end), roles[a.role]})
		if a.class == cLetters {
			n.Words = append(n.Words, Word{Text: d.text[a.start:a.end], Folded: a.text, Start: int(a.start), End: int(a.end)})
		}
	}
	return n
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
