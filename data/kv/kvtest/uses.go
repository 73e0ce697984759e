package kvtest

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
	"testing"

	"layshaft/data/kv"
)

// index is what a server holds in memory: built from a snapshot, kept by the
// feed, built anew when the feed has been trimmed.
type index struct {
	content map[string]string
	rev     kv.Rev
	built   int // times built from a snapshot
}

func (x *index) follow(ctx context.Context, t tester, s kv.Store, upto kv.Rev) error {
	for {
		if x.built == 0 {
			x.content, x.rev = content(t, s)
			x.built++
		}
		if x.rev >= upto {
			return nil
		}
		err := s.Watch(ctx, x.rev, func(c kv.Change) error {
			follow(x.content, c)
			if x.rev = c.Rev; x.rev >= upto {
				return errEnough
			}
			return nil
		})
		switch {
		case errors.Is(err, kv.ErrCompacted):
			x.content, x.rev = content(t, s)
			x.built++
		case !errors.Is(err, errEnough):
			return err
		}
	}
}

func (x *index) hash() [sha256.Size]byte {
	var b strings.Builder
	for _, key := range slices.Sorted(maps.Keys(x.content)) {
		fmt.Fprintf(&b, "%q=%q\n", key, x.content[key])
	}
	return sha256.Sum256([]byte(b.String()))
}

func testTrimmed(t *testing.T, e Engine) {
	s := e.open(t)
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	step := func(seed uint64) kv.Rev {
		if err := scribble(s, seed, 50); err != nil {
			t.Fatal(err)
		}
		return commit(t, s, put("step", strconv.FormatUint(seed, 10)))
	}
	first := step(1)
	var late, steady index
	for _, x := range []*index{&late, &steady} {
		if err := x.follow(ctx, t, s, first); err != nil {
			t.Fatal(err)
		}
	}
	second := step(2)
	if err := steady.follow(ctx, t, s, second); err != nil {
		t.Fatal(err)
	}
	for _, upto := range []kv.Rev{second - 1, second - 10, second - 1} { // back and again do nothing
		if err := s.Trim(ctx, upto); err != nil {
			t.Fatal(err)
		}
	}
	checkCompacted(t, s, first, second-1)
	last := step(3)
	for _, x := range []*index{&late, &steady} {
		if err := x.follow(ctx, t, s, last); err != nil {
			t.Fatal(err)
		}
	}
	if late.built != 2 || steady.built != 1 {
		t.Errorf("built %d and %d times, want 2 and 1", late.built, steady.built)
	}
	if late.hash() != steady.hash() {
		t.Error("the index built anew differs from the one that followed")
	}
	if got := changes(t, s, second-1, second); len(got) != 1 {
		t.Errorf("the change after the trimmed ones came %d times", len(got))
	}
}

func checkCompacted(t *testing.T, s kv.Store, after, trimmed kv.Rev) {
	t.Helper()
	err := s.Watch(context.Background(), after, func(kv.Change) error { return nil })
	var compacted *kv.CompactedError
	if !errors.Is(err, kv.ErrCompacted) || !errors.As(err, &compacted) || compacted.After != after {
		t.Errorf("watch of trimmed changes: %v", err)
	}
	if st, err := s.Status(context.Background()); err != nil || st.TrimmedTo != trimmed {
		t.Errorf("status %+v, %v: want trimmed to %d", st, err, trimmed)
	}
}

// once adds to a counter under a request id. Repeated, it returns the first
// outcome.
func once(s kv.Store, id string, by int) (outcome string, err error) {
	ctx := context.Background()
	for {
		snap, err := s.Snapshot(ctx)
		if err != nil {
			return "", err
		}
		done, found, err := snap.Get(ctx, "r/"+id)
		sum, _, err2 := snap.Get(ctx, "sum")
		snap.Close()
		if err := errors.Join(err, err2); err != nil {
			return "", err
		}
		if found {
			return string(done.Value), nil
		}
		n, _ := strconv.Atoi(string(sum.Value)) // absent counts as 0
		outcome := strconv.Itoa(n + by)
		conds := []kv.Cond{{Key: "r/" + id}, {Key: "sum", Rev: sum.Rev}}
		_, err = s.Commit(ctx, conds, []kv.Op{put("r/"+id, outcome), put("sum", outcome)})
		if !errors.Is(err, kv.ErrConflict) {
			return outcome, err
		}
	}
}

func testRequestID(t *testing.T, e Engine) {
	const ids, tries = 10, 4
	s := e.open(t)
	outcomes := make([][tries]string, ids)
	var waits []func() error
	for try := range tries {
		waits = append(waits, background(t, func() (err error) {
			for id := range ids {
				if outcomes[id][try], err = once(s, strconv.Itoa(id), 1+id); err != nil {
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
	for id, got := range outcomes {
		for _, outcome := range got {
			if outcome != got[0] {
				t.Errorf("request %d had outcomes %v", id, got)
			}
		}
	}
	if sum, _ := get(t, s, "sum"); string(sum.Value) != strconv.Itoa(ids*(ids+1)/2) {
		t.Errorf("sum is %s: a request had more than one effect", sum.Value)
	}
}

// testGenerationFlip writes catalogues larger than a batch under a generation
// each and flips a pointer; readers must never see a mixed or partial one.
func testGenerationFlip(t *testing.T, e Engine) {
	const parts, generations = 250, 8
	s := e.open(t)
	write := func(gen int) error {
		for at := 0; at < parts; at += kv.MaxOps {
			var ops []kv.Op
			for i := at; i < min(at+kv.MaxOps, parts); i++ {
				ops = append(ops, put(fmt.Sprintf("c/%04d/p/%d", gen, i), strconv.Itoa(gen)))
			}
			if _, err := s.Commit(context.Background(), nil, ops); err != nil {
				return err
			}
		}
		_, err := s.Commit(context.Background(), nil, []kv.Op{put("c/cur", strconv.Itoa(gen))})
		return err
	}
	if err := write(0); err != nil {
		t.Fatal(err)
	}
	wait := background(t, func() error {
		for gen := 1; gen < generations; gen++ {
			if err := write(gen); err != nil {
				return err
			}
		}
		return nil
	})
	for gen := 0; gen < generations-1; {
		snap := snapshot(t, s)
		cur, _, err := snap.Get(context.Background(), "c/cur")
		if err != nil {
			t.Fatal(err)
		}
		if gen, err = strconv.Atoi(string(cur.Value)); err != nil {
			t.Fatal(err)
		}
		got := scan(t, snap, fmt.Sprintf("c/%04d/p/", gen), "")
		snap.Close()
		if len(got) != parts {
			t.Fatalf("generation %d has %d parts of %d", gen, len(got), parts)
		}
		for _, entry := range got {
			if string(entry.Value) != string(cur.Value) {
				t.Fatalf("generation %d holds a part of %s", gen, entry.Value)
			}
		}
	}
	if err := wait(); err != nil {
		t.Fatal(err)
	}
}
