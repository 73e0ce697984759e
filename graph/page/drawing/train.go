package drawing

import (
	"cmp"
	"slices"

	"layshaft/catalog"
)

// train is the gearbox in mm: x from the engine side, y down from the first
// axis.
type train struct {
	ix      *catalog.Index
	family  *catalog.Family
	variant catalog.VariantID // whose parts give the sizes
	counted bool              // tooth counts are those of the gearbox itself
	centre  float64
	axes    []*axis
	pieces  []*piece // all positions of the variant, in list order
	wheels  map[string]*wheel
	touches []Touch
}

// axis carries coaxial shafts.
type axis struct {
	y      float64
	shafts []*catalog.Shaft
	bodies []*piece // stand in a row, by x0
	cores  []*piece // the shafts themselves, by x0
	wheels []*wheel
	seat   float64 // usual radius of its shafts
	first  bool    // no axis above it
}

// piece is a position on the drawing.
type piece struct {
	pos    *catalog.Position
	number int
	axis   *axis // nil beside the shafts
	host   *piece
	nest   []*piece
	wheels []*wheel
	x0, x1 float64
	in     float64 // inner radius of the body
	out    float64
	seat   float64 // radius of the shaft below it
	shapes []Shape // in mm
	anchor [2]float64
	extra  []Shape // scenery of a case part, on the train
}

// wheel is one toothed wheel at its place.
type wheel struct {
	id     string
	piece  *piece
	axis   *axis
	x0, x1 float64
	placed bool
	z      int
	module float64
	r      float64 // pitch radius
	hand   int     // +1 right, -1 left, 0 spur or not known
}

const (
	minWidth     = 0.2 // mm: less is not drawn in a row
	maxReach     = 5000
	defaultSeat  = 0.2 // of the centre distance
	usualModule  = 2.5
	usualCentre  = 76
	layerOfShaft = 3.2 // mm of a needle cage or inner sleeve when not known
)

// newTrain puts every position of the variant on an axis, into another one, or
// beside the shafts. An empty variant takes all positions of the family.
func newTrain(ix *catalog.Index, family catalog.FamilyID, variant catalog.VariantID) *train {
	t := &train{ix: ix, variant: variant, wheels: map[string]*wheel{}}
	f, ok := ix.Family(family)
	if !ok {
		return t
	}
	t.family = f
	if _, ok := ix.Variant(variant); ok {
		t.counted = true
	} else if vs := ix.VariantsOf(family); len(vs) > 0 {
		t.variant = vs[0].ID
	}
	t.centre = f.CentreDistance.Millimetres()
	if t.centre < 5 || t.centre > maxReach {
		t.centre = usualCentre
	}
	t.makeAxes()
	for i, p := range ix.Positions(family) {
		if t.counted && !ix.Has(variant, p.ID) {
			continue
		}
		t.pieces = append(t.pieces, &piece{pos: p, number: i + 1})
	}
	t.placeBodies()
	t.placeNested()
	t.placeWheels()
	t.size()
	return t
}

func (t *train) makeAxes() {
	for _, s := range t.family.Shafts {
		y := min(max(s.Offset.Millimetres(), -maxReach), maxReach)
		i := slices.IndexFunc(t.axes, func(a *axis) bool { return a.y == y })
		if i < 0 {
			t.axes = append(t.axes, &axis{y: y, seat: defaultSeat * t.centre})
			i = len(t.axes) - 1
		}
		t.axes[i].shafts = append(t.axes[i].shafts, s)
	}
	slices.SortStableFunc(t.axes, func(a, b *axis) int { return cmp.Compare(a.y, b.y) })
	if len(t.axes) > 0 {
		t.axes[0].first = true
	}
}

func (t *train) axisOf(shaft string) *axis {
	for _, a := range t.axes {
		for _, s := range a.shafts {
			if s.ID == shaft && shaft != "" {
				return a
			}
		}
	}
	return nil
}

// placeBodies takes positions with a width onto their axis. Where rows overlap
// the later one gives way; what has no room left goes beside.
func (t *train) placeBodies() {
	for _, p := range t.pieces {
		a := t.axisOf(p.pos.Shaft)
		w := p.pos.Width.Millimetres()
		x := p.pos.From.Millimetres()
		if a == nil || w < minWidth || x < -maxReach || x+w > maxReach {
			continue
		}
		p.axis, p.x0, p.x1 = a, x, x+w
		if p.pos.Kind.Class() == catalog.ClassShaft {
			a.cores = append(a.cores, p)
		} else {
			a.bodies = append(a.bodies, p)
		}
	}
	byFrom := func(a, b *piece) int { return cmp.Or(cmp.Compare(a.x0, b.x0), cmp.Compare(a.number, b.number)) }
	for _, a := range t.axes {
		slices.SortStableFunc(a.cores, byFrom)
		slices.SortStableFunc(a.bodies, byFrom)
		end := -2.0 * maxReach
		a.bodies = slices.DeleteFunc(a.bodies, func(p *piece) bool {
			p.x0 = max(p.x0, end)
			if p.x1-p.x0 < minWidth {
				p.axis = nil
				return true
			}
			end = p.x1
			return false
		})
	}
}

// length reads a size of the part that the variant has at a position.
func (t *train) length(p *piece, k catalog.AttributeKey, at string) (float64, bool) {
	part, ok := t.part(p)
	if !ok {
		return 0, false
	}
	a, ok := t.ix.Attribute(part, k, at)
	if !ok {
		return 0, false
	}
	mm := a.Value.Length().Millimetres()
	return mm, mm > 0 && mm < maxReach
}

// part is the standard part of a position, or the best that fits.
func (t *train) part(p *piece) (catalog.PartID, bool) {
	fits := t.ix.Fits(t.variant, p.pos.ID)
	if len(fits) == 0 {
		return "", false
	}
	return fits[0].Part, true
}

func (t *train) attribute(p *piece, k catalog.AttributeKey) (*catalog.Attribute, bool) {
	part, ok := t.part(p)
	if !ok {
		return nil, false
	}
	return t.ix.Attribute(part, k, "")
}

func (t *train) text(p *piece, k catalog.AttributeKey, at string) string {
	part, ok := t.part(p)
	if !ok {
		return ""
	}
	a, ok := t.ix.Attribute(part, k, at)
	if !ok {
		return ""
	}
	return a.Value.Text
}
