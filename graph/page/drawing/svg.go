package drawing

import (
	"html"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"layshaft/catalog"
)

// longText is the most characters of a name that a picture repeats.
const longText = 120

// clean makes hostile text harmless to a line of words: control characters and
// those that change the direction of writing are dropped, white space folded,
// and what is longer than limit characters is cut with an ellipsis.
func clean(s string, limit int) string {
	var b strings.Builder
	n, space := 0, false
	for _, r := range s {
		switch {
		case unicode.IsSpace(r):
			space = n > 0
			continue
		case r == utf8.RuneError, unicode.IsControl(r), unicode.Is(unicode.Cf, r), unicode.Is(unicode.Mn, r) && n == 0,
			unicode.Is(unicode.Co, r), unicode.Is(unicode.Cs, r):
			continue
		}
		if space {
			b.WriteByte(' ')
			n++
			space = false
		}
		if n >= limit-1 && n > 0 && utf8.RuneCountInString(s) > limit {
			b.WriteString("\u2026")
			return b.String()
		}
		b.WriteRune(r)
		n++
	}
	return b.String()
}

// writer appends to one buffer.
type writer struct{ b []byte }

func (w *writer) raw(parts ...string) {
	for _, p := range parts {
		w.b = append(w.b, p...)
	}
}

// text writes s escaped; what XML cannot hold and what turns the direction of
// writing becomes U+FFFD.
func (w *writer) text(s string) {
	if plain(s) {
		w.b = append(w.b, s...)
		return
	}
	w.raw(html.EscapeString(strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || unicode.Is(unicode.Cf, r) || r == '\ufffe' || r == '\uffff' {
			return utf8.RuneError
		}
		return r
	}, strings.ToValidUTF8(s, "\ufffd"))))
}

// plain text needs no escape: nearly all that a catalogue says.
func plain(s string) bool {
	for i := range len(s) {
		if c := s[i]; c < ' ' || c > '~' || c == '<' || c == '>' || c == '&' || c == '"' || c == '\'' {
			return false
		}
	}
	return true
}

// num writes a coordinate with one decimal at most.
func (w *writer) num(f float64) {
	w.b = strconv.AppendFloat(w.b, f, 'f', 1, 64)
	if n := len(w.b); w.b[n-1] == '0' {
		w.b = w.b[:n-2]
		if n = len(w.b); n > 0 && w.b[n-1] == '-' {
			w.b = append(w.b, '0')
		}
	}
}

func (w *writer) pair(p Point) {
	w.num(p.X)
	w.b = append(w.b, ' ')
	w.num(p.Y)
}

// SVG writes the picture. Everything that came from the catalogue is escaped;
// there is neither script nor inline style in it.
func (p Picture) SVG() string {
	w := &writer{b: make([]byte, 0, 96<<10)}
	w.raw(`<svg xmlns="http://www.w3.org/2000/svg" class="ly ly-`, string(p.Form), `" viewBox="0 0 `)
	w.pair(Point{p.Width, p.Height})
	w.raw(`" width="`)
	w.num(p.Width)
	w.raw(`" height="`)
	w.num(p.Height)
	w.raw(`" role="group" aria-label="`)
	w.text(p.Title)
	w.raw(`" fill="none" stroke="currentColor" stroke-width="1" font-size="11" font-family="sans-serif"><defs><pattern id="`)
	w.text(p.prefix)
	w.raw(`hatch" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">`,
		`<path d="M0 0V5" class="ly-hl"/></pattern></defs><g class="ly-a" aria-hidden="true">`)
	w.paths(p.Scenery, p.prefix)
	w.raw(`</g>`)
	w.raw(`<g fill="currentColor" stroke="none">`)
	for _, t := range p.Texts {
		w.label(t)
	}
	w.raw(`</g>`)
	for i := range p.Items {
		w.item(&p.Items[i], p)
	}
	// Words of items lie over all of them, outside the links: a link's label says
	// them in full and in order.
	w.raw(`<g class="ly-q" aria-hidden="true" fill="currentColor" stroke="none">`)
	if p.inked != "" {
		w.raw(p.inked)
	} else {
		w.words(p.Items)
	}
	w.raw(`</g>`)
	w.raw(`</svg>`)
	return string(w.b)
}

// words of all items.
func (w *writer) words(items []Item) {
	for i := range items {
		for _, t := range items[i].Texts {
			w.label(t)
		}
	}
}

// pens in the order that they are drawn within an item.
var pens = []Pen{Hatched, Outline, Full, Thin, Chain, Hidden}

// paths writes one path for each pen.
func (w *writer) paths(shapes []Shape, prefix string) {
	for _, pen := range pens {
		begun := false
		for _, s := range shapes {
			if s.Pen != pen || len(s.Points) == 0 {
				continue
			}
			if !begun {
				w.raw(`<path class="`, string(pen), `"`)
				if pen == Hatched {
					w.raw(` fill="url(#`)
					w.text(prefix)
					w.raw(`hatch)"`)
				}
				w.raw(` d="`)
				begun = true
			}
			w.outline(s)
		}
		if begun {
			w.raw(`"/>`)
		}
	}
}

