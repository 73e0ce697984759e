package catalog

// checkLimits reports limits that are upside down, empty, or say that a new
// part is worn.
func checkLimits(k *checkup) {
	for _, l := range sorted(k.c.Limits) {
		order := func(field, reason string, args ...any) {
			k.severe(l, fault{"limit-order", field, "Exchange the two values or correct one"}, reason, args...)
		}
		known := l.NewMin != 0 || l.NewMax != 0
		if l.NewMin > l.NewMax {
			order("newMin", "A new part is said to measure from %v to %v.", l.NewMin, l.NewMax)
		}
		if l.WearMin != nil && l.WearMax != nil && *l.WearMin > *l.WearMax {
			order("wearMin", "A part may be reused from %v to %v.", *l.WearMin, *l.WearMax)
		}
		if known && l.WearMin != nil && *l.WearMin > l.NewMin {
			order("wearMin", "A new part of %v would be below the wear limit %v.", l.NewMin, *l.WearMin)
		}
		if known && l.WearMax != nil && *l.WearMax < l.NewMax {
			order("wearMax", "A new part of %v would be above the wear limit %v.", l.NewMax, *l.WearMax)
		}
		if l.WearMin == nil && l.WearMax == nil {
			k.hint(l, fault{"limit-open", "wearMax", "State the limit of the shop's own records"}, "No wear limit is stated: nothing is ever renewed by it.")
		}
		if d, ok := k.ix.AttributeDef(l.Name); l.Name != "" && ok && d.Kind != KindLength {
			k.severe(l, fault{"limit-attribute", "key", "Name a length"}, "%s is a %s, the limit is a length.", d.Name, d.Kind)
		}
	}
}
