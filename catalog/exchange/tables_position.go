package exchange

import (
	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

func positionTables() []sheet {
	type P = catalog.Position
	type A = catalog.AttributeDef
	return []sheet{
		&table[P]{
			name: "positions", key: []string{"family", "id"}, fresh: func() *P { return new(P) },
			refs: []Reference{ref("family", "families", "id"), refIn("shaft", "shafts", "id")},
			rows: func(c *catalog.Catalogue) []*P { return c.Positions },
			put:  func(b *builder, r *P) { b.c.Positions = append(b.c.Positions, r) },
			cols: provenance(func(r *P) *catalog.Provenance { return &r.Provenance }, positionColumns()...),
		},
		&table[A]{
			name: "attributes", key: []string{"key"}, fresh: func() *A { return new(A) },
			rows: func(c *catalog.Catalogue) []*A { return c.Attributes },
			put:  func(b *builder, r *A) { b.addAttribute(r) },
			cols: provenance(func(r *A) *catalog.Provenance { return &r.Provenance },
				text("key", func(r *A) *catalog.AttributeKey { return &r.Name }).id().req(),
				text("label", func(r *A) *string { return &r.Label }).req(),
				word("kind", func(r *A) *catalog.ValueKind { return &r.Kind }, catalog.ValueKinds()...).req(),
				list("choices", func(r *A) *[]string { return &r.Choices }),
				text("how_to", func(r *A) *string { return &r.HowTo })),
		},
	}
}

func positionColumns() []*column[catalog.Position] {
	type P = catalog.Position
	return []*column[P]{
		text("family", func(r *P) *catalog.FamilyID { return &r.Family }).id().req(),
		text("id", func(r *P) *catalog.PositionID { return &r.ID }).id().req(),
		text("name", func(r *P) *string { return &r.Name }).req(),
		word("assembly", func(r *P) *catalog.Assembly { return &r.Assembly }, catalog.Assemblies()...).req(),
		text("kind", func(r *P) *catalog.PartKind { return &r.Kind }).req(),
		count("quantity", func(r *P) *int { return &r.Quantity }).least(1).req(),
		word("life", func(r *P) *catalog.Life { return &r.Life }, catalog.Lives()...).req(),
		yesNo("critical", func(r *P) *bool { return &r.Critical }),
		yesNo("blocking", func(r *P) *bool { return &r.Blocking }),
		yesNo("outside", func(r *P) *bool { return &r.Outside }),
		text("shaft", func(r *P) *string { return &r.Shaft }).id(),
		length("from", func(r *P) *quantity.Length { return &r.From }),
		length("width", func(r *P) *quantity.Length { return &r.Width }),
		list("places", func(r *P) *[]string { return &r.Places }),
		count("order", func(r *P) *int { return &r.Order }),
		text("note", func(r *P) *string { return &r.Note }),
	}
}
