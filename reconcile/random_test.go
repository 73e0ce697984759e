package reconcile

import (
	"fmt"
	"math/rand/v2"

	"layshaft/catalog"
	"layshaft/catalog/quantity"

	"pgregory.net/rapid"
)

// chance picks numbers: from rapid, so that cases shrink, or from a seed.
type chance interface {
	below(n int) int // 0 to n-1
}

type rapidChance struct{ t *rapid.T }

func (c rapidChance) below(n int) int { return rapid.IntRange(0, n-1).Draw(c.t, "n") }

type seedChance struct{ r *rand.Rand }

func (c seedChance) below(n int) int { return c.r.IntN(n) }

func seeded(seed uint64) chance { return seedChance{rand.New(rand.NewPCG(seed, 1))} }

// shop is a random catalogue with a job and supply.
type shop struct {
	c      chance
	cat    *catalog.Catalogue
	job    *Job
	supply []*SupplyLine
	n      int // positions
}

// randomShop makes a family of n positions in two variants, a job on one of
// them, and about lines supply lines. Sizes are few, so that parts fit by chance.
func randomShop(c chance, n, lines int) *shop {
	s := &shop{c: c, n: n, cat: &catalog.Catalogue{}, job: &Job{Head: &Head{ID: "job", Family: "f", Variant: "a", State: StateStripped}}}
	s.cat.Families = []*catalog.Family{{ID: "f", Name: "f"}}
	s.cat.Variants = []*catalog.Variant{{ID: "a", Family: "f", Name: "a"}, {ID: "b", Family: "f", Name: "b"}}
	for i := range n {
		s.position(i)
	}
	for range n / 3 {
		s.relation()
	}
	for i := range n / 8 {
		s.successor(i)
	}
	s.kits()
	for i := range n {
		s.decision(i)
	}
	s.job.FullStrip = c.below(8) == 0
	for i := range lines {
		s.line(i)
	}
	return s
}

func (s *shop) input() Input {
	return Input{Index: catalog.NewIndex(s.cat, 1), Job: s.job, Supply: s.supply}
}

func posID(i int) catalog.PositionID { return catalog.PositionID(fmt.Sprintf("p%03d", i)) }

func (s *shop) yes(oneIn int) bool { return s.c.below(oneIn) == 0 }

var randomLives = []catalog.Life{catalog.Wear, catalog.OneTime, catalog.Hard, catalog.Inspect, catalog.Wear, catalog.Hard, catalog.SelectFit}

var randomKinds = []catalog.PartKind{"gear", "ball bearing", "oil seal", "nut", "shim", "synchro hub", "synchro sleeve", "bearing cup", "bearing cone"}

// position adds a position with one to three parts, spread over the variants.
func (s *shop) position(i int) {
	p := &catalog.Position{ID: posID(i), Family: "f", Name: fmt.Sprintf("Place %d", i), Kind: randomKinds[s.c.below(len(randomKinds))],
		Quantity: 1 + s.c.below(2), Life: randomLives[s.c.below(len(randomLives))], Order: i,
		Blocking: !s.yes(4), Critical: s.yes(4), Outside: s.yes(10)}
	s.cat.Positions = append(s.cat.Positions, p)
	if s.yes(20) {
		s.cat.Variants[0].Without = append(s.cat.Variants[0].Without, p.ID)
	}
	for k := range 1 + s.c.below(3) {
		id := catalog.PartID(fmt.Sprintf("x%03d%c", i, 'a'+k))
		part := &catalog.Part{ID: id, Kind: p.Kind, Name: string(id), Unit: catalog.UnitPiece, Special: s.yes(20), NotAvailable: s.yes(20)}
		for _, key := range []catalog.AttributeKey{"s0", "s1"} {
			if !s.yes(6) {
				size := quantity.Length(10+s.c.below(2)) * quantity.MM
				if k == 0 {
					size = 10 * quantity.MM // standard parts agree with each other
				}
				part.Attributes = append(part.Attributes, &catalog.Attribute{Name: key, Value: catalog.LengthValue(size)})
			}
		}
		s.cat.Parts = append(s.cat.Parts, part)
		for v, variant := range []catalog.VariantID{"a", "b"} {
			if k == 0 || s.c.below(3) == v || s.yes(6) {
				s.cat.Fitments = append(s.cat.Fitments, &catalog.Fitment{Variant: variant, Position: p.ID, Part: id, Standard: k == 0,
					Provenance: catalog.Provenance{Standing: []catalog.Standing{catalog.Confirmed, catalog.Stated, catalog.Derived}[s.c.below(3)]}})
			}
		}
	}
	if i > 0 && s.yes(5) { // one part for two positions
		s.cat.Fitments = append(s.cat.Fitments, &catalog.Fitment{Variant: "a", Position: p.ID, Part: s.cat.Parts[s.c.below(len(s.cat.Parts))].ID})
	}
}

