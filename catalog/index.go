package catalog

import (
	"cmp"
	"slices"
	"unicode"
)

func isLetterOrDigit(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }

// Index is an immutable view of a catalogue at one revision. It may be used by
// any number of goroutines; what it returns must not be changed.
//
// An index can be built over a faulty catalogue: rows that name unknown records
// are simply never found, and of two rows with one key the later one wins.
type Index struct {
	rev uint64

	families   []*Family
	parts      []*Part
	suppliers  []*Supplier
	variants   []*Variant
	words      []*Word
	aliases    []*Alias
	attributes map[AttributeKey]*AttributeDef

	familyByID   map[FamilyID]*familyIndex
	variantByID  map[VariantID]*variantIndex
	partByID     map[PartID]*Part
	supplierByID map[SupplierID]*Supplier
	derived      map[PartID][]*Attribute
	byNumber     map[string][]NumberHit
	fitsOf       map[PartID][]*Fitment
	offersOf     map[PartID][]*Offer
	successors   map[PartID][]*Supersession
	predecessors map[PartID][]*Supersession
	containers   map[PartID][]*Part
}

type familyIndex struct {
	family       *Family
	variants     []*Variant
	positions    []*Position
	positionByID map[PositionID]*Position
	mates        []*Mate
	matesAt      map[PositionID][]*Mate
	bonds        []*Bond
	bondsAt      map[PositionID][]*Bond
	undoes       map[PositionID][]*Disturbance
	stacks       []*Stack
	stacksOf     map[PositionID][]*Stack // member -> stacks
	stackAt      map[PositionID]*Stack   // position that sets it
	limits       map[PositionID][]*Limit
	features     []*Feature
}

type variantIndex struct {
	variant *Variant
	without map[PositionID]bool
	fits    map[PositionID][]*Fitment
	teeth   map[string]int
}

// NumberHit is a part that carries a number.
type NumberHit struct {
	Part   *Part
	Number *Number
}

// NewIndex builds an index over c at revision rev. It does not keep c's slices,
// but it shares the records.
func NewIndex(c *Catalogue, rev uint64) *Index {
	ix := &Index{rev: rev, attributes: map[AttributeKey]*AttributeDef{}}
	ix.indexFamilies(c)
	ix.indexVariants(c)
	ix.indexParts(c)
	ix.indexRelations(c)
	ix.indexTrade(c)
	return ix
}

func (ix *Index) indexFamilies(c *Catalogue) {
	ix.familyByID = make(map[FamilyID]*familyIndex, len(c.Families))
	for _, f := range c.Families {
		ix.familyByID[f.ID] = &familyIndex{
			family:       f,
			positionByID: map[PositionID]*Position{},
			matesAt:      map[PositionID][]*Mate{},
			bondsAt:      map[PositionID][]*Bond{},
			undoes:       map[PositionID][]*Disturbance{},
			stacksOf:     map[PositionID][]*Stack{},
			stackAt:      map[PositionID]*Stack{},
			limits:       map[PositionID][]*Limit{},
		}
	}
	for _, f := range ix.familyByID {
		ix.families = append(ix.families, f.family)
	}
	sortByKey(ix.families)
	for _, p := range c.Positions {
		if f := ix.familyByID[p.Family]; f != nil {
			f.positionByID[p.ID] = p
		}
	}
	for _, f := range ix.familyByID {
		for _, p := range f.positionByID {
			f.positions = append(f.positions, p)
		}
		slices.SortFunc(f.positions, func(a, b *Position) int {
			return cmp.Or(cmp.Compare(a.Order, b.Order), cmp.Compare(a.ID, b.ID))
		})
	}
	for _, a := range c.Attributes {
		ix.attributes[a.Name] = a
	}
}

func (ix *Index) indexVariants(c *Catalogue) {
	ix.variantByID = make(map[VariantID]*variantIndex, len(c.Variants))
	for _, v := range c.Variants {
		vi := &variantIndex{
			variant: v,
			without: make(map[PositionID]bool, len(v.Without)),
			fits:    map[PositionID][]*Fitment{},
			teeth:   make(map[string]int, len(v.Teeth)),
		}
		for _, p := range v.Without {
			vi.without[p] = true
		}
		for _, t := range v.Teeth {
			vi.teeth[t.Wheel] = t.Teeth
		}
		ix.variantByID[v.ID] = vi
	}
	for _, vi := range ix.variantByID {
		ix.variants = append(ix.variants, vi.variant)
	}
	sortByKey(ix.variants)
	for _, v := range ix.variants {
		if f := ix.familyByID[v.Family]; f != nil {
			f.variants = append(f.variants, v)
		}
	}
}

