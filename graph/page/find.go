package page

import (
	"net/http"
)

// findView offers parts for a line of a list.
type findView struct {
	Job, List, Line, Sub, Seen, Query string
	Parts                             []*FindPartsSearchPart
}

// find looks for the part that a line means, by number or words.
func (p *Pages) find(w http.ResponseWriter, r *http.Request) error {
	q := r.URL.Query()
	v := &findView{Job: r.PathValue("id"), List: q.Get("list"), Line: q.Get("line"), Sub: q.Get("sub"), Seen: q.Get("seen"), Query: q.Get("q")}
	first := 20
	data, err := FindParts(r.Context(), p.api, v.Query, &first)
	if err != nil {
		return err
	}
	for _, hit := range data.Search {
		if part, ok := hit.(*FindPartsSearchPart); ok {
			v.Parts = append(v.Parts, part)
		}
	}
	return p.render(w, r, http.StatusOK, p.view(r, say("find.title"), "jobs", ""), findSheet(v))
}
