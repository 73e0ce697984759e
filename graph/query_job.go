package graph

import (
	"context"
	"slices"

	"layshaft/catalog"
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

func (r *Resolver) shortages(ctx context.Context, first *int, after *string, f *model.ShortageFilter) (*model.ShortageConnection, error) {
	all, err := r.Bench.Shortages(ctx)
	if err != nil {
		return nil, err
	}
	all = slices.DeleteFunc(all, func(s *reconcile.JobShortage) bool { return f != nil && !wantedShortage(f, s) })
	rows, info, err := page(all, shortageKey, first, after)
	if err != nil {
		return nil, err
	}
	out := &model.ShortageConnection{PageInfo: info, TotalCount: len(all), Edges: make([]*model.ShortageEdge, len(rows))}
	for i, s := range rows {
		out.Edges[i] = &model.ShortageEdge{Cursor: cursor(shortageKey(s)), Node: r.shopShortage(s)}
	}
	return out, nil
}

func shortageKey(s *reconcile.JobShortage) string { return s.ID }

func wantedShortage(f *model.ShortageFilter, s *reconcile.JobShortage) bool {
	switch {
	case f.Job != nil && string(s.Head.ID) != *f.Job,
		len(f.States) > 0 && !slices.Contains(f.States, s.State),
		f.Blocking != nil && s.Blocking != *f.Blocking,
		f.Part != nil && !slices.Contains(s.Accept, catalog.PartID(*f.Part)):
		return false
	}
	return true
}

func (r *Resolver) shopShortage(s *reconcile.JobShortage) *model.ShopShortage {
	ix := r.index()
	out := &model.ShopShortage{Key: s.ID, Job: string(s.Head.ID), Position: string(s.Position),
		PositionLabel: string(s.Position), Quantity: s.Quantity, Unit: string(catalog.UnitPiece), State: s.State,
		Blocking: s.Blocking, Possible: s.Possible, Accept: []*catalog.Part{}, Wanted: orEmpty(s.Wanted), OnOrder: s.OnOrder,
		Chain: orEmpty(s.Chain), Because: s.Because, JobRevision: s.Report.JobRev, CatalogueRevision: s.Report.CatalogRev}
	if p, ok := ix.Position(s.Head.Family, s.Position); ok {
		out.PositionLabel = p.Name
	}
	if !s.Head.NeededBy.IsZero() {
		out.NeededBy = &s.Head.NeededBy
	}
	for i, id := range s.Accept {
		p, ok := ix.Part(id)
		if !ok {
			continue
		}
		if i == 0 {
			out.Unit = string(p.Unit)
		}
		out.Accept = append(out.Accept, p)
	}
	return out
}
