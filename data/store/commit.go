package store

import (
	"cmp"
	"context"
	"errors"
	"maps"
	"slices"
	"strings"

	"layshaft/catalog"
	"layshaft/data/kv"
	"layshaft/reconcile"
)

// attempts bounds how often a commit is tried when other servers write as well.
const attempts = 20

func (st *state) heads() []*reconcile.Head {
	out := make([]*reconcile.Head, 0, len(st.jobs))
	for _, j := range st.jobs {
		if j.job != nil {
			out = append(out, j.job.Head)
		}
	}
	slices.SortFunc(out, func(a, b *reconcile.Head) int { return cmp.Compare(a.ID, b.ID) })
	return out
}

// Done returns the edit that a request made; nil when the request is new.
func (s *Store) Done(ctx context.Context, request, digest string) (*catalog.Edit, error) {
	snap, err := s.kv.Snapshot(ctx)
	if err != nil {
		return nil, asDomain(err)
	}
	defer snap.Close()
	return done(ctx, snap, request, digest)
}

func done(ctx context.Context, snap kv.Snapshot, request, digest string) (*catalog.Edit, error) {
	rev, err := number(ctx, snap, requestKey(request))
	if err != nil || rev == 0 {
		return nil, asDomain(err)
	}
	e, err := readEdit(ctx, snap, rev)
	if err != nil {
		return nil, err
	}
	if e.Digest != digest {
		return nil, &catalog.Error{Code: catalog.CodeReused, Place: "request " + request,
			Message: "this request id was used before for another change", Remedy: "Send a new id for a new change"}
	}
	return e, nil
}

// Commit stores an edit; see catalog.Repository.
func (s *Store) Commit(ctx context.Context, e *catalog.Edit) (*catalog.Edit, error) {
	s.writing.Lock()
	stored, err := s.commit(ctx, e, nil)
	s.writing.Unlock()
	if err != nil {
		return nil, asDomain(err)
	}
	return stored, s.WaitFor(ctx, stored.Rev)
}

// commit tries until no other writer came between. Extra operations are written
// in the same batch.
func (s *Store) commit(ctx context.Context, e *catalog.Edit, extra []kv.Op) (*catalog.Edit, error) {
	var last error
	for range attempts {
		stored, err := s.tryCommit(ctx, e, extra)
		if err == nil || !errors.Is(err, kv.ErrConflict) && !errors.Is(err, kv.ErrUnknown) {
			return stored, err
		}
		// After an unknown outcome the next try finds the request, if it was stored.
		last = err
	}
	if errors.Is(last, kv.ErrConflict) {
		return nil, &catalog.Error{Code: catalog.CodeUnavailable, Place: "store", Cause: last,
			Message: "too many others write at the same time, nothing was stored", Remedy: "Try again"}
	}
	return nil, last
}

func (s *Store) tryCommit(ctx context.Context, e *catalog.Edit, extra []kv.Op) (*catalog.Edit, error) {
	snap, err := s.kv.Snapshot(ctx)
	if err != nil {
		return nil, err
	}
	defer snap.Close()
	if first, err := done(ctx, snap, e.Request, e.Digest); first != nil || err != nil {
		return first, err
	}
	seq, cond, err := sequence(ctx, snap)
	if err != nil {
		return nil, err
	}
	stored, ops, err := prepare(ctx, snap, e, seq+1)
	if err != nil {
		return nil, err
	}
	ops = append(ops, extra...)
	if _, err := s.kv.Commit(ctx, []kv.Cond{cond}, ops); err != nil {
		return nil, err
	}
	return stored, nil
}

// sequence is the last edit's number and the condition that nobody adds one.
func sequence(ctx context.Context, snap kv.Snapshot) (uint64, kv.Cond, error) {
	e, ok, err := snap.Get(ctx, keySeq)
	if err != nil || !ok {
		return 0, kv.Cond{Key: keySeq}, err
	}
	n, err := parseHex16(string(e.Value))
	if err != nil {
		return 0, kv.Cond{}, damaged(keySeq, err)
	}
	return n, kv.Cond{Key: keySeq, Rev: e.Rev}, nil
}

// prepare checks each operation against what is stored and makes the batch.
func prepare(ctx context.Context, snap kv.Snapshot, e *catalog.Edit, rev uint64) (*catalog.Edit, []kv.Op, error) {
	stored := *e
	stored.ID, stored.Rev, stored.Ops = editID(rev), rev, slices.Clone(e.Ops)
	gen, err := number(ctx, snap, keyGeneration)
	if err != nil {
		return nil, nil, err
	}
	b := &batch{ctx: ctx, snap: snap, gen: gen, job: e.Job, groups: map[string]map[string]catalog.Record{}}
	stamp := catalog.Stamp{Rev: rev, By: e.Who, At: e.At.UTC()}
	for i, op := range stored.Ops {
		if stored.Ops[i], err = b.add(op, stamp); err != nil {
			return nil, nil, err
		}
	}
	if err := b.closeGroups(); err != nil {
		return nil, nil, err
	}
	last := keyCatalogRev
	if e.Job != "" {
		last = prefixJobRevs + e.Job
	}
	value, err := sealEdit(&stored)
	if err != nil {
		return nil, nil, err
	}
	b.ops = append(b.ops,
		kv.Op{Key: keySeq, Value: []byte(hex16(rev))},
		kv.Op{Key: last, Value: []byte(hex16(rev))},
		kv.Op{Key: editKey(rev), Value: value},
		kv.Op{Key: requestKey(e.Request), Value: []byte(hex16(rev))})
	return &stored, b.ops, nil
}

