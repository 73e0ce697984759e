package page

import (
	"net/http"
	"slices"
	"strings"
)

// compareView is two parts attribute by attribute, and where each goes.
type compareView struct {
	A, B string // as asked for
	*CompareTwoResponse
	Fault string // why there is nothing to compare
}

func (p *Pages) readCompare(r *http.Request) (*compareView, error) {
	v := &compareView{A: asked(r, "a"), B: asked(r, "b")}
	if v.A == "" || v.B == "" {
		return v, nil
	}
	data, err := CompareTwo(r.Context(), p.api, v.A, v.B)
	if e := asRefusal(err); err != nil && e.status == http.StatusNotFound {
		v.Fault = say("compare.none")
		return v, nil
	}
	if err != nil {
		return nil, err
	}
	v.CompareTwoResponse = data
	return v, nil
}

func (p *Pages) comparison(w http.ResponseWriter, r *http.Request) error {
	cv, err := p.readCompare(r)
	if err != nil {
		return err
	}
	return p.render(w, r, http.StatusOK, p.view(r, say("compare.title"), "catalogue", ""), compareSheet(cv))
}

// compareVerdict is the word for one row.
func compareVerdict(known, same bool) string {
	switch {
	case !known:
		return "open"
	case same:
		return "same"
	}
	return "differs"
}

// by is how much larger the second part is, with its sign.
func by(mm *string) string {
	if mm == nil || *mm == "0" {
		return ""
	}
	if strings.HasPrefix(*mm, "-") {
		return "−" + (*mm)[1:] + "\u00a0mm"
	}
	return "+" + *mm + "\u00a0mm"
}

// placeShared is one place of one variant and which of the two goes there.
type placeShared struct {
	Variant, Place string
	A, B           *Standing // nil where the catalogue says nothing
}

// places where at least one of the two goes: shared ones first.
func (v *compareView) places() []placeShared {
	var out []placeShared
	for side, part := range []*PartUse{v.Left, v.Right} {
		for i := range part.Fitments {
			f := &part.Fitments[i]
			place := f.PositionName
			if f.Position != nil {
				place = f.Position.Label
			}
			at := slices.IndexFunc(out, func(s placeShared) bool { return s.Variant == f.VariantKey && s.Place == place })
			if at < 0 {
				at = len(out)
				out = append(out, placeShared{Variant: f.VariantKey, Place: place})
			}
			if side == 0 {
				out[at].A = &f.Standing
			} else {
				out[at].B = &f.Standing
			}
		}
	}
	slices.SortStableFunc(out, func(x, y placeShared) int { return y.both() - x.both() })
	return out
}

func (s *placeShared) both() int {
	if s.A != nil && s.B != nil {
		return 1
	}
	return 0
}

func (p *Pages) compareCSV(w http.ResponseWriter, r *http.Request) error {
	v, err := p.readCompare(r)
	if err != nil {
		return err
	}
	if v.CompareTwoResponse == nil {
		return notFound(say("compare.none"))
	}
	var rows [][]string
	for _, c := range v.CompareParts {
		rows = append(rows, []string{c.Key, c.At, c.Label, c.A, c.B, compareVerdict(c.Known, c.Same), deref(c.By)})
	}
	return writeCSV(w, "compare-"+v.A+"-"+v.B, []string{"property", "seat", "label", "a", "b", "verdict", "b_larger_by_mm"}, rows)
}

// usedView is where a part is used: positions, kits, jobs.
type usedView struct {
	*WhereUsedResponse
}

// usedRow is one use of the part.
type usedRow struct {
	Kind, Subject, To, Words string
	Standing                 Standing // empty where there is none
}

func (p *Pages) readUsed(r *http.Request) (*usedView, error) {
	data, err := WhereUsed(r.Context(), p.api, r.PathValue("key"))
	if err != nil {
		return nil, err
	}
	return &usedView{data}, nil
}

func (p *Pages) used(w http.ResponseWriter, r *http.Request) error {
	uv, err := p.readUsed(r)
	if err != nil {
		return err
	}
	return p.render(w, r, http.StatusOK, p.view(r, say("used.title", uv.Part.Name), "catalogue", uv.Shop.CatalogueRevision), usedSheet(uv))
}

// inJobs are the open jobs in which the part is decided, found, supplied, on
// hand, or in the case when it closes; each once for each way.
func (v *usedView) inJobs() []usedRow {
	var out []usedRow
	key := v.Part.Key
	for i := range v.Jobs.Edges {
		n := &v.Jobs.Edges[i].Node
		add := func(kind, words string) {
			row := usedRow{Kind: kind, Subject: n.Key + " " + n.Title, To: jobPath(n.Key, "bench"), Words: words}
			if !slices.Contains(out, row) {
				out = append(out, row)
			}
		}
		for _, d := range n.Decisions {
			if d.Part == key {
				add("decided", d.Position)
			}
			if d.Found == key {
				add("found", d.Position)
			}
		}
		for _, g := range n.Goods {
			if g.Part == key {
				add("hand", many("desk.pieces", g.Pieces))
			}
		}
		for _, l := range n.Report.Lines {
			if l.PartKey == key && l.Place != nil {
				add("list", say("used.line", l.Place.List, l.Place.Line, l.Pieces))
			}
		}
		for _, b := range n.Report.Build {
			if b.Part == key && b.State == "new" {
				add("goes-in", b.Position)
			}
		}
	}
	return out
}

// rows of the whole sheet, for the export.
func (v *usedView) rows() []usedRow {
	var out []usedRow
	for i := range v.Part.Fitments {
		f := &v.Part.Fitments[i]
		out = append(out, usedRow{"stated", f.VariantKey, "", f.PositionName, f.Standing})
	}
	for _, s := range v.WhereFits.BySize {
		out = append(out, usedRow{"by-size", s.VariantKey, "", s.Position, s.Standing})
	}
	for _, s := range v.Part.SoldIn {
		out = append(out, usedRow{Kind: "set", Subject: s.Key, Words: partText(&s)})
	}
	return append(out, v.inJobs()...)
}

func (p *Pages) usedCSV(w http.ResponseWriter, r *http.Request) error {
	v, err := p.readUsed(r)
	if err != nil {
		return err
	}
	var rows [][]string
	for _, u := range v.rows() {
		rows = append(rows, []string{v.Part.Key, u.Kind, u.Subject, u.Words, slug(string(u.Standing))})
	}
	return writeCSV(w, "used-"+v.Part.Key, []string{"part", "how", "where", "words", "standing"}, rows)
}

// first words of what speaks against a place, or of what is open.
func spotWhy(s *SpotRow) string {
	var out []string
	for _, f := range s.Against {
		out = append(out, f.Text)
	}
	for _, m := range s.Open {
		out = append(out, m.Text)
	}
	return strings.Join(out, "; ")
}
