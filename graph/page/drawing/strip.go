package drawing

import (
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"layshaft/catalog"
)

// groups in the order of the strips.
var groups = []catalog.Assembly{
	catalog.AssemblyCase, catalog.AssemblyShift, catalog.AssemblySeals, catalog.AssemblyReverse,
	catalog.AssemblyInput, catalog.AssemblyMain, catalog.AssemblyCounter, catalog.AssemblyOutput,
	catalog.AssemblyDiff,
}

const (
	cellHeight  = 31.0
	lineHeight  = 12.5
	nameChar    = 6.9 // px a character of a name needs
	symbolWidth = 26.0
)

// strips sets what lies beside the shafts into rows of cells under the words of
// its group, each with a symbol of its kind.
func (l *layout) strips() {
	order := slices.Clone(groups)
	cells := map[catalog.Assembly][]*piece{}
	for _, p := range l.t.pieces {
		if p.axis != nil {
			continue
		}
		if !slices.Contains(order, p.pos.Assembly) {
			order = append(order, p.pos.Assembly)
		}
		cells[p.pos.Assembly] = append(cells[p.pos.Assembly], p)
	}
	columns := max(1, int((l.pic.Width-2*margin)/200))
	switch l.o.Form {
	case Narrow:
		columns = 2
	case Print:
		columns = 4
	}
	for _, g := range order {
		if len(cells[g]) > 0 {
			l.strip(g, cells[g], columns)
		}
	}
	if len(l.t.pieces) == 0 {
		l.pic.Texts = append(l.pic.Texts, Text{Class: "ly-w", At: Point{margin, 34}, Anchor: "start",
			Words: l.say("nothing"), Box: Rect{margin, 24, 160, 14}})
	}
}

func (l *layout) strip(g catalog.Assembly, pieces []*piece, columns int) {
	word := l.say("group." + string(g))
	if word == "" {
		word = string(g)
	}
	if word = clean(word, 40); word == "" {
		word = l.say("beside")
	}
	l.pic.Texts = append(l.pic.Texts, Text{Class: "ly-g", At: Point{margin, l.y + 13}, Anchor: "start", Words: word,
		Box: Rect{margin, l.y + 2, float64(len([]rune(word))) * 7.2, 14}})
	l.pic.Scenery = append(l.pic.Scenery, Shape{Pen: Thin, Points: []Point{{margin, l.y + 18}, {l.pic.Width - margin, l.y + 18}}})
	l.y += 23
	wide := (l.pic.Width - 2*margin) / float64(columns)
	for i, p := range pieces {
		x := margin + wide*float64(i%columns)
		y := l.y + cellHeight*float64(i/columns)
		l.cell(p, Rect{x, y, wide, cellHeight})
	}
	l.y += cellHeight*float64((len(pieces)+columns-1)/columns) + 8
}

func (l *layout) cell(p *piece, c Rect) {
	it := l.item(p, -1)
	mid := c.Y + c.H/2
	it.Frame = Point{c.X + l.r + 2, mid}
	it.Target = Rect{c.X, c.Y + 1, c.W - 3, c.H - 2}
	x := c.X + 2*l.r + 8
	for _, s := range symbolOf(p.pos.Kind) {
		out := Shape{Pen: s.Pen, Closed: s.Closed, R: s.R}
		for _, q := range s.Points {
			out.Points = append(out.Points, Point{x + symbolWidth/2 + q.X, mid + q.Y})
		}
		it.Shapes = append(it.Shapes, out)
	}
	x += symbolWidth + 5
	words := it.Name
	if q := l.pieces(p); q > 1 {
		words = strconv.Itoa(q) + "\u2009\u00d7\u2009" + words
	}
	lines := wrap(words, int((c.X+c.W-4-x)/nameChar))
	for i, line := range lines {
		y := mid + 4 + lineHeight*(float64(i)-float64(len(lines)-1)/2)
		it.Texts = append(it.Texts, Text{Class: "ly-w", At: Point{x, y}, Anchor: "start", Words: line,
			Box: Rect{x, y - 10, float64(utf8.RuneCountInString(line)) * nameChar, 12}})
	}
	if len(p.extra) > 0 && l.whole {
		it.Shapes = append(it.Shapes, l.main.shapes(p.extra)...)
	}
	l.pic.Items = append(l.pic.Items, it)
}

// wrap sets words into at most two lines of room characters, cut with an
// ellipsis where that is not enough.
func wrap(words string, room int) []string {
	room = max(room, 4)
	if utf8.RuneCountInString(words) <= room {
		return []string{words}
	}
	head, n := "", 0
	fields := strings.Fields(words)
	for n < len(fields) && utf8.RuneCountInString(head)+1+utf8.RuneCountInString(fields[n]) <= room {
		head = strings.TrimSpace(head + " " + fields[n])
		n++
	}
	if n == 0 {
		return []string{clean(words, room)}
	}
	return []string{head, clean(strings.Join(fields[n:], " "), room)}
}
