package exchange

import "layshaft/catalog"

func ruleTables() []sheet {
	type F = catalog.Fitment
	type D = catalog.Disturbance
	return []sheet{
		&table[F]{
			name: "fitments", key: []string{"variant", "position", "part"}, fresh: func() *F { return new(F) },
			refs: []Reference{ref("variant", "variants", "id"), ref("part", "parts", "id")},
			rows: func(c *catalog.Catalogue) []*F { return c.Fitments },
			put:  func(b *builder, r *F) { b.c.Fitments = append(b.c.Fitments, r) },
			cols: provenance(func(r *F) *catalog.Provenance { return &r.Provenance },
				text("variant", func(r *F) *catalog.VariantID { return &r.Variant }).id().req(),
				text("position", func(r *F) *catalog.PositionID { return &r.Position }).id().req(),
				text("part", func(r *F) *catalog.PartID { return &r.Part }).id().req(),
				yesNo("standard", func(r *F) *bool { return &r.Standard }),
				count("quantity", func(r *F) *int { return &r.Quantity })),
		},
		mates(), bonds(),
		&table[D]{
			name: "disturbances", key: []string{"family", "reach", "undoes"}, fresh: func() *D { return new(D) },
			refs: []Reference{ref("family", "families", "id"), refIn("reach", "positions", "id"), refIn("undoes", "positions", "id")},
			rows: func(c *catalog.Catalogue) []*D { return c.Disturbances },
			put:  func(b *builder, r *D) { b.c.Disturbances = append(b.c.Disturbances, r) },
			cols: provenance(func(r *D) *catalog.Provenance { return &r.Provenance },
				text("family", func(r *D) *catalog.FamilyID { return &r.Family }).id().req(),
				text("reach", func(r *D) *catalog.PositionID { return &r.Reach }).id().req(),
				text("undoes", func(r *D) *catalog.PositionID { return &r.Undoes }).id().req(),
				text("reason", func(r *D) *string { return &r.Reason }).req()),
		},
	}
}

func mates() sheet {
	type M = catalog.Mate
	return &table[M]{
		name: "mates", key: []string{"family", "id"}, fresh: func() *M { return new(M) },
		refs: []Reference{ref("family", "families", "id"), refIn("a_position", "positions", "id"), ref("a_key", "attributes", "key"),
			refIn("b_position", "positions", "id"), ref("b_key", "attributes", "key")},
		rows: func(c *catalog.Catalogue) []*M { return c.Mates },
		put:  func(b *builder, r *M) { b.c.Mates = append(b.c.Mates, r) },
		cols: provenance(func(r *M) *catalog.Provenance { return &r.Provenance },
			text("family", func(r *M) *catalog.FamilyID { return &r.Family }).id().req(),
			text("id", func(r *M) *string { return &r.ID }).id().req(),
			text("a_position", func(r *M) *catalog.PositionID { return &r.A.Position }).id().req(),
			text("a_key", func(r *M) *catalog.AttributeKey { return &r.A.Name }).id().req(),
			text("a_at", func(r *M) *string { return &r.A.At }),
			text("b_position", func(r *M) *catalog.PositionID { return &r.B.Position }).id().req(),
			text("b_key", func(r *M) *catalog.AttributeKey { return &r.B.Name }).id().req(),
			text("b_at", func(r *M) *string { return &r.B.At }),
			word("relation", func(r *M) *catalog.Relation { return &r.Relation }, catalog.Relations()...).req(),
			windowEnd("min", func(m *M) *int64 { return &m.Min }),
			windowEnd("max", func(m *M) *int64 { return &m.Max }),
			text("reason", func(r *M) *string { return &r.Reason }).req()),
	}
}

func bonds() sheet {
	type B = catalog.Bond
	return &table[B]{
		name: "bonds", key: []string{"family", "id"}, fresh: func() *B { return new(B) },
		refs: []Reference{ref("family", "families", "id"), refIn("positions", "positions", "id")},
		rows: func(c *catalog.Catalogue) []*B { return c.Bonds },
		put:  func(b *builder, r *B) { b.c.Bonds = append(b.c.Bonds, r) },
		cols: provenance(func(r *B) *catalog.Provenance { return &r.Provenance },
			text("family", func(r *B) *catalog.FamilyID { return &r.Family }).id().req(),
			text("id", func(r *B) *string { return &r.ID }).id().req(),
			word("kind", func(r *B) *catalog.BondKind { return &r.Kind }, catalog.BondKinds()...).req(),
			list("positions", func(r *B) *[]catalog.PositionID { return &r.Positions }).req(),
			yesNo("advice", func(r *B) *bool { return &r.Advice }),
			text("reason", func(r *B) *string { return &r.Reason }).req()),
	}
}
