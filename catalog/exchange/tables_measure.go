package exchange

import (
	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

func measureTables() []sheet {
	type S = catalog.Stack
	type L = catalog.Limit
	return []sheet{
		&table[S]{
			name: "stacks", key: []string{"family", "id"}, fresh: func() *S { return new(S) },
			refs: []Reference{ref("family", "families", "id"), refIn("position", "positions", "id"), refIn("members", "positions", "id")},
			rows: func(c *catalog.Catalogue) []*S { return c.Stacks },
			put:  func(b *builder, r *S) { b.c.Stacks = append(b.c.Stacks, r) },
			cols: provenance(func(r *S) *catalog.Provenance { return &r.Provenance }, stackColumns()...),
		},
		&table[L]{
			name: "limits", key: []string{"family", "id"}, fresh: func() *L { return new(L) },
			refs: []Reference{ref("family", "families", "id"), refIn("position", "positions", "id"), ref("key", "attributes", "key")},
			rows: func(c *catalog.Catalogue) []*L { return c.Limits },
			put:  func(b *builder, r *L) { b.c.Limits = append(b.c.Limits, r) },
			cols: provenance(func(r *L) *catalog.Provenance { return &r.Provenance },
				text("family", func(r *L) *catalog.FamilyID { return &r.Family }).id().req(),
				text("id", func(r *L) *string { return &r.ID }).id().req(),
				text("position", func(r *L) *catalog.PositionID { return &r.Position }).id().req(),
				text("what", func(r *L) *string { return &r.What }).req(),
				length("new_min", func(r *L) *quantity.Length { return &r.NewMin }),
				length("new_max", func(r *L) *quantity.Length { return &r.NewMax }),
				bound("wear_min", func(r *L) **quantity.Length { return &r.WearMin }),
				bound("wear_max", func(r *L) **quantity.Length { return &r.WearMax }),
				text("instrument", func(r *L) *string { return &r.Instrument }),
				length("resolution", func(r *L) *quantity.Length { return &r.Resolution }),
				text("key", func(r *L) *catalog.AttributeKey { return &r.Name }).id(),
				text("at", func(r *L) *string { return &r.At })),
		},
		features(), featureValues(),
	}
}

func stackColumns() []*column[catalog.Stack] {
	type S = catalog.Stack
	return []*column[S]{
		text("family", func(r *S) *catalog.FamilyID { return &r.Family }).id().req(),
		text("id", func(r *S) *string { return &r.ID }).id().req(),
		text("name", func(r *S) *string { return &r.Name }).req(),
		text("position", func(r *S) *catalog.PositionID { return &r.Position }).id().req(),
		list("members", func(r *S) *[]catalog.PositionID { return &r.Members }).req(),
		word("method", func(r *S) *catalog.StackMethod { return &r.Method }, catalog.StackMethods()...).req(),
		shownLength("min", func(r *S) *quantity.Length { return &r.Min }),
		shownLength("max", func(r *S) *quantity.Length { return &r.Max }),
		shownLength("aim", func(r *S) *quantity.Length { return &r.Aim }),
		yesNo("thicker_opens", func(r *S) *bool { return &r.ThickerOpens }),
		torque("torque_min", func(r *S) *quantity.Torque { return &r.TorqueMin }),
		torque("torque_max", func(r *S) *quantity.Torque { return &r.TorqueMax }),
		torque("torque_per_grade", func(r *S) *quantity.Torque { return &r.TorquePerGrade }),
		length("gasket", func(r *S) *quantity.Length { return &r.Gasket }),
		length("gasket_sigma", func(r *S) *quantity.Length { return &r.GasketSigma }),
		count("max_count", func(r *S) *int { return &r.MaxCount }).least(1).req(),
		length("thinnest", func(r *S) *quantity.Length { return &r.Thinnest }),
		length("span", func(r *S) *quantity.Length { return &r.Span }),
		text("material", func(r *S) *string { return &r.Material }),
		word("preferred", func(r *S) *string { return &r.Preferred }, "loose", "tight"),
		text("note", func(r *S) *string { return &r.Note }),
	}
}

func features() sheet {
	type F = catalog.Feature
	return &table[F]{
		name: "features", key: []string{"family", "id"}, fresh: func() *F { return new(F) },
		refs: []Reference{ref("family", "families", "id"), refIn("speed", "speeds", "name")},
		rows: func(c *catalog.Catalogue) []*F { return c.Features },
		put:  func(b *builder, r *F) { b.addFeature(r) },
		cols: provenance(func(r *F) *catalog.Provenance { return &r.Provenance },
			text("family", func(r *F) *catalog.FamilyID { return &r.Family }).id().req(),
			text("id", func(r *F) *string { return &r.ID }).id().req(),
			text("label", func(r *F) *string { return &r.Label }).req(),
			word("kind", func(r *F) *catalog.FeatureKind { return &r.Kind }, catalog.FeatureKinds()...).req(),
			yesNo("case_closed", func(r *F) *bool { return &r.CaseClosed }),
			count("effort", func(r *F) *int { return &r.Effort }),
			length("sigma", func(r *F) *quantity.Length { return &r.Sigma }),
			count("error_rate", func(r *F) *int { return &r.ErrorRate }),
			text("speed", func(r *F) *string { return &r.Speed }),
			text("note", func(r *F) *string { return &r.Note })),
	}
}

func featureValues() sheet {
	type R = under[catalog.FeatureValue]
	return &table[R]{
		name: "feature_values", key: []string{"family", "feature", "variant"}, nested: 2, fresh: freshUnder[catalog.FeatureValue],
		refs: []Reference{{Columns: []string{"family", "feature"}, Table: "features", To: []string{"family", "id"}},
			ref("family", "families", "id"), ref("variant", "variants", "id")},
		rows: func(c *catalog.Catalogue) (out []*R) {
			for _, f := range c.Features {
				out = nest(out, string(f.Family), f.ID, f.Values)
			}
			return out
		},
		put: func(b *builder, r *R) {
			if f := b.features[r.Parent+"/"+r.Sub]; f != nil {
				f.Values = append(f.Values, r.Row)
			}
		},
		cols: []*column[R]{
			parent[catalog.FeatureValue]("family"),
			text("feature", func(r *R) *string { return &r.Sub }).id().req(),
			text("variant", func(r *R) *catalog.VariantID { return &r.Row.Variant }).id().req(),
			shown(),
		},
	}
}
