package kv

import (
	"bytes"
	"context"
	"io"
	"reflect"
	"slices"
	"sync"

	"github.com/google/btree"
)

// NewMemory returns an empty store that lives as long as the process, for
// tests and trials. It decides every batch twice, each time from a copy of its
// own, and refuses with [ErrInvalid] a batch that came out differently: its
// caller changed it while Commit was reading it.
func NewMemory() Store {
	return Limit(&memory{entries: newTree()})
}

type memory struct {
	bell Bell

	mu      sync.RWMutex
	entries *btree.BTreeG[Entry]
	log     []Change // those after trimmed
	rev     Rev
	trimmed Rev
	closed  bool
}

const treeDegree = 32

func newTree() *btree.BTreeG[Entry] {
	return btree.NewG(treeDegree, func(a, b Entry) bool { return a.Key < b.Key })
}

func (m *memory) alive() error {
	if m.closed {
		return Closed()
	}
	return nil
}

func (m *memory) Commit(_ context.Context, conds []Cond, ops []Op) (Rev, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if err := m.alive(); err != nil {
		return 0, err
	}
	first, err := m.decide(slices.Clone(conds), cloneOps(ops))
	second, again := m.decide(slices.Clone(conds), cloneOps(ops))
	if !reflect.DeepEqual(first, second) || !reflect.DeepEqual(err, again) {
		return 0, &InvalidError{Reason: "the batch was changed while it was being committed"}
	}
	if err != nil {
		return 0, err
	}
	if len(first) == 0 {
		return m.rev, nil
	}
	m.rev++
	for _, op := range first {
		if op.Delete {
			m.entries.Delete(Entry{Key: op.Key})
		} else {
			m.entries.ReplaceOrInsert(Entry{Key: op.Key, Value: op.Value, Rev: m.rev})
		}
	}
	m.log = append(m.log, Change{Rev: m.rev, Ops: second})
	m.bell.Ring()
	return m.rev, nil
}

// decide returns the operations that have an effect.
func (m *memory) decide(conds []Cond, ops []Op) ([]Op, error) {
	err := CheckConds(conds, func(key string) (Rev, error) {
		e, _ := m.entries.Get(Entry{Key: key})
		return e.Rev, nil
	})
	if err != nil {
		return nil, err
	}
	return slices.DeleteFunc(ops, func(op Op) bool {
		return op.Delete && !m.entries.Has(Entry{Key: op.Key})
	}), nil
}

func cloneOps(ops []Op) []Op {
	out := slices.Clone(ops)
	for i := range out {
		if !out[i].Delete {
			out[i].Value = append([]byte{}, out[i].Value...)
		}
	}
	return out
}

func (m *memory) Watch(ctx context.Context, after Rev, fn func(Change) error) error {
	return Follow(ctx, after, &m.bell, m.changesAfter, fn)
}

func (m *memory) changesAfter(after Rev) ([]Change, error) {
	const page = 64
	m.mu.RLock()
	defer m.mu.RUnlock()
	if err := m.alive(); err != nil {
		return nil, err
	}
	if err := CheckAfter(after, m.trimmed, m.rev); err != nil {
		return nil, err
	}
	from, _ := slices.BinarySearchFunc(m.log, after+1, func(c Change, r Rev) int { return int(int64(c.Rev) - int64(r)) })
	out := slices.Clone(m.log[from:min(from+page, len(m.log))])
	for i := range out {
		out[i].Ops = cloneOps(out[i].Ops)
	}
	return out, nil
}

func (m *memory) Trim(_ context.Context, upto Rev) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	switch {
	case m.closed:
		return Closed()
	case upto > m.rev:
		return notReached(upto, m.rev)
	case upto <= m.trimmed:
		return nil
	}
	m.trimmed = upto
	m.log = slices.Clone(slices.DeleteFunc(m.log, func(c Change) bool { return c.Rev <= upto }))
	return nil
}

func (m *memory) Export(ctx context.Context, w io.Writer) (Rev, error) {
	snap, err := m.Snapshot(ctx)
	if err != nil {
		return 0, err
	}
	defer snap.Close()
	return snap.Rev(), WriteExport(ctx, w, snap)
}

func (m *memory) Import(ctx context.Context, r io.Reader) (Rev, error) {
	tree := newTree()
	rev, err := ReadExport(ctx, r, func(e Entry) error {
		tree.ReplaceOrInsert(e)
		return nil
	})
	if err != nil {
		return 0, err
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	if err := m.alive(); err != nil {
		return 0, err
	}
	if err := CheckUntouched(m.rev); err != nil {
		return 0, err
	}
	m.entries, m.rev, m.trimmed = tree, rev, rev
	m.bell.Ring()
	return rev, nil
}

func (m *memory) Status(context.Context) (Status, error) {
	m.mu.RLock()
	defer m.mu.RUnlock()
	if err := m.alive(); err != nil {
		return Status{}, err
	}
	var used int64
	m.entries.Ascend(func(e Entry) bool {
		used += int64(len(e.Key) + len(e.Value))
		return true
	})
	return Status{Engine: "memory", Rev: m.rev, TrimmedTo: m.trimmed, BytesUsed: used, BytesFree: -1, Healthy: true}, nil
}

func (m *memory) Close() error {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.closed = true
	m.bell.Ring()
	return nil
}

func (m *memory) Snapshot(context.Context) (Snapshot, error) {
	m.mu.Lock() // cloning marks the tree as shared
	defer m.mu.Unlock()
	if err := m.alive(); err != nil {
		return nil, err
	}
	return &memorySnapshot{store: m, entries: m.entries.Clone(), rev: m.rev}, nil
}

type memorySnapshot struct {
	store   *memory
	entries *btree.BTreeG[Entry]
	rev     Rev

	mu     sync.Mutex
	closed bool
}

func (s *memorySnapshot) Rev() Rev { return s.rev }

func (s *memorySnapshot) Close() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.closed = true
}

func (s *memorySnapshot) alive() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.closed {
		return SnapshotClosed()
	}
	s.store.mu.RLock()
	defer s.store.mu.RUnlock()
	return s.store.alive()
}

func (s *memorySnapshot) Get(_ context.Context, key string) (Entry, bool, error) {
	if err := s.alive(); err != nil {
		return Entry{}, false, err
	}
	e, ok := s.entries.Get(Entry{Key: key})
	if !ok {
		return Entry{}, false, nil
	}
	e.Value = bytes.Clone(e.Value)
	return e, true, nil
}

func (s *memorySnapshot) Scan(ctx context.Context, prefix, after string, fn func(Entry) error) error {
	var failed error
	s.entries.AscendGreaterOrEqual(Entry{Key: max(prefix, after)}, func(e Entry) bool {
		if failed = s.alive(); failed != nil {
			return false
		}
		if failed = ctx.Err(); failed != nil {
			return false
		}
		if len(e.Key) < len(prefix) || e.Key[:len(prefix)] != prefix {
			return false
		}
		if e.Key == after {
			return true
		}
		e.Value = bytes.Clone(e.Value)
		failed = fn(e)
		return failed == nil
	})
	return failed
}
