package kvtest

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"math/rand/v2"
	"strconv"
	"sync/atomic"
	"testing"
	"time"

	"layshaft/data/kv"
)

// scribble commits n random batches over a few keys.
func scribble(s kv.Store, seed uint64, n int) error {
	rnd := rand.New(rand.NewPCG(seed, 1))
	for i := range n {
		var ops []kv.Op
		for _, k := range rnd.Perm(20)[:1+rnd.IntN(5)] {
			key := fmt.Sprintf("k%02d", k)
			if rnd.IntN(3) == 0 {
				ops = append(ops, del(key))
			} else {
				ops = append(ops, put(key, fmt.Sprintf("%d/%d", seed, i)))
			}
		}
		if _, err := s.Commit(context.Background(), nil, ops); err != nil {
			return err
		}
	}
	return nil
}

// testFeedEqualsSnapshot takes snapshots while four writers are busy; each,
// followed by the feed, must come to the final content.
func testFeedEqualsSnapshot(t *testing.T, e Engine) {
	s := e.open(t)
	var waits []func() error
	for w := range 4 {
		waits = append(waits, background(t, func() error { return scribble(s, uint64(w), 60) }))
	}
	type start struct {
		model map[string]string
		rev   kv.Rev
	}
	starts := []start{{model: map[string]string{}}}
	for range 10 {
		time.Sleep(2 * time.Millisecond)
		model, rev := content(t, s)
		starts = append(starts, start{model, rev})
	}
	for _, wait := range waits {
		if err := wait(); err != nil {
			t.Fatal(err)
		}
	}
	want, last := content(t, s)
	for _, from := range starts {
		at := from.rev
		for _, c := range changes(t, s, from.rev, last) {
			if c.Rev <= at {
				t.Fatalf("revision %d after %d", c.Rev, at)
			}
			at = c.Rev
			follow(from.model, c)
		}
		if !maps.Equal(from.model, want) {
			t.Fatalf("snapshot at %d and feed give %v, want %v", from.rev, from.model, want)
		}
	}
}

func testFeedDeletes(t *testing.T, e Engine) {
	s := e.open(t)
	first := commit(t, s, put("a", "1"), put("b", "1"))
	last := commit(t, s, del("a"), put("b", ""))
	got := changes(t, s, first, last)
	if len(got) != 1 || got[0].Rev != last {
		t.Fatalf("changes %v", got)
	}
	checkOps(t, got[0].Ops, []kv.Op{del("a"), put("b", "")})
	if _, found := get(t, s, "a"); found {
		t.Error("a is still there")
	}
	if entry, found := get(t, s, "b"); !found || len(entry.Value) != 0 {
		t.Errorf("b is %+v, %v: an empty value is not a delete", entry, found)
	}
}

// testFeedResumes cancels the watch every few changes and takes it up again
// where it was.
func testFeedResumes(t *testing.T, e Engine) {
	const n = 500
	s := e.open(t)
	wait := background(t, func() error {
		for i := range n {
			v := strconv.Itoa(i)
			if _, err := s.Commit(context.Background(), nil, []kv.Op{put("a", v), put("b", v), put("c", v)}); err != nil {
				return err
			}
		}
		return nil
	})
	var at kv.Rev
	for seen := 0; seen < n; {
		ctx, cancel := context.WithTimeout(context.Background(), patience)
		stopAt := seen + 37
		err := s.Watch(ctx, at, func(c kv.Change) error {
			v := strconv.Itoa(seen)
			checkOps(t, c.Ops, []kv.Op{put("a", v), put("b", v), put("c", v)})
			at = c.Rev
			if seen++; seen == stopAt || seen == n {
				cancel()
			}
			return nil
		})
		cancel()
		if !errors.Is(err, context.Canceled) {
			t.Fatalf("watch ended with %v after %d changes", err, seen)
		}
	}
	if err := wait(); err != nil {
		t.Fatal(err)
	}
}

func testBlockedWatcher(t *testing.T, e Engine) {
	const writers, each = 25, 200
	s := e.open(t)
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	blocked, release := make(chan struct{}), make(chan struct{})
	var seen atomic.Int64
	watch := background(t, func() error {
		return s.Watch(ctx, 0, func(kv.Change) error {
			if seen.Add(1) == 1 {
				close(blocked)
				<-release
			}
			if seen.Load() == writers*each+1 {
				return errEnough
			}
			return nil
		})
	})
	commit(t, s, put("first", ""))
	<-blocked
	var waits []func() error
	for w := range writers {
		waits = append(waits, background(t, func() error {
			for i := range each {
				if _, err := s.Commit(ctx, nil, []kv.Op{put(fmt.Sprintf("k%d", w), strconv.Itoa(i))}); err != nil {
					return err
				}
			}
			return nil
		}))
	}
	for _, wait := range waits {
		if err := wait(); err != nil {
			t.Fatal(err)
		}
	}
	if n := seen.Load(); n != 1 {
		t.Errorf("the blocked watcher went on to %d", n)
	}
	close(release)
	if err := watch(); !errors.Is(err, errEnough) {
		t.Fatalf("released, the watcher ended with %v after %d changes", err, seen.Load())
	}
}

func testFiftyWatchers(t *testing.T, e Engine) {
	const watchers, commits = 50, 40
	s := e.open(t)
	var waits []func() error
	for range watchers {
		waits = append(waits, background(t, func() error {
			next := 0
			return s.Watch(context.Background(), 0, func(c kv.Change) error {
				if want := strconv.Itoa(next); string(c.Ops[0].Value) != want {
					return fmt.Errorf("got change %s, want %s", c.Ops[0].Value, want)
				}
				if next++; next == commits {
					return errEnough
				}
				return nil
			})
		}))
	}
	for i := range commits {
		commit(t, s, put("k", strconv.Itoa(i)))
	}
	for _, wait := range waits {
		if err := wait(); !errors.Is(err, errEnough) {
			t.Fatal(err)
		}
	}
}

func testWatchEnds(t *testing.T, e Engine) {
	s := e.open(t)
	rev := commit(t, s, put("k", "1"))
	fail := errors.New("watcher's own")
	if err := s.Watch(context.Background(), 0, func(kv.Change) error { return fail }); err != fail {
		t.Errorf("watch returned %v instead of its function's error", err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	waiting := background(t, func() error {
		return s.Watch(ctx, rev, func(kv.Change) error { return errors.New("there is no change") })
	})
	time.Sleep(10 * time.Millisecond) // let it begin to wait
	cancel()
	if err := waiting(); !errors.Is(err, context.Canceled) {
		t.Errorf("a waiting watch ended with %v", err)
	}
	if err := s.Watch(ctx, 0, func(kv.Change) error { return fail }); !errors.Is(err, context.Canceled) {
		t.Errorf("a watch already cancelled ended with %v", err)
	}
}

func testWatchFuture(t *testing.T, e Engine) {
	s := e.open(t)
	rev := commit(t, s, put("k", "1"))
	if err := s.Watch(context.Background(), rev+1000, func(kv.Change) error { return nil }); !errors.Is(err, kv.ErrInvalid) {
		t.Errorf("watch beyond the last revision: %v", err)
	}
	if err := s.Trim(context.Background(), rev+1000); !errors.Is(err, kv.ErrInvalid) {
		t.Errorf("trim beyond the last revision: %v", err)
	}
}