func (w *writer) outline(s Shape) {
	if s.R > 0 {
		c := s.Points[0]
		w.raw("M")
		w.pair(Point{c.X - s.R, c.Y})
		for _, d := range []float64{2 * s.R, -2 * s.R} {
			w.raw("a")
			w.pair(Point{s.R, s.R})
			w.raw(" 0 1 0 ")
			w.pair(Point{d, 0})
		}
		w.raw("z")
		return
	}
	w.line(s.Points)
	if s.Closed {
		w.raw("z")
	}
}

// line writes a polyline; most of its strokes lie along an axis.
func (w *writer) line(points []Point) {
	w.raw("M")
	w.pair(points[0])
	for i, q := range points[1:] {
		switch {
		case q.Y == points[i].Y:
			w.raw("H")
			w.num(q.X)
		case q.X == points[i].X:
			w.raw("V")
			w.num(q.Y)
		default:
			w.raw("L")
			w.pair(q)
		}
	}
}

func (w *writer) label(t Text) {
	if t.Href != "" {
		w.raw(`<a href="`)
		w.text(t.Href)
		w.raw(`">`)
	}
	w.raw(`<text class="`, t.Class, `" x="`)
	w.num(t.At.X)
	w.raw(`" y="`)
	w.num(t.At.Y)
	w.raw(`"`)
	if t.Anchor != "start" {
		w.raw(` text-anchor="`, t.Anchor, `"`)
	}
	w.raw(`>`)
	w.text(t.Words)
	w.raw(`</text>`)
	if t.Href != "" {
		w.raw(`</a>`)
	}
}

// elementID is the position's id, or its number where that is no fit id.
func (it *Item) elementID(prefix string) string {
	if catalog.ValidID(string(it.Position)) {
		return prefix + string(it.Position)
	}
	return prefix + "no" + strconv.Itoa(it.Number)
}

func (w *writer) item(it *Item, p Picture) {
	w.raw(`<a class="ly-i ly-st-`, string(it.State))
	if it.State == Plain {
		w.raw("plain")
	}
	if p.current != "" && it.Position == p.current {
		w.raw(" ly-now")
	}
	if it.Panel < 0 {
		w.raw(" ly-y")
	}
	w.raw(`" id="`)
	w.text(it.elementID(p.prefix))
	w.raw(`" href="`)
	w.text(it.href)
	w.raw(`" data-position="`)
	w.text(string(it.Position))
	w.raw(`" data-number="`, strconv.Itoa(it.Number), `" data-state="`, string(it.State), `" aria-label="`)
	w.text(it.Label)
	w.raw(`"><title>`)
	w.text(it.Label)
	w.raw(`</title>`)
	if it.inked != "" {
		w.raw(it.inked)
	} else {
		w.body(it, p.prefix)
	}
	w.frame(it.State, it.Frame, it.Radius, strconv.Itoa(it.Number))
	w.raw(`</a>`)
}

// body of an item: its ground, its shapes and the leader to them.
func (w *writer) body(it *Item, prefix string) {
	if it.Panel < 0 {
		w.raw(`<path class="ly-k" stroke="none" pointer-events="all" d="M`)
		w.pair(Point{it.Target.X, it.Target.Y})
		w.raw("h")
		w.num(it.Target.W)
		w.raw("v")
		w.num(it.Target.H)
		w.raw("h")
		w.num(-it.Target.W)
		w.raw(`z"/>`)
	}
	w.paths(it.Shapes, prefix)
	if len(it.Leader) > 1 {
		w.raw(`<path class="ly-l" d="`)
		w.line(it.Leader)
		w.raw(`"/>`)
		w.dot(it.Leader[len(it.Leader)-1])
	}
}

// dot ends a leader inside an outline (ISO 128).
func (w *writer) dot(c Point) {
	w.raw(`<path class="ly-d" d="M`)
	w.pair(Point{c.X - 1.4, c.Y})
	w.raw(`a1.4 1.4 0 1 0 2.8 0a1.4 1.4 0 1 0 -2.8 0z"/>`)
}

// frame draws the balloon of a state about its number.
func (w *writer) frame(state State, at Point, r float64, number string) {
	f := frames[state]
	class, text := "ly-b", "ly-n"
	if f.filled {
		class, text = "ly-bf", "ly-nf"
	}
	shape := Shape{Closed: true}
	if f.round {
		shape.R = r
		shape.Points = []Point{at}
	}
	for _, q := range f.form {
		shape.Points = append(shape.Points, Point{at.X + q[0]*r, at.Y + q[1]*r})
	}
	w.raw(`<path class="`, class, `" d="`)
	w.outline(shape)
	w.raw(`"/>`)
	if len(f.extra)+len(f.solid) > 0 {
		w.raw(`<path class="ly-bx`)
		if len(f.solid) > 0 {
			w.raw(` ly-bxf`)
		}
		w.raw(`" d="`)
		for _, l := range append(f.extra, f.solid) {
			s := Shape{Closed: len(f.solid) > 0}
			for _, q := range l {
				s.Points = append(s.Points, Point{at.X + q[0]*r, at.Y + q[1]*r})
			}
			if len(s.Points) > 0 {
				w.outline(s)
			}
		}
		w.raw(`"/>`)
	}
	size := min(11, r*0.95)
	if len(number) > 2 {
		size *= 0.82
	}
	w.raw(`<text class="`, text, `" x="`)
	w.num(at.X)
	w.raw(`" y="`)
	w.num(at.Y + size*0.35)
	w.raw(`" text-anchor="middle" font-size="`)
	w.num(size)
	w.raw(`" fill="currentColor" stroke="none">`, number, `</text>`)
}
