package page

import (
	"net/http"
	"slices"
	"strings"
)

// fitView asks whether a part goes in at a position of a variant.
type fitView struct {
	*FitSheetResponse
	Variants []CounterFamiliesFamiliesFamily // to choose from while none is named
	Position string
	Text     string // the part, as typed
	Part     *PartLabel
	Hits     []*FindPartsSearchPart // when the text names no single part
	Answer   *WillItFitFitQuestionFitAnswer
	Usual    *PartLabel // the part that the catalogue puts there
	Against  []Difference
	No       *refusal
	names    map[string]string
}

func fitPath(variant, position, part string) string {
	return "/counter/fit?variant=" + queryEscape(variant) + "&position=" + queryEscape(position) + "&part=" + queryEscape(part)
}

// willItFit answers for a variant with its standard parts around the position.
func (p *Pages) willItFit(w http.ResponseWriter, r *http.Request) error {
	v := &fitView{Position: asked(r, "position"), Text: asked(r, "part"), names: map[string]string{}}
	data, err := FitSheet(r.Context(), p.api, asked(r, "variant"), v.Text)
	if err != nil {
		return err
	}
	v.FitSheetResponse = data
	frame := p.view(r, say("fit.title"), "counter", data.Shop.CatalogueRevision)
	if data.Variant == nil {
		if asked(r, "variant") != "" {
			return notFound(say("error.variant", asked(r, "variant")))
		}
		fams, err := CounterFamilies(r.Context(), p.api)
		if err != nil {
			return err
		}
		v.Variants = fams.Families
		return p.render(w, r, http.StatusOK, frame, fitSheet(v))
	}
	frame.Block.Variant = data.Variant.Name
	for _, pos := range data.Variant.Family.Positions {
		v.names[pos.Name] = pos.Label
	}
	if v.Position != "" && v.names[v.Position] == "" {
		return notFound(say("error.position", v.Position))
	}
	if err := p.answerFit(r, v); err != nil {
		return err
	}
	return p.render(w, r, http.StatusOK, frame, fitSheet(v))
}

// answerFit finds the part that was typed, asks, and lays it beside the usual one.
func (p *Pages) answerFit(r *http.Request, v *fitView) error {
	if v.Text == "" {
		return nil
	}
	if v.Part = v.FitSheetResponse.Part; v.Part == nil {
		if err := p.namedPart(r, v); err != nil || v.Part == nil {
			return err
		}
	}
	if v.Position == "" {
		return nil
	}
	out, err := WillItFit(r.Context(), p.api, FitQuestionInput{Part: v.Part.Key, Position: v.Position, Variant: &v.Variant.Key})
	if err != nil {
		v.No = asRefusal(err)
		return nil
	}
	v.Answer = &out.FitQuestion
	for _, x := range v.Variant.Fitments {
		if x.PositionName == v.Position && x.Part != nil && x.Part.Key != v.Part.Key && (x.Standard || v.Usual == nil) {
			v.Usual = x.Part
		}
	}
	if v.Usual == nil {
		return nil
	}
	side, err := Beside(r.Context(), p.api, v.Usual.Key, v.Part.Key)
	if err != nil {
		return err
	}
	v.Against = side.CompareParts
	return nil
}

// namedPart takes the only part found, or the only one of that very number;
// otherwise a person chooses.
func (p *Pages) namedPart(r *http.Request, v *fitView) error {
	data, err := FindParts(r.Context(), p.api, v.Text, ptr(12))
	if err != nil {
		return err
	}
	var exact []*PartLabel
	for _, hit := range data.Search {
		part, ok := hit.(*FindPartsSearchPart)
		if !ok {
			continue
		}
		v.Hits = append(v.Hits, part)
		if strings.EqualFold(part.Designation, v.Text) || slices.ContainsFunc(part.Numbers, func(n PartLabelNumbersNumber) bool { return strings.EqualFold(n.Text, v.Text) }) {
			exact = append(exact, &part.PartLabel)
		}
	}
	switch {
	case len(exact) == 1:
		v.Part = exact[0]
	case len(v.Hits) == 1:
		v.Part = &v.Hits[0].PartLabel
	}
	return nil
}

// verdictOfFit is the mark of a verdict.
func verdictOfFit(v FitVerdict) string {
	switch v {
	case FitVerdictYes:
		return "clear"
	case FitVerdictYesIf:
		return "check"
	case FitVerdictNo:
		return "stop"
	}
	return "question"
}

// differing attributes first; the API puts them so, equal ones are folded.
func (v *fitView) differing(same bool) []Difference {
	return slices.DeleteFunc(slices.Clone(v.Against), func(d Difference) bool { return (d.Known && d.Same) != same })
}
