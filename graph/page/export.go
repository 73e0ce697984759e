package page

import (
	"net/http"
	"strings"
)

// table is what an export writes: a name for the file, a head and rows.
type table struct {
	name string
	head []string
	rows [][]string
}

func (t *table) add(cells ...string) { t.rows = append(t.rows, cells) }

// exported answers with a table as CSV.
func exported(read func(*http.Request) (*table, error)) handler {
	return func(w http.ResponseWriter, r *http.Request) error {
		t, err := read(r)
		if err != nil {
			return err
		}
		return writeCSV(w, t.name, t.head, t.rows)
	}
}

func (p *Pages) exportRoutes() map[string]handler {
	return map[string]handler{
		"GET /jobs.csv":                               exported(p.jobTable),
		"GET /jobs/{id}/history.csv":                  exported(p.historyTable),
		"GET /jobs/{id}/lines.csv":                    exported(p.lineTable),
		"GET /jobs/{id}/remembered.csv":               exported(p.rememberedTable),
		"GET /jobs/{id}/stacks.csv":                   exported(p.stackTable),
		"GET /jobs/{id}/limits.csv":                   exported(p.limitTable),
		"GET /counter/needs/{key}/short.csv":          exported(p.needsTable),
		"GET /catalogue/search.csv":                   exported(p.searchTable),
		"GET /catalogue/compare/places.csv":           exported(p.placesTable),
		"GET /catalogue/families/{key}/ratios.csv":    exported(p.familyRatios),
		"GET /catalogue/families/{key}/positions.csv": exported(p.positionTable),
		"GET /catalogue/families/{key}/bonds.csv":     exported(p.bondTable),
		"GET /catalogue/families/{key}/mates.csv":     exported(p.mateTable),
		"GET /catalogue/families/{key}/stacks.csv":    exported(p.recipeTable),
		"GET /catalogue/variants/{key}/ratios.csv":    exported(p.variantRatios),
		"GET /catalogue/parts/{key}/attributes.csv":   exported(p.attributeTable),
		"GET /catalogue/parts/{key}/offers.csv":       exported(p.offerTable),
	}
}

// jobTable is every page of the list of jobs.
func (p *Pages) jobTable(r *http.Request) (*table, error) {
	t := &table{name: "jobs", head: []string{"job", "title", "owner", "family", "variant", "state", "opened", "needed_by", "blocking", "governs"}}
	for after := (*string)(nil); ; {
		var v jobsView
		if err := p.readJobs(r, &v, after); err != nil {
			return nil, err
		}
		for i := range v.Jobs.Edges {
			j := &v.Jobs.Edges[i].Node
			variant, says := "", ""
			if j.Variant != nil {
				variant = j.Variant.Key
			}
			if g := governs(j); g != nil {
				says = g.Message
			}
			t.add(j.Key, j.Title, j.Owner, j.FamilyKey, variant, slug(string(j.State)), deref(j.Opened), deref(j.NeededBy), itoa(j.Report.Blocking), says)
		}
		if after = v.Jobs.PageInfo.EndCursor; !v.Jobs.PageInfo.HasNextPage {
			return t, nil
		}
	}
}

// historyTable is every edit of a job, field by field.
func (p *Pages) historyTable(r *http.Request) (*table, error) {
	t := &table{name: "job-" + r.PathValue("id") + "-history", head: historyHead}
	for after := (*string)(nil); ; {
		v, err := p.readEdits(r, after)
		if err != nil {
			return nil, err
		}
		for i := range v.History.Edges {
			t.rows = append(t.rows, changeRows(&v.History.Edges[i].Node)...)
		}
		if after = v.History.PageInfo.EndCursor; !v.History.PageInfo.HasNextPage {
			return t, nil
		}
	}
}

// lineTable is every line of a job's kit lists as it is read.
func (p *Pages) lineTable(r *http.Request) (*table, error) {
	v, err := p.jobData(r)
	if err != nil {
		return nil, err
	}
	t := &table{name: "job-" + v.Job.Key + "-lines", head: []string{"job", "list", "line", "sub", "text", "outcome", "answered", "part", "name", "pieces", "why"}}
	for i := range v.Job.Readings {
		x := &v.Job.Readings[i]
		for n := range x.Reading.Lines {
			l := &x.Reading.Lines[n]
			if s := l.Supply; s != nil {
				part := ""
				if s.Part != nil {
					part = s.Part.Key
				}
				t.add(v.Job.Key, x.List, itoa(l.Line), itoa(l.Sub), l.Text, slug(string(s.Outcome)), yesNo(s.Answered), part, partText(s.Part), itoa(s.Pieces), s.Why)
			} else {
				t.add(v.Job.Key, x.List, itoa(l.Line), itoa(l.Sub), l.Text, l.Kind, "", "", "", "", "")
			}
		}
	}
	return t, nil
}

// rememberedTable is the answers that read a job's lists without asking.
func (p *Pages) rememberedTable(r *http.Request) (*table, error) {
	v, err := p.jobData(r)
	if err != nil {
		return nil, err
	}
	t := &table{name: "job-" + v.Job.Key + "-remembered", head: []string{"supplier", "family", "text", "part", "times"}}
	for _, a := range v.remembered() {
		t.add(a.Supplier, a.Family, a.Text, a.Part, itoa(a.Count))
	}
	return t, nil
}

func (p *Pages) stackTable(r *http.Request) (*table, error) {
	data, err := p.measureData(r)
	if err != nil {
		return nil, err
	}
	t := &table{name: "job-" + data.Job.Key + "-stacks", head: []string{"job", "stack", "name", "position", "min_mm", "max_mm", "aim_mm", "closed", "grades"}}
	for i := range data.Job.Stacks {
		x := &data.Job.Stacks[i]
		grades := ""
		if x.Choice != nil {
			grades = strings.Join(x.Choice.Grades, " + ")
		}
		t.add(data.Job.Key, x.Stack.Key, x.Stack.Name, x.Stack.Position, x.Stack.Min, x.Stack.Max, x.Stack.Aim, yesNo(x.Closed), grades)
	}
	return t, nil
}

func (p *Pages) limitTable(r *http.Request) (*table, error) {
	data, err := p.measureData(r)
	if err != nil {
		return nil, err
	}
	t := &table{name: "job-" + data.Job.Key + "-limits", head: []string{"job", "limit", "position", "what", "action", "result"}}
	for _, x := range data.Job.Inspections {
		t.add(data.Job.Key, x.Limit.Key, x.Limit.Position, x.Limit.What, slug(string(x.Result.Action)), x.Result.Text)
	}
	return t, nil
}
