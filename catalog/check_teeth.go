package catalog

// checkTeeth reports wheels whose count is not known for a variant, and counts
// that the variant's own standard parts contradict.
func checkTeeth(k *checkup) {
	for _, v := range k.ix.variants {
		f, ok := k.ix.Family(v.Family)
		if !ok {
			continue
		}
		for _, w := range f.Wheels {
			z, known := k.ix.Teeth(v.ID, w.ID)
			if !known {
				if k.ix.Has(v.ID, w.Position) {
					k.hint(v, fault{"teeth-missing", "teeth " + w.ID, "Count them at the next strip"}, "The teeth of %s are not known.", w.Label)
				}
				continue
			}
			part, ok := k.ix.Standard(v.ID, w.Position)
			if !ok {
				continue
			}
			a, ok := k.ix.Attribute(part.ID, KeyTeeth, w.At)
			if ok && a.Value.Kind == KindCount && a.Value.Number != int64(z) {
				k.severe(v, fault{"teeth-part", "teeth " + w.ID, "Correct the variant's count, the part's count or the standard part"},
					"%s has %d teeth here, but its standard part %s has %d.", w.Label, z, part.ID, a.Value.Number)
			}
		}
	}
}
