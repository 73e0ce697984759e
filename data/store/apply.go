package store

import (
	"context"
	"maps"
	"strings"

	"layshaft/catalog"
	"layshaft/data/kv"
	"layshaft/reconcile"
)

// next makes the state after one committed batch. A batch that flips the
// generation is answered with reload: the catalogue is another one.
func (st *state) next(ch kv.Change) (after *state, reload bool, err error) {
	after = &state{seq: st.seq, generation: st.generation, tables: st.tables, index: st.index, jobs: st.jobs, feed: st.feed}
	prefix := generationPrefix(st.generation)
	var ops []catalog.Op
	var shortages []*reconcile.ShortageChange
	touched := map[string]bool{}
	for _, op := range ch.Ops {
		switch {
		case op.Key == keyGeneration:
			return nil, true, nil
		case op.Key == keySeq:
			if after.seq, err = parseHex16(string(op.Value)); err != nil {
				return nil, false, damaged(op.Key, err)
			}
		case strings.HasPrefix(op.Key, prefix):
			o, err := catalogOp(strings.TrimPrefix(op.Key, prefix), op)
			if err != nil {
				return nil, false, err
			}
			ops = append(ops, o)
		case strings.HasPrefix(op.Key, prefixFeed):
			c, err := readFeedChange(op.Key, op.Value)
			if err != nil {
				return nil, false, err
			}
			shortages = append(shortages, c)
		case strings.HasPrefix(op.Key, prefixJobs):
			if err := after.applyJob(st, touched, op); err != nil {
				return nil, false, err
			}
		}
	}
	for job := range touched {
		after.jobs[job].assemble()
		if j := after.jobs[job].job; j != nil {
			j.Rev = after.seq
		}
	}
	if len(shortages) > 0 {
		after.feed = st.feed.With(shortages)
	}
	if len(ops) > 0 {
		after.tables = st.tables.With(ops)
		after.index = catalog.NewIndex(after.tables, after.seq)
	}
	return after, false, nil
}

func catalogOp(place string, op kv.Op) (catalog.Op, error) {
	t, key, _ := strings.Cut(place, "/")
	if op.Delete {
		return catalog.Op{Table: catalog.Table(t), Key: key}, nil
	}
	r, err := readCatalogRecord(place, op.Value)
	if err != nil {
		return catalog.Op{}, damaged(op.Key, err)
	}
	return catalog.Op{Table: r.Table(), Key: key, After: r}, nil
}

// applyJob changes one job's records; jobs and their tables are copied on the
// first touch, since readers hold the old state.
func (st *state) applyJob(before *state, touched map[string]bool, op kv.Op) error {
	job, t, ok := splitJobKey(op.Key)
	if !ok {
		return damaged(op.Key, errChecksum)
	}
	if len(touched) == 0 {
		st.jobs = maps.Clone(before.jobs)
	}
	if !touched[job] {
		touched[job] = true
		fresh := &jobState{records: map[catalog.Table]map[string]catalog.Record{}}
		if old := before.jobs[job]; old != nil {
			for table, group := range old.records {
				fresh.records[table] = maps.Clone(group)
			}
		}
		st.jobs[job] = fresh
	}
	j := st.jobs[job]
	switch {
	case !op.Delete:
		return j.read(t, op.Key, op.Value)
	case t == tableKitLists:
		delete(j.records[t], job+"/"+op.Key[strings.LastIndexByte(op.Key, '/')+1:])
	default:
		delete(j.records, t)
	}
	return nil
}

// reload reads everything anew.
func (s *Store) reload(ctx context.Context) (*state, kv.Rev, error) {
	snap, err := s.kv.Snapshot(ctx)
	if err != nil {
		return nil, 0, asDomain(err)
	}
	defer snap.Close()
	st, err := load(ctx, snap)
	if err != nil {
		return nil, 0, asDomain(err)
	}
	return st, snap.Rev(), nil
}
