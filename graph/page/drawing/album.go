package drawing

import (
	"sync"

	"layshaft/catalog"
)

// maxPlates bounds the pictures that an album keeps: three forms of as many
// variants as a shop has open, and some shafts alone.
const maxPlates = 48

// Album draws as [Draw] and [Picture.SVG] do, and keeps what states and links do not
// change while the catalogue stays the same. Its zero value is empty; a nil album
// keeps nothing.
type Album struct {
	mu     sync.Mutex // guards what follows
	ix     *catalog.Index
	plates map[plateKey]Picture
}

// plateKey is what a layout depends on at one catalogue; ids of patterns are in it.
type plateKey struct {
	family        catalog.FamilyID
	variant       catalog.VariantID
	form          Form
	shaft, prefix string
}

// SVG draws the gearbox of a family; see [Draw]. Words of o.Say must not change.
func (a *Album) SVG(ix *catalog.Index, family catalog.FamilyID, variant catalog.VariantID, o Options) string {
	if a == nil {
		return Draw(ix, family, variant, o).SVG()
	}
	key := plateKey{family, variant, o.Form, o.Shaft, o.Prefix}
	a.mu.Lock()
	if a.ix != ix || len(a.plates) >= maxPlates {
		a.ix, a.plates = ix, map[plateKey]Picture{}
	}
	plate, had := a.plates[key]
	a.mu.Unlock()
	if !had {
		plate = laidOut(ix, family, variant, o)
		plate.ink(o.idPrefix())
		a.mu.Lock()
		if a.ix == ix {
			a.plates[key] = plate
		}
		a.mu.Unlock()
	}
	return plate.dressed(o).SVG()
}

// ink writes what never changes of a layout.
func (p *Picture) ink(prefix string) {
	w := &writer{}
	for i := range p.Items {
		it := &p.Items[i]
		w.b = w.b[:0]
		w.body(it, prefix)
		it.inked = string(w.b)
		it.Shapes, it.Leader = nil, nil
	}
	w.b = w.b[:0]
	w.words(p.Items)
	p.inked = string(w.b)
}
