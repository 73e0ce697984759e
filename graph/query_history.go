package graph

import (
	"context"
	"strconv"

	"layshaft/catalog"
	"layshaft/graph/model"
)

// history pages by revision, newest first: edits that come meanwhile never
// shift a page.
func (r *Resolver) history(ctx context.Context, first *int, after *string, f *model.HistoryFilter) (*model.EditConnection, error) {
	n, err := pageSize(first)
	if err != nil {
		return nil, err
	}
	q := catalog.EditQuery{Limit: n + 1}
	if f != nil {
		q.Table, q.Key, q.Job = catalog.Table(deref(f.Table)), deref(f.Key), deref(f.Job)
	}
	if q.Job != "" {
		if err := r.allowed(ctx, catalog.ScopeJobsRead); err != nil {
			return nil, err
		}
	}
	if after != nil {
		if q.Before, err = revisionCursor(*after); err != nil {
			return nil, err
		}
	}
	edits, err := r.Curator.History(ctx, q)
	if err != nil {
		return nil, err
	}
	info := &model.PageInfo{HasNextPage: len(edits) > n, HasPreviousPage: after != nil}
	edits = edits[:min(n, len(edits))]
	out := &model.EditConnection{PageInfo: info, Edges: make([]*model.EditEdge, len(edits))}
	for i, e := range edits {
		out.Edges[i] = &model.EditEdge{Cursor: cursor(strconv.FormatUint(e.Rev, 10)), Node: e}
	}
	if len(edits) > 0 {
		info.StartCursor, info.EndCursor = &out.Edges[0].Cursor, &out.Edges[len(edits)-1].Cursor
	}
	return out, nil
}

func revisionCursor(c string) (uint64, error) {
	k, err := readCursor(c)
	if err != nil {
		return 0, err
	}
	rev, err := strconv.ParseUint(k, 10, 64)
	if err != nil {
		return 0, catalog.Invalid("after", "Send a cursor that an answer gave", "not a cursor of a history")
	}
	return rev, nil
}