// batch gathers the writes of one edit.
type batch struct {
	ctx    context.Context
	snap   kv.Snapshot
	gen    uint64
	job    string
	ops    []kv.Op
	groups map[string]map[string]catalog.Record // job groups being changed, by key
}

// add checks one operation and returns it as it will be stored.
func (b *batch) add(op catalog.Op, stamp catalog.Stamp) (catalog.Op, error) {
	before, err := b.current(op)
	if err != nil {
		return op, err
	}
	if revOf(before) != revOf(op.Before) {
		return op, catalog.Conflict(catalog.Ref{Table: op.Table, Key: op.Key})
	}
	op.Before = before
	if op.After != nil {
		if op.After, err = clone(op.After); err != nil {
			return op, err
		}
		*op.After.StampRef() = stamp
	}
	return op, b.write(op)
}

func revOf(r catalog.Record) uint64 {
	if r == nil {
		return 0
	}
	return r.StampRef().Rev
}

// current is the stored record of an operation, nil when there is none.
func (b *batch) current(op catalog.Op) (catalog.Record, error) {
	if b.job == "" {
		return getRecord(b.ctx, b.snap, catalogKey(b.gen, op.Table, op.Key), op.Table)
	}
	k, group := jobKey(b.job, op.Table, op.Key)
	if !group {
		return getRecord(b.ctx, b.snap, k, op.Table)
	}
	g, err := b.group(k, op.Table)
	if err != nil {
		return nil, err
	}
	return g[op.Key], nil
}

func getRecord(ctx context.Context, snap kv.Snapshot, k string, t catalog.Table) (catalog.Record, error) {
	e, ok, err := snap.Get(ctx, k)
	if err != nil || !ok {
		return nil, err
	}
	r, err := newRecord(t)
	if err != nil {
		return nil, err
	}
	if err := unseal(e.Value, r); err != nil {
		return nil, damaged(k, err)
	}
	return r, nil
}

func (b *batch) group(k string, t catalog.Table) (map[string]catalog.Record, error) {
	if g, ok := b.groups[k]; ok {
		return g, nil
	}
	g := map[string]catalog.Record{}
	e, ok, err := b.snap.Get(b.ctx, k)
	if err != nil {
		return nil, err
	}
	if ok {
		if g, err = readGroup(t, e.Value); err != nil {
			return nil, damaged(k, err)
		}
	}
	b.groups[k] = g
	return g, nil
}

func (b *batch) write(op catalog.Op) error {
	k := catalogKey(b.gen, op.Table, op.Key)
	if b.job != "" {
		var group bool
		if k, group = jobKey(b.job, op.Table, op.Key); group {
			if op.After == nil {
				delete(b.groups[k], op.Key)
			} else {
				b.groups[k][op.Key] = op.After
			}
			return nil
		}
	}
	if op.After == nil {
		b.ops = append(b.ops, kv.Op{Key: k, Delete: true})
		return nil
	}
	value, err := seal(op.After)
	b.ops = append(b.ops, kv.Op{Key: k, Value: value})
	return err
}

// closeGroups writes the job groups that were changed; an empty one is deleted.
func (b *batch) closeGroups() error {
	for _, k := range slices.Sorted(maps.Keys(b.groups)) {
		if len(b.groups[k]) == 0 {
			b.ops = append(b.ops, kv.Op{Key: k, Delete: true})
			continue
		}
		value, err := sealGroup(b.groups[k])
		if err != nil {
			return err
		}
		b.ops = append(b.ops, kv.Op{Key: k, Value: value})
	}
	return nil
}

// Record reads one record of the catalogue or of a job from what is served.
func (s *Store) Record(_ context.Context, t catalog.Table, key string) (catalog.Record, error) {
	st := s.now.Load()
	if _, ok := catalog.NewRecord(t); ok {
		if r, ok := st.tables.Find(t, key); ok {
			return r, nil
		}
		return nil, catalog.NotFound(t, key)
	}
	job, _, _ := strings.Cut(key, "/")
	if j := st.jobs[job]; j != nil {
		if r, ok := j.records[t][key]; ok {
			return r, nil
		}
	}
	return nil, catalog.NotFound(t, key)
}
