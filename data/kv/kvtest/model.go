package kvtest

import (
	"bytes"
	"context"
	"errors"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"layshaft/data/kv"
)

// machine is a store beside a plain map and a plain list, driven by random
// steps. After each step both must be the same. Opening a durable store takes
// long beside the steps, so one emptied store serves run after run; a failed
// run leaves its store behind.
type machine struct {
	root    string
	clean   bool // the last run came to its end
	engine  Engine
	dir     string
	store   kv.Store
	entries map[string]kv.Entry
	log     []kv.Change
	rev     kv.Rev
	trimmed kv.Rev

	held    kv.Snapshot // a snapshot and what it must go on showing
	heldMap map[string]kv.Entry
}

func testLikeMap(t *testing.T, e Engine) {
	m := &machine{engine: e, root: t.TempDir()}
	t.Cleanup(func() { m.stop(t) })
	rapid.Check(t, func(rt *rapid.T) {
		m.start(rt)
		rt.Repeat(map[string]func(*rapid.T){
			"":       m.check,
			"commit": m.commit,
			"scan":   m.scan,
			"hold":   m.hold,
			"trim":   m.trim,
			"watch":  m.watch,
			"export": m.export,
			"reopen": m.reopen,
		})
		m.clean = true
	})
}

func (m *machine) start(t *rapid.T) {
	if m.held != nil {
		m.held.Close()
		m.held = nil
	}
	m.entries, m.log = map[string]kv.Entry{}, nil
	if m.clean {
		all, rev := content(t, m.store)
		m.rev = rev
		for key := range all {
			m.rev = commit(t, m.store, del(key))
		}
		if err := m.store.Trim(context.Background(), m.rev); err != nil {
			t.Fatalf("trim: %v", err)
		}
		m.clean, m.trimmed = false, m.rev
		return
	}
	m.stop(t)
	m.rev, m.trimmed = 0, 0
	dir, err := os.MkdirTemp(m.root, "")
	if err != nil {
		t.Fatalf("%v", err)
	}
	m.dir = dir
	if m.store, err = m.engine.Open(dir); err != nil {
		t.Fatalf("open: %v", err)
	}
}

func (m *machine) stop(t tester) {
	if m.held != nil {
		m.held.Close()
		m.held = nil
	}
	if m.store == nil {
		return
	}
	if err := m.store.Close(); err != nil {
		t.Fatalf("close: %v", err)
	}
	m.store = nil
}

func genKey() *rapid.Generator[string] {
	return rapid.SampledFrom([]string{"\x00", "a", "a\x00", "a\xff", "aa", "ab", "b", "\xff", "\xff\xff"})
}

func (m *machine) commit(t *rapid.T) {
	keys := rapid.SliceOfNDistinct(genKey(), 1, 6, rapid.ID).Draw(t, "keys")
	var ops []kv.Op
	for _, key := range keys {
		if rapid.IntRange(0, 2).Draw(t, "delete") == 0 {
			ops = append(ops, del(key))
		} else {
			ops = append(ops, kv.Op{Key: key, Value: rapid.SliceOfN(rapid.Byte(), 0, 8).Draw(t, "value")})
		}
	}
	var conds []kv.Cond
	for _, key := range rapid.SliceOfNDistinct(genKey(), 0, 3, rapid.ID).Draw(t, "conds") {
		rev := m.entries[key].Rev
		if rapid.IntRange(0, 3).Draw(t, "wrong") == 0 {
			rev = kv.Rev(rapid.Uint64Range(0, uint64(m.rev)+1).Draw(t, "rev"))
		}
		conds = append(conds, kv.Cond{Key: key, Rev: rev})
	}
	rev, err := m.store.Commit(context.Background(), conds, ops)
	failing := slices.IndexFunc(conds, func(c kv.Cond) bool { return m.entries[c.Key].Rev != c.Rev })
	if failing >= 0 {
		var conflict *kv.ConflictError
		if !errors.As(err, &conflict) || conflict.Key != conds[failing].Key {
			t.Fatalf("got %v, want a conflict on %q", err, conds[failing].Key)
		}
		return
	}
	if err != nil {
		t.Fatalf("commit: %v", err)
	}
	m.apply(t, rev, ops)
}

func (m *machine) apply(t *rapid.T, rev kv.Rev, ops []kv.Op) {
	ops = slices.DeleteFunc(slices.Clone(ops), func(op kv.Op) bool {
		_, found := m.entries[op.Key]
		return op.Delete && !found
	})
	if len(ops) == 0 {
		if rev != m.rev {
			t.Fatalf("a batch without effect made revision %d after %d", rev, m.rev)
		}
		return
	}
	if rev <= m.rev {
		t.Fatalf("revision %d after %d", rev, m.rev)
	}
	m.rev = rev
	m.log = append(m.log, kv.Change{Rev: rev, Ops: ops})
	for _, op := range ops {
		if op.Delete {
			delete(m.entries, op.Key)
		} else {
			m.entries[op.Key] = kv.Entry{Key: op.Key, Value: op.Value, Rev: rev}
		}
	}
}

