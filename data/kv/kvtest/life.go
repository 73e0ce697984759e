package kvtest

import (
	"bytes"
	"context"
	"errors"
	"maps"
	"testing"
	"time"

	"layshaft/data/kv"
)

func testGivenUp(t *testing.T, e Engine) {
	s := e.open(t)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err := s.Commit(ctx, nil, []kv.Op{put("k", "v")})
	if !errors.Is(err, kv.ErrUnavailable) || !errors.Is(err, context.Canceled) {
		t.Errorf("commit with an ended context: %v", err)
	}
	if _, err := s.Snapshot(ctx); !errors.Is(err, context.Canceled) {
		t.Errorf("snapshot with an ended context: %v", err)
	}
	if _, found := get(t, s, "k"); found {
		t.Error("the batch was written")
	}
	commit(t, s, put("k", "v"))
	snap := snapshot(t, s)
	defer snap.Close()
	if _, _, err := snap.Get(ctx, "k"); !errors.Is(err, context.Canceled) {
		t.Errorf("get with an ended context: %v", err)
	}
	err = snap.Scan(ctx, "", "", func(kv.Entry) error { return nil })
	if !errors.Is(err, context.Canceled) {
		t.Errorf("scan with an ended context: %v", err)
	}
}

// testClosed closes a store that is being watched, read and written to.
func testClosed(t *testing.T, e Engine) {
	ctx := context.Background()
	s := e.open(t)
	rev := commit(t, s, put("a", "1"), put("b", "1"))
	open, closed := snapshot(t, s), snapshot(t, s)
	closed.Close()
	closed.Close()
	if _, _, err := closed.Get(ctx, "a"); !errors.Is(err, kv.ErrUnavailable) {
		t.Errorf("get from a closed snapshot: %v", err)
	}
	watch := background(t, func() error { return s.Watch(ctx, rev, func(kv.Change) error { return nil }) })
	var waits []func() error
	for range 4 {
		waits = append(waits, background(t, func() error {
			for {
				if err := increment(s, "n"); err != nil {
					return err
				}
			}
		}))
	}
	time.Sleep(20 * time.Millisecond) // let them get going
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	for _, wait := range append(waits, watch) {
		if err := wait(); !errors.Is(err, kv.ErrUnavailable) {
			t.Errorf("a call under way ended with %v", err)
		}
	}
	_, err := s.Commit(ctx, nil, []kv.Op{put("k", "v")})
	_, err2 := s.Snapshot(ctx)
	_, err3 := s.Export(ctx, &bytes.Buffer{})
	_, err4 := s.Import(ctx, &bytes.Buffer{})
	_, err5 := s.Status(ctx)
	_, _, err6 := open.Get(ctx, "a")
	err7 := open.Scan(ctx, "", "", func(kv.Entry) error { return nil })
	err8 := s.Watch(ctx, 0, func(kv.Change) error { return nil })
	for i, err := range []error{err, err2, err3, err5, err6, err7, err8, s.Trim(ctx, 1)} {
		if !errors.Is(err, kv.ErrUnavailable) {
			t.Errorf("call %d after closing: %v", i, err)
		}
	}
	if err4 == nil {
		t.Error("import after closing succeeded")
	}
	open.Close()
	if err := s.Close(); err != nil {
		t.Errorf("closing again: %v", err)
	}
}

func testSecondOpen(t *testing.T, e Engine) {
	if !e.Exclusive {
		t.Skip("this engine may be opened more than once")
	}
	dir := t.TempDir()
	s := e.openAt(t, dir)
	second, err := e.Open(dir)
	if err == nil {
		t.Error("opened twice", second.Close())
	}
	if !errors.Is(err, kv.ErrUnavailable) {
		t.Errorf("second open: %v", err)
	}
	commit(t, s, put("k", "v"))
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	if entry, found := get(t, e.openAt(t, dir), "k"); !found || string(entry.Value) != "v" {
		t.Errorf("opened again it has %+v, %v", entry, found)
	}
}

func testReopen(t *testing.T, e Engine) {
	if !e.Durable {
		t.Skip("this engine keeps nothing")
	}
	dir := t.TempDir()
	s := e.openAt(t, dir)
	fill(t, s)
	want, rev := content(t, s)
	if err := s.Trim(context.Background(), rev-2); err != nil {
		t.Fatal(err)
	}
	for range 3 {
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
		s = e.openAt(t, dir)
		if all, now := content(t, s); !maps.Equal(all, want) || now != rev {
			t.Fatalf("opened again: %d entries at %d, want %d at %d", len(all), now, len(want), rev)
		}
	}
	if got := changes(t, s, rev-2, rev); len(got) != 2 {
		t.Errorf("opened again the feed has %d changes, want 2", len(got))
	}
	checkCompacted(t, s, rev-3, rev-2)
	if next := commit(t, s, put("next", "1")); next <= rev {
		t.Errorf("revision %d after %d", next, rev)
	}
}
