package store

import (
	"context"

	"layshaft/catalog"
	"layshaft/data/kv"
)

// importBatch is how many records of a new generation go into one batch.
const importBatch = 90

// Replace makes c the whole catalogue: it is written as a new generation that
// nobody reads, then one batch flips to it. A crash before the flip leaves the
// old catalogue; what the crash left behind is swept by the next Replace.
func (s *Store) Replace(ctx context.Context, c *catalog.Catalogue, e *catalog.Edit) (*catalog.Edit, error) {
	s.writing.Lock()
	stored, err := s.replace(ctx, c, e)
	s.writing.Unlock()
	if err != nil {
		return nil, asDomain(err)
	}
	return stored, s.WaitFor(ctx, stored.Rev)
}

func (s *Store) replace(ctx context.Context, c *catalog.Catalogue, e *catalog.Edit) (*catalog.Edit, error) {
	snap, err := s.kv.Snapshot(ctx)
	if err != nil {
		return nil, err
	}
	defer snap.Close()
	if first, err := done(ctx, snap, e.Request, e.Digest); first != nil || err != nil {
		return first, err
	}
	old, err := number(ctx, snap, keyGeneration)
	if err != nil {
		return nil, err
	}
	seq, _, err := sequence(ctx, snap)
	if err != nil {
		return nil, err
	}
	if err := s.sweep(ctx, snap, old); err != nil {
		return nil, err
	}
	stamp := catalog.Stamp{Rev: seq + 1, By: e.Who, At: e.At.UTC()}
	if err := s.writeGeneration(ctx, c, old+1, stamp); err != nil {
		return nil, err
	}
	bulk := *e
	bulk.Ops, bulk.Bulk = nil, true
	stored, err := s.commit(ctx, &bulk, []kv.Op{{Key: keyGeneration, Value: []byte(hex16(old + 1))}})
	if err != nil {
		return nil, err
	}
	if err := s.sweepGeneration(ctx, old); err != nil {
		s.log.Warn("the old catalogue was not swept", "generation", old, "error", err)
	}
	return stored, nil
}

func (s *Store) writeGeneration(ctx context.Context, c *catalog.Catalogue, gen uint64, stamp catalog.Stamp) error {
	var ops []kv.Op
	var failed error
	flush := func() {
		if failed == nil && len(ops) > 0 {
			_, failed = s.kv.Commit(ctx, nil, ops)
		}
		ops = ops[:0]
	}
	size := 0
	c.Records(func(r catalog.Record) {
		if failed != nil {
			return
		}
		var value []byte
		if value, failed = sealStamped(r, stamp); failed != nil {
			return
		}
		if size += len(value) + kv.MaxKey; len(ops) >= importBatch || size > kv.MaxBatch {
			flush()
			size = len(value) + kv.MaxKey
		}
		ops = append(ops, kv.Op{Key: catalogKey(gen, r.Table(), r.Key()), Value: value})
	})
	flush()
	return failed
}

func sealStamped(r catalog.Record, stamp catalog.Stamp) ([]byte, error) {
	c, err := clone(r)
	if err != nil {
		return nil, err
	}
	*c.StampRef() = stamp
	return seal(c)
}

// sweep deletes generations other than the current one.
func (s *Store) sweep(ctx context.Context, snap kv.Snapshot, current uint64) error {
	stale := map[uint64]bool{}
	err := snap.Scan(ctx, prefixCatalog, "", func(e kv.Entry) error {
		if e.Key == keyGeneration || len(e.Key) < len(prefixCatalog)+16 {
			return nil
		}
		if gen, err := parseHex16(e.Key[len(prefixCatalog):][:16]); err == nil && gen != current {
			stale[gen] = true
		}
		return nil
	})
	for gen := range stale {
		if err == nil {
			err = s.sweepGeneration(ctx, gen)
		}
	}
	return err
}

func (s *Store) sweepGeneration(ctx context.Context, gen uint64) error {
	snap, err := s.kv.Snapshot(ctx)
	if err != nil {
		return err
	}
	defer snap.Close()
	var ops []kv.Op
	flush := func() error {
		if len(ops) == 0 {
			return nil
		}
		_, err := s.kv.Commit(ctx, nil, ops)
		ops = ops[:0]
		return err
	}
	err = snap.Scan(ctx, generationPrefix(gen), "", func(e kv.Entry) error {
		if ops = append(ops, kv.Op{Key: e.Key, Delete: true}); len(ops) >= importBatch {
			return flush()
		}
		return nil
	})
	if err != nil {
		return err
	}
	return flush()
}
