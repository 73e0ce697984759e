package kvtest

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
	"testing"

	"layshaft/data/kv"
)

func testOrder(t *testing.T, e Engine) {
	s := e.open(t)
	keys := []string{"\x00", "\x00\x00", "\x01", "a", "a\x00", "a\x01", "a\xff", "a\xff\xff", "aa", "b", "é", "\xfe", "\xff", "\xff\x00", "\xff\xff", strings.Repeat("\xff", kv.MaxKey)}
	shuffled := slices.Clone(keys)
	slices.Reverse(shuffled)
	for _, key := range shuffled {
		commit(t, s, put(key, "v"+key))
	}
	snap := snapshot(t, s)
	defer snap.Close()
	slices.Sort(keys)
	for _, prefix := range append([]string{"", "c", "a\xff\xff\xff", strings.Repeat("\xff", kv.MaxKey+1)}, keys...) {
		for _, after := range append([]string{"", "a\x7f", "zz"}, keys...) {
			var want []string
			for _, key := range keys {
				if strings.HasPrefix(key, prefix) && key > after {
					want = append(want, key)
				}
			}
			var got []string
			for _, entry := range scan(t, snap, prefix, after) {
				got = append(got, entry.Key)
				if string(entry.Value) != "v"+entry.Key {
					t.Fatalf("key %q has value %q", entry.Key, entry.Value)
				}
			}
			if !slices.Equal(got, want) {
				t.Fatalf("prefix %q after %q: got %q, want %q", prefix, after, got, want)
			}
		}
	}
}

// testSnapshotIsolation scans more than any engine reads at once while every
// entry is overwritten, deleted or joined by another.
func testSnapshotIsolation(t *testing.T, e Engine) {
	const n = 2500
	s := e.open(t)
	for at := 0; at < n; at += kv.MaxOps {
		var ops []kv.Op
		for i := at; i < min(at+kv.MaxOps, n); i++ {
			ops = append(ops, put(fmt.Sprintf("k/%05d", i), "old"))
		}
		commit(t, s, ops...)
	}
	snap := snapshot(t, s)
	defer snap.Close()
	seen := 0
	err := snap.Scan(context.Background(), "k/", "", func(entry kv.Entry) error {
		if want := fmt.Sprintf("k/%05d", seen); entry.Key != want || string(entry.Value) != "old" {
			t.Fatalf("entry %d: %q = %q", seen, entry.Key, entry.Value)
		}
		if seen%25 == 0 {
			last := fmt.Sprintf("k/%05d", n-1-seen)
			commit(t, s, put(entry.Key, "new"), put(entry.Key+"/more", "new"), del(last))
		}
		seen++
		return nil
	})
	if err != nil || seen != n {
		t.Fatalf("%d entries of %d: %v", seen, n, err)
	}
	now, _ := content(t, s)
	if _, left := now[fmt.Sprintf("k/%05d", n-1)]; left || now["k/00000"] != "new" || now["k/00025/more"] != "new" {
		t.Error("the commits made while scanning are not there")
	}
	fail := errors.New("reader's own")
	if err := snap.Scan(context.Background(), "", "", func(kv.Entry) error { return fail }); err != fail {
		t.Errorf("scan returned %v instead of its function's error", err)
	}
}

func testConditions(t *testing.T, e Engine) {
	s := e.open(t)
	ctx := context.Background()
	first := commitIf(t, s, []kv.Cond{{Key: "a"}}, put("a", "1"), put("b", "1"))
	second := commitIf(t, s, []kv.Cond{{Key: "a", Rev: first}}, put("a", "2"))
	gone := commit(t, s, del("b"))
	tests := []struct {
		name string
		cond kv.Cond
		have kv.Rev // 0 with want 0 means it holds
		hold bool
	}{
		{"exact", kv.Cond{Key: "a", Rev: second}, second, true},
		{"stale", kv.Cond{Key: "a", Rev: first}, second, false},
		{"ahead", kv.Cond{Key: "a", Rev: gone + 1000}, second, false},
		{"absent, but present", kv.Cond{Key: "a"}, second, false},
		{"deleted is absent", kv.Cond{Key: "b"}, 0, true},
		{"deleted has no revision", kv.Cond{Key: "b", Rev: first}, 0, false},
		{"deletion is no revision", kv.Cond{Key: "b", Rev: gone}, 0, false},
		{"never written", kv.Cond{Key: "c"}, 0, true},
	}
	for _, test := range tests {
		_, err := s.Commit(ctx, []kv.Cond{test.cond}, []kv.Op{put("other", "x")})
		if test.hold {
			if err != nil {
				t.Errorf("%s: %v", test.name, err)
			}
			continue
		}
		var conflict *kv.ConflictError
		want := kv.ConflictError{Key: test.cond.Key, Want: test.cond.Rev, Have: test.have}
		if !errors.Is(err, kv.ErrConflict) || !errors.As(err, &conflict) || *conflict != want {
			t.Errorf("%s: %v, want %+v", test.name, err, want)
		}
	}
	if entry, found := get(t, s, "a"); !found || entry.Rev != second || string(entry.Value) != "2" {
		t.Errorf("a is %+v, %v", entry, found)
	}
}