// relation adds a mate, a bond, a disturbance or a stack.
func (s *shop) relation() {
	a, b := s.c.below(s.n), s.c.below(s.n)
	if a == b {
		return
	}
	id := fmt.Sprintf("r%d", len(s.cat.Mates)+len(s.cat.Bonds)+len(s.cat.Disturbances)+len(s.cat.Stacks))
	switch s.c.below(6) {
	case 0, 1:
		key := catalog.AttributeKey(fmt.Sprintf("s%d", s.c.below(2)))
		s.cat.Mates = append(s.cat.Mates, &catalog.Mate{ID: id, Family: "f", Relation: catalog.Equal, Reason: "they touch",
			A: catalog.Seat{Position: posID(a), Name: key}, B: catalog.Seat{Position: posID(b), Name: key}})
	case 2:
		s.cat.Bonds = append(s.cat.Bonds, &catalog.Bond{ID: id, Family: "f", Kind: catalog.WornTogether, Advice: s.yes(2),
			Positions: []catalog.PositionID{posID(a), posID(b)}, Reason: "worn together"})
	case 3, 4:
		s.cat.Disturbances = append(s.cat.Disturbances, &catalog.Disturbance{Family: "f", Reach: posID(a), Undoes: posID(b), Reason: "in the way"})
	case 5:
		s.cat.Stacks = append(s.cat.Stacks, &catalog.Stack{ID: id, Family: "f", Name: id, Position: posID(a), Members: []catalog.PositionID{posID(b)}, MaxCount: 1})
	}
}

func (s *shop) part() *catalog.Part { return s.cat.Parts[s.c.below(len(s.cat.Parts))] }

func (s *shop) successor(i int) {
	kinds := []catalog.SupersessionKind{catalog.Replaces, catalog.OneWay, catalog.Equals, catalog.SplitBySerial}
	e := &catalog.Supersession{ID: fmt.Sprintf("s%d", i), Old: s.part().ID, New: s.part().ID, Kind: kinds[s.c.below(len(kinds))],
		Provenance: catalog.Provenance{Standing: catalog.Stated}}
	if e.Old == e.New {
		return
	}
	if s.yes(3) {
		e.Companions = []*catalog.Content{{Part: s.part().ID, Count: 1}}
	}
	s.cat.Supersessions = append(s.cat.Supersessions, e)
}

// kits adds two sets; the second holds a choice.
func (s *shop) kits() {
	a := &catalog.Part{ID: "kit-a", Kind: "kit", Name: "kit a", Unit: catalog.UnitSet}
	b := &catalog.Part{ID: "kit-b", Kind: "kit", Name: "kit b", Unit: catalog.UnitSet}
	for range 3 {
		a.Contents = append(a.Contents, &catalog.Content{Part: s.part().ID, Count: 1 + s.c.below(2)})
		b.Contents = append(b.Contents, &catalog.Content{Part: s.part().ID, Count: 1, Choice: "one"})
	}
	s.cat.Parts = append(s.cat.Parts, a, b)
}

func (s *shop) decision(i int) {
	d := &Decision{Position: posID(i)}
	switch s.c.below(10) {
	case 0, 1, 2, 3:
		d.Choice = Replace
		if s.yes(6) {
			d.Part = s.cat.Fitments[s.c.below(len(s.cat.Fitments))].Part
			d.Part = catalog.PartID(fmt.Sprintf("x%03da", i))
		}
	case 4:
		d.Choice = Reuse
		if s.yes(2) {
			d.Why = "looked at"
		}
	case 5:
		d.Choice = []Choice{Absent, Undecided, NotFitted, SendOut, Rework}[s.c.below(5)]
		if d.Choice == SendOut || d.Choice == Rework {
			d.Treatment = "grind"
		}
	default:
		return
	}
	s.job.Decisions = append(s.job.Decisions, d)
}

func (s *shop) line(i int) {
	l := &SupplyLine{Place: &Place{List: "k", Line: i + 1, Start: i, End: i + 1}, Source: FromKit, Outcome: Certain,
		Part: s.part().ID, Pieces: 1 + s.c.below(3)}
	switch s.c.below(16) {
	case 0:
		l.Excluded = true
	case 1:
		l.NotAvailable = true
	case 2:
		l.Outcome = Likely
	case 3:
		l.Outcome, l.Candidates = Question, []*Candidate{{Part: l.Part, Permille: 600}}
		l.Part = ""
	case 4, 5:
		l.Alternative = 1 + i/6
	case 6:
		l.Part = catalog.PartID([]string{"kit-a", "kit-b"}[s.c.below(2)])
	}
	l.Place.Text = fmt.Sprintf("%d %s %v", l.Pieces, l.Part, l.Alternative)
	for _, c := range l.Candidates {
		l.Place.Text += " perhaps " + string(c.Part)
	}
	s.supply = append(s.supply, l)
}
