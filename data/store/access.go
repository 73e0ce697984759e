package store

import (
	"context"
	"crypto/rand"
	"encoding/hex"
	"errors"
	"math"

	"layshaft/catalog"
	"layshaft/catalog/access"
	"layshaft/data/kv"
)

var _ access.Repository = (*Store)(nil)

// Grant by id; see access.Repository. It reads what is stored, not what is
// served, so that a grant taken back by another server is refused at once.
func (s *Store) Grant(ctx context.Context, id string) (*access.Grant, error) {
	snap, err := s.kv.Snapshot(ctx)
	if err != nil {
		return nil, asDomain(err)
	}
	defer snap.Close()
	e, ok, err := snap.Get(ctx, prefixGrants+hex.EncodeToString([]byte(id)))
	if err != nil {
		return nil, asDomain(err)
	}
	if !ok {
		return nil, catalog.NotFound("grants", id)
	}
	return readGrant(e)
}

func readGrant(e kv.Entry) (*access.Grant, error) {
	g := &access.Grant{}
	if err := unseal(e.Value, g); err != nil {
		return nil, damaged(e.Key, err)
	}
	g.Seen = uint64(e.Rev)
	return g, nil
}

// Grants lists all of them by id.
func (s *Store) Grants(ctx context.Context) ([]*access.Grant, error) {
	snap, err := s.kv.Snapshot(ctx)
	if err != nil {
		return nil, asDomain(err)
	}
	defer snap.Close()
	var out []*access.Grant
	err = snap.Scan(ctx, prefixGrants, "", func(e kv.Entry) error {
		g, err := readGrant(e)
		out = append(out, g)
		return err
	})
	return out, asDomain(err)
}

// PutGrants stores grants; see access.Repository.
func (s *Store) PutGrants(ctx context.Context, gs ...*access.Grant) error {
	var conds []kv.Cond
	var ops []kv.Op
	for _, g := range gs {
		value, err := seal(g)
		if err != nil {
			return err
		}
		k := prefixGrants + hex.EncodeToString([]byte(g.ID))
		conds = append(conds, kv.Cond{Key: k, Rev: kv.Rev(g.Seen)})
		ops = append(ops, kv.Op{Key: k, Value: value})
	}
	rev, err := s.kv.Commit(ctx, conds, ops)
	if errors.Is(err, kv.ErrConflict) {
		return catalog.Conflict(catalog.Ref{Table: "grants", Key: gs[0].ID})
	}
	if err != nil {
		return asDomain(err)
	}
	for _, g := range gs {
		g.Seen = uint64(rev)
	}
	return nil
}

// Note adds an entry to the audit log under a key that sorts newest first.
func (s *Store) Note(ctx context.Context, n *access.Note) error {
	value, err := seal(n)
	if err != nil {
		return err
	}
	n.Key = hex16(math.MaxInt64-uint64(n.At.UnixNano())) + rand.Text()[:8]
	_, err = s.kv.Commit(ctx, nil, []kv.Op{{Key: prefixNotes + n.Key, Value: value}})
	return asDomain(err)
}

// errEnough ends a scan that has what it needs.
var errEnough = errors.New("enough")

// Notes lists the audit log newest first.
func (s *Store) Notes(ctx context.Context, after string, n int) ([]*access.Note, error) {
	snap, err := s.kv.Snapshot(ctx)
	if err != nil {
		return nil, asDomain(err)
	}
	defer snap.Close()
	if after != "" {
		after = prefixNotes + after
	}
	out := []*access.Note{}
	err = snap.Scan(ctx, prefixNotes, after, func(e kv.Entry) error {
		if len(out) >= n {
			return errEnough
		}
		note := &access.Note{Key: e.Key[len(prefixNotes):]}
		if err := unseal(e.Value, note); err != nil {
			return damaged(e.Key, err)
		}
		out = append(out, note)
		return nil
	})
	if errors.Is(err, errEnough) {
		err = nil
	}
	return out, asDomain(err)
}
