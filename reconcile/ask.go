package reconcile

import (
	"slices"

	"layshaft/catalog"
	"layshaft/catalog/gearing"
)

// StackOf finds a stack of a family and the variants whose grades count: the one
// named, else all of the family.
func StackOf(ix *catalog.Index, family catalog.FamilyID, stack string, variant catalog.VariantID) (*catalog.Stack, []catalog.VariantID, error) {
	if err := variantOf(ix, family, variant); err != nil {
		return nil, nil, err
	}
	for _, s := range ix.Stacks(family) {
		if s.ID == stack {
			return s, jobVariants(ix, &Head{Family: family, Variant: variant}), nil
		}
	}
	return nil, nil, catalog.NotFound(catalog.TableStack, string(family)+" "+stack)
}

// variantOf checks that a family has a variant, which may be empty.
func variantOf(ix *catalog.Index, family catalog.FamilyID, variant catalog.VariantID) error {
	if _, ok := ix.Family(family); !ok {
		return catalog.NotFound(catalog.TableFamily, string(family))
	}
	if v, ok := ix.Variant(variant); variant != "" && (!ok || v.Family != family) {
		return catalog.NotFound(catalog.TableVariant, string(variant))
	}
	return nil
}

// LimitOf finds a limit of a family.
func LimitOf(ix *catalog.Index, family catalog.FamilyID, limit string) (*catalog.Limit, error) {
	for _, p := range ix.Positions(family) {
		for _, l := range ix.Limits(family, p.ID) {
			if l.ID == limit {
				return l, nil
			}
		}
	}
	return nil, catalog.NotFound(catalog.TableLimit, string(family)+" "+limit)
}

// MeshOf fills an examination from a mesh of a family: tooth form, centre
// distance and, of a variant, the counts that are not given.
func MeshOf(ix *catalog.Index, family catalog.FamilyID, mesh string, variant catalog.VariantID, ask *gearing.Examination) error {
	if err := variantOf(ix, family, variant); err != nil {
		return err
	}
	f, _ := ix.Family(family)
	i := slices.IndexFunc(f.Meshes, func(m *catalog.Mesh) bool { return m.ID == mesh })
	if i < 0 {
		return catalog.NotFound("meshes", string(family)+" "+mesh)
	}
	m := f.Meshes[i]
	ask.NormalModule, ask.Helix = m.NormalModule, m.Helix
	if ask.Centre = m.CentreDistance; ask.Centre == 0 && len(m.Idler) == 0 {
		ask.Centre = f.CentreDistance
	}
	count := func(given int, wheel string) int {
		if n, ok := ix.Teeth(variant, wheel); given == 0 && ok {
			return n
		}
		return given
	}
	ask.Driving, ask.Driven = count(ask.Driving, m.Driving), count(ask.Driven, m.Driven)
	for i, w := range m.Idler {
		if len(ask.Idlers) <= i {
			ask.Idlers = append(ask.Idlers, 0)
		}
		ask.Idlers[i] = count(ask.Idlers[i], w)
	}
	return nil
}