func testFailedCondition(t *testing.T, e Engine) {
	s := e.open(t)
	commit(t, s, put("a", "1"), put("b", "1"))
	before, rev := content(t, s)
	conds := []kv.Cond{{Key: "fresh"}, {Key: "b"}}
	_, err := s.Commit(context.Background(), conds, []kv.Op{put("a", "2"), del("b"), put("fresh", "x")})
	if !errors.Is(err, kv.ErrConflict) || !strings.Contains(err.Error(), `"b"`) {
		t.Fatalf("error %v does not name the key", err)
	}
	if after, now := content(t, s); !maps.Equal(before, after) || now != rev {
		t.Errorf("content %v at %d became %v at %d", before, rev, after, now)
	}
	next := commit(t, s, put("c", "1"))
	if got := changes(t, s, rev, next); len(got) != 1 {
		t.Errorf("the feed has %d changes, want 1: %v", len(got), got)
	}
}

func testCounter(t *testing.T, e Engine) {
	const writers, each = 8, 50
	s := e.open(t)
	var waits []func() error
	for range writers {
		waits = append(waits, background(t, func() error {
			for range each {
				if err := increment(s, "counter"); err != nil {
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
	entry, _ := get(t, s, "counter")
	if string(entry.Value) != strconv.Itoa(writers*each) {
		t.Fatalf("counter is %s, want %d", entry.Value, writers*each)
	}
}

// increment adds one to a counter, again and again until nobody was faster.
func increment(s kv.Store, key string) error {
	ctx := context.Background()
	for {
		snap, err := s.Snapshot(ctx)
		if err != nil {
			return err
		}
		entry, found, err := snap.Get(ctx, key)
		snap.Close()
		if err != nil {
			return err
		}
		n := 0
		if found {
			if n, err = strconv.Atoi(string(entry.Value)); err != nil {
				return err
			}
		}
		_, err = s.Commit(ctx, []kv.Cond{{Key: key, Rev: entry.Rev}}, []kv.Op{put(key, strconv.Itoa(n+1))})
		if !errors.Is(err, kv.ErrConflict) {
			return err
		}
	}
}

// testBatchWhole has one writer rewrite ten keys at once while readers check
// that all ten are always of one batch.
func testBatchWhole(t *testing.T, e Engine) {
	const keys, rounds = 10, 200
	s := e.open(t)
	batch := func(round int) (ops []kv.Op) {
		for i := range keys {
			ops = append(ops, put(fmt.Sprintf("k%d", i), strconv.Itoa(round)))
		}
		return ops
	}
	first := commit(t, s, batch(0)...)
	stop := make(chan struct{})
	wait := background(t, func() error {
		for {
			select {
			case <-stop:
				return nil
			default:
			}
			all, rev := content(t, s)
			for _, v := range all {
				if v != all["k0"] {
					return fmt.Errorf("revision %d mixes batches: %v", rev, all)
				}
			}
		}
	})
	last := first
	for round := 1; round <= rounds; round++ {
		last = commit(t, s, batch(round)...)
	}
	close(stop)
	if err := wait(); err != nil {
		t.Fatal(err)
	}
	got := changes(t, s, first, last)
	if len(got) != rounds {
		t.Fatalf("%d changes, want %d", len(got), rounds)
	}
	for i, c := range got {
		checkOps(t, c.Ops, batch(i+1))
	}
}

func checkOps(t tester, got, want []kv.Op) {
	t.Helper()
	same := slices.EqualFunc(got, want, func(a, b kv.Op) bool {
		return a.Key == b.Key && a.Delete == b.Delete && string(a.Value) == string(b.Value)
	})
	if !same {
		t.Fatalf("operations %v, want %v", got, want)
	}
}

func testRevisions(t *testing.T, e Engine) {
	dir := t.TempDir()
	s := e.openAt(t, dir)
	second := s
	if e.Durable && !e.Exclusive {
		second = e.openAt(t, dir)
	}
	if _, rev := content(t, s); rev != 0 {
		t.Errorf("an empty store is at revision %d", rev)
	}
	var last kv.Rev
	for i := range 50 {
		rev := commit(t, s, put("k", strconv.Itoa(i)))
		if rev <= last {
			t.Fatalf("revision %d after %d", rev, last)
		}
		last = rev
		snap := snapshot(t, second)
		seen, _, err := snap.Get(context.Background(), "k")
		if err != nil || snap.Rev() < rev || seen.Rev != rev || string(seen.Value) != strconv.Itoa(i) {
			t.Fatalf("after revision %d a snapshot at %d has %+v, %v", rev, snap.Rev(), seen, err)
		}
		snap.Close()
	}
	st, err := s.Status(context.Background())
	if err != nil || st.Rev != last || !st.Healthy || st.Engine == "" {
		t.Errorf("status %+v, %v", st, err)
	}
}

// testOwnMemory changes what went in and what came out; the store must not
// notice.
func testOwnMemory(t *testing.T, e Engine) {
	s := e.open(t)
	value := []byte("first")
	rev := commit(t, s, kv.Op{Key: "k", Value: value}, kv.Op{Key: "nil"})
	copy(value, "XXXXX")
	snap := snapshot(t, s)
	defer snap.Close()
	for range 2 {
		for _, entry := range scan(t, snap, "", "") {
			if entry.Value == nil {
				t.Errorf("%s has a nil value", entry.Key)
			}
			copy(entry.Value, "YYYYY")
		}
		entry, _, err := snap.Get(context.Background(), "k")
		if err != nil || string(entry.Value) != "first" {
			t.Fatalf("value became %q, %v", entry.Value, err)
		}
		copy(entry.Value, "ZZZZZ")
		for _, c := range changes(t, s, 0, rev) {
			if string(c.Ops[0].Value) != "first" {
				t.Fatalf("change became %q", c.Ops[0].Value)
			}
			copy(c.Ops[0].Value, "WWWWW")
		}
	}
}
