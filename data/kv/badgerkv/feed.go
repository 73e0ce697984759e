package badgerkv

import (
	"context"
	"fmt"

	"github.com/dgraph-io/badger/v4"

	"layshaft/data/kv"
)

const (
	feedPage  = 64      // changes read at once
	feedBytes = 1 << 20 // bytes after which a page of changes ends
	purgeStep = 1000    // log keys deleted in one transaction
)

func (s *store) Watch(ctx context.Context, after kv.Rev, fn func(kv.Change) error) error {
	return kv.Follow(ctx, after, &s.bell, s.changesAfter, fn)
}

func (s *store) changesAfter(after kv.Rev) (page []kv.Change, err error) {
	err = s.use(func(db *badger.DB) error {
		txn := db.NewTransaction(false)
		defer txn.Discard()
		m, err := metaIn(txn)
		if err != nil {
			return err
		}
		if err := kv.CheckAfter(after, m.trimmed, m.rev); err != nil {
			return err
		}
		size := 0
		for rev := after + 1; rev <= m.rev && len(page) < feedPage && size < feedBytes; rev++ {
			l, err := changeIn(txn, rev)
			if err != nil {
				return err
			}
			if l.prev != rev-1 {
				return damaged(fmt.Sprintf("the change of revision %d follows %d in the log", rev, l.prev), nil)
			}
			for _, op := range l.Ops {
				size += len(op.Value)
			}
			page = append(page, l.Change)
		}
		return nil
	})
	return page, err
}

func (s *store) Trim(ctx context.Context, upto kv.Rev) error {
	_, err := s.submit(ctx, &request{task: func() (kv.Rev, error) { return s.meta.rev, s.trim(upto) }})
	return err
}

// trim forgets first and deletes afterwards. What cannot be deleted yet stays
// in the log unseen until the next Trim.
func (s *store) trim(upto kv.Rev) error {
	if upto > s.meta.rev {
		return kv.CheckAfter(upto, 0, s.meta.rev)
	}
	if upto <= s.meta.trimmed {
		return nil
	}
	if err := s.writable(); err != nil {
		return err
	}
	next := s.meta
	next.trimmed = upto
	if err := s.update(func(*badger.Txn) error { return nil }, next); err != nil {
		return err
	}
	for {
		more, err := s.purge()
		if err != nil || !more {
			return err
		}
	}
}

// update commits what fn adds together with a new state.
func (s *store) update(fn func(*badger.Txn) error, next meta) error {
	txn := s.db.NewTransaction(true)
	defer txn.Discard()
	if err := fn(txn); err != nil {
		return err
	}
	return s.commit(txn, next)
}

// purge deletes a step of forgotten changes from the log and reports whether
// there may be more. A change goes only once its data is in a table named in
// the notes: as long as it might be lost with a memtable's file, its absence
// from the log is what would tell.
func (s *store) purge() (more bool, err error) {
	keys, next, more, err := s.purgeable()
	if err != nil || len(keys) == 0 {
		return false, err
	}
	err = s.update(func(txn *badger.Txn) error {
		for _, key := range keys {
			if err := txn.Delete(key); err != nil {
				return &kv.UnavailableError{Reason: "the change log could not be trimmed", Err: err}
			}
		}
		return nil
	}, next)
	return more, err
}

// purgeable returns the log keys of the next whole changes that may go, and
// the state once they are gone.
func (s *store) purgeable() (keys [][]byte, next meta, more bool, err error) {
	next = s.meta
	txn := s.db.NewTransaction(false)
	defer txn.Discard()
	opt := badger.DefaultIteratorOptions
	opt.PrefetchValues = false
	opt.Prefix = logPrefix
	it := txn.NewIterator(opt)
	defer it.Close()
	safe := s.tables.flushedTo()
	for it.Seek(logKey(s.meta.purged+1, 0)); it.Valid(); it.Next() {
		rev, part := logKeyRev(it.Item().Key())
		if rev > s.meta.trimmed || it.Item().Version() > safe {
			return keys, next, false, nil
		}
		if part == 0 && len(keys) >= purgeStep {
			return keys, next, true, nil
		}
		keys = append(keys, it.Item().KeyCopy(nil))
		next.purged = rev
	}
	return keys, next, false, nil
}
