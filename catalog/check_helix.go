package catalog

import "layshaft/catalog/gearing"

// checkHelix reports standard gears that can't mesh by their helix, and a
// countershaft whose gears are not all of one hand.
func checkHelix(k *checkup) {
	for _, v := range k.ix.variants {
		f, ok := k.ix.Family(v.Family)
		if !ok {
			continue
		}
		for _, m := range f.Meshes {
			if len(m.Idler) > 0 {
				continue
			}
			a, okA := k.helix(v, f, m.Driving)
			b, okB := k.helix(v, f, m.Driven)
			if !okA || !okB {
				continue
			}
			if bad := gearing.MeshHelix(a, b, false); bad != gearing.HelixSuits {
				k.severe(v, fault{"helix-mesh", "mesh " + m.ID, "Correct the helix of one of the standard parts"},
					"The standard gears of mesh %s can't mesh: %s.", m.ID, bad)
			}
		}
		k.countershafts(v, f)
	}
}

// helix of the standard part at a wheel; false when its hand is not stated.
func (k *checkup) helix(v *Variant, f *Family, wheel string) (gearing.Helix, bool) {
	for _, w := range f.Wheels {
		if w.ID != wheel {
			continue
		}
		part, ok := k.ix.Standard(v.ID, w.Position)
		if !ok {
			return gearing.Helix{}, false
		}
		hand, ok := k.ix.Attribute(part.ID, KeyHelix, w.At)
		if !ok {
			return gearing.Helix{}, false
		}
		return gearing.Helix{Hand: gearing.Hand(hand.Value.Text)}, true
	}
	return gearing.Helix{}, false
}

func (k *checkup) countershafts(v *Variant, f *Family) {
	var wheels []string
	var hands []gearing.Hand
	for _, w := range f.Wheels {
		p, ok := k.ix.Position(f.ID, w.Position)
		if !ok || p.Assembly != AssemblyCounter {
			continue
		}
		if h, ok := k.helix(v, f, w.ID); ok {
			wheels, hands = append(wheels, w.ID), append(hands, h.Hand)
		}
	}
	for _, i := range gearing.OddHands(hands) {
		k.hint(v, fault{"helix-shaft", "wheel " + wheels[i], "Look at the gear: the helical gears of one countershaft have one hand"},
			"Wheel %s is %s-hand, unlike other gears of the countershaft.", wheels[i], hands[i])
	}
}
