package catalog

// checkNumbers reports parts that no list can name by number, and numbers that
// name two parts.
func checkNumbers(k *checkup) {
	type issued struct{ issuer, normal string }
	first := map[issued]*Part{}
	current := map[issued]bool{}
	for _, p := range k.ix.parts {
		if len(p.Numbers) == 0 && p.Designation == "" {
			k.hint(p, fault{"no-number", "numbers", "Add the number from a list or an invoice"}, "The part has no number and no designation.")
		}
		for _, n := range p.Numbers {
			at := issued{n.Issuer, Normal(n.Text)}
			if at.normal == "" {
				k.severe(p, fault{"empty-number", "numbers", "Write letters or digits"}, "The number %q has neither letters nor digits.", n.Text)
				continue
			}
			other, taken := first[at]
			isCurrent := n.Role == NumberCurrent
			switch {
			case !taken:
				first[at], current[at] = p, isCurrent
			case other == p:
				k.hint(p, fault{"duplicate-number", "number " + at.normal, "Remove one of the two writings"},
					"%q of %s is on the part twice, written differently.", n.Text, n.Issuer)
			case isCurrent && current[at]:
				k.severe(p, fault{"duplicate-number", "number " + at.normal, "Find out which part it is, or join the two parts"},
					"%q of %s is the current number of %s as well.", n.Text, n.Issuer, other.ID)
			default:
				current[at] = current[at] || isCurrent
				k.hint(p, fault{"duplicate-number", "number " + at.normal, "Lists that use it will be asked about"},
					"%q of %s also names %s.", n.Text, n.Issuer, other.ID)
			}
		}
	}
}
