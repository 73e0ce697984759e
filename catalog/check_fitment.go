package catalog

// checkFitments reports positions for which nothing fits or nothing is
// standard, more than one standard part, and fitments where the variant has no
// such position.
func checkFitments(k *checkup) {
	for _, v := range k.ix.variants {
		for _, p := range k.ix.Positions(v.Family) {
			fits := k.ix.Fits(v.ID, p.ID)
			standard := 0
			for _, f := range fits {
				if f.Standard {
					standard++
				}
			}
			at := func(code, repair string) fault { return fault{code, "position " + string(p.ID), repair} }
			switch {
			case !k.ix.Has(v.ID, p.ID):
				if len(fits) > 0 {
					k.severe(v, at("fitment-absent", "Remove the fitments or list the position as present"),
						"The variant is without %s, yet %d parts are said to fit there.", p.Name, len(fits))
				}
			case len(fits) == 0:
				k.hint(v, at("no-fitment", "Say which part fits"), "No part is known to fit %s.", p.Name)
			case standard == 0:
				k.hint(v, at("no-standard", "Mark the part that the maker fitted"), "No part is the standard one for %s.", p.Name)
			case standard > 1:
				k.severe(v, at("two-standards", "Keep the mark on the part that the maker fitted"),
					"%d parts are marked as the standard one for %s.", standard, p.Name)
			}
		}
	}
}
