package drawing

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"unicode/utf8"
)

// sheetFrame maps mm of the train to px. u runs along the axes, v across; an
// upright panel is turned by a quarter, so that hands of helices stay true.
type sheetFrame struct {
	scale        float64
	x0, y0       float64 // mm at the corner of the train
	uLen, vLen   float64 // px of the train
	uOff, vOff   float64 // px of the train's corner in the panel
	width, depth float64 // px of the panel along u and v
	ox, oy       float64
	upright      bool
}

func (f *sheetFrame) u(x float64) float64 { return f.uOff + (x-f.x0)*f.scale }
func (f *sheetFrame) v(y float64) float64 { return f.vOff + (y-f.y0)*f.scale }

// at maps panel px to the picture.
func (f *sheetFrame) at(u, v float64) Point {
	if f.upright {
		return Point{f.ox + f.depth - v, f.oy + u}
	}
	return Point{f.ox + u, f.oy + v}
}

func (f *sheetFrame) shape(s Shape) Shape {
	out := Shape{Pen: s.Pen, Closed: s.Closed, R: s.R * f.scale, Points: make([]Point, len(s.Points))}
	for i, p := range s.Points {
		out.Points[i] = f.at(f.u(p.X), f.v(p.Y))
	}
	return out
}

func (f *sheetFrame) shapes(in []Shape) []Shape {
	out := make([]Shape, len(in))
	for i, s := range in {
		out[i] = f.shape(s)
	}
	return out
}

// extent of axes in mm, case walls included when every axis is drawn.
func (l *layout) extent(axes []*axis) Rect {
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	add := func(shapes []Shape) {
		for _, s := range shapes {
			for _, p := range s.Points {
				x0, x1 = min(x0, p.X-s.R), max(x1, p.X+s.R)
				y0, y1 = min(y0, p.Y-s.R), max(y1, p.Y+s.R)
			}
		}
	}
	for _, a := range axes {
		for _, p := range slices.Concat(a.cores, a.bodies) {
			add(p.shapes)
			for _, n := range p.nest {
				add(n.shapes)
			}
		}
	}
	if l.whole {
		for _, p := range l.t.pieces {
			add(p.extra)
		}
	}
	return Rect{x0, y0, x1 - x0, y1 - y0}
}

const leaderRoom = 20.0 // px between frames and train, for slanting leaders

// frameOf finds the scale at which axes fill the sheet.
func (l *layout) frameOf(axes []*axis) *sheetFrame {
	e := l.extent(axes)
	f := &sheetFrame{x0: e.X, y0: e.Y, upright: l.upright()}
	bands := 2 * l.bandDepth()
	if f.upright {
		f.scale = min((l.pic.Width-2*margin-bands)/max(e.H, 1), 1.6, 3000/max(e.W, 1))
	} else {
		f.scale = min((l.pic.Width-2*margin-l.column)/max(e.W, 1), 1.9)
		if len(axes) == 1 && l.o.Shaft != "" {
			f.scale = min((l.pic.Width-2*margin-l.column)/max(e.W, 1), 3.2)
		}
		f.scale = min(f.scale, 900/max(e.H, 1))
	}
	f.uLen, f.vLen = e.W*f.scale, e.H*f.scale
	return f
}

func (l *layout) bandDepth() float64 { return 4*l.r + 4 + leaderRoom }

// panel draws axes at one scale with their frames on both sides.
func (l *layout) panel(axes []*axis) {
	f := l.frameOf(axes)
	above, below := l.sides(axes)
	need := l.pitch*float64(max(len(above), len(below))) + 2*l.r
	f.vOff = l.bandDepth()
	f.depth = f.vLen + 2*l.bandDepth()
	f.ox, f.oy = margin, l.y
	if f.upright {
		names := 16 * float64(len(axes))
		f.oy += names
		f.width = max(f.uLen, need)
		f.ox = (l.pic.Width - f.depth) / 2
	} else {
		f.width = max(f.uLen, need, l.pic.Width-2*margin-l.column)
		f.ox += l.column
		l.pic.Width = max(l.pic.Width, f.ox+f.width+margin)
	}
	f.uOff = (f.width - f.uLen) / 2
	l.main = f
	index := len(l.pic.Panels)
	l.panelInfo(f, axes)
	l.axisLines(f, axes)
	l.callouts(f, index, above, true)
	l.callouts(f, index, below, false)
	if l.whole {
		l.pic.Meshes = l.t.touches
	}
	if f.upright {
		l.y = f.oy + f.width + 14
	} else {
		l.y = f.oy + f.depth + 14
	}
}

