package drawing

import (
	"testing"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

// Two axes drawn nearly on one line: tooth counts that would run into each
// other are left out, and the labels still say them.
func TestWordsThatCollideAreLeftOut(t *testing.T) {
	f := &catalog.Family{ID: "f", Name: "Close", CentreDistance: 76 * quantity.MM,
		Shafts: []*catalog.Shaft{{ID: "a", Name: "A"}, {ID: "b", Name: "B", Offset: 2 * quantity.MM}, {ID: "c", Name: "C", Offset: 4 * quantity.MM}}}
	v := &catalog.Variant{ID: "v", Family: "f"}
	c := &catalog.Catalogue{Families: []*catalog.Family{f}, Variants: []*catalog.Variant{v}}
	for _, s := range f.Shafts {
		id := catalog.PositionID("gear-" + s.ID)
		c.Positions = append(c.Positions, &catalog.Position{ID: id, Family: "f", Name: "Gear", Kind: "gear", Quantity: 1,
			Shaft: s.ID, Width: 300 * quantity.MM})
		f.Wheels = append(f.Wheels, &catalog.Wheel{ID: s.ID, Position: id})
		v.Teeth = append(v.Teeth, &catalog.ToothCount{Wheel: s.ID, Teeth: 40})
	}
	ix := catalog.NewIndex(c, 1)
	p := Draw(ix, "f", "v", Options{})
	for _, bad := range faults(ix, "f", "v", Options{}, p) {
		t.Error(bad)
	}
	shown := 0
	for _, it := range p.Items {
		shown += len(it.Texts)
		if want := "Gear, 40 teeth: Nothing noted"; it.Label[2:] != want {
			t.Errorf("label %q", it.Label)
		}
	}
	if shown == 0 || shown == 3 {
		t.Errorf("%d tooth counts shown; two stand on one spot", shown)
	}
}

// A gear carries its dog teeth toward its synchro ring and its face width on
// the other side.
func TestTeethStandAwayFromTheSynchroRing(t *testing.T) {
	tr := newTrain(shop(t), "bw76", "bw76-lw2")
	for wheel, want := range map[string][2]float64{
		"gear-3rd": {219, 240}, // ring at its left
		"gear-2nd": {244, 266}, // ring at its right
		"gear-1st": {316, 340},
		"gear-5th": {431, 451},
	} {
		w := tr.wheels[wheel]
		if w.x0 != want[0] || w.x1 != want[1] {
			t.Errorf("%s from %g to %g, not %v", wheel, w.x0, w.x1, want)
		}
	}
	// A wheel of the cluster stands opposite its mate.
	if a, b := tr.wheels["cs-2nd"], tr.wheels["gear-2nd"]; a.x0 != b.x0 || a.x1 != b.x1 {
		t.Errorf("cluster 2nd from %g to %g, its mate from %g to %g", a.x0, a.x1, b.x0, b.x1)
	}
}
