package exchange

import "layshaft/catalog"

func partTables() []sheet {
	type P = catalog.Part
	return []sheet{
		&table[P]{
			name: "parts", key: []string{"id"}, fresh: func() *P { return new(P) },
			rows: func(c *catalog.Catalogue) []*P { return c.Parts },
			put:  func(b *builder, r *P) { b.addPart(r) },
			cols: provenance(func(r *P) *catalog.Provenance { return &r.Provenance },
				text("id", func(r *P) *catalog.PartID { return &r.ID }).id().req(),
				text("kind", func(r *P) *catalog.PartKind { return &r.Kind }).req(),
				text("name", func(r *P) *string { return &r.Name }).req(),
				text("designation", func(r *P) *string { return &r.Designation }),
				yesNo("special", func(r *P) *bool { return &r.Special }),
				word("unit", func(r *P) *catalog.SaleUnit { return &r.Unit }, catalog.SaleUnits()...).req(),
				yesNo("not_available", func(r *P) *bool { return &r.NotAvailable }),
				text("note", func(r *P) *string { return &r.Note })),
		},
		numbers(), properties(), contents(),
	}
}

// ofPart lists the nested rows of all parts.
func ofPart[C any](rows func(*catalog.Part) *[]*C) (func(*catalog.Catalogue) []*under[C], func(*builder, *under[C])) {
	list := func(c *catalog.Catalogue) (out []*under[C]) {
		for _, p := range c.Parts {
			out = nest(out, string(p.ID), "", *rows(p))
		}
		return out
	}
	put := func(b *builder, r *under[C]) {
		if p := b.parts[r.Parent]; p != nil {
			*rows(p) = append(*rows(p), r.Row)
		}
	}
	return list, put
}

func numbers() sheet {
	type R = under[catalog.Number]
	rows, put := ofPart(func(p *catalog.Part) *[]*catalog.Number { return &p.Numbers })
	return &table[R]{
		name: "numbers", key: []string{"part", "issuer", "text"}, nested: 1, fresh: freshUnder[catalog.Number], rows: rows, put: put,
		refs: []Reference{ref("part", "parts", "id")},
		cols: []*column[R]{
			parent[catalog.Number]("part"),
			text("issuer", func(r *R) *string { return &r.Row.Issuer }).req(),
			text("text", func(r *R) *string { return &r.Row.Text }).req(),
			word("role", func(r *R) *catalog.NumberRole { return &r.Row.Role }, catalog.NumberRoles()...).req(),
		},
	}
}

func properties() sheet {
	type R = under[catalog.Attribute]
	rows, put := ofPart(func(p *catalog.Part) *[]*catalog.Attribute { return &p.Attributes })
	return &table[R]{
		name: "properties", key: []string{"part", "key", "at"}, nested: 1, fresh: freshUnder[catalog.Attribute], rows: rows, put: put,
		refs: []Reference{ref("part", "parts", "id"), ref("key", "attributes", "key")},
		cols: provenance(func(r *R) *catalog.Provenance { return &r.Row.Provenance },
			parent[catalog.Attribute]("part"),
			text("key", func(r *R) *catalog.AttributeKey { return &r.Row.Name }).id().req(),
			text("at", func(r *R) *string { return &r.Row.At }),
			property()),
	}
}

// contentColumns are those of everything that lists parts and counts.
func contentColumns(parentName string) []*column[under[catalog.Content]] {
	type R = under[catalog.Content]
	return []*column[R]{
		parent[catalog.Content](parentName),
		text("part", func(r *R) *catalog.PartID { return &r.Row.Part }).id().req(),
		count("count", func(r *R) *int { return &r.Row.Count }).least(1).req(),
		text("choice", func(r *R) *string { return &r.Row.Choice }),
	}
}

func contents() sheet {
	rows, put := ofPart(func(p *catalog.Part) *[]*catalog.Content { return &p.Contents })
	return &table[under[catalog.Content]]{
		name: "contents", key: []string{"set", "part", "choice"}, nested: 1, fresh: freshUnder[catalog.Content], rows: rows, put: put,
		refs: []Reference{ref("set", "parts", "id"), ref("part", "parts", "id")},
		cols: contentColumns("set"),
	}
}
