package page

import (
	"net/http"
	"slices"
	"strings"
)

func (p *Pages) catalogue(w http.ResponseWriter, r *http.Request) error {
	data, err := CatalogueHome(r.Context(), p.api)
	if err != nil {
		return err
	}
	return p.render(w, r, http.StatusOK, p.view(r, say("catalogue.title"), "catalogue", data.Shop.CatalogueRevision), catalogueSheet(data))
}

// hit is one record that a search found.
type hit struct{ Kind, Text, Detail, To string }

func (p *Pages) search(w http.ResponseWriter, r *http.Request) error {
	text := asked(r, "q")
	hits, revision, err := p.readSearch(r, text)
	if err != nil {
		return err
	}
	return p.render(w, r, http.StatusOK, p.view(r, say("search.title"), "catalogue", revision), searchSheet(text, hits))
}

// readSearch finds what a text names, at a revision of the catalogue; nothing for
// no text.
func (p *Pages) readSearch(r *http.Request, text string) (hits []hit, revision string, err error) {
	if text == "" {
		return nil, "", nil
	}
	n := 50
	data, err := SearchAll(r.Context(), p.api, text, &n)
	if err != nil {
		return nil, "", err
	}
	for _, h := range data.Search {
		hits = append(hits, hitOf(h))
	}
	return hits, data.Shop.CatalogueRevision, nil
}

func hitOf(h SearchAllSearchSearchHit) hit {
	switch h := h.(type) {
	case *SearchAllSearchPart:
		return hit{"part", partText(&h.PartLabel), h.Kind, partPath(h.Key)}
	case *SearchAllSearchPosition:
		family, name, _ := strings.Cut(h.Key, "/")
		return hit{"position", h.Label, h.Assembly, familyPath(family) + "#" + anchor("p", name)}
	case *SearchAllSearchVariant:
		return hit{"variant", h.Name, h.Key, variantPath(h.Key)}
	case *SearchAllSearchFamily:
		return hit{"family", h.Name, h.Key, familyPath(h.Key)}
	case *SearchAllSearchJob:
		return hit{"job", h.Title, h.Key, jobPath(h.Key, "bench")}
	}
	return hit{}
}

func familyPath(key string) string  { return "/catalogue/families/" + pathEscape(key) }
func variantPath(key string) string { return "/catalogue/variants/" + pathEscape(key) }

func (p *Pages) readFamily(r *http.Request) (*FamilySheetResponse, error) {
	data, err := FamilySheet(r.Context(), p.api, r.PathValue("key"))
	if err == nil && data.Family == nil {
		err = notFound(say("error.family", r.PathValue("key")))
	}
	return data, err
}

func (p *Pages) family(w http.ResponseWriter, r *http.Request) error {
	data, err := p.readFamily(r)
	if err != nil {
		return err
	}
	return p.render(w, r, http.StatusOK, p.view(r, data.Family.Name, "catalogue", data.Shop.CatalogueRevision), familySheet(data.Family))
}

// assemblies are the positions by assembly, in list order.
func assemblies(all []PositionRow) []assemblyView {
	var out []assemblyView
	for i := range all {
		at := slices.IndexFunc(out, func(g assemblyView) bool { return g.Name == all[i].Assembly })
		if at < 0 {
			at = len(out)
			out = append(out, assemblyView{Name: all[i].Assembly})
		}
		out[at].Positions = append(out[at].Positions, &all[i])
	}
	return out
}

// placeName is the shop's word for a position of a family.
func placeName(all []PositionRow, name string) string {
	for i := range all {
		if all[i].Name == name {
			return all[i].Label
		}
	}
	return name
}

func (p *Pages) readVariant(r *http.Request) (*VariantSheetResponse, error) {
	data, err := VariantSheet(r.Context(), p.api, r.PathValue("key"))
	if err == nil && data.Variant == nil {
		err = notFound(say("error.variant", r.PathValue("key")))
	}
	return data, err
}

