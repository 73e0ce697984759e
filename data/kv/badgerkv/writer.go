package badgerkv

import (
	"bytes"
	"context"
	"errors"
	"slices"
	"sync/atomic"

	"github.com/dgraph-io/badger/v4"

	"layshaft/data/kv"
)

const (
	queueLength = 256
	// A transaction of Badger's holds 15 % of a memtable, 2.4 MiB; a batch
	// goes in twice, as entries and as a log record. One more batch is taken
	// while those taken are below groupBytes, so batches above it go alone.
	groupBytes = 64 << 10
	groupMost  = 64
)

// request is a batch, or a task for the writer's goroutine, on its way through
// the queue.
type request struct {
	conds []kv.Cond
	ops   []kv.Op
	task  func() (kv.Rev, error) // instead of a batch
	taken atomic.Bool            // by the writer, or by a caller who gave up
	reply chan reply             // holds one
}

type reply struct {
	rev kv.Rev
	err error
}

func (s *store) Commit(ctx context.Context, conds []kv.Cond, ops []kv.Op) (kv.Rev, error) {
	own := slices.Clone(ops)
	for i := range own {
		own[i].Value = bytes.Clone(own[i].Value)
	}
	return s.submit(ctx, &request{conds: slices.Clone(conds), ops: own})
}

// submit hands a request to the writer and waits for the outcome.
func (s *store) submit(ctx context.Context, r *request) (kv.Rev, error) {
	r.reply = make(chan reply, 1)
	select {
	case <-s.quit:
		return 0, kv.Closed()
	case <-ctx.Done():
		return 0, givenUp(ctx)
	case s.queue <- r:
	}
	select {
	case a := <-r.reply:
		return a.rev, a.err
	case <-s.quit:
		if r.taken.CompareAndSwap(false, true) {
			return 0, kv.Closed()
		}
		a := <-r.reply // the writer finishes what it has begun
		return a.rev, a.err
	case <-ctx.Done():
		if r.taken.CompareAndSwap(false, true) {
			return 0, givenUp(ctx)
		}
		if r.task != nil { // which may be using what the caller gave it
			a := <-r.reply
			return a.rev, a.err
		}
		return 0, &kv.UnknownError{Reason: "the wait for the disk was given up", Err: ctx.Err()}
	}
}

func givenUp(ctx context.Context) error {
	return &kv.UnavailableError{Reason: "the batch was given up before it was written", Err: ctx.Err()}
}

// write is the writer's goroutine. It ends when the store closes.
func (s *store) write() {
	defer s.done.Done()
	for {
		select {
		case <-s.quit:
			return
		case r := <-s.queue:
			s.serve(r)
		}
	}
}

// serve writes a request together with those waiting behind it.
func (s *store) serve(r *request) {
	var group []*request
	for size := 0; r != nil; {
		if r.taken.CompareAndSwap(false, true) {
			if r.task != nil {
				s.writeGroup(group)
				rev, err := r.task()
				r.reply <- reply{rev, err}
				return
			}
			group = append(group, r)
			for _, op := range r.ops {
				size += len(op.Key) + len(op.Value)
			}
		}
		if size >= groupBytes || len(group) >= groupMost {
			break
		}
		select {
		case r = <-s.queue:
		default:
			r = nil
		}
	}
	s.writeGroup(group)
}

// writeGroup decides the batches one after the other and commits those that
// hold in one transaction. Nobody is answered before it is on disk, not even
// with a conflict: it may be a conflict with a batch of the same group.
func (s *store) writeGroup(group []*request) {
	if len(group) == 0 {
		return
	}
	replies := make([]reply, len(group))
	defer func() {
		for i, r := range group {
			r.reply <- replies[i]
		}
	}()
	answerAll := func(err error) {
		for i := range replies {
			replies[i] = reply{err: err}
		}
	}
	if err := s.writable(); err != nil {
		answerAll(err)
		return
	}
	txn := s.db.NewTransaction(true)
	defer txn.Discard()
	next := s.meta
	for i, r := range group {
		after, err := apply(txn, next, r)
		if errors.Is(err, errTxn) {
			answerAll(&kv.UnavailableError{Reason: "the batch could not be prepared", Err: err})
			return
		}
		if err == nil {
			next = after
		}
		replies[i] = reply{rev: after.rev, err: err}
	}
	if next == s.meta {
		return
	}
	if err := s.commit(txn, next); err != nil {
		answerAll(err)
		return
	}
	s.bell.Ring()
}

// errTxn marks an error after which the transaction is of no use.
var errTxn = errors.New("the write was refused")

// apply decides one batch and adds it to the transaction. The state it returns
// is unchanged when the batch has no effect.
func apply(txn *badger.Txn, m meta, r *request) (meta, error) {
	err := kv.CheckConds(r.conds, func(key string) (kv.Rev, error) {
		e, _, err := entryIn(txn, key)
		return e.Rev, err
	})
	if err != nil {
		return meta{}, err
	}
	ops, err := effective(txn, r.ops)
	if err != nil {
		return meta{}, err
	}
	if len(ops) == 0 {
		return m, nil
	}
	change := logged{Change: kv.Change{Rev: m.rev + 1, Ops: ops}, prev: m.rev}
	m.rev = change.Rev
	for _, op := range ops {
		if op.Delete {
			err = txn.Delete(entryKey(op.Key))
		} else {
			err = txn.Set(entryKey(op.Key), encodeEntry(m.rev, op.Key, op.Value))
		}
		if err != nil {
			return meta{}, errors.Join(errTxn, err)
		}
	}
	for i, part := range change.parts() {
		if err := txn.Set(logKey(m.rev, i), part); err != nil {
			return meta{}, errors.Join(errTxn, err)
		}
	}
	return m, nil
}

// effective leaves out deletes of absent keys.
func effective(txn *badger.Txn, ops []kv.Op) ([]kv.Op, error) {
	out := make([]kv.Op, 0, len(ops))
	for _, op := range ops {
		if op.Delete {
			_, found, err := entryIn(txn, op.Key)
			if err != nil {
				return nil, err
			}
			if !found {
				continue
			}
		}
		out = append(out, op)
	}
	return out, nil
}

// commit writes the transaction with the new state. When Badger fails here the
// outcome is unknown, and so is every revision after it: the store takes no
// more batches until it is opened anew.
func (s *store) commit(txn *badger.Txn, next meta) error {
	if err := txn.Set(metaKey, next.encode()); err != nil {
		return &kv.UnavailableError{Reason: "the batch could not be prepared", Err: err}
	}
	if err := txn.Commit(); err != nil {
		failed := error(&kv.UnavailableError{Reason: "an earlier write failed, close and open the store to go on", Err: err})
		s.failed.Store(&failed)
		return &kv.UnknownError{Reason: "the write failed", Err: err}
	}
	s.meta = next
	if err := s.mark.write(next.rev); err != nil {
		s.opt.Logger.Warn("the high-water mark could not be written", "dir", s.opt.Dir, "error", err)
	}
	return nil
}

// writable says why a commit would be refused, nil when it would not.
func (s *store) writable() error {
	if failed := s.failed.Load(); failed != nil {
		return *failed
	}
	return checkRoomToWrite(s.opt)
}
