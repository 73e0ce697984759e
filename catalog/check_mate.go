package catalog

// checkMates reports mates that compare nothing, and mates that the standard
// parts of a variant violate or leave unknown. A doubted mate decides nothing.
func checkMates(k *checkup) {
	for _, m := range sorted(k.c.Mates) {
		if k.mateShape(m) || m.Standing == Doubted {
			continue
		}
		for _, v := range k.ix.VariantsOf(m.Family) {
			k.mateOf(v, m)
		}
	}
}

// mateShape reports a rule that can't be evaluated; true when there is one.
func (k *checkup) mateShape(m *Mate) bool {
	before := len(k.problems)
	at := func(field, repair string) fault { return fault{"mate-shape", field, repair} }
	if m.A == m.B {
		k.severe(m, at("b", "Name the other seat"), "The mate compares a seat with itself.")
	}
	if m.Relation == Window && m.Min > m.Max {
		k.severe(m, at("min", "Exchange the two ends"), "The window is upside down.")
	}
	a, okA := k.ix.AttributeDef(m.A.Name)
	b, okB := k.ix.AttributeDef(m.B.Name)
	if okA && okB {
		switch {
		case a.Kind != b.Kind:
			k.severe(m, at("b", "Compare attributes of one kind"), "%s is a %s, %s a %s.", a.Name, a.Kind, b.Name, b.Kind)
		case m.Relation != Equal && (a.Kind == KindText || a.Kind == KindChoice || a.Kind == KindYesNo):
			k.severe(m, at("relation", "Use equal"), "Values of kind %s are equal or not, nothing else.", a.Kind)
		}
	}
	return len(k.problems) > before
}

func (k *checkup) mateOf(v *Variant, m *Mate) {
	if !k.ix.Has(v.ID, m.A.Position) || !k.ix.Has(v.ID, m.B.Position) {
		return
	}
	pa, okA := k.ix.Standard(v.ID, m.A.Position)
	pb, okB := k.ix.Standard(v.ID, m.B.Position)
	if !okA || !okB {
		return // reported as no-standard
	}
	a, okA := k.ix.Attribute(pa.ID, m.A.Name, m.A.At)
	b, okB := k.ix.Attribute(pb.ID, m.B.Name, m.B.At)
	at := fault{"mate-unknown", "variant " + string(v.ID), "Measure it, or look it up, and state it on the part"}
	switch {
	case !okA:
		k.hint(m, at, "%s of %s is not stated, so the mate can't be judged.", seatName(m.A), pa.ID)
	case !okB:
		k.hint(m, at, "%s of %s is not stated, so the mate can't be judged.", seatName(m.B), pb.ID)
	case m.Judge(a.Value, b.Value) == Broken: // values of two kinds are reported as attribute-kind
		at.code, at.repair = "mate-violated", "Correct a size, the standard part or the mate"
		k.severe(m, at, "The standard parts don't go together: %s of %s is %v, %s of %s is %v.",
			seatName(m.A), pa.ID, a.Value, seatName(m.B), pb.ID, b.Value)
	}
}

func seatName(s Seat) string {
	if s.At == "" {
		return string(s.Name)
	}
	return string(s.Name) + " (" + s.At + ")"
}
