package page

import (
	"net/http"
)

// fitmentPath is the form of a fitment.
func fitmentPath(variant, position, part string) string {
	return "/catalogue/fitments/" + pathEscape(variant) + "/" + pathEscape(position) + "/" + pathEscape(part) + "/edit"
}

// newFitmentPath is the form of a new fitment with what is known of it filled in.
func newFitmentPath(variant, position, part string) string {
	out := "/catalogue/new/fitment"
	mark := "?"
	for _, f := range [][2]string{{"variant", variant}, {"position", position}, {"part", part}} {
		if f[1] != "" {
			out += mark + f[0] + "=" + queryEscape(f[1])
			mark = "&"
		}
	}
	return out
}

func (p *Pages) fitmentRecord(load func(*http.Request) (*editView, error)) record {
	return p.catalogued(load, func(v *editView) (RecordInput, error) {
		in := &FitmentInput{Variant: v.field("variant"), Position: v.field("position"), Part: v.field("part"), Standard: v.field("standard") != "",
			Standing: Standing(v.field("standing")), Source: v.field("source")}
		v.Key = in.Variant + "/" + in.Position + "/" + in.Part
		if n := v.field("quantity"); n != "" {
			var err error
			if in.Quantity, err = wholeNumber(say("fitment.quantity"), n); err != nil {
				return RecordInput{}, err
			}
		}
		return RecordInput{Fitment: in}, nil
	})
}

// newFitment asks for the variant first: its family has the positions to choose from.
func (p *Pages) newFitment(w http.ResponseWriter, r *http.Request) error {
	if asked(r, "variant") != "" {
		return p.edited(p.fitmentRecord(p.loadNewFitment))(w, r)
	}
	data, err := CounterFamilies(r.Context(), p.api)
	if err != nil {
		return err
	}
	return p.render(w, r, http.StatusOK, p.view(r, say("fitment.new"), "catalogue", data.Shop.CatalogueRevision), fitmentVariant(data, asked(r, "part")))
}

// loadNewFitment reads what is known of it from the address or from the form.
func (p *Pages) loadNewFitment(r *http.Request) (*editView, error) {
	data, err := p.fitmentData(r, asked(r, "variant"), asked(r, "position"))
	if err != nil {
		return nil, err
	}
	v := fitmentForm(data, &FitmentToEditVariantFitmentsFitment{PartKey: asked(r, "part"), PositionName: asked(r, "position"), Standing: StandingStated, Rev: neverSeen})
	v.Title, v.Action, v.Back = say("fitment.new"), "/catalogue/new/fitment", variantPath(data.Variant.Key)
	for i := range data.Variant.Fitments {
		if f := &data.Variant.Fitments[i]; asked(r, "position") != "" {
			detail := say("standing." + slug(string(f.Standing)))
			if f.Standard {
				detail += " · " + say("fit.standard")
			}
			v.Beside = append(v.Beside, hit{Text: contentText(f.Part, f.PartKey), Detail: detail, To: fitmentPath(data.Variant.Key, f.PositionName, f.PartKey)})
		}
	}
	return v, nil
}

func (p *Pages) loadFitment(r *http.Request) (*editView, error) {
	data, err := p.fitmentData(r, r.PathValue("variant"), r.PathValue("position"))
	if err != nil {
		return nil, err
	}
	for i := range data.Variant.Fitments {
		f := &data.Variant.Fitments[i]
		if f.PartKey != r.PathValue("part") {
			continue
		}
		v := fitmentForm(data, f)
		v.Key = data.Variant.Key + "/" + f.PositionName + "/" + f.PartKey
		v.Title = say("fitment.edit", contentText(f.Part, f.PartKey), data.Variant.Name)
		v.Action, v.Back = fitmentPath(data.Variant.Key, f.PositionName, f.PartKey), variantPath(data.Variant.Key)
		for n := range v.Fields[:3] { // which fitment it is, is no longer a question
			v.Fields[n].Options = []sideChoice{{v.Fields[n].Value, v.Fields[n].Value}}
			v.Fields[n].Kind = "select"
		}
		v.hints(data.CatalogueProblems)
		return v, nil
	}
	return nil, notFound(say("error.part", r.PathValue("part")))
}

func (p *Pages) fitmentData(r *http.Request, variant, position string) (*FitmentToEditResponse, error) {
	data, err := FitmentToEdit(r.Context(), p.api, variant, some(position))
	if err != nil {
		return nil, err
	}
	if data.Variant == nil {
		return nil, notFound(say("error.variant", variant))
	}
	return data, nil
}

// fitmentForm has variant, position and part as its first three fields.
func fitmentForm(data *FitmentToEditResponse, f *FitmentToEditVariantFitmentsFitment) *editView {
	x := data.Variant
	positions := []sideChoice{{"", say("fit.choose")}}
	for _, pos := range x.Family.Positions {
		positions = append(positions, sideChoice{pos.Name, pos.Label})
	}
	quantity := ""
	if f.Quantity > 0 {
		quantity = itoa(f.Quantity)
	}
	return &editView{Table: "fitments", Seen: f.Rev, Revision: data.Shop.CatalogueRevision, Fields: append([]editField{
		{Name: "variant", Label: say("block.variant"), Kind: "select", Value: x.Key, Options: []sideChoice{{x.Key, x.Name}}},
		{Name: "position", Label: say("short.where"), Kind: "select", Value: f.PositionName, Options: positions},
		{Name: "part", Label: say("propose.part"), Kind: "text", Value: f.PartKey},
		{Name: "standard", Label: say("fitment.standard"), Kind: "tick", Value: tick(f.Standard)},
		{Name: "quantity", Label: say("fitment.quantity"), Kind: "number", Value: quantity},
	}, provenance(f.Standing, f.Source, "")[1:]...)}
}
