package catalog

import (
	"layshaft/catalog/gearing"
	"layshaft/catalog/quantity"
)

// Ratio of a speed of a variant, input turns per output turn; false when a tooth
// count or a mesh is not known.
func (ix *Index) Ratio(id VariantID, speed *Speed) (quantity.Ratio, bool) {
	v := ix.variantByID[id]
	if v == nil {
		return quantity.Ratio{}, false
	}
	f, ok := ix.Family(v.variant.Family)
	if !ok {
		return quantity.Ratio{}, false
	}
	chain := make([]gearing.Mesh, 0, len(speed.Meshes))
	for _, name := range speed.Meshes {
		m := f.mesh(name)
		if m == nil {
			return quantity.Ratio{}, false
		}
		g := gearing.Mesh{Driving: v.teeth[m.Driving], Driven: v.teeth[m.Driven]}
		for _, w := range m.Idler {
			g.Idlers = append(g.Idlers, v.teeth[w])
		}
		chain = append(chain, g)
	}
	r, err := gearing.Ratio(chain...)
	return r, err == nil
}

func (f *Family) mesh(id string) *Mesh {
	for _, m := range f.Meshes {
		if m.ID == id {
			return m
		}
	}
	return nil
}
