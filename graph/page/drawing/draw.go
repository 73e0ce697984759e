package drawing

import (
	_ "embed"
	"slices"
	"strconv"
	"strings"

	"layshaft/catalog"
)

// CSS styles a picture: line weights, tints and states, in light, dark and
// print. Its colours are custom properties --ly-... that a page may set.
//
//go:embed drawing.css
var CSS string

// Sizes of a sheet in px at page scale.
const (
	sheetWidth  = 1120.0
	narrowWidth = 344.0
	printWidth  = 718.0 // A4 less 10 mm margins at 96 px an inch

	margin = 10.0
)

// Draw lays out the gearbox of a family in one of its variants; an empty or
// unknown variant shows all positions of the family, without tooth counts. An
// unknown family gives a picture that says that there is nothing to draw.
func Draw(ix *catalog.Index, family catalog.FamilyID, variant catalog.VariantID, o Options) Picture {
	return laidOut(ix, family, variant, o).dressed(o)
}

// laidOut is a picture without states and links: where everything stands follows
// from the catalogue, the form and the shaft alone.
func laidOut(ix *catalog.Index, family catalog.FamilyID, variant catalog.VariantID, o Options) Picture {
	t := newTrain(ix, family, variant)
	t.drawAll()
	l := newLayout(t, o)
	if zoom := t.only(o.Shaft); zoom.used() {
		l.panel([]*axis{zoom})
	} else {
		l.panels()
		l.strips()
	}
	l.pic.Height = max(l.y+margin, 60)
	slices.SortStableFunc(l.pic.Items, func(a, b Item) int { return a.Number - b.Number })
	l.pic.dropCrowded()
	return *l.pic
}

// only is the axis of one shaft without what stands on coaxial ones; empty when
// there is no such shaft.
func (t *train) only(shaft string) *axis {
	a := t.axisOf(shaft)
	if a == nil {
		return &axis{}
	}
	other := func(p *piece) bool { return p.pos.Shaft != shaft }
	one := *a
	one.bodies = slices.DeleteFunc(slices.Clone(a.bodies), other)
	one.cores = slices.DeleteFunc(slices.Clone(a.cores), other)
	one.shafts = slices.DeleteFunc(slices.Clone(a.shafts), func(s *catalog.Shaft) bool { return s.ID != shaft })
	return &one
}

// layout is a picture in the making; y is where the next panel or strip begins.
type layout struct {
	t      *train
	o      Options
	pic    *Picture
	y      float64
	r      float64     // radius of a frame
	pitch  float64     // between neighbouring frames, which stand in two rows
	column float64     // left column for names of shafts, when axes lie
	main   *sheetFrame // of the panel drawn last
	whole  bool        // one panel holds every axis and the case walls
}

func newLayout(t *train, o Options) *layout {
	l := &layout{t: t, o: o, y: margin, r: 12, pitch: 13.6, column: 104}
	width := sheetWidth
	switch o.Form {
	case Narrow:
		width, l.column = narrowWidth, 0
	case Print:
		width, l.r, l.pitch, l.column = printWidth, 9.5, 10.8, 96
	default:
		l.o.Form = Sheet
	}
	l.pic = &Picture{Width: width, Form: l.o.Form, Title: l.say("nothing")}
	if t.family != nil {
		l.pic.Title = clean(t.family.Name, longText)
	}
	return l
}

func (l *layout) say(key string) string { return l.o.say(key) }

func (l *layout) upright() bool { return l.o.Form == Narrow }

// panels draws the meshing axes together, or on a narrow sheet, where that
// would be too small, axis by axis.
func (l *layout) panels() {
	var used []*axis
	for _, a := range l.t.axes {
		if a.used() {
			used = append(used, a)
		}
	}
	if len(used) == 0 {
		return
	}
	l.whole = true
	const least = 0.85 // px per mm below which gears are no longer told apart
	if l.upright() && len(used) > 1 && l.frameOf(used).scale < least {
		l.whole = false
		for _, a := range used {
			l.panel([]*axis{a})
		}
		return
	}
	l.panel(used)
}

func (a *axis) used() bool { return len(a.bodies)+len(a.cores) > 0 }

// item begins the item of a piece.
func (l *layout) item(p *piece, panel int) Item {
	it := Item{
		Position: p.pos.ID, Number: p.number, Name: clean(p.pos.Name, longText),
		Panel: panel, Nested: p.host != nil, Shaft: p.isCore(), Radius: l.r,
	}
	if panel >= 0 && p.host == nil {
		it.From, it.To = p.x0, p.x1
	}
	it.spoken = l.spoken(it, p)
	return it
}

// spoken is what a listener hears before the state: number, name, pieces, teeth.
func (l *layout) spoken(it Item, p *piece) string {
	var b strings.Builder
	b.WriteString(strconv.Itoa(it.Number) + " " + it.Name)
	if q := l.pieces(p); q > 1 {
		b.WriteString(", " + strconv.Itoa(q) + " " + l.say("pieces"))
	}
	if l.t.counted {
		var z []string
		for _, w := range p.wheels {
			if w.z > 0 {
				z = append(z, strconv.Itoa(w.z))
			}
		}
		if len(z) > 0 {
			b.WriteString(", " + strings.Join(z, "/") + " " + l.say("teeth"))
		}
	}
	return b.String()
}

func (l *layout) pieces(p *piece) int {
	if l.t.counted {
		return l.t.ix.Quantity(l.t.variant, p.pos.ID)
	}
	return p.pos.Quantity
}