// check compares everything.
func (m *machine) check(t *rapid.T) {
	snap := snapshot(t, m.store)
	defer snap.Close()
	if snap.Rev() != m.rev {
		t.Fatalf("the store is at revision %d, want %d", snap.Rev(), m.rev)
	}
	compare(t, snap, m.entries, "", "")
	if m.held != nil {
		compare(t, m.held, m.heldMap, "", "")
	}
	key := genKey().Draw(t, "get")
	got, found, err := snap.Get(context.Background(), key)
	want, wanted := m.entries[key]
	if err != nil || found != wanted || found && !sameEntry(got, want) {
		t.Fatalf("get %q: %+v %v %v, want %+v", key, got, found, err, want)
	}
}

func sameEntry(a, b kv.Entry) bool {
	return a.Key == b.Key && a.Rev == b.Rev && bytes.Equal(a.Value, b.Value)
}

func compare(t *rapid.T, snap kv.Snapshot, entries map[string]kv.Entry, prefix, after string) {
	t.Helper()
	var want []kv.Entry
	for _, key := range slices.Sorted(maps.Keys(entries)) {
		if strings.HasPrefix(key, prefix) && key > after {
			want = append(want, entries[key])
		}
	}
	if got := scan(t, snap, prefix, after); !slices.EqualFunc(got, want, sameEntry) {
		t.Fatalf("scan of %q after %q: %+v, want %+v", prefix, after, got, want)
	}
}

func (m *machine) scan(t *rapid.T) {
	snap := snapshot(t, m.store)
	defer snap.Close()
	prefix := rapid.OneOf(genKey(), rapid.Just("")).Draw(t, "prefix")
	compare(t, snap, m.entries, prefix, rapid.OneOf(genKey(), rapid.Just("")).Draw(t, "after"))
}

func (m *machine) hold(t *rapid.T) {
	if m.held != nil {
		m.held.Close()
	}
	m.held, m.heldMap = snapshot(t, m.store), maps.Clone(m.entries)
}

func (m *machine) trim(t *rapid.T) {
	upto := kv.Rev(rapid.Uint64Range(0, uint64(m.rev)).Draw(t, "upto"))
	if err := m.store.Trim(context.Background(), upto); err != nil {
		t.Fatalf("trim to %d: %v", upto, err)
	}
	m.trimmed = max(m.trimmed, upto)
}

func (m *machine) watch(t *rapid.T) {
	after := kv.Rev(rapid.Uint64Range(0, uint64(m.rev)).Draw(t, "after"))
	if after < m.trimmed {
		err := m.store.Watch(context.Background(), after, func(kv.Change) error { return errEnough })
		if !errors.Is(err, kv.ErrCompacted) {
			t.Fatalf("watch after %d, trimmed to %d: %v", after, m.trimmed, err)
		}
		return
	}
	var want []kv.Change
	for _, c := range m.log {
		if c.Rev > after {
			want = append(want, c)
		}
	}
	got := changes(t, m.store, after, m.rev)
	if len(got) != len(want) {
		t.Fatalf("watch after %d: %d changes, want %d", after, len(got), len(want))
	}
	for i := range want {
		if got[i].Rev != want[i].Rev {
			t.Fatalf("watch after %d: revision %d, want %d", after, got[i].Rev, want[i].Rev)
		}
		checkOps(t, got[i].Ops, want[i].Ops)
	}
}

func (m *machine) export(t *rapid.T) {
	other := kv.NewMemory()
	defer other.Close()
	if _, err := other.Import(context.Background(), bytes.NewReader(export(t, m.store))); err != nil {
		t.Fatalf("import: %v", err)
	}
	got, _ := content(t, other)
	want := texts(slices.Collect(maps.Values(m.entries)))
	if !maps.Equal(got, want) {
		t.Fatalf("imported %v, want %v", got, want)
	}
}

func (m *machine) reopen(t *rapid.T) {
	if !m.engine.Durable {
		t.Skip("this engine keeps nothing")
	}
	if rapid.IntRange(0, 5).Draw(t, "reopen") > 0 {
		return
	}
	if m.held != nil {
		m.held.Close()
		m.held = nil
	}
	if err := m.store.Close(); err != nil {
		t.Fatalf("close: %v", err)
	}
	var err error
	if m.store, err = m.engine.Open(m.dir); err != nil {
		t.Fatalf("open again: %v", err)
	}
}
