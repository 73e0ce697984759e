package page

import (
	"net/http"
	"slices"
)

// have puts goods on hand for one position or several: from the shelf, or on order.
// Whole shortages are covered; where there is none any more, somebody else was quicker.
func (p *Pages) have(w http.ResponseWriter, r *http.Request) error {
	data, err := p.jobData(r)
	if err != nil {
		return err
	}
	source := r.PostFormValue("source")
	positions, parts := r.PostForm["position"], r.PostForm["part"]
	if len(positions) == 0 || len(positions) != len(parts) {
		return &refusal{http.StatusBadRequest, say("error.choice"), say("error.choice.remedy")}
	}
	var goods []GoodsInput
	for i, position := range positions {
		at := slices.IndexFunc(data.Job.Report.Shortages, func(s ShortageRow) bool { return s.Position == position })
		if at < 0 || data.Job.Report.Shortages[at].Quantity <= 0 {
			return p.done(w, r, []told{{Code: conflictCode, Message: say("stale.have", data.label(position), say("goods."+source)), Remedy: say("stale.have.remedy")}}, nil)
		}
		goods = append(goods, data.goods(position, parts[i], source, data.Job.Report.Shortages[at].Quantity))
	}
	done, err := HaveGoods(r.Context(), p.api, edit(r), goods)
	if err != nil {
		return err
	}
	return p.done(w, r, toldOf(done.PutGoods.UserErrors), nil)
}

// goods of a position, more of them than there are. What was ordered and has come
// since is another record than what is ordered now.
func (v *jobView) goods(position, part, source string, pieces int) GoodsInput {
	g := GoodsInput{Name: anchor("have", position, part, source), Part: part, Source: source, Pieces: pieces, SeenRev: ptr(unseen)}
	for n := 2; ; n++ {
		at := slices.IndexFunc(v.Job.Goods, func(old JobSheetJobGoods) bool { return old.Name == g.Name })
		if at < 0 {
			return g
		}
		if old := &v.Job.Goods[at]; old.Source == source {
			g.Pieces, g.SeenRev = g.Pieces+old.Pieces, ptr(old.Rev)
			return g
		}
		g.Name = anchor("have", position, part, source, itoa(n))
	}
}

// wantsGoods are findings of one row that goods would end, one a position; none unless
// there are several.
func wantsGoods(all []FindingRow) []*FindingRow {
	var out []*FindingRow
	for i := range all {
		f := &all[i]
		if act(f) == "have" && len(f.Remedy.Options) > 0 && !slices.ContainsFunc(out, func(o *FindingRow) bool { return o.Position == f.Position }) {
			out = append(out, f)
		}
	}
	if len(out) < 2 {
		return nil
	}
	return out
}