func (p *Pages) variant(w http.ResponseWriter, r *http.Request) error {
	data, err := p.readVariant(r)
	if err != nil {
		return err
	}
	v := p.view(r, data.Variant.Name, "catalogue", data.Shop.CatalogueRevision)
	v.Block.Variant = data.Variant.Name
	drawn, err := p.variantPicture(r, data.Variant.Key)
	if err != nil {
		return err
	}
	return p.render(w, r, http.StatusOK, v, variantSheet(data.Variant, drawn))
}

// fitting parts of a position, the standard one first.
func (v *VariantSheetVariant) fitting(position string) []VariantSheetVariantFitmentsFitment {
	var out []VariantSheetVariantFitmentsFitment
	for _, f := range v.Fitments {
		switch {
		case f.PositionName != position || f.Part == nil:
		case f.Standard:
			out = slices.Insert(out, 0, f)
		default:
			out = append(out, f)
		}
	}
	return out
}

func (v *VariantSheetVariant) wheel(key string) string {
	for _, w := range v.Family.Wheels {
		if w.Key == key {
			return w.Label
		}
	}
	return key
}

func (p *Pages) readPart(r *http.Request) (*PartSheetResponse, error) {
	data, err := PartSheet(r.Context(), p.api, r.PathValue("key"))
	if err == nil && data.Part == nil {
		err = notFound(say("error.part", r.PathValue("key")))
	}
	return data, err
}

func (p *Pages) part(w http.ResponseWriter, r *http.Request) error {
	data, err := p.readPart(r)
	if err != nil {
		return err
	}
	return p.render(w, r, http.StatusOK, p.view(r, data.Part.Name, "catalogue", data.Shop.CatalogueRevision), partSheet(data))
}

// partsView is a list of parts with its filters.
type partsView struct {
	*PartListResponse
	Kind, Variant, Position, Text string
}

func (p *Pages) readParts(r *http.Request, after *string) (*partsView, error) {
	q := r.URL.Query()
	v := &partsView{Kind: q.Get("kind"), Variant: q.Get("variant"), Position: q.Get("position"), Text: strings.TrimSpace(q.Get("text"))}
	first := 100
	data, err := PartList(r.Context(), p.api, &first, after,
		&PartFilter{Kind: some(v.Kind), Variant: some(v.Variant), Position: some(v.Position), Text: some(v.Text)})
	v.PartListResponse = data
	return v, err
}

func (v *partsView) query() string {
	out := ""
	for _, f := range [][2]string{{"kind", v.Kind}, {"variant", v.Variant}, {"position", v.Position}, {"text", v.Text}} {
		if f[1] != "" {
			out += f[0] + "=" + queryEscape(f[1]) + "&"
		}
	}
	return out
}

func (p *Pages) parts(w http.ResponseWriter, r *http.Request) error {
	pv, err := p.readParts(r, some(r.URL.Query().Get("after")))
	if err != nil {
		return err
	}
	return p.render(w, r, http.StatusOK, p.view(r, say("parts.title"), "catalogue", pv.Shop.CatalogueRevision), partsSheet(pv))
}

func (p *Pages) partsCSV(w http.ResponseWriter, r *http.Request) error {
	var rows [][]string
	for after := (*string)(nil); ; {
		v, err := p.readParts(r, after)
		if err != nil {
			return err
		}
		for i := range v.Parts.Edges {
			n := &v.Parts.Edges[i].Node
			rows = append(rows, []string{n.Key, n.Name, n.Kind, orderNumber(&n.PartLabel), n.Designation, slug(string(n.Standing))})
		}
		if after = v.Parts.PageInfo.EndCursor; !v.Parts.PageInfo.HasNextPage {
			break
		}
	}
	return writeCSV(w, "parts", []string{"part", "name", "kind", "number", "designation", "standing"}, rows)
}

func (p *Pages) problems(w http.ResponseWriter, r *http.Request) error {
	data, err := Problems(r.Context(), p.api)
	if err != nil {
		return err
	}
	return p.render(w, r, http.StatusOK, p.view(r, say("problems.title"), "catalogue", data.Shop.CatalogueRevision), problemSheet(data))
}

