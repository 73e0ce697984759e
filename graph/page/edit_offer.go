package page

import (
	"net/http"

	"layshaft/catalog/quantity"
)

// offerPath is the form of a supplier's offer.
func offerPath(key string) string { return "/catalogue/offers/" + pathEscape(key) + "/edit" }

func (p *Pages) offerRecord() record {
	return p.catalogued(p.loadOffer, func(v *editView) (RecordInput, error) {
		in := &OfferInput{Id: v.Key, Supplier: v.field("supplier"), Part: v.field("part"), StockDate: some(v.field("stockDate")), Quality: v.field("quality"),
			Note: v.field("note"), Standing: Standing(v.field("standing")), Source: v.field("source"), Breaks: []PriceBreakInput{}}
		for name, to := range map[string]*int{"pack": &in.Pack, "minimum": &in.Minimum, "leadBest": &in.LeadBest, "leadLikely": &in.LeadLikely,
			"leadWorst": &in.LeadWorst, "returnDays": &in.ReturnDays, "returnFee": &in.ReturnFee} {
			n, err := wholeNumber(say("offer."+name), v.field(name))
			if err != nil {
				return RecordInput{}, err
			}
			*to = n
		}
		if s := v.field("stock"); s != "" {
			n, err := wholeNumber(say("offer.instock"), s)
			if err != nil {
				return RecordInput{}, err
			}
			in.Stock = &n
		}
		if s := v.field("core"); s != "" {
			core, err := money(s)
			if err != nil {
				return RecordInput{}, err
			}
			in.Core = &core
		}
		for _, r := range v.rows("breaks") {
			from, err := wholeNumber(say("offer.fromquantity"), r[0])
			if err != nil {
				return RecordInput{}, err
			}
			price, err := money(r[1])
			if err != nil {
				return RecordInput{}, err
			}
			in.Breaks = append(in.Breaks, PriceBreakInput{From: from, Price: price})
		}
		return RecordInput{Offer: in}, nil
	})
}

// money reads an amount that was typed with its currency.
func money(text string) (MoneyInput, error) {
	m, err := quantity.ParseMoney(text)
	if err != nil {
		return MoneyInput{}, &refusal{http.StatusUnprocessableEntity, err.Error(), say("offer.price.hint")}
	}
	return MoneyInput{Minor: int(m.Minor), Currency: m.Currency}, nil
}

func (p *Pages) loadOffer(r *http.Request) (*editView, error) {
	key := r.PathValue("key")
	data, err := OfferToEdit(r.Context(), p.api, key)
	if err != nil {
		return nil, err
	}
	x := data.Offer
	if x == nil {
		return nil, notFound(say("error.offer", key))
	}
	stock, core := "", ""
	if x.Stock != nil {
		stock = itoa(*x.Stock)
	}
	if x.Core != nil {
		core = x.Core.Text
	}
	v := &editView{Title: say("edit.title", key), Action: offerPath(key), Back: partPath(x.PartKey), Table: "offers", Key: key, Seen: x.Rev,
		Revision: data.Shop.CatalogueRevision}
	v.Fields = []editField{
		{Name: "supplier", Label: say("offer.supplier"), Kind: "text", Value: x.SupplierKey},
		{Name: "part", Label: say("propose.part"), Kind: "text", Value: x.PartKey},
		{Name: "quality", Label: say("offer.quality"), Kind: "select", Value: x.Quality, Options: newOptions("genuine", "original-source", "aftermarket", "used")},
		{Name: "stock", Label: say("offer.instock"), Kind: "number", Value: stock},
		{Name: "stockDate", Label: say("offer.stockDate"), Kind: "date", Value: deref(x.StockDate)},
		{Name: "core", Label: say("offer.core"), Kind: "text", Value: core},
	}
	for _, f := range []struct {
		name string
		n    int
	}{{"pack", x.Pack}, {"minimum", x.Minimum}, {"leadBest", x.LeadBest}, {"leadLikely", x.LeadLikely}, {"leadWorst", x.LeadWorst},
		{"returnDays", x.ReturnDays}, {"returnFee", x.ReturnFee}} {
		v.Fields = append(v.Fields, editField{Name: f.name, Label: say("offer." + f.name), Kind: "number", Value: itoa(f.n)})
	}
	v.Fields = append(v.Fields, provenance(x.Standing, x.Source, x.Note)...)
	breaks := editGrid{Name: "breaks", Label: say("offer.prices"), Columns: []editField{
		{Name: "from", Label: say("offer.fromquantity"), Kind: "number"}, {Name: "price", Label: say("offer.price"), Kind: "text"}}}
	for _, b := range x.Breaks {
		breaks.Rows = append(breaks.Rows, []string{itoa(b.From), b.Price.Text})
	}
	v.Grids = []editGrid{breaks}
	v.hints(data.CatalogueProblems)
	return v, nil
}
