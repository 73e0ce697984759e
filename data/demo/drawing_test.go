package demo

import (
	"slices"
	"testing"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

// A shaft spans what sits on it; everything else on one axis stands in a row.
// Parts inside others (needle cages, hubs, keys) have no place of their own.
func TestDrawingIntervalsDoNotOverlap(t *testing.T) {
	c := shop(t)
	for _, f := range c.Families {
		axes := map[string]quantity.Length{}
		for _, s := range f.Shafts {
			axes[s.ID] = s.Offset
		}
		rows := map[quantity.Length][]*catalog.Position{}
		for _, p := range c.Positions {
			if p.Family != f.ID || p.Width == 0 {
				continue
			}
			offset, ok := axes[p.Shaft]
			if !ok || p.From < 0 || p.Width < 0 {
				t.Errorf("%s: shaft %q, from %v, width %v", p.Key(), p.Shaft, p.From, p.Width)
			}
			if p.Kind.Class() != catalog.ClassShaft {
				rows[offset] = append(rows[offset], p)
			}
		}
		drawn := 0
		for _, row := range rows {
			slices.SortFunc(row, func(a, b *catalog.Position) int { return int(a.From - b.From) })
			for i := 1; i < len(row); i++ {
				if end := row[i-1].From + row[i-1].Width; end > row[i].From {
					t.Errorf("%s ends at %v, %s begins at %v", row[i-1].Key(), end, row[i].Key(), row[i].From)
				}
			}
			drawn += len(row)
		}
		atLeast(t, "drawn positions of "+string(f.ID), drawn, 30)
	}
}

// A wheel without a place of its own is drawn opposite its mate.
func TestEveryMeshHasAPlaceOnTheDrawing(t *testing.T) {
	c := shop(t)
	ix := catalog.NewIndex(c, 1)
	for _, f := range c.Families {
		placed := map[string]bool{}
		for _, w := range f.Wheels {
			p, ok := ix.Position(f.ID, w.Position)
			placed[w.ID] = ok && p.Width > 0 && p.Kind.Class() != catalog.ClassShaft
		}
		for _, m := range f.Meshes {
			if !placed[m.Driving] && !placed[m.Driven] {
				t.Errorf("%s mesh %s: neither %s nor %s has a place", f.ID, m.ID, m.Driving, m.Driven)
			}
		}
	}
}
