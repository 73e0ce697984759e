package store

import (
	"context"
	"maps"
	"slices"
	"strings"

	"layshaft/catalog"
	"layshaft/data/kv"
	"layshaft/reconcile"
)

const tableKitLists = reconcile.TableKitList

// state is everything in memory at one edit number. It is never changed; the
// feed makes the next one and swaps it in.
type state struct {
	seq        uint64
	generation uint64
	tables     *catalog.Catalogue
	index      *catalog.Index
	jobs       map[string]*jobState
	feed       *reconcile.Feed
}

// jobState is one job: its records by table and key, and the job put together.
type jobState struct {
	records map[catalog.Table]map[string]catalog.Record
	job     *reconcile.Job // nil without a head
}

// load reads a whole state from a snapshot.
func load(ctx context.Context, snap kv.Snapshot) (*state, error) {
	st := &state{jobs: map[string]*jobState{}}
	var err error
	if st.seq, err = number(ctx, snap, keySeq); err != nil {
		return nil, err
	}
	if st.generation, err = number(ctx, snap, keyGeneration); err != nil {
		return nil, err
	}
	if st.tables, err = loadTables(ctx, snap, st.generation); err != nil {
		return nil, err
	}
	if st.feed, err = loadFeed(ctx, snap); err != nil {
		return nil, err
	}
	err = snap.Scan(ctx, prefixJobs, "", func(e kv.Entry) error {
		job, t, ok := splitJobKey(e.Key)
		if !ok {
			return damaged(e.Key, errChecksum)
		}
		if st.jobs[job] == nil {
			st.jobs[job] = &jobState{records: map[catalog.Table]map[string]catalog.Record{}}
		}
		return st.jobs[job].read(t, e.Key, e.Value)
	})
	if err != nil {
		return nil, err
	}
	for _, j := range st.jobs {
		j.assemble()
	}
	if err := st.loadJobRevs(ctx, snap); err != nil {
		return nil, err
	}
	rev, err := number(ctx, snap, keyCatalogRev)
	st.index = catalog.NewIndex(st.tables, rev)
	return st, err
}

func loadTables(ctx context.Context, snap kv.Snapshot, gen uint64) (*catalog.Catalogue, error) {
	tables := &catalog.Catalogue{}
	prefix := generationPrefix(gen)
	var ops []catalog.Op
	err := snap.Scan(ctx, prefix, "", func(e kv.Entry) error {
		r, err := readCatalogRecord(strings.TrimPrefix(e.Key, prefix), e.Value)
		if err != nil {
			return damaged(e.Key, err)
		}
		ops = append(ops, catalog.Op{Table: r.Table(), Key: r.Key(), After: r})
		return nil
	})
	return tables.With(ops), err
}

// readCatalogRecord reads a value under "<table>/<key>".
func readCatalogRecord(place string, value []byte) (catalog.Record, error) {
	t, _, _ := strings.Cut(place, "/")
	r, err := newRecord(catalog.Table(t))
	if err != nil {
		return nil, err
	}
	return r, unseal(value, r)
}

// number reads a stored counter; 0 when it was never written.
func number(ctx context.Context, snap kv.Snapshot, key string) (uint64, error) {
	e, ok, err := snap.Get(ctx, key)
	if err != nil || !ok {
		return 0, err
	}
	n, err := parseHex16(string(e.Value))
	if err != nil {
		return 0, damaged(key, err)
	}
	return n, nil
}

func (st *state) loadJobRevs(ctx context.Context, snap kv.Snapshot) error {
	return snap.Scan(ctx, prefixJobRevs, "", func(e kv.Entry) error {
		rev, err := parseHex16(string(e.Value))
		if err != nil {
			return damaged(e.Key, err)
		}
		if j := st.jobs[strings.TrimPrefix(e.Key, prefixJobRevs)]; j != nil && j.job != nil {
			j.job.Rev = rev
		}
		return nil
	})
}

// read puts a stored value of a job in place: a group of records, or one kit list.
func (j *jobState) read(t catalog.Table, key string, value []byte) error {
	if t == tableKitLists {
		k := &reconcile.KitList{}
		if err := unseal(value, k); err != nil {
			return damaged(key, err)
		}
		if j.records[t] == nil {
			j.records[t] = map[string]catalog.Record{}
		}
		j.records[t][k.Key()] = k
		return nil
	}
	group, err := readGroup(t, value)
	if err != nil {
		return damaged(key, err)
	}
	j.records[t] = group
	return nil
}

func readGroup(t catalog.Table, value []byte) (map[string]catalog.Record, error) {
	var rows []packed
	if err := unseal(value, &rows); err != nil {
		return nil, err
	}
	group := make(map[string]catalog.Record, len(rows))
	for _, p := range rows {
		r, err := p.unpack(t)
		if err != nil {
			return nil, err
		}
		group[p.Key] = r
	}
	return group, nil
}

func sealGroup(group map[string]catalog.Record) ([]byte, error) {
	rows := make([]packed, 0, len(group))
	for _, k := range slices.Sorted(maps.Keys(group)) {
		p, err := pack(group[k])
		if err != nil {
			return nil, err
		}
		rows = append(rows, p)
	}
	return seal(rows)
}

// assemble puts the job together from its records.
func (j *jobState) assemble() {
	var all []catalog.Record
	for _, group := range j.records {
		all = slices.AppendSeq(all, maps.Values(group))
	}
	j.job = nil
	if job, ok := reconcile.JobOf(all); ok {
		j.job = job
	}
}
