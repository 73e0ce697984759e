package reconcile

import (
	"context"
	"reflect"

	"layshaft/catalog"
)

// maxSince bounds how many edits are gone back over.
const maxSince = 500

// Since is what became of a job after a revision. The report before and the
// report now are both over the newest catalogue and of today: what a change of
// the catalogue did is not in it.
type Since struct {
	Rev uint64
	// Edits of the job after the revision, newest first.
	Edits []*catalog.Edit
	// TooMany edits came: only the newest are listed and no finding is.
	TooMany bool
	// Gone are findings that the job had at the revision and has no more, New those
	// that it has now, Changed those that say the same fact otherwise.
	Gone, New []*Finding
	Changed   []*FindingChange
}

// FindingChange is one fact as it was said before and as it is now.
type FindingChange struct{ Before, After *Finding }

// Since goes back over the edits of a job that was read before and says what came
// of them. A revision that is not the past is refused.
func (b *Bench) Since(ctx context.Context, job *Job, rev uint64) (*Since, error) {
	if err := b.gate.Check(ctx, catalog.ScopeJobsRead); err != nil {
		return nil, err
	}
	edits, err := b.repo.Edits(ctx, catalog.EditQuery{Job: string(job.ID), Before: job.Rev + 1, After: rev, Limit: maxSince + 1})
	if err != nil {
		return nil, err
	}
	out := &Since{Rev: rev, Edits: edits[:min(len(edits), maxSince)], TooMany: len(edits) > maxSince}
	if out.TooMany || len(edits) == 0 {
		return out, nil
	}
	before := &Report{}
	if old, ok := job.undone(edits); ok {
		old.Rev = rev // names the state: reports are kept by it
		before = b.ReportOn(old)
	}
	now := b.ReportOn(job)
	diff := CompareReports(b.repo.Index(), before, now)
	out.Gone, out.New = diff.Gone, diff.New
	said := make(map[string]*Finding, len(before.Findings))
	for _, f := range before.Findings {
		said[f.ID] = f
	}
	for _, f := range diff.Same {
		if old := said[f.ID]; saysOtherwise(old, f) {
			out.Changed = append(out.Changed, &FindingChange{Before: old, After: f})
		}
	}
	return out, nil
}

// saysOtherwise tells whether a person would read two findings of one fact as
// different; how it was derived does not count.
func saysOtherwise(a, b *Finding) bool {
	return a.Severity != b.Severity || a.Blocking != b.Blocking || a.Message != b.Message || a.Expected != b.Expected ||
		a.Found != b.Found || (a.Override == nil) != (b.Override == nil) || !reflect.DeepEqual(a.Remedy, b.Remedy)
}

// undone is the job as it was before some of its edits, given newest first; false
// when it was not there yet.
func (j *Job) undone(edits []*catalog.Edit) (*Job, bool) {
	records := map[catalog.Ref]catalog.Record{}
	for _, r := range j.Records() {
		records[catalog.Ref{Table: r.Table(), Key: r.Key()}] = r
	}
	for _, e := range edits {
		for _, op := range catalog.Inverse(e.Ops) {
			ref := catalog.Ref{Table: op.Table, Key: op.Key}
			if op.After == nil {
				delete(records, ref)
			} else {
				records[ref] = op.After
			}
		}
	}
	all := make([]catalog.Record, 0, len(records))
	for _, r := range records {
		all = append(all, r)
	}
	return JobOf(all)
}
