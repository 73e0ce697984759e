package page

import (
	"net/http"
	"strings"
)

func (p *Pages) needsTable(r *http.Request) (*table, error) {
	v, err := p.readNeeds(r)
	if err != nil {
		return nil, err
	}
	t := &table{name: "needs-" + v.Variant.Key, head: []string{"variant", "position", "place", "pieces", "state", "part", "number"}}
	for i := range v.Short {
		s := &v.Short[i]
		part, number := best(s.Options)
		t.add(v.Variant.Key, s.Position, labelIn(v.names, s.Position), itoa(s.Quantity), shortageMark(s.State), part, number)
	}
	return t, nil
}

func (p *Pages) searchTable(r *http.Request) (*table, error) {
	hits, _, err := p.readSearch(r, asked(r, "q"))
	t := &table{name: "search", head: []string{"kind", "found", "detail", "address"}}
	for _, h := range hits {
		t.add(h.Kind, h.Text, h.Detail, h.To)
	}
	return t, err
}

// placesTable is where each of two parts goes.
func (p *Pages) placesTable(r *http.Request) (*table, error) {
	v, err := p.readCompare(r)
	if err != nil {
		return nil, err
	}
	if v.CompareTwoResponse == nil {
		return nil, notFound(say("compare.none"))
	}
	t := &table{name: "places-" + v.A + "-" + v.B, head: []string{"place", "variant", "a", "b"}}
	for _, s := range v.places() {
		t.add(s.Place, s.Variant, slug(string(deref(s.A))), slug(string(deref(s.B))))
	}
	return t, nil
}

func (p *Pages) familyRatios(r *http.Request) (*table, error) {
	data, err := p.readFamily(r)
	if err != nil {
		return nil, err
	}
	t := &table{name: "ratios-" + data.Family.Key, head: []string{"variant", "name", "speed", "exact", "decimal"}}
	for _, x := range data.Family.Variants {
		for _, q := range x.Ratios {
			t.add(x.Key, x.Name, q.Speed, q.Exact, q.Decimal)
		}
	}
	return t, nil
}

func (p *Pages) positionTable(r *http.Request) (*table, error) {
	data, err := p.readFamily(r)
	if err != nil {
		return nil, err
	}
	t := &table{name: "positions-" + data.Family.Key, head: []string{"position", "place", "assembly", "kind", "pieces", "life", "critical", "blocking", "outside"}}
	for _, x := range data.Family.Positions {
		t.add(x.Name, x.Label, x.Assembly, x.Kind, itoa(x.Quantity), slug(string(x.Life)), yesNo(x.Critical), yesNo(x.Blocking), yesNo(x.Outside))
	}
	return t, nil
}

func (p *Pages) bondTable(r *http.Request) (*table, error) {
	data, err := p.readFamily(r)
	if err != nil {
		return nil, err
	}
	t := &table{name: "bonds-" + data.Family.Key, head: []string{"kind", "positions", "advice", "reason", "standing"}}
	for _, b := range data.Family.Bonds {
		t.add(b.Kind, strings.Join(b.Positions, " "), yesNo(b.Advice), b.Reason, slug(string(b.Standing)))
	}
	return t, nil
}

func (p *Pages) mateTable(r *http.Request) (*table, error) {
	data, err := p.readFamily(r)
	if err != nil {
		return nil, err
	}
	t := &table{name: "mates-" + data.Family.Key, head: []string{"mate", "a_position", "a_property", "a_seat", "relation", "b_position", "b_property", "b_seat", "reason", "standing"}}
	for _, m := range data.Family.Mates {
		t.add(m.Key, m.A.Position, m.A.Key, m.A.At, slug(string(m.Relation)), m.B.Position, m.B.Key, m.B.At, m.Reason, slug(string(m.Standing)))
	}
	return t, nil
}

func (p *Pages) recipeTable(r *http.Request) (*table, error) {
	data, err := p.readFamily(r)
	if err != nil {
		return nil, err
	}
	t := &table{name: "stacks-" + data.Family.Key, head: []string{"stack", "name", "position", "method", "min_mm", "max_mm", "aim_mm", "standing"}}
	for _, s := range data.Family.Stacks {
		t.add(s.Key, s.Name, s.Position, s.Method, s.Min, s.Max, s.Aim, slug(string(s.Standing)))
	}
	return t, nil
}

// variantRatios is the ratios of a variant and the teeth that make them.
func (p *Pages) variantRatios(r *http.Request) (*table, error) {
	data, err := p.readVariant(r)
	if err != nil {
		return nil, err
	}
	v := data.Variant
	t := &table{name: "ratios-" + v.Key, head: []string{"variant", "what", "subject", "exact", "decimal"}}
	for _, q := range v.Ratios {
		t.add(v.Key, "ratio", q.Speed, q.Exact, q.Decimal)
	}
	for _, n := range v.Teeth {
		t.add(v.Key, "teeth", v.wheel(n.Wheel), itoa(n.Teeth), "")
	}
	return t, nil
}

func (p *Pages) attributeTable(r *http.Request) (*table, error) {
	data, err := p.readPart(r)
	if err != nil {
		return nil, err
	}
	t := &table{name: "attributes-" + data.Part.Key, head: []string{"part", "property", "seat", "label", "value", "standing", "source"}}
	for _, a := range data.Part.Attributes {
		t.add(data.Part.Key, a.Key, a.At, a.Label, a.Text, slug(string(a.Standing)), a.Source)
	}
	return t, nil
}

// offerTable is a row for every price of every offer.
func (p *Pages) offerTable(r *http.Request) (*table, error) {
	data, err := p.readPart(r)
	if err != nil {
		return nil, err
	}
	t := &table{name: "offers-" + data.Part.Key, head: []string{"part", "supplier", "from_pieces", "price", "pack", "minimum", "stock", "stock_date", "lead_best", "lead_likely", "lead_worst", "return_days", "quality"}}
	for _, o := range data.Part.Offers {
		stock := ""
		if o.Stock != nil {
			stock = itoa(*o.Stock)
		}
		for _, b := range o.Breaks {
			t.add(data.Part.Key, o.SupplierKey, itoa(b.From), b.Price.Text, itoa(o.Pack), itoa(o.Minimum), stock, deref(o.StockDate),
				itoa(o.LeadBest), itoa(o.LeadLikely), itoa(o.LeadWorst), itoa(o.ReturnDays), o.Quality)
		}
	}
	return t, nil
}
