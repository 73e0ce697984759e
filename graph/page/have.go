package page

import "net/http"

// have puts goods on hand for a position: from the shelf, or on order. The whole
// shortage is covered; where there is none any more, somebody else was quicker.
func (p *Pages) have(w http.ResponseWriter, r *http.Request) error {
	data, err := p.jobData(r)
	if err != nil {
		return err
	}
	position, part, source := r.PostFormValue("position"), r.PostFormValue("part"), r.PostFormValue("source")
	missing := 0
	for i := range data.Job.Report.Shortages {
		if s := &data.Job.Report.Shortages[i]; s.Position == position {
			missing = s.Quantity
		}
	}
	if missing <= 0 {
		return p.done(w, r, []told{{Code: conflictCode, Message: say("stale.have", data.label(position), say("goods."+source)), Remedy: say("stale.have.remedy")}}, nil)
	}
	g := GoodsInput{Name: anchor("have", position, part, source), Part: part, Source: source, Pieces: missing, SeenRev: ptr(unseen)}
	for _, old := range data.Job.Goods {
		if old.Name == g.Name {
			g.Pieces, g.SeenRev = g.Pieces+old.Pieces, ptr(old.Rev)
		}
	}
	done, err := HaveGoods(r.Context(), p.api, edit(r), []GoodsInput{g})
	if err != nil {
		return err
	}
	return p.done(w, r, toldOf(done.PutGoods.UserErrors), nil)
}
