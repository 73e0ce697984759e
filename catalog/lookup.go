package catalog

import (
	"cmp"
	"maps"
	"slices"
)

// Rev is the catalogue revision that the index was built from.
func (ix *Index) Rev() uint64 { return ix.rev }

// Families by id.
func (ix *Index) Families() []*Family { return ix.families }

// Variants of every family by id.
func (ix *Index) Variants() []*Variant { return ix.variants }

// Parts by id.
func (ix *Index) Parts() []*Part { return ix.parts }

// Suppliers by id.
func (ix *Index) Suppliers() []*Supplier { return ix.suppliers }

// Words of the shop's lexicon.
func (ix *Index) Words() []*Word { return ix.words }

// Aliases remembered from people's answers.
func (ix *Index) Aliases() []*Alias { return ix.aliases }

// Family by id.
func (ix *Index) Family(id FamilyID) (*Family, bool) {
	if f := ix.familyByID[id]; f != nil {
		return f.family, true
	}
	return nil, false
}

// Variant by id.
func (ix *Index) Variant(id VariantID) (*Variant, bool) {
	if v := ix.variantByID[id]; v != nil {
		return v.variant, true
	}
	return nil, false
}

// Part by id.
func (ix *Index) Part(id PartID) (*Part, bool) {
	p, ok := ix.partByID[id]
	return p, ok
}

// Supplier by id.
func (ix *Index) Supplier(id SupplierID) (*Supplier, bool) {
	s, ok := ix.supplierByID[id]
	return s, ok
}

// AttributeDef by key.
func (ix *Index) AttributeDef(k AttributeKey) (*AttributeDef, bool) {
	a, ok := ix.attributes[k]
	return a, ok
}

// AttributeDefs by key.
func (ix *Index) AttributeDefs() []*AttributeDef {
	return slices.SortedFunc(maps.Values(ix.attributes), func(a, b *AttributeDef) int { return cmp.Compare(a.Name, b.Name) })
}

// VariantsOf a family by id.
func (ix *Index) VariantsOf(id FamilyID) []*Variant {
	if f := ix.familyByID[id]; f != nil {
		return f.variants
	}
	return nil
}

// Positions of a family in list order.
func (ix *Index) Positions(id FamilyID) []*Position {
	if f := ix.familyByID[id]; f != nil {
		return f.positions
	}
	return nil
}

// Position of a family by id.
func (ix *Index) Position(id FamilyID, pos PositionID) (*Position, bool) {
	if f := ix.familyByID[id]; f != nil {
		p, ok := f.positionByID[pos]
		return p, ok
	}
	return nil, false
}

// Has reports whether the variant has the position at all.
func (ix *Index) Has(id VariantID, pos PositionID) bool {
	v := ix.variantByID[id]
	if v == nil || v.without[pos] {
		return false
	}
	_, ok := ix.Position(v.variant.Family, pos)
	return ok
}

// Fits lists what fits a position of a variant: standard parts first, then the
// better standing.
func (ix *Index) Fits(id VariantID, pos PositionID) []*Fitment {
	if v := ix.variantByID[id]; v != nil {
		return v.fits[pos]
	}
	return nil
}

// FitsOf lists every fitment of a part.
func (ix *Index) FitsOf(id PartID) []*Fitment { return ix.fitsOf[id] }

// Standard part of a position of a variant, as it left the maker.
func (ix *Index) Standard(id VariantID, pos PositionID) (*Part, bool) {
	for _, f := range ix.Fits(id, pos) {
		if f.Standard {
			return ix.Part(f.Part)
		}
	}
	return nil, false
}

// Quantity of pieces at a position of a variant; 0 when it has no such position.
func (ix *Index) Quantity(id VariantID, pos PositionID) int {
	if !ix.Has(id, pos) {
		return 0
	}
	for _, f := range ix.Fits(id, pos) {
		if f.Standard && f.Quantity > 0 {
			return f.Quantity
		}
	}
	p, _ := ix.Position(ix.variantByID[id].variant.Family, pos)
	return p.Quantity
}

// Teeth of a wheel of a variant and whether it is known.
func (ix *Index) Teeth(id VariantID, wheel string) (int, bool) {
	v := ix.variantByID[id]
	if v == nil {
		return 0, false
	}
	n, ok := v.teeth[wheel]
	return n, ok
}

