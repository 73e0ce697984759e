package reconcile

import (
	"context"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

// maxReports bounds how many reports are kept: more jobs than a shop has open.
const maxReports = 256

// reportKey names everything that a report depends on.
type reportKey struct {
	job    JobID
	jobRev uint64
	today  quantity.Date
}

// Desk over the newest catalogue index. It is built once per revision; callers
// that come meanwhile wait for it.
func (b *Bench) Desk() *Desk {
	k := b.kept
	k.mu.Lock()
	defer k.mu.Unlock()
	if ix := b.repo.Index(); k.desk == nil || k.desk.Index() != ix {
		k.desk, k.reports = NewDesk(ix), map[reportKey]*Report{}
	}
	return k.desk
}

// Report on a job at the newest catalogue revision. Reports are kept while job,
// catalogue and day stay the same; they must not be changed.
func (b *Bench) Report(ctx context.Context, id JobID) (*Report, error) {
	job, err := b.Job(ctx, id)
	if err != nil {
		return nil, err
	}
	return b.ReportOn(job), nil
}

// ReportOn a job that was read before.
func (b *Bench) ReportOn(job *Job) *Report {
	desk := b.Desk()
	key := reportKey{job.ID, job.Rev, quantity.DateOf(b.now())}
	b.kept.mu.Lock()
	had := b.kept.reports[key]
	b.kept.mu.Unlock()
	if had != nil && job.Rev != 0 {
		return had
	}
	r := desk.Report(job, key.today)
	b.kept.mu.Lock()
	defer b.kept.mu.Unlock()
	if b.kept.desk == desk && job.Rev != 0 {
		if len(b.kept.reports) >= maxReports {
			clear(b.kept.reports)
		}
		b.kept.reports[key] = r
	}
	return r
}

// Shortages of all jobs that are not closed, job by job.
func (b *Bench) Shortages(ctx context.Context) ([]*ShortageRow, error) {
	if err := b.gate.Check(ctx, catalog.ScopeShortagesRead); err != nil {
		return nil, err
	}
	heads, err := b.repo.Jobs(ctx)
	if err != nil {
		return nil, err
	}
	var out []*ShortageRow
	for _, h := range heads {
		if h.State == StateClosed {
			continue
		}
		job, err := b.repo.Job(ctx, h.ID)
		if err != nil {
			return nil, err
		}
		out = append(out, rowsOf(b.repo.Index(), job.Head, b.ReportOn(job))...)
	}
	return out, nil
}
