package graph

import (
	"context"
	"strings"

	"layshaft/catalog"
	"layshaft/graph/model"
	"layshaft/graph/scalar"
)

// known turns a look-up into a nullable answer.
func known[T any](rec *T, ok bool) *T {
	if !ok {
		return nil
	}
	return rec
}

// orEmpty never answers null where the schema promises a list.
func orEmpty[T any](rows []T) []T {
	if rows == nil {
		return []T{}
	}
	return rows
}

func (r *Resolver) ratios(v *catalog.Variant) []*model.SpeedRatio {
	out := []*model.SpeedRatio{}
	f, ok := r.index().Family(v.Family)
	if !ok {
		return out
	}
	for _, s := range f.Speeds {
		if ratio, ok := r.index().Ratio(v.ID, s); ok {
			out = append(out, &model.SpeedRatio{Speed: s.Name, Exact: ratio.String(), Decimal: ratio.Decimal(4)})
		}
	}
	return out
}

func (r *Resolver) fitments(v *catalog.Variant, position *string) []*catalog.Fitment {
	ix := r.index()
	if position != nil {
		return orEmpty(ix.Fits(v.ID, catalog.PositionID(*position)))
	}
	out := []*catalog.Fitment{}
	for _, p := range ix.Positions(v.Family) {
		out = append(out, ix.Fits(v.ID, p.ID)...)
	}
	return out
}

func (r *Resolver) parts(first *int, after *string, filter *model.PartFilter) (*model.PartConnection, error) {
	all := r.index().Parts()
	if filter != nil {
		all = r.filterParts(all, filter)
	}
	rows, info, err := page(all, (*catalog.Part).Key, first, after)
	if err != nil {
		return nil, err
	}
	out := &model.PartConnection{PageInfo: info, TotalCount: len(all), Edges: make([]*model.PartEdge, len(rows))}
	for i, p := range rows {
		out.Edges[i] = &model.PartEdge{Cursor: cursor(p.Key()), Node: p}
	}
	return out, nil
}

func (r *Resolver) filterParts(all []*catalog.Part, f *model.PartFilter) []*catalog.Part {
	ix := r.index()
	hits := map[catalog.PartID]bool{}
	if f.Text != nil {
		for _, h := range ix.Search(*f.Text, len(all)) {
			if p, ok := h.Record.(*catalog.Part); ok {
				hits[p.ID] = true
			}
		}
	}
	out := []*catalog.Part{}
	for _, p := range all {
		switch {
		case f.Kind != nil && !strings.EqualFold(string(p.Kind), *f.Kind):
		case f.Text != nil && !hits[p.ID]:
		case f.Variant != nil && !fitsVariant(ix, p.ID, catalog.VariantID(*f.Variant), f.Position):
		default:
			out = append(out, p)
		}
	}
	return out
}

func fitsVariant(ix *catalog.Index, p catalog.PartID, v catalog.VariantID, position *string) bool {
	for _, f := range ix.FitsOf(p) {
		if f.Variant == v && (position == nil || string(f.Position) == *position) {
			return true
		}
	}
	return false
}

// search looks through the catalogue and, for those who may see them, the jobs.
func (r *Resolver) search(ctx context.Context, text string, first *int) ([]scalar.SearchHit, error) {
	n := 20
	if first != nil {
		if n = *first; n < 1 || n > 50 {
			return nil, catalog.Invalid("first", "Ask for 1 to 50 hits", "%d hits asked for", n)
		}
	}
	out := []scalar.SearchHit{}
	if r.allowed(ctx, catalog.ScopeJobsRead) == nil {
		heads, err := r.Bench.Jobs(ctx)
		if err != nil {
			return nil, err
		}
		for _, h := range heads {
			if strings.EqualFold(string(h.ID), strings.TrimSpace(text)) {
				job, err := r.Bench.Job(ctx, h.ID)
				if err != nil {
					return nil, err
				}
				out = append(out, job)
			}
		}
	}
	for _, h := range r.index().Search(text, n) {
		out = append(out, h.Record)
	}
	return out[:min(n, len(out))], nil
}

func (r *Resolver) nodes(ctx context.Context, ids []string) ([]scalar.Node, error) {
	if len(ids) > 100 {
		return nil, catalog.Invalid("ids", "Ask for at most 100 at a time", "%d ids", len(ids))
	}
	out := make([]scalar.Node, len(ids))
	for i, id := range ids {
		n, err := r.node(ctx, id)
		if err != nil {
			return nil, err
		}
		out[i] = n
	}
	return out, nil
}

func (r *Resolver) shop(ctx context.Context) (*model.ShopStatus, error) {
	ix := r.index()
	jobs, err := r.Bench.Count(ctx)
	if err != nil {
		return nil, err
	}
	return &model.ShopStatus{CatalogueRevision: ix.Rev(), Families: len(ix.Families()),
		Variants: len(ix.Variants()), Parts: len(ix.Parts()), Jobs: jobs}, nil
}

// partsOf finds the records of parts by id; ids of none are left out.
func (r *Resolver) partsOf(ids []catalog.PartID) []*catalog.Part {
	out := make([]*catalog.Part, 0, len(ids))
	for _, id := range ids {
		if p, ok := r.index().Part(id); ok {
			out = append(out, p)
		}
	}
	return out
}

// offer looks an offer up; there is no index of offers by their own identifier.
func (r *Resolver) offer(key string) (*catalog.Offer, bool) {
	for _, o := range r.Curator.Tables().Offers {
		if o.ID == key {
			return o, true
		}
	}
	return nil, false
}
