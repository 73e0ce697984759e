package catalog

import (
	"slices"

	"layshaft/catalog/quantity"
)

// checkFeatures reports features that can't be observed as they are recorded.
func checkFeatures(k *checkup) {
	for _, t := range sorted(k.c.Features) {
		k.featureSpeed(t)
		for _, fv := range t.Values {
			v, ok := k.ix.Variant(fv.Variant)
			if !ok {
				continue // an unknown id
			}
			field := "values " + string(fv.Variant)
			if v.Family != t.Family {
				k.severe(t, fault{"feature-variant", field, "Remove the value"}, "Variant %s is of family %s.", v.ID, v.Family)
			}
			at := fault{"feature-value", field, "Write the value as the feature's kind wants it"}
			switch want := t.Kind.ValueKind(); {
			case fv.Value.Kind != want:
				k.severe(t, at, "The feature takes a %s, the value is of kind %q.", want, fv.Value.Kind)
			case t.Kind == FeatureRatio:
				if _, err := quantity.ParseRatio(fv.Value.Text); err != nil {
					k.severe(t, at, "Not an exact ratio: %v.", err)
				}
			case want == KindText && fv.Value.Text == "":
				k.severe(t, at, "The value is empty.")
			}
		}
	}
}

// featureSpeed holds the rule that a ratio, and nothing else, names the speed
// that is turned.
func (k *checkup) featureSpeed(t *Feature) {
	f, ok := k.ix.Family(t.Family)
	if !ok {
		return
	}
	known := slices.ContainsFunc(f.Speeds, func(s *Speed) bool { return s.Name == t.Speed })
	at := fault{"feature-speed", "speed", "Name a speed of the family for a ratio, and none otherwise"}
	switch {
	case t.Kind == FeatureRatio && !known:
		k.severe(t, at, "The family has no speed %q.", t.Speed)
	case t.Kind != FeatureRatio && t.Speed != "" && !known:
		k.severe(t, at, "The family has no speed %q, and a %s needs none.", t.Speed, t.Kind)
	}
}
