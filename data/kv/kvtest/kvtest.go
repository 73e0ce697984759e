// Package kvtest is the suite every storage engine passes: [Run] holds an
// engine to the contract of package kv, [Bench] times it.
package kvtest

import (
	"context"
	"errors"
	"runtime"
	"testing"
	"time"

	"layshaft/data/kv"
)

// Engine is what the suite needs to know about an engine.
type Engine struct {
	// Open opens the store kept at dir, a folder that exists and is empty the
	// first time. An engine that keeps its data elsewhere takes dir as a name.
	Open func(dir string) (kv.Store, error)
	// Durable says that a store opened again at its dir has what was committed.
	Durable bool
	// Exclusive says that a dir that is open cannot be opened a second time.
	Exclusive bool
}

// patience is how long a test waits for what should happen at once: long
// enough that only something stuck runs into it.
const patience = 60 * time.Second

// Run runs the whole suite, each test against a store of its own.
func Run(t *testing.T, e Engine) {
	tests := []struct {
		name string
		run  func(*testing.T, Engine)
	}{
		{"order of keys", testOrder},
		{"snapshot stays as it was", testSnapshotIsolation},
		{"conditions", testConditions},
		{"failed condition leaves nothing", testFailedCondition},
		{"contended counter", testCounter},
		{"batch whole in snapshot and feed", testBatchWhole},
		{"limits", testLimits},
		{"batch without effect", testNoEffect},
		{"revisions rise and are seen", testRevisions},
		{"caller keeps its memory", testOwnMemory},
		{"feed after snapshot equals later snapshot", testFeedEqualsSnapshot},
		{"feed carries deletes", testFeedDeletes},
		{"feed resumes", testFeedResumes},
		{"trimmed feed is rebuilt", testTrimmed},
		{"blocked watcher stalls nobody", testBlockedWatcher},
		{"fifty watchers", testFiftyWatchers},
		{"watch ends", testWatchEnds},
		{"watch from the future", testWatchFuture},
		{"request id repeated", testRequestID},
		{"generation flip", testGenerationFlip},
		{"export and import", testExportImport},
		{"import ends earlier watches", testImportEndsWatch},
		{"import needs an untouched store", testImportUntouched},
		{"damaged export", testDamagedExport},
		{"given up", testGivenUp},
		{"closed", testClosed},
		{"second open", testSecondOpen},
		{"opened again", testReopen},
		{"like a plain map", testLikeMap},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			noLeaks(t)
			test.run(t, e)
		})
	}
}

// noLeaks fails the test if goroutines are left once everything is closed.
func noLeaks(t *testing.T) {
	before := runtime.NumGoroutine()
	t.Cleanup(func() {
		deadline := time.Now().Add(patience)
		for runtime.NumGoroutine() > before {
			if time.Now().After(deadline) {
				stacks := make([]byte, 64<<10)
				t.Errorf("%d goroutines, %d before the test:\n%s", runtime.NumGoroutine(), before, stacks[:runtime.Stack(stacks, true)])
				return
			}
			time.Sleep(5 * time.Millisecond)
		}
	})
}

// open opens a new store that closes with the test.
func (e Engine) open(t testing.TB) kv.Store {
	t.Helper()
	return e.openAt(t, t.TempDir())
}

func (e Engine) openAt(t testing.TB, dir string) kv.Store {
	t.Helper()
	s, err := e.Open(dir)
	if err != nil {
		t.Fatalf("open: %v", err)
	}
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Errorf("close: %v", err)
		}
	})
	return s
}

// tester is what both testing.TB and rapid's T offer.
type tester interface {
	Helper()
	Fatalf(format string, args ...any)
}

func put(key, value string) kv.Op { return kv.Op{Key: key, Value: []byte(value)} }

func del(key string) kv.Op { return kv.Op{Key: key, Delete: true} }

func commit(t tester, s kv.Store, ops ...kv.Op) kv.Rev {
	t.Helper()
	return commitIf(t, s, nil, ops...)
}

func commitIf(t tester, s kv.Store, conds []kv.Cond, ops ...kv.Op) kv.Rev {
	t.Helper()
	rev, err := s.Commit(context.Background(), conds, ops)
	if err != nil {
		t.Fatalf("commit: %v", err)
	}
	return rev
}

func snapshot(t tester, s kv.Store) kv.Snapshot {
	t.Helper()
	snap, err := s.Snapshot(context.Background())
	if err != nil {
		t.Fatalf("snapshot: %v", err)
	}
	return snap
}

func scan(t tester, snap kv.Snapshot, prefix, after string) []kv.Entry {
	t.Helper()
	var out []kv.Entry
	err := snap.Scan(context.Background(), prefix, after, func(e kv.Entry) error {
		out = append(out, e)
		return nil
	})
	if err != nil {
		t.Fatalf("scan of %q after %q: %v", prefix, after, err)
	}
	return out
}

// content reads everything in a store as key and value, with its revision.
func content(t tester, s kv.Store) (map[string]string, kv.Rev) {
	t.Helper()
	snap := snapshot(t, s)
	defer snap.Close()
	return texts(scan(t, snap, "", "")), snap.Rev()
}

func texts(entries []kv.Entry) map[string]string {
	out := make(map[string]string, len(entries))
	for _, e := range entries {
		out[e.Key] = string(e.Value)
	}
	return out
}

func get(t tester, s kv.Store, key string) (kv.Entry, bool) {
	t.Helper()
	snap := snapshot(t, s)
	defer snap.Close()
	e, found, err := snap.Get(context.Background(), key)
	if err != nil {
		t.Fatalf("get %q: %v", key, err)
	}
	return e, found
}

var errEnough = errors.New("enough")

// changes reads the feed after one revision up to another.
func changes(t tester, s kv.Store, after, upto kv.Rev) []kv.Change {
	t.Helper()
	if after >= upto {
		return nil
	}
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	var out []kv.Change
	err := s.Watch(ctx, after, func(c kv.Change) error {
		out = append(out, c)
		if c.Rev >= upto {
			return errEnough
		}
		return nil
	})
	if !errors.Is(err, errEnough) {
		t.Fatalf("watch after %d up to %d: %v", after, upto, err)
	}
	return out
}

// follow applies a change to a model of the content.
func follow(model map[string]string, c kv.Change) {
	for _, op := range c.Ops {
		if op.Delete {
			delete(model, op.Key)
		} else {
			model[op.Key] = string(op.Value)
		}
	}
}

// background runs fn in a goroutine; the function returned waits for its
// error.
func background(t testing.TB, fn func() error) (wait func() error) {
	done := make(chan error, 1)
	go func() { done <- fn() }()
	return func() error {
		t.Helper()
		select {
		case err := <-done:
			return err
		case <-time.After(patience):
			t.Fatal("still running")
			return nil
		}
	}
}
