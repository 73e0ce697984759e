package reconcile

import (
	"fmt"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

// styled makes a gearbox in two styles, as gearboxes are: an early and a late
// variant whose parts differ at some seats and agree at others; mates, bonds,
// disturbances and stacks between neighbours; successors, kits, and a job on the
// early variant with a list of about lines lines.
type styled struct {
	shop
	differ [][2]bool // per position and seat: the late part is larger
}

func styledShop(c chance, n, lines int) *styled {
	s := &styled{shop: shop{c: c, n: n, cat: &catalog.Catalogue{}, job: &Job{Head: &Head{ID: "job", Family: "f", Variant: "a", State: StateStripped}}}}
	s.cat.Families = []*catalog.Family{{ID: "f", Name: "f"}}
	s.cat.Variants = []*catalog.Variant{{ID: "a", Family: "f", Name: "a"}, {ID: "b", Family: "f", Name: "b"}}
	for i := range n {
		s.place(i)
	}
	for range n {
		s.tie()
	}
	for range n / 3 {
		s.bindNeighbours()
	}
	for i := range n {
		s.heirOf(i)
	}
	s.kits()
	for i := range n {
		s.decide(i)
	}
	s.job.FullStrip = c.below(6) == 0
	for i := range lines {
		s.line(i)
	}
	if s.yes(10) {
		s.job.Decisions = append(s.job.Decisions, &Decision{Position: "elsewhere", Choice: Replace})
	}
	return s
}

var standings = []catalog.Standing{catalog.Confirmed, catalog.Stated, catalog.Derived, catalog.Doubted}

func (s *styled) standing() catalog.Provenance {
	return catalog.Provenance{Standing: standings[min(s.c.below(12), 3)%4]}
}

// place adds a position with an early and a late part, at times one more of each.
func (s *styled) place(i int) {
	p := &catalog.Position{ID: posID(i), Family: "f", Name: fmt.Sprintf("Place %d", i), Kind: randomKinds[s.c.below(len(randomKinds))],
		Quantity: 1 + s.c.below(3), Life: randomLives[s.c.below(len(randomLives))], Order: i,
		Blocking: !s.yes(4), Critical: s.yes(4), Outside: s.yes(10)}
	s.cat.Positions = append(s.cat.Positions, p)
	if s.yes(20) {
		s.cat.Variants[0].Without = append(s.cat.Variants[0].Without, p.ID)
	}
	s.differ = append(s.differ, [2]bool{s.yes(2), s.yes(3)})
	for k, v := range []catalog.VariantID{"a", "b", "a", "b"} {
		if k > 1 && !s.yes(4) {
			continue
		}
		part := s.stylePart(i, k, k%2 == 1)
		s.fit(v, p.ID, part.ID, k < 2)
		if k == 1 && s.yes(6) {
			s.fit("a", p.ID, part.ID, false)
		}
	}
}

func (s *styled) fit(v catalog.VariantID, p catalog.PositionID, part catalog.PartID, standard bool) {
	f := &catalog.Fitment{Variant: v, Position: p, Part: part, Standard: standard, Provenance: s.standing()}
	if standard {
		f.Standing = catalog.Confirmed
	}
	s.cat.Fitments = append(s.cat.Fitments, f)
}

func (s *styled) stylePart(i, k int, late bool) *catalog.Part {
	p := s.cat.Positions[i]
	id := catalog.PartID(fmt.Sprintf("x%03d%c", i, 'a'+k))
	part := &catalog.Part{ID: id, Kind: p.Kind, Name: string(id), Unit: catalog.UnitPiece, Special: s.yes(20), NotAvailable: s.yes(20)}
	for seat, key := range []catalog.AttributeKey{"s0", "s1"} {
		size := 10 * quantity.MM
		if late && s.differ[i][seat] {
			size = 11 * quantity.MM
		}
		if !s.yes(12) {
			part.Attributes = append(part.Attributes, &catalog.Attribute{Name: key, Value: catalog.LengthValue(size)})
		}
	}
	s.cat.Parts = append(s.cat.Parts, part)
	return part
}

// tie adds a mate between neighbours that both styles keep.
func (s *styled) tie() {
	a := s.c.below(s.n)
	b := a - 1 - s.c.below(4)
	if b < 0 {
		return
	}
	k, l := s.c.below(2), s.c.below(2)
	m := &catalog.Mate{ID: fmt.Sprintf("m%03d", len(s.cat.Mates)), Family: "f", Relation: catalog.Equal, Reason: "they touch", Provenance: s.standing(),
		A: catalog.Seat{Position: posID(a), Name: catalog.AttributeKey(fmt.Sprintf("s%d", k))},
		B: catalog.Seat{Position: posID(b), Name: catalog.AttributeKey(fmt.Sprintf("s%d", l))}}
	if s.differ[a][k] != s.differ[b][l] {
		m.Relation, m.Min, m.Max = catalog.Window, -int64(quantity.MM), int64(quantity.MM)
	}
	s.cat.Mates = append(s.cat.Mates, m)
}

func (s *styled) bindNeighbours() {
	a := s.c.below(s.n)
	b := a - 1 - s.c.below(5)
	if b < 0 {
		return
	}
	if s.yes(2) {
		a, b = b, a
	}
	id := fmt.Sprintf("r%03d", len(s.cat.Bonds)+len(s.cat.Disturbances)+len(s.cat.Stacks))
	switch s.c.below(5) {
	case 0, 1:
		s.cat.Bonds = append(s.cat.Bonds, &catalog.Bond{ID: id, Family: "f", Kind: catalog.WornTogether, Advice: s.yes(2),
			Positions: []catalog.PositionID{posID(a), posID(b)}, Reason: "worn together"})
	case 2, 3:
		s.cat.Disturbances = append(s.cat.Disturbances, &catalog.Disturbance{Family: "f", Reach: posID(a), Undoes: posID(b), Reason: "in the way"})
	default:
		s.cat.Stacks = append(s.cat.Stacks, &catalog.Stack{ID: id, Family: "f", Name: id, Position: posID(a), Members: []catalog.PositionID{posID(b)}, MaxCount: 1})
	}
}

// heirOf gives a position's early part a successor of the same sizes, at times two
// that contradict each other, a chain or a circle.
func (s *styled) heirOf(i int) {
	if !s.yes(6) {
		return
	}
	kinds := []catalog.SupersessionKind{catalog.Replaces, catalog.Replaces, catalog.OneWay, catalog.Equals}
	old := catalog.PartID(fmt.Sprintf("x%03da", i))
	add := func(from, to catalog.PartID, kind catalog.SupersessionKind) {
		s.cat.Supersessions = append(s.cat.Supersessions, &catalog.Supersession{ID: fmt.Sprintf("e%03d", len(s.cat.Supersessions)), Old: from, New: to,
			Kind: kind, Provenance: s.standing()})
	}
	heir := s.stylePart(i, 10, false)
	add(old, heir.ID, kinds[s.c.below(4)])
	switch s.c.below(6) {
	case 0:
		add(heir.ID, s.stylePart(i, 11, false).ID, kinds[s.c.below(4)])
	case 1:
		add(old, s.stylePart(i, 11, false).ID, kinds[s.c.below(4)])
	case 2:
		add(heir.ID, old, kinds[s.c.below(4)])
	}
}

func (s *styled) decide(i int) {
	d := &Decision{Position: posID(i)}
	switch s.c.below(12) {
	case 0, 1, 2:
		d.Choice = Replace
	case 3:
		d.Choice, d.Part = Replace, catalog.PartID(fmt.Sprintf("x%03d%c", i, 'a'+s.c.below(2)))
		if s.yes(4) {
			d.Measured = "tried"
		}
	case 4:
		d.Choice, d.Quantity = Replace, 1+s.c.below(2)
	case 5, 6:
		d.Choice = Reuse
		if s.yes(2) {
			d.Why = "looked at"
		}
	case 7:
		d.Choice = []Choice{Absent, Undecided, NotFitted, SendOut, Rework}[s.c.below(5)]
		if d.Choice == SendOut || d.Choice == Rework {
			d.Treatment = "grind"
			d.Returned = d.Choice == SendOut && s.yes(4)
		}
	default:
		return
	}
	if s.yes(8) { // the limit of a place has its name
		s.cat.Limits = append(s.cat.Limits, &catalog.Limit{ID: string(d.Position), Family: "f", Position: d.Position, What: "wear"})
		s.job.Measurements = append(s.job.Measurements, &Measurement{ID: string(d.Position), Limit: string(d.Position), Verdict: "renew"})
	}
	if s.yes(10) {
		d.Found = catalog.PartID(fmt.Sprintf("x%03db", i))
	}
	s.job.Decisions = append(s.job.Decisions, d)
}
