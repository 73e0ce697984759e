package graph

import (
	"context"
	"slices"

	"layshaft/graph/model"
	"layshaft/reconcile"
)

func (r *Resolver) jobs(ctx context.Context, first *int, after *string, f *model.JobFilter) (*model.JobConnection, error) {
	heads, err := r.Bench.Jobs(ctx)
	if err != nil {
		return nil, err
	}
	heads = slices.DeleteFunc(slices.Clone(heads), func(h *reconcile.Head) bool {
		return f != nil && (len(f.States) > 0 && !slices.Contains(f.States, h.State) ||
			f.Family != nil && string(h.Family) != *f.Family)
	})
	rows, info, err := page(heads, (*reconcile.Head).Key, first, after)
	if err != nil {
		return nil, err
	}
	out := &model.JobConnection{PageInfo: info, TotalCount: len(heads), Edges: make([]*model.JobEdge, len(rows))}
	for i, h := range rows {
		job, err := r.Bench.Job(ctx, h.ID)
		if err != nil {
			return nil, err
		}
		out.Edges[i] = &model.JobEdge{Cursor: cursor(h.Key()), Node: job}
	}
	return out, nil
}