func (l *layout) panelInfo(f *sheetFrame, axes []*axis) {
	p := Panel{Scale: f.scale, Upright: f.upright, Box: Rect{f.ox, f.oy, f.width, f.depth}}
	if f.upright {
		p.Box.W, p.Box.H = f.depth, f.width
	}
	for _, a := range axes {
		for _, s := range a.shafts {
			p.Shafts = append(p.Shafts, s.ID)
		}
	}
	l.pic.Panels = append(l.pic.Panels, p)
}

// sides shares the pieces between the frames above (first axis) and below
// (others); a single axis alternates.
func (l *layout) sides(axes []*axis) (above, below []*piece) {
	for i, a := range axes {
		var all []*piece
		for _, p := range slices.Concat(a.cores, a.bodies) {
			all = append(append(all, p), p.nest...)
		}
		slices.SortStableFunc(all, func(p, q *piece) int { return cmp.Compare(p.anchor[0], q.anchor[0]) })
		for k, p := range all {
			if (len(axes) == 1 && k%2 == 0) || (len(axes) > 1 && i == 0) {
				above = append(above, p)
			} else {
				below = append(below, p)
			}
		}
	}
	for _, s := range [][]*piece{above, below} {
		slices.SortStableFunc(s, func(p, q *piece) int {
			return cmp.Or(cmp.Compare(p.anchor[0], q.anchor[0]), cmp.Compare(p.number, q.number))
		})
	}
	return above, below
}

// callouts sets frames in two rows beside the train and leads them to their
// parts; since the order along the axis is kept, leaders do not cross.
func (l *layout) callouts(f *sheetFrame, index int, pieces []*piece, above bool) {
	want := make([]float64, len(pieces))
	for i, p := range pieces {
		want[i] = f.u(p.anchor[0])
	}
	at := spread(want, l.pitch, l.r+1, f.width-l.r-1)
	for i, p := range pieces {
		it := l.item(p, index)
		it.Shapes = f.shapes(p.shapes)
		near := float64(i % 2) // rows alternate
		edge, sign := f.vOff, -1.0
		if !above {
			edge, sign = f.vOff+f.vLen, 1.0
		}
		row := edge + sign*(leaderRoom+l.r+near*(2*l.r+3))
		end := f.v(p.axis.y+sign*p.anchor[1]) - sign*min(2, p.anchor[1]*f.scale*0.5)
		end = min(max(end, f.vOff), f.vOff+f.vLen) // broken sizes
		it.Frame = f.at(at[i], row)
		it.Leader = []Point{f.at(at[i], row-sign*l.r), f.at(at[i], edge+sign*(leaderRoom-2)),
			f.at(want[i], edge+sign*3), f.at(want[i], end)}
		it.Target = Rect{it.Frame.X - l.r, it.Frame.Y - l.r, 2 * l.r, 2 * l.r}
		it.Texts = l.toothTexts(f, p)
		l.pic.Items = append(l.pic.Items, it)
	}
}

// toothTexts writes tooth counts and speeds on wheels that have room for them.
func (l *layout) toothTexts(f *sheetFrame, p *piece) []Text {
	const line, char = 12.0, 6.6
	var out []Text
	for _, w := range p.wheels {
		if !w.placed {
			continue
		}
		in := p.in
		if p.isCore() {
			in = l.t.seatAt(p, (w.x0+w.x1)/2)
		}
		var say []string
		if l.t.counted && w.z > 0 {
			say = append(say, strconv.Itoa(w.z))
		}
		if s := speedWord(p); s != "" && !p.isCore() {
			say = append(say, s)
		}
		length, depth := (w.x1-w.x0)*f.scale, (w.root()-in)*f.scale
		if f.upright {
			length, depth = depth, length
		}
		say = say[:min(len(say), max(int(depth/line), 0))]
		u := f.u((w.x0 + w.x1) / 2)
		v := f.v(w.axis.y - w.helixSide()*(w.root()+in)/2)
		mid := f.at(u, v)
		for i, s := range say {
			wide := float64(utf8.RuneCountInString(s)) * char
			if wide > length {
				continue
			}
			y := mid.Y + (float64(i)-float64(len(say)-1)/2)*line
			out = append(out, Text{Class: "ly-z", At: Point{mid.X, y + 4}, Anchor: "middle", Words: s,
				Box: Rect{mid.X - wide/2, y - line/2, wide, line}})
		}
	}
	return out
}

