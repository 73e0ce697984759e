package page

import (
	"cmp"
	"net/http"
	"slices"
)

// deskView is the parts desk.
type deskView struct {
	*DeskResponse
	Job, State, By, Part string
	Blocking             bool
	Groups               []deskGroup
}

// deskGroup is the same part wanted by several jobs.
type deskGroup struct {
	Part   *PartLabel // nil where no part is known
	Pieces int
	Rows   []*DeskRow
}

func (p *Pages) readDesk(r *http.Request, after *string) (*deskView, error) {
	q := r.URL.Query()
	v := &deskView{Job: q.Get("job"), State: q.Get("state"), By: q.Get("by"), Part: q.Get("part"), Blocking: q.Get("blocking") != ""}
	filter := &ShortageFilter{Job: some(v.Job), Part: some(v.Part), States: []ShortageState{}}
	for _, s := range actOrder {
		if shortageMark(s) == v.State {
			filter.States = []ShortageState{s}
		}
	}
	if v.Blocking {
		filter.Blocking = &v.Blocking
	}
	first := 200
	data, err := Desk(r.Context(), p.api, &first, after, filter)
	if err != nil {
		return nil, err
	}
	v.DeskResponse = data
	if v.By == "part" {
		v.group()
	}
	return v, nil
}

// group puts shortages under the part that would end them, the most wanted first.
func (v *deskView) group() {
	by := map[string]int{}
	for i := range v.Shortages.Edges {
		row := &v.Shortages.Edges[i].Node
		key := ""
		if len(row.Accept) > 0 {
			key = row.Accept[0].Key
		}
		at, ok := by[key]
		if !ok {
			at = len(v.Groups)
			by[key] = at
			g := deskGroup{}
			if key != "" {
				g.Part = &row.Accept[0]
			}
			v.Groups = append(v.Groups, g)
		}
		v.Groups[at].Pieces += row.Quantity
		v.Groups[at].Rows = append(v.Groups[at].Rows, row)
	}
	slices.SortStableFunc(v.Groups, func(a, b deskGroup) int {
		if (a.Part == nil) != (b.Part == nil) {
			if a.Part == nil {
				return 1
			}
			return -1
		}
		return cmp.Compare(len(b.Rows), len(a.Rows))
	})
}

func (p *Pages) desk(w http.ResponseWriter, r *http.Request) error {
	dv, err := p.readDesk(r, some(r.URL.Query().Get("after")))
	if err != nil {
		return err
	}
	return p.render(w, r, http.StatusOK, p.view(r, say("desk.title"), "shortages", dv.Shop.CatalogueRevision), deskSheet(dv))
}

// link is the address of the desk with one filter changed.
func (v *deskView) link(name, value string) string {
	return "/shortages?" + v.query(name, value)
}

func (v *deskView) query(name, value string) string {
	set := map[string]string{"job": v.Job, "state": v.State, "by": v.By, "part": v.Part}
	if v.Blocking {
		set["blocking"] = "yes"
	}
	set[name] = value
	out := ""
	for _, k := range []string{"job", "state", "blocking", "by", "part", "after"} {
		if set[k] != "" {
			if out != "" {
				out += "&"
			}
			out += k + "=" + queryEscape(set[k])
		}
	}
	return out
}

// deskCSV exports every page of the filtered list.
func (p *Pages) deskCSV(w http.ResponseWriter, r *http.Request) error {
	var rows [][]string
	for after := (*string)(nil); ; {
		v, err := p.readDesk(r, after)
		if err != nil {
			return err
		}
		for i := range v.Shortages.Edges {
			s := &v.Shortages.Edges[i].Node
			part, number := best(s.Accept)
			rows = append(rows, []string{s.Job, s.Position, s.PositionLabel, itoa(s.Quantity), s.Unit, shortageMark(s.State),
				yesNo(s.Blocking), yesNo(s.Possible), part, number, itoa(s.OnOrder), deref(s.NeededBy), s.Because})
		}
		if after = v.Shortages.PageInfo.EndCursor; !v.Shortages.PageInfo.HasNextPage {
			break
		}
	}
	return writeCSV(w, "shortages", []string{"job", "position", "place", "pieces", "unit", "state", "blocking", "possible",
		"part", "number", "on_order", "needed_by", "because"}, rows)
}

func rowsOf(edges []DeskShortagesShortageConnectionEdgesShortageEdge) []*DeskRow {
	out := make([]*DeskRow, len(edges))
	for i := range edges {
		out[i] = &edges[i].Node
	}
	return out
}

func (p *Pages) deskRoutes() map[string]handler {
	return map[string]handler{
		"GET /shortages":             p.desk,
		"GET /shortages.csv":         p.deskCSV,
		"GET /shortages/ordered":     p.ordered,
		"GET /shortages/ordered.csv": p.orderedCSV,
		"POST /jobs/{id}/arrived":    p.arrived,
		"GET /shortages/what-if":     p.whatIf,
		"GET /shortages/what-if.csv": p.whatIfCSV,
		"GET /shortages/cover":       p.cover,
		"GET /shortages/cover.csv":   p.coverCSV,
	}
}
