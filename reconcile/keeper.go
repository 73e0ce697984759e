package reconcile

import (
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"sync"
	"time"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

// FeedRepository is what the Keeper needs of a store.
type FeedRepository interface {
	Repository
	// Feed is the newest feed this server holds.
	Feed() *Feed
	// Append keeps changes whose numbers go on from the feed's last, all or nothing,
	// and returns after Feed has them; CodeConflict when the feed has moved on.
	Append(ctx context.Context, changes []*ShortageChange) error
	// Changed returns a channel that closes when jobs, catalogue or feed move on,
	// and the number of the newest edit now.
	Changed() (<-chan struct{}, uint64)
}

// Keeper keeps the feed of shortages. It compares what the reports say now with
// what the feed said last and appends the difference. Nothing hangs on seeing
// every edit: after a restart, or when edits come faster than reports, the next
// comparison finds whatever is not in the feed yet.
type Keeper struct {
	repo  FeedRepository
	bench *Bench
	now   func() time.Time
	gate  catalog.Gate
	seen  *seenJobs
}

// seenJobs is what the last comparison found, so that jobs without a change are
// not looked at again.
type seenJobs struct {
	mu    sync.Mutex // one comparison at a time; guards what follows
	index *catalog.Index
	day   quantity.Date
	jobs  map[JobID]seenJob

	covered sync.RWMutex // guards upTo
	upTo    uint64
}

type seenJob struct {
	rev  uint64
	rows []*ShortageRow
}

// NewKeeper returns a keeper over a store; bench makes its reports, now is the
// clock.
func NewKeeper(repo FeedRepository, bench *Bench, now func() time.Time) *Keeper {
	return &Keeper{repo: repo, bench: bench, now: now, seen: &seenJobs{jobs: map[JobID]seenJob{}}}
}

// Guarded returns the same keeper for callers who must pass a gate.
func (k *Keeper) Guarded(gate catalog.Gate) *Keeper {
	guarded := *k
	guarded.gate = gate
	return &guarded
}

// Feed returns the newest feed and the number of the edit up to which it is
// complete.
func (k *Keeper) Feed(ctx context.Context) (*Feed, uint64, error) {
	if err := k.gate.Check(ctx, catalog.ScopeShortagesRead); err != nil {
		return nil, 0, err
	}
	k.seen.covered.RLock()
	upTo := k.seen.upTo
	k.seen.covered.RUnlock()
	return k.repo.Feed(), upTo, nil
}

// Revision names the newest edit served, the feed's last change and the edit up
// to which the feed is complete.
func (k *Keeper) Revision() string {
	_, seq := k.repo.Changed()
	k.seen.covered.RLock()
	defer k.seen.covered.RUnlock()
	return fmt.Sprintf("%d %d %d", seq, k.repo.Feed().Last(), k.seen.upTo)
}

// Changed returns a channel that closes when the feed may have moved on.
func (k *Keeper) Changed() <-chan struct{} {
	bell, _ := k.repo.Changed()
	return bell
}

// batch bounds how many changes are appended at once; a store's batch is larger.
const feedBatch = 50

// Step compares once and appends what is new. A conflict with another server is
// no error: that server appends the same.
func (k *Keeper) Step(ctx context.Context) error {
	k.seen.mu.Lock()
	defer k.seen.mu.Unlock()
	_, seq := k.repo.Changed()
	rows, err := k.rows(ctx)
	if err != nil {
		return err
	}
	for {
		feed := k.repo.Feed()
		fresh, err := difference(feed, rows, k.now().UTC())
		if err != nil {
			return err
		}
		if len(fresh) == 0 {
			break
		}
		err = k.repo.Append(ctx, fresh[:min(len(fresh), feedBatch)])
		if err != nil && catalog.CodeOf(err) != catalog.CodeConflict {
			return err
		}
	}
	k.seen.covered.Lock()
	k.seen.upTo = max(k.seen.upTo, seq)
	k.seen.covered.Unlock()
	return nil
}

// rows are all shortages there are now, by key.
func (k *Keeper) rows(ctx context.Context) (map[string]*ShortageRow, error) {
	heads, err := k.repo.Jobs(ctx)
	if err != nil {
		return nil, err
	}
	ix, day := k.repo.Index(), quantity.DateOf(k.now())
	if ix != k.seen.index || day != k.seen.day {
		k.seen.index, k.seen.day, k.seen.jobs = ix, day, map[JobID]seenJob{}
	}
	out, jobs := map[string]*ShortageRow{}, make(map[JobID]seenJob, len(heads))
	for _, h := range heads {
		if h.State == StateClosed {
			continue
		}
		job, err := k.repo.Job(ctx, h.ID)
		if catalog.CodeOf(err) == catalog.CodeNotFound {
			continue // deleted meanwhile
		}
		if err != nil {
			return nil, err
		}
		had, ok := k.seen.jobs[h.ID]
		if !ok || had.rev != job.Rev {
			had = seenJob{rev: job.Rev, rows: rowsOf(ix, job.Head, k.bench.ReportOn(job))}
		}
		jobs[h.ID] = had
		for _, row := range had.rows {
			out[row.Key] = row
		}
	}
	k.seen.jobs = jobs
	return out, nil
}

// difference lists the changes that lead from a feed to rows, by key.
func difference(feed *Feed, rows map[string]*ShortageRow, at time.Time) ([]*ShortageChange, error) {
	var out []*ShortageChange
	add := func(c *ShortageChange) {
		c.No, c.At = feed.Last()+uint64(len(out))+1, at
		out = append(out, c)
	}
	for _, key := range slices.Sorted(maps.Keys(rows)) {
		had := feed.Of(key)
		if had != nil && !had.Gone {
			same, err := sameRow(&had.Row, rows[key])
			if err != nil {
				return nil, err
			}
			if same {
				continue
			}
		}
		add(&ShortageChange{Row: *rows[key]})
	}
	for _, c := range feed.changes {
		if rows[c.Row.Key] == nil && !c.Gone {
			add(&ShortageChange{Gone: true, Row: ShortageRow{Key: c.Row.Key, Job: c.Row.Job, Position: c.Row.Position}})
		}
	}
	return out, nil
}

// sameRow compares all but the revisions: a row is as old as what it says.
func sameRow(a, b *ShortageRow) (bool, error) {
	x, y := *a, *b
	x.JobRev, x.CatalogRev, y.JobRev, y.CatalogRev = 0, 0, 0, 0
	p, err := json.Marshal(x)
	if err != nil {
		return false, err
	}
	q, err := json.Marshal(y)
	return string(p) == string(q), err
}

// Run keeps the feed until the context ends; day rings when the date may have
// changed. fault hears of comparisons that failed; the next change tries again.
func (k *Keeper) Run(ctx context.Context, day <-chan time.Time, fault func(error)) {
	for {
		bell, _ := k.repo.Changed()
		if err := k.Step(ctx); err != nil && ctx.Err() == nil {
			fault(err)
		}
		select {
		case <-ctx.Done():
			return
		case <-bell:
		case <-day:
		}
	}
}
