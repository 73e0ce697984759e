package catalog

import (
	"layshaft/catalog/gearing"
	"layshaft/catalog/quantity"
)

// checkRatios reports forward speeds whose ratio does not fall from speed to
// speed, and unusual steps.
func checkRatios(k *checkup) {
	for _, v := range k.ix.variants {
		f, ok := k.ix.Family(v.Family)
		if !ok {
			continue
		}
		var forward []*Speed
		var ratios []quantity.Ratio
		for _, s := range f.Speeds {
			if s.Reverse {
				continue
			}
			r, _ := k.ix.Ratio(v.ID, s) // not known is 0, which is skipped
			forward, ratios = append(forward, s), append(ratios, r)
		}
		for _, step := range gearing.JudgeSteps(ratios) {
			low, high := step.Lower, step.Lower+1
			for ratios[high].IsZero() {
				high++
			}
			if step.Rising {
				k.severe(v, fault{"ratio-order", "speed " + forward[high].Name, "Look for exchanged wheels or a miscount"},
					"The ratio rises from %s (%s) to %s (%s).", forward[low].Name, ratios[low].Decimal(3), forward[high].Name, ratios[high].Decimal(3))
				continue
			}
			k.hint(v, fault{"ratio-step", "speed " + forward[high].Name, "Count the wheels of both speeds again"},
				"The step from %s (%s) to %s (%s) is unusual.", forward[low].Name, ratios[low].Decimal(3), forward[high].Name, ratios[high].Decimal(3))
		}
	}
}