func (p *Pages) problemsCSV(w http.ResponseWriter, r *http.Request) error {
	data, err := Problems(r.Context(), p.api)
	if err != nil {
		return err
	}
	var rows [][]string
	for _, x := range data.CatalogueProblems {
		rows = append(rows, []string{x.Code, x.Table, x.Key, x.Field, x.Reason, x.Repair, yesNo(x.Severe)})
	}
	return writeCSV(w, "catalogue-problems", []string{"code", "table", "key", "field", "reason", "repair", "severe"}, rows)
}

// contentText names a part of a set, also when it is not in the catalogue.
func contentText(p *PartLabel, key string) string {
	if p == nil {
		return key
	}
	return partText(p)
}

func (p *Pages) catalogueRoutes() map[string]handler {
	return map[string]handler{
		"GET /catalogue":                                            p.catalogue,
		"GET /catalogue/search":                                     p.search,
		"GET /catalogue/families/{key}":                             p.family,
		"GET /catalogue/variants/{key}":                             p.variant,
		"GET /catalogue/variants/{key}/edit":                        p.edited(p.variantRecord()),
		"POST /catalogue/variants/{key}/edit":                       p.saved(p.variantRecord()),
		"GET /catalogue/positions/{family}/{name}/edit":             p.edited(p.positionRecord()),
		"POST /catalogue/positions/{family}/{name}/edit":            p.saved(p.positionRecord()),
		"GET /catalogue/rules/{table}/{family}/{id}/edit":           p.edited(p.ruleRecord()),
		"POST /catalogue/rules/{table}/{family}/{id}/edit":          p.saved(p.ruleRecord()),
		"GET /catalogue/offers/{key}/edit":                          p.edited(p.offerRecord()),
		"POST /catalogue/offers/{key}/edit":                         p.saved(p.offerRecord()),
		"GET /catalogue/parts":                                      p.parts,
		"GET /catalogue/parts.csv":                                  p.partsCSV,
		"GET /catalogue/parts/{key}":                                p.part,
		"GET /catalogue/parts/{key}/edit":                           p.edited(p.partRecord(p.loadPart)),
		"POST /catalogue/parts/{key}/edit":                          p.saved(p.partRecord(p.loadPart)),
		"GET /catalogue/new/part":                                   p.edited(p.partRecord(p.loadNewPart)),
		"POST /catalogue/new/part":                                  p.saved(p.partRecord(p.loadNewPart)),
		"GET /catalogue/new/fitment":                                p.newFitment,
		"POST /catalogue/new/fitment":                               p.saved(p.fitmentRecord(p.loadNewFitment)),
		"GET /catalogue/fitments/{variant}/{position}/{part}/edit":  p.edited(p.fitmentRecord(p.loadFitment)),
		"POST /catalogue/fitments/{variant}/{position}/{part}/edit": p.saved(p.fitmentRecord(p.loadFitment)),
		"GET /catalogue/parts/{key}/used":                           p.used,
		"GET /catalogue/parts/{key}/used.csv":                       p.usedCSV,
		"GET /catalogue/compare":                                    p.comparison,
		"GET /catalogue/compare.csv":                                p.compareCSV,
		"GET /catalogue/problems":                                   p.problems,
		"GET /catalogue/problems.csv":                               p.problemsCSV,
		"POST /catalogue/repair":                                    p.repair,
		"GET /catalogue/history":                                    p.catalogueHistory,
		"GET /catalogue/history.csv":                                p.catalogueHistoryCSV,
		"POST /catalogue/undo":                                      p.undoCatalogue,
		"GET /catalogue/proposals":                                  p.proposals,
		"GET /catalogue/proposals.csv":                              p.proposalsCSV,
		"POST /catalogue/settle":                                    p.settle,
		"GET /jobs/{id}/propose":                                    p.proposeSheet,
		"POST /jobs/{id}/propose":                                   p.propose,
	}
}
