package store

import (
	"context"

	"layshaft/catalog"
	"layshaft/data/kv"
)

func readEdit(ctx context.Context, snap kv.Snapshot, rev uint64) (*catalog.Edit, error) {
	e, ok, err := snap.Get(ctx, editKey(rev))
	if err != nil {
		return nil, asDomain(err)
	}
	if !ok {
		return nil, &catalog.Error{Code: catalog.CodeNotFound, Place: "edit " + editID(rev),
			Message: "no such edit", Remedy: "Check the id"}
	}
	edit, err := unsealEdit(e.Value)
	if err != nil {
		return nil, damaged(e.Key, err)
	}
	return edit, nil
}

// Edit by id.
func (s *Store) Edit(ctx context.Context, id string) (*catalog.Edit, error) {
	rev, ok := revOfEditID(id)
	if !ok {
		return nil, &catalog.Error{Code: catalog.CodeNotFound, Place: "edit " + id, Message: "no such edit", Remedy: "Check the id"}
	}
	snap, err := s.kv.Snapshot(ctx)
	if err != nil {
		return nil, asDomain(err)
	}
	defer snap.Close()
	return readEdit(ctx, snap, rev)
}

// Edits lists edits newest first. Numbers have no gaps, so the walk goes down
// by one and stops when it has enough.
func (s *Store) Edits(ctx context.Context, q catalog.EditQuery) ([]*catalog.Edit, error) {
	snap, err := s.kv.Snapshot(ctx)
	if err != nil {
		return nil, asDomain(err)
	}
	defer snap.Close()
	rev, err := number(ctx, snap, keySeq)
	if err != nil {
		return nil, asDomain(err)
	}
	if q.Before > 0 {
		rev = min(rev, q.Before-1)
	}
	out := []*catalog.Edit{}
	for ; rev > q.After && len(out) < q.Limit; rev-- {
		e, err := readEdit(ctx, snap, rev)
		if err != nil {
			return nil, err
		}
		if matches(e, q) {
			out = append(out, e)
		}
	}
	return out, nil
}

func matches(e *catalog.Edit, q catalog.EditQuery) bool {
	if e.Job != q.Job {
		return false
	}
	if q.Table == "" {
		return true
	}
	for _, op := range e.Ops {
		if op.Table == q.Table && (q.Key == "" || op.Key == q.Key) {
			return true
		}
	}
	return false
}