// speedWord is a short place word of a gear: "1st".
func speedWord(p *piece) string {
	if p.pos.Kind != "gear" || len(p.pos.Places) == 0 {
		return ""
	}
	if s := clean(p.pos.Places[0], longText); utf8.RuneCountInString(s) <= 4 {
		return s
	}
	return ""
}

// axisLines draws the centre lines and names the shafts at their engine side.
func (l *layout) axisLines(f *sheetFrame, axes []*axis) {
	var want []float64
	for _, a := range axes {
		want = append(want, f.v(a.y))
	}
	const line = 14.0
	for i, a := range axes {
		v := f.v(a.y)
		from := -4.0
		if f.upright {
			from = -4 - 16*float64(len(axes)-1-i)
			l.shaftName(a, f.at(0, v), f.oy-8-16*float64(len(axes)-1-i), true)
		}
		l.pic.Scenery = append(l.pic.Scenery, Shape{Pen: Chain, Points: []Point{f.at(from, v), f.at(f.width, v)}})
	}
	if f.upright {
		return
	}
	l.scaleBar(f)
	half := line * 1.1
	at := spread(want, 2*half, half, f.depth-half)
	for i, a := range axes {
		l.shaftName(a, f.at(0, at[i]), f.oy+at[i], false)
	}
}

// scaleBar shows 50 mm of the train, and which end is the engine's, in the left
// column.
func (l *layout) scaleBar(f *sheetFrame) {
	if l.column < 60 || f.depth < 150 {
		return
	}
	x, y, wide := margin+1, f.oy+f.depth-14, 50*f.scale
	for _, mm := range []float64{20, 10, 5, 1} {
		if wide <= l.column-12 {
			l.bar(x, y, wide)
			break
		}
		wide = mm * f.scale
	}
	top := f.oy + 14
	l.pic.Texts = append(l.pic.Texts, Text{Class: "ly-w", At: Point{margin, top}, Anchor: "start",
		Words: l.say("engine"), Box: Rect{margin, top - 10, l.column - 10, 13}})
	l.pic.Scenery = append(l.pic.Scenery, Shape{Pen: Thin, Points: []Point{
		{margin + 40, top + 8}, {margin, top + 8}, {margin + 5, top + 5}}},
		Shape{Pen: Thin, Points: []Point{{margin, top + 8}, {margin + 5, top + 11}}})
}

func (l *layout) bar(x, y, wide float64) {
	mm := strconv.Itoa(int(math.Round(wide/l.main.scale))) + " mm"
	l.pic.Scenery = append(l.pic.Scenery,
		Shape{Pen: Outline, Points: []Point{{x, y - 3}, {x, y + 3}}},
		Shape{Pen: Outline, Points: []Point{{x, y}, {x + wide, y}}},
		Shape{Pen: Outline, Points: []Point{{x + wide, y - 3}, {x + wide, y + 3}}})
	l.pic.Texts = append(l.pic.Texts, Text{Class: "ly-w", At: Point{x, y - 6}, Anchor: "start", Words: mm,
		Box: Rect{x, y - 16, 40, 12}})
}

// shaftName writes the names of an axis: one line of words each, at most two.
func (l *layout) shaftName(a *axis, at Point, y float64, upright bool) {
	const char, line = 6.4, 13.0
	room := int((l.column - 10) / char)
	if upright {
		room = 24
	}
	names := a.shafts
	if upright && len(names) > 1 {
		names = names[:1]
	}
	if len(names) > 2 {
		names = names[:2]
	}
	for i, s := range names {
		words := clean(s.Name, room)
		if words == "" {
			continue
		}
		wide := float64(utf8.RuneCountInString(words)) * char
		t := Text{Class: "ly-w", Words: words, Anchor: "start",
			At: Point{margin, y + 4 + (float64(i)-float64(len(names)-1)/2)*line}}
		if upright {
			t.Anchor = "middle"
			t.At.X = min(max(at.X, margin+wide/2), l.pic.Width-margin-wide/2)
		}
		t.Box = Rect{t.At.X, t.At.Y - 10, wide, line}
		if upright {
			t.Box.X -= wide / 2
		}
		t.shaft = s.ID
		l.pic.Texts = append(l.pic.Texts, t)
	}
}
