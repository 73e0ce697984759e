package exchange

import (
	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

func tradeTables() []sheet {
	return []sheet{supersessions(), companions(), suppliers(), offers(), breaks(), words(), aliases()}
}

func supersessions() sheet {
	type S = catalog.Supersession
	return &table[S]{
		name: "supersessions", key: []string{"id"}, fresh: func() *S { return new(S) },
		refs: []Reference{ref("old", "parts", "id"), ref("new", "parts", "id")},
		rows: func(c *catalog.Catalogue) []*S { return c.Supersessions },
		put:  func(b *builder, r *S) { b.addSupersession(r) },
		cols: provenance(func(r *S) *catalog.Provenance { return &r.Provenance },
			text("id", func(r *S) *string { return &r.ID }).id().req(),
			text("old", func(r *S) *catalog.PartID { return &r.Old }).id().req(),
			text("new", func(r *S) *catalog.PartID { return &r.New }).id().req(),
			word("kind", func(r *S) *catalog.SupersessionKind { return &r.Kind }, catalog.SupersessionKinds()...).req(),
			text("serial_from", func(r *S) *string { return &r.SerialFrom }),
			text("serial_to", func(r *S) *string { return &r.SerialTo }),
			text("reason", func(r *S) *string { return &r.Reason })),
	}
}

func companions() sheet {
	type R = under[catalog.Content]
	return &table[R]{
		name: "companions", key: []string{"supersession", "part", "choice"}, nested: 1, fresh: freshUnder[catalog.Content],
		refs: []Reference{ref("supersession", "supersessions", "id"), ref("part", "parts", "id")},
		rows: func(c *catalog.Catalogue) (out []*R) {
			for _, s := range c.Supersessions {
				out = nest(out, s.ID, "", s.Companions)
			}
			return out
		},
		put: func(b *builder, r *R) {
			if s := b.supersessions[r.Parent]; s != nil {
				s.Companions = append(s.Companions, r.Row)
			}
		},
		cols: contentColumns("supersession"),
	}
}

func suppliers() sheet {
	type S = catalog.Supplier
	return &table[S]{
		name: "suppliers", key: []string{"id"}, fresh: func() *S { return new(S) },
		rows: func(c *catalog.Catalogue) []*S { return c.Suppliers },
		put:  func(b *builder, r *S) { b.c.Suppliers = append(b.c.Suppliers, r) },
		cols: provenance(func(r *S) *catalog.Provenance { return &r.Provenance },
			text("id", func(r *S) *catalog.SupplierID { return &r.ID }).id().req(),
			text("name", func(r *S) *string { return &r.Name }).req(),
			text("currency", func(r *S) *string { return &r.Currency }).req(),
			money("freight", func(r *S) *quantity.Money { return &r.Freight }),
			money("free_from", func(r *S) *quantity.Money { return &r.FreeFrom }),
			money("minimum_order", func(r *S) *quantity.Money { return &r.MinimumOrder }),
			money("small_order_fee", func(r *S) *quantity.Money { return &r.SmallOrderFee }),
			text("cut_off", func(r *S) *string { return &r.CutOff }),
			yesNo("treats", func(r *S) *bool { return &r.Treats }),
			text("note", func(r *S) *string { return &r.Note })),
	}
}

func offers() sheet {
	type O = catalog.Offer
	return &table[O]{
		name: "offers", key: []string{"id"}, fresh: func() *O { return new(O) },
		refs: []Reference{ref("supplier", "suppliers", "id"), ref("part", "parts", "id")},
		rows: func(c *catalog.Catalogue) []*O { return c.Offers },
		put:  func(b *builder, r *O) { b.addOffer(r) },
		cols: provenance(func(r *O) *catalog.Provenance { return &r.Provenance },
			text("id", func(r *O) *string { return &r.ID }).id().req(),
			text("supplier", func(r *O) *catalog.SupplierID { return &r.Supplier }).id().req(),
			text("part", func(r *O) *catalog.PartID { return &r.Part }).id().req(),
			count("pack", func(r *O) *int { return &r.Pack }).least(1).req(),
			count("minimum", func(r *O) *int { return &r.Minimum }).least(1).req(),
			told("stock", func(r *O) **int { return &r.Stock }),
			date("stock_date", func(r *O) *quantity.Date { return &r.StockDate }),
			lead("lead", func(r *O) *quantity.LeadTime { return &r.Lead }).req(),
			word("quality", func(r *O) *catalog.Quality { return &r.Quality }, catalog.Qualities()...).req(),
			count("return_days", func(r *O) *int { return &r.ReturnDays }),
			count("return_fee", func(r *O) *int { return &r.ReturnFee }),
			money("core", func(r *O) *quantity.Money { return &r.Core }),
			text("note", func(r *O) *string { return &r.Note })),
	}
}

func breaks() sheet {
	type R = under[catalog.PriceBreak]
	return &table[R]{
		name: "breaks", key: []string{"offer", "from"}, nested: 1, fresh: freshUnder[catalog.PriceBreak],
		refs: []Reference{ref("offer", "offers", "id")},
		rows: func(c *catalog.Catalogue) (out []*R) {
			for _, o := range c.Offers {
				out = nest(out, o.ID, "", o.Breaks)
			}
			return out
		},
		put: func(b *builder, r *R) {
			if o := b.offers[r.Parent]; o != nil {
				o.Breaks = append(o.Breaks, r.Row)
			}
		},
		cols: []*column[R]{
			parent[catalog.PriceBreak]("offer"),
			count("from", func(r *R) *int { return &r.Row.From }).least(1).req(),
			money("price", func(r *R) *quantity.Money { return &r.Row.Price }).req(),
		},
	}
}

func words() sheet {
	type W = catalog.Word
	return &table[W]{
		name: "words", key: []string{"canonical", "language", "variant"}, fresh: func() *W { return new(W) },
		rows: func(c *catalog.Catalogue) []*W { return c.Words },
		put:  func(b *builder, r *W) { b.c.Words = append(b.c.Words, r) },
		cols: provenance(func(r *W) *catalog.Provenance { return &r.Provenance },
			text("canonical", func(r *W) *string { return &r.Canonical }).req(),
			text("variant", func(r *W) *string { return &r.Variant }).req(),
			word("kind", func(r *W) *string { return &r.Kind }, catalog.WordKinds()...).req(),
			text("language", func(r *W) *string { return &r.Language }),
			yesNo("ambiguous", func(r *W) *bool { return &r.Ambiguous }),
			text("note", func(r *W) *string { return &r.Note })),
	}
}

func aliases() sheet {
	type A = catalog.Alias
	return &table[A]{
		name: "aliases", key: []string{"supplier", "family", "text"}, fresh: func() *A { return new(A) },
		refs: []Reference{ref("supplier", "suppliers", "id"), ref("family", "families", "id"), ref("part", "parts", "id")},
		rows: func(c *catalog.Catalogue) []*A { return c.Aliases },
		put:  func(b *builder, r *A) { b.c.Aliases = append(b.c.Aliases, r) },
		cols: provenance(func(r *A) *catalog.Provenance { return &r.Provenance },
			text("supplier", func(r *A) *catalog.SupplierID { return &r.Supplier }).id(),
			text("text", func(r *A) *string { return &r.Text }).req(),
			text("family", func(r *A) *catalog.FamilyID { return &r.Family }).id(),
			text("part", func(r *A) *catalog.PartID { return &r.Part }).id(),
			count("count", func(r *A) *int { return &r.Count })),
	}
}
