// Package store keeps the catalogue and the jobs over the storage contract of
// package kv, and serves them from memory. It implements the repositories that
// catalog.Curator and reconcile.Bench ask for.
//
// Every change is an edit. Edits are numbered without gaps: the number is
// written in the same batch as the records and is the condition of the batch,
// so that all writers of all servers take turns. What is served is an immutable
// state, made by the feed and swapped in; a commit answers when its own edit has
// arrived there.
package store

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"sync"
	"sync/atomic"

	"layshaft/catalog"
	"layshaft/data/kv"
	"layshaft/reconcile"
)

// Store is open until Close. It may be used by any number of goroutines.
type Store struct {
	kv  kv.Store
	log *slog.Logger

	now    atomic.Pointer[state]
	moved  kv.Bell
	failed atomic.Pointer[error] // why the feed ended

	writing sync.Mutex // one writer of this process at a time: others would only conflict
	cancel  context.CancelFunc
	done    chan struct{}
}

// The engine's change log is trimmed every trimEvery edits to the last
// keepChanges batches: start-up reads it whole. A server that falls behind
// further loads anew.
const (
	trimEvery   = 256
	keepChanges = 1024
)

var (
	_ catalog.Repository   = (*Store)(nil)
	_ reconcile.Repository = (*Store)(nil)
)

// Open loads a store into memory and follows its feed. The store is closed by
// Close; an engine that Open refuses is left open for the caller to close.
func Open(ctx context.Context, engine kv.Store, log *slog.Logger) (*Store, error) {
	s := &Store{kv: engine, log: log, done: make(chan struct{})}
	if err := s.checkFormat(ctx); err != nil {
		return nil, asDomain(err)
	}
	st, rev, err := s.reload(ctx)
	if err != nil {
		return nil, err
	}
	s.now.Store(st)
	follow, cancel := context.WithCancel(context.WithoutCancel(ctx))
	s.cancel = cancel
	go s.follow(follow, rev)
	return s, nil
}

// checkFormat writes the layout's version into an empty store and refuses a
// store of another one.
func (s *Store) checkFormat(ctx context.Context) error {
	snap, err := s.kv.Snapshot(ctx)
	if err != nil {
		return err
	}
	defer snap.Close()
	e, ok, err := snap.Get(ctx, keyFormat)
	switch {
	case err != nil:
		return err
	case ok && string(e.Value) != formatVersion:
		return &catalog.Error{Code: catalog.CodeInvalid, Place: "data folder",
			Message: fmt.Sprintf("it was written as %q, this program writes %q", e.Value, formatVersion),
			Remedy:  "Use the program that wrote it to export, then import"}
	case ok:
		return nil
	case snap.Rev() != 0:
		return &catalog.Error{Code: catalog.CodeInvalid, Place: "data folder",
			Message: "it holds something else", Remedy: "Choose an empty folder"}
	}
	_, err = s.kv.Commit(ctx, []kv.Cond{{Key: keyFormat}}, []kv.Op{{Key: keyFormat, Value: []byte(formatVersion)}})
	if errors.Is(err, kv.ErrConflict) {
		return nil // another server was first
	}
	return err
}

// follow keeps the state up to date until the store closes.
func (s *Store) follow(ctx context.Context, rev kv.Rev) {
	defer close(s.done)
	defer s.moved.Ring()
	for {
		err := s.kv.Watch(ctx, rev, func(ch kv.Change) error { return s.advance(ctx, ch, &rev) })
		if errors.Is(err, kv.ErrCompacted) {
			err = s.swapReloaded(ctx, &rev)
		}
		if err == nil {
			continue
		}
		if ctx.Err() == nil {
			s.log.Error("the change feed ended", "error", err)
		}
		err = asDomain(err)
		s.failed.Store(&err)
		return
	}
}

func (s *Store) advance(ctx context.Context, ch kv.Change, rev *kv.Rev) error {
	if ch.Rev <= *rev {
		return nil // a reload was already past it
	}
	st, reload, err := s.now.Load().next(ch)
	if err != nil {
		return err
	}
	if reload {
		return s.swapReloaded(ctx, rev)
	}
	s.now.Store(st)
	*rev = ch.Rev
	s.moved.Ring()
	if st.seq%trimEvery == 0 && ch.Rev > keepChanges {
		return s.kv.Trim(ctx, ch.Rev-keepChanges)
	}
	return nil
}

func (s *Store) swapReloaded(ctx context.Context, rev *kv.Rev) error {
	st, at, err := s.reload(ctx)
	if err != nil {
		return err
	}
	s.now.Store(st)
	*rev = at
	s.moved.Ring()
	return nil
}

// WaitFor returns once what is served holds the edit with this number.
func (s *Store) WaitFor(ctx context.Context, seq uint64) error {
	return s.waitFor(ctx, func(st *state) bool { return st.seq >= seq })
}

func (s *Store) waitFor(ctx context.Context, reached func(*state) bool) error {
	for {
		bell := s.moved.Wait()
		if reached(s.now.Load()) {
			return nil
		}
		if err := s.failed.Load(); err != nil {
			return *err
		}
		select {
		case <-bell:
		case <-ctx.Done():
			return ctx.Err()
		}
	}
}

// Changed returns a channel that closes when what is served moves on, and the
// number of the newest edit served now.
func (s *Store) Changed() (<-chan struct{}, uint64) {
	bell := s.moved.Wait()
	return bell, s.now.Load().seq
}

// Status of the engine below.
func (s *Store) Status(ctx context.Context) (kv.Status, error) { return s.kv.Status(ctx) }

// Close ends the feed and closes the engine.
func (s *Store) Close() error {
	s.cancel()
	<-s.done
	return s.kv.Close()
}

// Index is the newest catalogue index.
func (s *Store) Index() *catalog.Index { return s.now.Load().index }

// Tables are the rows behind Index.
func (s *Store) Tables() *catalog.Catalogue { return s.now.Load().tables }

// Jobs lists the heads of all jobs by id.
func (s *Store) Jobs(context.Context) ([]*reconcile.Head, error) {
	return s.now.Load().heads(), nil
}

// Job by id.
func (s *Store) Job(_ context.Context, id reconcile.JobID) (*reconcile.Job, error) {
	if j := s.now.Load().jobs[string(id)]; j != nil && j.job != nil {
		return j.job, nil
	}
	return nil, catalog.NotFound(reconcile.TableJob, string(id))
}
