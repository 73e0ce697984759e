package fit

import (
	"cmp"
	"fmt"
	"slices"

	"layshaft/catalog"
)

// Spot is a position of a variant.
type Spot struct {
	Variant  catalog.VariantID
	Position catalog.PositionID
	// Standing of the fit: the catalogue's own, or Derived from sizes.
	Standing catalog.Standing
	// Stated: the catalogue lists it.
	Stated bool
	// Against are the mates that the part breaks there beside the standard parts,
	// Open what is not known.
	Against []*Fact
	Open    []*Measure
}

// Fits says where else a part goes.
type Fits struct {
	// Stated by the catalogue, doubted entries last; then BySize: every mate holds
	// beside the variant's standard parts, nothing else is known. Parts that are
	// special are never listed by size.
	Stated, BySize []*Spot
	// Near are places for this kind of part where it does not go in as it is, or where
	// that is not known, the fewest obstacles first; Left counts those not listed.
	Near []*Spot
	Left int
}

// maxNear bounds the places listed where a part does not go.
const maxNear = 50

// Where looks for a part over the whole catalogue. An error means that there is no
// such part.
func Where(ix *catalog.Index, id catalog.PartID) (*Fits, error) {
	part, ok := ix.Part(id)
	if !ok {
		return nil, catalog.NotFound(catalog.TablePart, string(id))
	}
	out := &Fits{}
	for _, f := range ix.FitsOf(id) {
		out.Stated = append(out.Stated, &Spot{Variant: f.Variant, Position: f.Position, Standing: f.Standing, Stated: true})
	}
	slices.SortStableFunc(out.Stated, func(a, b *Spot) int {
		return order(a.Standing == catalog.Doubted, b.Standing == catalog.Doubted)
	})
	for _, v := range ix.Variants() {
		for _, pos := range ix.Positions(v.Family) {
			if !ix.Has(v.ID, pos.ID) || !kindServes(ix, v.Family, pos, part) || listed(ix, v.ID, pos.ID, id) {
				continue
			}
			s := beside(ix, v, pos, part)
			if len(s.Against) == 0 && len(s.Open) == 0 {
				out.BySize = append(out.BySize, s)
			} else {
				out.Near = append(out.Near, s)
			}
		}
	}
	slices.SortStableFunc(out.Near, func(a, b *Spot) int {
		return cmp.Or(cmp.Compare(len(a.Against), len(b.Against)), cmp.Compare(len(a.Open), len(b.Open)))
	})
	if len(out.Near) > maxNear {
		out.Near, out.Left = out.Near[:maxNear], len(out.Near)-maxNear
	}
	return out, nil
}

func listed(ix *catalog.Index, v catalog.VariantID, pos catalog.PositionID, part catalog.PartID) bool {
	return slices.ContainsFunc(ix.Fits(v, pos), func(f *catalog.Fitment) bool { return f.Part == part })
}

// beside judges a part at a position beside the variant's standard parts.
func beside(ix *catalog.Index, v *catalog.Variant, pos *catalog.Position, part *catalog.Part) *Spot {
	s := &Spot{Variant: v.ID, Position: pos.ID, Standing: catalog.Derived}
	if part.Special {
		s.Open = append(s.Open, &Measure{Position: pos.ID, Part: part.ID,
			Text: PartName(part) + " is special and never taken by its sizes alone"})
	}
	if off := wheelOff(ix, v, pos.ID, part); off != nil {
		s.Against = append(s.Against, off)
	}
	judged := 0
	for _, m := range ix.MatesAt(v.Family, pos.ID) {
		near, far := m.A, m.B
		if near.Position != pos.ID {
			near, far = far, near
		}
		if m.Standing == catalog.Doubted || near.Position == far.Position || !ix.Has(v.ID, far.Position) {
			continue
		}
		judged++
		s.judge(ix, v, m, near, far, part)
	}
	if judged == 0 {
		s.Open = append(s.Open, &Measure{Position: pos.ID, Part: part.ID,
			Text: fmt.Sprintf("the catalogue has no rule for the %s", posName(pos))})
	}
	return s
}

func (s *Spot) judge(ix *catalog.Index, v *catalog.Variant, m *catalog.Mate, near, far catalog.Seat, part *catalog.Part) {
	mine := valueOf(ix, part, near)
	there := catalog.Value{}
	other, ok := ix.Standard(v.ID, far.Position)
	if ok {
		there = valueOf(ix, other, far)
	}
	got := m.Judge(mine, there)
	if m.A != near {
		got = m.Judge(there, mine)
	}
	label := seatLabel(ix, near.Name, near.At)
	switch {
	case got == catalog.Broken:
		f := &Fact{Code: FactMate, Position: near.Position, Mate: m, Found: shown(mine), Expected: want(m, m.A == near, there)}
		f.Text = fmt.Sprintf("%s %s, wanted %s because of %s", label, f.Found, f.Expected, PartName(other))
		s.Against = append(s.Against, f)
	case got == catalog.Unknown && !mine.Stated():
		s.Open = append(s.Open, measureOf(ix, part, near, label))
	case got == catalog.Unknown && ok:
		s.Open = append(s.Open, measureOf(ix, other, far, seatLabel(ix, far.Name, far.At)))
	case got == catalog.Unknown:
		s.Open = append(s.Open, &Measure{Position: far.Position, Seat: far, Text: "no standard part is entered there"})
	}
}

func valueOf(ix *catalog.Index, part *catalog.Part, seat catalog.Seat) catalog.Value {
	if a, ok := ix.Attribute(part.ID, seat.Name, seat.At); ok {
		return a.Value
	}
	return catalog.Value{}
}

func measureOf(ix *catalog.Index, part *catalog.Part, seat catalog.Seat, label string) *Measure {
	m := &Measure{Position: seat.Position, Part: part.ID, Seat: seat, Text: fmt.Sprintf("the %s of %s is not stated", label, PartName(part))}
	if def, ok := ix.AttributeDef(seat.Name); ok {
		m.HowTo = def.HowTo
	}
	return m
}