// Attribute of a part for a key and seat: stated, or derived from its
// designation (then only for the empty seat).
func (ix *Index) Attribute(id PartID, k AttributeKey, at string) (*Attribute, bool) {
	p, ok := ix.partByID[id]
	if !ok {
		return nil, false
	}
	if a, ok := p.Attribute(k, at); ok {
		return a, true
	}
	for _, a := range ix.derived[id] {
		if a.Name == k && a.At == at {
			return a, true
		}
	}
	return nil, false
}

// Attributes of a part: stated ones first, then derived ones.
func (ix *Index) Attributes(id PartID) []*Attribute {
	p, ok := ix.partByID[id]
	if !ok {
		return nil
	}
	d := ix.derived[id]
	if len(d) == 0 {
		return p.Attributes
	}
	return append(append(make([]*Attribute, 0, len(p.Attributes)+len(d)), p.Attributes...), d...)
}

// ByNumber lists parts that carry a number, compared after Normal.
func (ix *Index) ByNumber(number string) []NumberHit { return ix.byNumber[Normal(number)] }

// Numbers calls fn for every normalised number with its hits, in no order.
func (ix *Index) Numbers(fn func(normal string, hits []NumberHit)) {
	for k, hits := range ix.byNumber {
		fn(k, hits)
	}
}

// Mates of a family by id.
func (ix *Index) Mates(id FamilyID) []*Mate {
	if f := ix.familyByID[id]; f != nil {
		return f.mates
	}
	return nil
}

// MatesAt lists the mates that name a position.
func (ix *Index) MatesAt(id FamilyID, pos PositionID) []*Mate {
	if f := ix.familyByID[id]; f != nil {
		return f.matesAt[pos]
	}
	return nil
}

// Bonds of a family by id.
func (ix *Index) Bonds(id FamilyID) []*Bond {
	if f := ix.familyByID[id]; f != nil {
		return f.bonds
	}
	return nil
}

// BondsAt lists the bonds that name a position.
func (ix *Index) BondsAt(id FamilyID, pos PositionID) []*Bond {
	if f := ix.familyByID[id]; f != nil {
		return f.bondsAt[pos]
	}
	return nil
}

// Undoes lists what reaching a position undoes.
func (ix *Index) Undoes(id FamilyID, reach PositionID) []*Disturbance {
	if f := ix.familyByID[id]; f != nil {
		return f.undoes[reach]
	}
	return nil
}

// Stacks of a family by id.
func (ix *Index) Stacks(id FamilyID) []*Stack {
	if f := ix.familyByID[id]; f != nil {
		return f.stacks
	}
	return nil
}

// StacksOf lists the stacks that a new part at pos opens.
func (ix *Index) StacksOf(id FamilyID, pos PositionID) []*Stack {
	if f := ix.familyByID[id]; f != nil {
		return f.stacksOf[pos]
	}
	return nil
}

// StackAt is the stack that the part at pos sets.
func (ix *Index) StackAt(id FamilyID, pos PositionID) (*Stack, bool) {
	if f := ix.familyByID[id]; f != nil {
		s, ok := f.stackAt[pos]
		return s, ok
	}
	return nil, false
}

// Limits of a position.
func (ix *Index) Limits(id FamilyID, pos PositionID) []*Limit {
	if f := ix.familyByID[id]; f != nil {
		return f.limits[pos]
	}
	return nil
}

// Features of a family by id.
func (ix *Index) Features(id FamilyID) []*Feature {
	if f := ix.familyByID[id]; f != nil {
		return f.features
	}
	return nil
}

// Successors lists the supersession edges that leave a part.
func (ix *Index) Successors(id PartID) []*Supersession { return ix.successors[id] }

// Predecessors lists the supersession edges that lead to a part.
func (ix *Index) Predecessors(id PartID) []*Supersession { return ix.predecessors[id] }

// Offers of a part by id.
func (ix *Index) Offers(id PartID) []*Offer { return ix.offersOf[id] }

// Containers lists the pairs, sets and kits that hold a part.
func (ix *Index) Containers(id PartID) []*Part { return ix.containers[id] }
