package page

import (
	"net/http"
	"strings"
)

// paperView is a sheet for the wall or the folder: the build sheet says what goes
// in, the bench sheet asks what was found. Both have boxes for a pen.
type paperView struct {
	*decisionView
	Bench    bool
	Blocking []*FindingRow
	Signed   []*FindingRow
	Stacks   []StackRow
	Day      string
	limits   map[string][]LimitRow // what is inspected, by position
	built    map[string]string     // part in the closed case, by position
}

func (p *Pages) buildSheet(w http.ResponseWriter, r *http.Request) error {
	return p.paper(w, r, false)
}

func (p *Pages) benchSheet(w http.ResponseWriter, r *http.Request) error {
	return p.paper(w, r, true)
}

func (p *Pages) paper(w http.ResponseWriter, r *http.Request, bench bool) error {
	d, err := p.readDecisions(r)
	if err != nil {
		return err
	}
	data, err := PaperSheet(r.Context(), p.api, d.Job.Key)
	if err != nil {
		return err
	}
	if data.Job == nil {
		return notFound(say("error.job", d.Job.Key))
	}
	v := &paperView{decisionView: d, Bench: bench, Stacks: data.Job.Stacks, Day: p.today(),
		limits: map[string][]LimitRow{}, built: map[string]string{}}
	for i := range data.Job.Report.Findings {
		f := &data.Job.Report.Findings[i]
		switch {
		case f.Override != nil:
			v.Signed = append(v.Signed, f)
		case f.Blocking:
			v.Blocking = append(v.Blocking, f)
		}
	}
	if f := data.Job.Limited; f != nil {
		for i := range f.Positions {
			v.limits[f.Positions[i].Name] = f.Positions[i].Limits
		}
	}
	for _, b := range d.Job.Report.Build {
		v.built[b.Position] = b.Part
	}
	return p.render(w, r, http.StatusOK, p.jobFrame(r, &d.Job.JobHead, "bench", d.Shop.CatalogueRevision), paperSheet(v))
}

// variantName is what it is, or that it is not known.
func (v *paperView) variantName() string {
	if v.Job.Variant == nil {
		return say("jobs.unknown")
	}
	return v.Job.Variant.Name
}

// title of the sheet.
func (v *paperView) title() string {
	if v.Bench {
		return say("paper.bench")
	}
	return say("paper.build")
}

// part names what is in the case at a position, as far as it is known.
func (v *paperView) part(position string) string {
	key := v.built[position]
	for _, x := range v.parts[position] {
		if x.Key == key {
			return partText(x)
		}
	}
	return key
}

// remarks that the decision at a position carries, in one line.
func (v *paperView) remarks(position string) string {
	d := v.decided[position]
	if d == nil {
		return ""
	}
	var out []string
	for _, s := range []string{d.Treatment, d.Measured, d.Why} {
		if s != "" {
			out = append(out, s)
		}
	}
	if d.Due != nil {
		out = append(out, say("decide.due", *d.Due))
	}
	return strings.Join(out, "; ")
}

// inspected are the positions of the sheet that have limits and whose old part may
// stay: a new part is not inspected for wear.
func (v *paperView) inspected() []*PositionRow {
	var out []*PositionRow
	for i := range v.Groups {
		for _, pos := range v.Groups[i].Positions {
			stays := v.Bench || v.choice(pos.Name) == ChoiceReuse || v.choice(pos.Name) == ChoiceUndecided
			if stays && len(v.limits[pos.Name]) > 0 {
				out = append(out, pos)
			}
		}
	}
	return out
}

// text of a limit: what a new part has, and how far it may wear.
func (l *LimitRow) text() string {
	var out []string
	if l.NewMin != "0" || l.NewMax != "0" {
		out = append(out, say("paper.new", l.NewMin, l.NewMax))
	}
	if l.WearMin != nil {
		out = append(out, say("paper.least", *l.WearMin))
	}
	if l.WearMax != nil {
		out = append(out, say("paper.most", *l.WearMax))
	}
	return strings.Join(out, "; ")
}
