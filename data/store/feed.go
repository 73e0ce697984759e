package store

import (
	"context"
	"errors"

	"layshaft/catalog"
	"layshaft/data/kv"
	"layshaft/reconcile"
)

var _ reconcile.FeedRepository = (*Store)(nil)

// Feed is the newest feed of shortages this server holds.
func (s *Store) Feed() *reconcile.Feed { return s.now.Load().feed }

// Append keeps changes of shortages; see reconcile.FeedRepository. Of each
// shortage the newest change is stored: a reader who was away needs no other.
func (s *Store) Append(ctx context.Context, changes []*reconcile.ShortageChange) error {
	snap, err := s.kv.Snapshot(ctx)
	if err != nil {
		return asDomain(err)
	}
	defer snap.Close()
	e, ok, err := snap.Get(ctx, keyFeedLast)
	if err != nil {
		return asDomain(err)
	}
	var last uint64
	if ok {
		if last, err = parseHex16(string(e.Value)); err != nil {
			return damaged(keyFeedLast, err)
		}
	}
	if last+1 != changes[0].No {
		return s.behind(ctx, last)
	}
	newest := changes[len(changes)-1].No
	ops := []kv.Op{{Key: keyFeedLast, Value: []byte(hex16(newest))}}
	for _, c := range changes {
		value, err := seal(c)
		if err != nil {
			return err
		}
		ops = append(ops, kv.Op{Key: prefixFeed + c.Row.Key, Value: value})
	}
	if _, err := s.kv.Commit(ctx, []kv.Cond{{Key: keyFeedLast, Rev: e.Rev}}, ops); err != nil {
		if errors.Is(err, kv.ErrConflict) {
			return catalog.Conflict(catalog.Ref{Table: "shortages", Key: "feed"})
		}
		return asDomain(err)
	}
	return s.waitFor(ctx, func(st *state) bool { return st.feed.Last() >= newest })
}

// behind waits until what is served has caught up with what another server
// appended, and says that it did.
func (s *Store) behind(ctx context.Context, last uint64) error {
	if err := s.waitFor(ctx, func(st *state) bool { return st.feed.Last() >= last }); err != nil {
		return err
	}
	return catalog.Conflict(catalog.Ref{Table: "shortages", Key: "feed"})
}

func readFeedChange(key string, value []byte) (*reconcile.ShortageChange, error) {
	c := &reconcile.ShortageChange{}
	if err := unseal(value, c); err != nil {
		return nil, damaged(key, err)
	}
	return c, nil
}

func loadFeed(ctx context.Context, snap kv.Snapshot) (*reconcile.Feed, error) {
	var changes []*reconcile.ShortageChange
	err := snap.Scan(ctx, prefixFeed, "", func(e kv.Entry) error {
		c, err := readFeedChange(e.Key, e.Value)
		changes = append(changes, c)
		return err
	})
	if err != nil {
		return nil, err
	}
	return reconcile.NewFeed(changes), nil
}
