package badgerkv

import (
	"context"
	"io"
	"strings"
	"sync"

	"github.com/dgraph-io/badger/v4"

	"layshaft/data/kv"
)

// A scan holds the store open only while it reads a page, so that a slow
// reader never keeps Close or an import waiting.
const (
	pageEntries = 1000
	pageBytes   = 1 << 20
)

type snapshot struct {
	store *store
	rev   kv.Rev

	mu     sync.RWMutex
	txn    *badger.Txn // nil in a store nobody has written to, and once closed
	closed bool
}

func (s *store) Snapshot(context.Context) (kv.Snapshot, error) {
	snap := &snapshot{store: s}
	err := s.use(func(db *badger.DB) error {
		txn := db.NewTransaction(false)
		m, err := metaIn(txn)
		if err != nil || m.rev == 0 {
			txn.Discard()
			return err
		}
		snap.rev, snap.txn = m.rev, txn
		s.snapMu.Lock()
		s.snaps[snap] = struct{}{}
		s.snapMu.Unlock()
		return nil
	})
	if err != nil {
		return nil, err
	}
	return snap, nil
}

// dropSnapshots ends the transactions of open snapshots: after Badger has
// closed it would be too late.
func (s *store) dropSnapshots() {
	s.snapMu.Lock()
	defer s.snapMu.Unlock()
	for snap := range s.snaps {
		snap.discard()
	}
	clear(s.snaps)
}

func (p *snapshot) Rev() kv.Rev { return p.rev }

func (p *snapshot) Close() {
	p.discard()
	p.store.snapMu.Lock()
	defer p.store.snapMu.Unlock()
	delete(p.store.snaps, p)
}

func (p *snapshot) discard() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.closed = true
	if p.txn != nil {
		p.txn.Discard()
		p.txn = nil
	}
}

// read runs fn with the transaction, or not at all in an empty view.
func (p *snapshot) read(fn func(*badger.Txn) error) error {
	return p.store.use(func(*badger.DB) error {
		p.mu.RLock()
		defer p.mu.RUnlock()
		switch {
		case p.closed:
			return kv.SnapshotClosed()
		case p.txn == nil:
			return nil
		}
		return fn(p.txn)
	})
}

func (p *snapshot) Get(_ context.Context, key string) (e kv.Entry, found bool, err error) {
	err = p.read(func(txn *badger.Txn) (err error) {
		e, found, err = entryIn(txn, key)
		return err
	})
	return e, found, err
}

func (p *snapshot) Scan(ctx context.Context, prefix, after string, fn func(kv.Entry) error) error {
	for {
		if err := ctx.Err(); err != nil {
			return err
		}
		page, more, err := p.page(prefix, after)
		if err != nil {
			return err
		}
		for _, e := range page {
			if err := ctx.Err(); err != nil {
				return err
			}
			if err := fn(e); err != nil {
				return err
			}
			after = e.Key
		}
		if !more {
			return nil
		}
	}
}

func (p *snapshot) page(prefix, after string) (page []kv.Entry, more bool, err error) {
	err = p.read(func(txn *badger.Txn) error {
		opt := badger.DefaultIteratorOptions
		opt.Prefix = entryKey(prefix)
		it := txn.NewIterator(opt)
		defer it.Close()
		size := 0
		for it.Seek(entryKey(max(prefix, after))); it.Valid(); it.Next() {
			key := string(it.Item().Key()[1:])
			if !strings.HasPrefix(key, prefix) || key == after {
				continue
			}
			if len(page) >= pageEntries || size >= pageBytes {
				more = true
				return nil
			}
			e, err := entryOf(it.Item(), key)
			if err != nil {
				return err
			}
			page = append(page, e)
			size += len(e.Value)
		}
		return nil
	})
	return page, more, err
}

func (s *store) Export(ctx context.Context, w io.Writer) (kv.Rev, error) {
	snap, err := s.Snapshot(ctx)
	if err != nil {
		return 0, err
	}
	defer snap.Close()
	return snap.Rev(), kv.WriteExport(ctx, w, snap)
}
