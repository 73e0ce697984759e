package reconcile

import (
	"context"
	"sync"
	"time"

	"layshaft/catalog"
)

// Repository is what the Bench needs of a store.
type Repository interface {
	// Index is the newest catalogue index this server holds.
	Index() *catalog.Index
	// Jobs lists the heads of all jobs by id.
	Jobs(ctx context.Context) ([]*Head, error)
	// Job puts a job together; CodeNotFound when absent.
	Job(ctx context.Context, id JobID) (*Job, error)
	// Record reads one record of a job; CodeNotFound when absent.
	Record(ctx context.Context, t catalog.Table, key string) (catalog.Record, error)
	// Commit, Done, Edit and Edits are as in catalog.Repository.
	Commit(ctx context.Context, e *catalog.Edit) (*catalog.Edit, error)
	Done(ctx context.Context, request, digest string) (*catalog.Edit, error)
	Edit(ctx context.Context, id string) (*catalog.Edit, error)
	Edits(ctx context.Context, q catalog.EditQuery) ([]*catalog.Edit, error)
}

// Bench makes edits to jobs.
type Bench struct {
	repo Repository
	now  func() time.Time
	gate catalog.Gate
	kept *kept
}

// kept is what was worked out; all benches over one store share it.
type kept struct {
	mu      sync.Mutex // guards what follows
	desk    *Desk
	reports map[reportKey]*Report
}

// NewBench returns a bench over a store; now is the clock.
func NewBench(repo Repository, now func() time.Time) *Bench {
	return &Bench{repo: repo, now: now, kept: &kept{}}
}

// Guarded returns the same bench for callers who must pass a gate.
func (b *Bench) Guarded(gate catalog.Gate) *Bench {
	guarded := *b
	guarded.gate = gate
	return &guarded
}

// NewRecord returns an empty record of a job's table; false for other tables.
func NewRecord(t catalog.Table) (catalog.Record, bool) {
	switch t {
	case TableJob:
		return &Head{}, true
	case TableDecision:
		return &Decision{}, true
	case TableKitList:
		return &KitList{}, true
	case TableGoods:
		return &Goods{}, true
	case TableObservation:
		return &Observation{}, true
	case TableMeasurement:
		return &Measurement{}, true
	case TableOverride:
		return &Override{}, true
	case TableProposal:
		return &Proposal{}, true
	}
	return nil, false
}

// Jobs lists all jobs by id.
func (b *Bench) Jobs(ctx context.Context) ([]*Head, error) {
	if err := b.gate.Check(ctx, catalog.ScopeJobsRead); err != nil {
		return nil, err
	}
	return b.repo.Jobs(ctx)
}

// Count of all jobs; it tells nothing about any of them.
func (b *Bench) Count(ctx context.Context) (int, error) {
	heads, err := b.repo.Jobs(ctx)
	return len(heads), err
}

// Job by id. Whoever works on jobs may look at the one they work on.
func (b *Bench) Job(ctx context.Context, id JobID) (*Job, error) {
	if err := b.gate.Check(ctx, catalog.ScopeJobsRead, catalog.ScopeJobsWork); err != nil {
		return nil, err
	}
	return b.repo.Job(ctx, id)
}

// History lists a job's edits newest first.
func (b *Bench) History(ctx context.Context, id JobID, before uint64, n int) ([]*catalog.Edit, error) {
	if err := b.gate.Check(ctx, catalog.ScopeJobsRead); err != nil {
		return nil, err
	}
	return b.repo.Edits(ctx, catalog.EditQuery{Job: string(id), Before: before, Limit: n})
}

// Change applies a change to one job. All its records belong to that job.
func (b *Bench) Change(ctx context.Context, id JobID, ch catalog.Change) (*catalog.Edit, error) {
	if err := b.gate.Check(ctx, catalog.ScopeJobsWork); err != nil {
		return nil, err
	}
	return b.store(ctx, id, ch)
}

// store makes a change to a job an edit.
func (b *Bench) store(ctx context.Context, id JobID, ch catalog.Change) (*catalog.Edit, error) {
	if err := ch.Signed(); err != nil {
		return nil, err
	}
	digest, err := ch.Digest(string(id))
	if err != nil {
		return nil, err
	}
	if done, err := b.repo.Done(ctx, ch.Request, digest); done != nil || err != nil {
		return done, err
	}
	ops, err := b.ops(ctx, id, ch)
	if err != nil {
		return nil, err
	}
	return b.repo.Commit(ctx, &catalog.Edit{Request: ch.Request, Who: ch.Who, Why: ch.Why,
		At: b.now(), Ops: ops, Job: string(id), Digest: digest})
}

// Undo takes one of the job's edits back with a new one. It conflicts when a
// record of the edit was changed since.
func (b *Bench) Undo(ctx context.Context, id JobID, edit, request, who, why string) (*catalog.Edit, error) {
	if err := b.gate.Check(ctx, catalog.ScopeJobsWork); err != nil {
		return nil, err
	}
	if err := (catalog.Change{Request: request, Who: who}).Signed(); err != nil {
		return nil, err
	}
	digest := catalog.UndoDigest(edit)
	if done, err := b.repo.Done(ctx, request, digest); done != nil || err != nil {
		return done, err
	}
	e, err := b.repo.Edit(ctx, edit)
	if err != nil {
		return nil, err
	}
	if e.Job != string(id) {
		return nil, catalog.Invalid("edit "+edit, "Look at the job's history", "it is not an edit of job %s", id)
	}
	ops, err := catalog.UndoOps(ctx, e, b.repo.Record)
	if err != nil {
		return nil, err
	}
	return b.repo.Commit(ctx, &catalog.Edit{Request: request, Who: who, Why: why,
		At: b.now(), Ops: ops, Undoes: e.ID, Job: string(id), Digest: digest})
}

func (b *Bench) ops(ctx context.Context, id JobID, ch catalog.Change) ([]catalog.Op, error) {
	refs := make([]catalog.Ref, 0, len(ch.Put)+len(ch.Delete))
	seen := map[catalog.Ref]bool{}
	after := map[catalog.Ref]catalog.Record{}
	for _, r := range ch.Put {
		if err := validRecord(b.repo.Index(), id, r); err != nil {
			return nil, err
		}
		ref := catalog.Ref{Table: r.Table(), Key: r.Key()}
		refs, after[ref] = append(refs, ref), r
	}
	refs = append(refs, ch.Delete...)
	if len(refs) == 0 {
		return nil, catalog.Invalid("change", "Name a record to put or delete", "the change is empty")
	}
	ops := make([]catalog.Op, 0, len(refs))
	for _, ref := range refs {
		if seen[ref] {
			return nil, catalog.Invalid(string(ref.Table)+" "+ref.Key, "Name each record once", "named twice")
		}
		seen[ref] = true
		if jobOfKey(ref) != id {
			return nil, catalog.Invalid(string(ref.Table)+" "+ref.Key, "Change one job at a time",
				"it is not a record of job %s", id)
		}
		op, err := catalog.Pair(ctx, ref, after[ref], ch.Expect, b.repo.Record)
		if err != nil {
			return nil, err
		}
		if op.Before == nil && op.After == nil {
			return nil, catalog.NotFound(ref.Table, ref.Key)
		}
		ops = append(ops, op)
	}
	return ops, nil
}
