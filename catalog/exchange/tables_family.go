package exchange

import (
	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

func familyTables() []sheet {
	type F = catalog.Family
	return []sheet{
		&table[F]{
			name: "families", key: []string{"id"}, fresh: func() *F { return new(F) },
			rows: func(c *catalog.Catalogue) []*F { return c.Families },
			put:  func(b *builder, r *F) { b.addFamily(r) },
			cols: provenance(func(r *F) *catalog.Provenance { return &r.Provenance },
				text("id", func(r *F) *catalog.FamilyID { return &r.ID }).id().req(),
				text("name", func(r *F) *string { return &r.Name }).req(),
				word("box", func(r *F) *catalog.Box { return &r.Box }, catalog.Boxes()...).req(),
				length("centre_distance", func(r *F) *quantity.Length { return &r.CentreDistance }).req(),
				text("note", func(r *F) *string { return &r.Note })),
		},
		shafts(), wheels(), meshes(), speeds(), variants(), teeth(),
	}
}

// ofFamily lists the nested rows of all families.
func ofFamily[C any](rows func(*catalog.Family) *[]*C) (func(*catalog.Catalogue) []*under[C], func(*builder, *under[C])) {
	list := func(c *catalog.Catalogue) (out []*under[C]) {
		for _, f := range c.Families {
			out = nest(out, string(f.ID), "", *rows(f))
		}
		return out
	}
	put := func(b *builder, r *under[C]) {
		if f := b.families[r.Parent]; f != nil {
			*rows(f) = append(*rows(f), r.Row)
		}
	}
	return list, put
}

// parent is the column that names the record a nested row belongs to.
func parent[C any](name string) *column[under[C]] {
	return text(name, func(r *under[C]) *string { return &r.Parent }).id().req()
}

func shafts() sheet {
	type R = under[catalog.Shaft]
	rows, put := ofFamily(func(f *catalog.Family) *[]*catalog.Shaft { return &f.Shafts })
	return &table[R]{
		name: "shafts", key: []string{"family", "id"}, nested: 1, fresh: freshUnder[catalog.Shaft], rows: rows, put: put,
		refs: []Reference{ref("family", "families", "id")},
		cols: []*column[R]{
			parent[catalog.Shaft]("family"),
			text("id", func(r *R) *string { return &r.Row.ID }).id().req(),
			text("name", func(r *R) *string { return &r.Row.Name }).req(),
			length("offset", func(r *R) *quantity.Length { return &r.Row.Offset }),
		},
	}
}

func wheels() sheet {
	type R = under[catalog.Wheel]
	rows, put := ofFamily(func(f *catalog.Family) *[]*catalog.Wheel { return &f.Wheels })
	return &table[R]{
		name: "wheels", key: []string{"family", "id"}, nested: 1, fresh: freshUnder[catalog.Wheel], rows: rows, put: put,
		refs: []Reference{ref("family", "families", "id"), refIn("position", "positions", "id")},
		cols: []*column[R]{
			parent[catalog.Wheel]("family"),
			text("id", func(r *R) *string { return &r.Row.ID }).id().req(),
			text("label", func(r *R) *string { return &r.Row.Label }).req(),
			text("position", func(r *R) *catalog.PositionID { return &r.Row.Position }).id().req(),
			text("at", func(r *R) *string { return &r.Row.At }),
			yesNo("case_closed", func(r *R) *bool { return &r.Row.CaseClosed }),
		},
	}
}

func meshes() sheet {
	type R = under[catalog.Mesh]
	rows, put := ofFamily(func(f *catalog.Family) *[]*catalog.Mesh { return &f.Meshes })
	return &table[R]{
		name: "meshes", key: []string{"family", "id"}, nested: 1, fresh: freshUnder[catalog.Mesh], rows: rows, put: put,
		refs: []Reference{ref("family", "families", "id"), refIn("driving", "wheels", "id"),
			refIn("driven", "wheels", "id"), refIn("idler", "wheels", "id")},
		cols: []*column[R]{
			parent[catalog.Mesh]("family"),
			text("id", func(r *R) *string { return &r.Row.ID }).id().req(),
			text("driving", func(r *R) *string { return &r.Row.Driving }).id().req(),
			text("driven", func(r *R) *string { return &r.Row.Driven }).id().req(),
			length("centre_distance", func(r *R) *quantity.Length { return &r.Row.CentreDistance }),
			length("normal_module", func(r *R) *quantity.Length { return &r.Row.NormalModule }),
			angle("helix", func(r *R) *quantity.Angle { return &r.Row.Helix }),
			list("idler", func(r *R) *[]string { return &r.Row.Idler }),
		},
	}
}

func speeds() sheet {
	type R = under[catalog.Speed]
	rows, put := ofFamily(func(f *catalog.Family) *[]*catalog.Speed { return &f.Speeds })
	return &table[R]{
		name: "speeds", key: []string{"family", "name"}, nested: 1, fresh: freshUnder[catalog.Speed], rows: rows, put: put,
		refs: []Reference{ref("family", "families", "id"), refIn("meshes", "meshes", "id")},
		cols: []*column[R]{
			parent[catalog.Speed]("family"),
			text("name", func(r *R) *string { return &r.Row.Name }).req(),
			list("meshes", func(r *R) *[]string { return &r.Row.Meshes }),
			yesNo("reverse", func(r *R) *bool { return &r.Row.Reverse }),
		},
	}
}

func variants() sheet {
	type V = catalog.Variant
	return &table[V]{
		name: "variants", key: []string{"id"}, fresh: func() *V { return new(V) },
		refs: []Reference{ref("family", "families", "id"), refIn("without", "positions", "id")},
		rows: func(c *catalog.Catalogue) []*V { return c.Variants },
		put:  func(b *builder, r *V) { b.addVariant(r) },
		cols: provenance(func(r *V) *catalog.Provenance { return &r.Provenance },
			text("id", func(r *V) *catalog.VariantID { return &r.ID }).id().req(),
			text("family", func(r *V) *catalog.FamilyID { return &r.Family }).id().req(),
			text("name", func(r *V) *string { return &r.Name }).req(),
			list("without", func(r *V) *[]catalog.PositionID { return &r.Without }),
			text("note", func(r *V) *string { return &r.Note })),
	}
}

func teeth() sheet {
	type R = under[catalog.ToothCount]
	return &table[R]{
		name: "teeth", key: []string{"variant", "wheel"}, nested: 1, fresh: freshUnder[catalog.ToothCount],
		refs: []Reference{ref("variant", "variants", "id")},
		rows: func(c *catalog.Catalogue) (out []*R) {
			for _, v := range c.Variants {
				out = nest(out, string(v.ID), "", v.Teeth)
			}
			return out
		},
		put: func(b *builder, r *R) {
			if v := b.variants[r.Parent]; v != nil {
				v.Teeth = append(v.Teeth, r.Row)
			}
		},
		cols: []*column[R]{
			parent[catalog.ToothCount]("variant"),
			text("wheel", func(r *R) *string { return &r.Row.Wheel }).id().req(),
			count("teeth", func(r *R) *int { return &r.Row.Teeth }).least(1).req(),
		},
	}
}