func (ix *Index) indexParts(c *Catalogue) {
	ix.partByID = make(map[PartID]*Part, len(c.Parts))
	for _, p := range c.Parts {
		ix.partByID[p.ID] = p
	}
	ix.parts = make([]*Part, 0, len(ix.partByID))
	for _, p := range ix.partByID {
		ix.parts = append(ix.parts, p)
	}
	sortByKey(ix.parts)
	ix.derived = map[PartID][]*Attribute{}
	ix.byNumber = make(map[string][]NumberHit, len(ix.parts))
	ix.containers = map[PartID][]*Part{}
	for _, p := range ix.parts {
		if d := derive(p); len(d) > 0 {
			ix.derived[p.ID] = d
		}
		for _, n := range p.Numbers {
			if k := Normal(n.Text); k != "" {
				ix.byNumber[k] = append(ix.byNumber[k], NumberHit{Part: p, Number: n})
			}
		}
		for _, in := range p.Contents {
			ix.containers[in.Part] = append(ix.containers[in.Part], p)
		}
	}
}

func (ix *Index) indexRelations(c *Catalogue) {
	for _, m := range sorted(c.Mates) {
		if f := ix.familyByID[m.Family]; f != nil {
			f.mates = append(f.mates, m)
			f.matesAt[m.A.Position] = append(f.matesAt[m.A.Position], m)
			if m.B.Position != m.A.Position {
				f.matesAt[m.B.Position] = append(f.matesAt[m.B.Position], m)
			}
		}
	}
	for _, b := range sorted(c.Bonds) {
		if f := ix.familyByID[b.Family]; f != nil {
			f.bonds = append(f.bonds, b)
			for _, p := range b.Positions {
				f.bondsAt[p] = append(f.bondsAt[p], b)
			}
		}
	}
	for _, d := range sorted(c.Disturbances) {
		if f := ix.familyByID[d.Family]; f != nil {
			f.undoes[d.Reach] = append(f.undoes[d.Reach], d)
		}
	}
	for _, s := range sorted(c.Stacks) {
		if f := ix.familyByID[s.Family]; f != nil {
			f.stacks = append(f.stacks, s)
			f.stackAt[s.Position] = s
			for _, m := range s.Members {
				f.stacksOf[m] = append(f.stacksOf[m], s)
			}
		}
	}
	for _, l := range sorted(c.Limits) {
		if f := ix.familyByID[l.Family]; f != nil {
			f.limits[l.Position] = append(f.limits[l.Position], l)
		}
	}
	for _, t := range sorted(c.Features) {
		if f := ix.familyByID[t.Family]; f != nil {
			f.features = append(f.features, t)
		}
	}
	ix.fitsOf = map[PartID][]*Fitment{}
	for _, t := range sorted(c.Fitments) {
		if v := ix.variantByID[t.Variant]; v != nil {
			v.fits[t.Position] = append(v.fits[t.Position], t)
		}
		ix.fitsOf[t.Part] = append(ix.fitsOf[t.Part], t)
	}
	for _, v := range ix.variantByID {
		for _, fits := range v.fits {
			slices.SortFunc(fits, compareFitments)
		}
	}
}

// compareFitments puts standard parts first, then the better standing.
func compareFitments(a, b *Fitment) int {
	if a.Standard != b.Standard {
		if a.Standard {
			return -1
		}
		return 1
	}
	return cmp.Or(cmp.Compare(b.Standing.Rank(), a.Standing.Rank()), cmp.Compare(a.Part, b.Part))
}

func (ix *Index) indexTrade(c *Catalogue) {
	ix.successors, ix.predecessors = map[PartID][]*Supersession{}, map[PartID][]*Supersession{}
	for _, s := range sorted(c.Supersessions) {
		ix.successors[s.Old] = append(ix.successors[s.Old], s)
		ix.predecessors[s.New] = append(ix.predecessors[s.New], s)
	}
	ix.suppliers = sorted(c.Suppliers)
	ix.supplierByID = make(map[SupplierID]*Supplier, len(ix.suppliers))
	for _, s := range ix.suppliers {
		ix.supplierByID[s.ID] = s
	}
	ix.offersOf = map[PartID][]*Offer{}
	for _, o := range sorted(c.Offers) {
		ix.offersOf[o.Part] = append(ix.offersOf[o.Part], o)
	}
	ix.words, ix.aliases = sorted(c.Words), sorted(c.Aliases)
}

func sortByKey[R Record](rows []R) {
	slices.SortFunc(rows, func(a, b R) int { return cmp.Compare(a.Key(), b.Key()) })
}

// sorted returns rows by key without duplicates; of equal keys the last wins.
func sorted[R Record](rows []R) []R {
	out := slices.Clone(rows)
	slices.SortStableFunc(out, func(a, b R) int { return cmp.Compare(a.Key(), b.Key()) })
	kept := out[:0]
	for i, r := range out {
		if i+1 < len(out) && out[i+1].Key() == r.Key() {
			continue
		}
		kept = append(kept, r)
	}
	return kept
}
