package reconcile

import (
	"context"

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
	b.mu.Lock()
	defer b.mu.Unlock()
	if ix := b.repo.Index(); b.desk == nil || b.desk.Index() != ix {
		b.desk, b.reports = NewDesk(ix), map[reportKey]*Report{}
	}
	return b.desk
}

// Report on a job at the newest catalogue revision. Reports are kept while job,
// catalogue and day stay the same; they must not be changed.
func (b *Bench) Report(ctx context.Context, id JobID) (*Report, error) {
	job, err := b.repo.Job(ctx, id)
	if err != nil {
		return nil, err
	}
	return b.ReportOn(job), nil
}

// ReportOn a job that was read before.
func (b *Bench) ReportOn(job *Job) *Report {
	desk := b.Desk()
	k := reportKey{job.ID, job.Rev, quantity.DateOf(b.now())}
	b.mu.Lock()
	kept := b.reports[k]
	b.mu.Unlock()
	if kept != nil && job.Rev != 0 {
		return kept
	}
	r := desk.Report(job, k.today)
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.desk == desk && job.Rev != 0 {
		if len(b.reports) >= maxReports {
			clear(b.reports)
		}
		b.reports[k] = r
	}
	return r
}

// Shortages of all jobs that are not closed, by job and position.
func (b *Bench) Shortages(ctx context.Context) ([]*JobShortage, error) {
	heads, err := b.repo.Jobs(ctx)
	if err != nil {
		return nil, err
	}
	var out []*JobShortage
	for _, h := range heads {
		if h.State == StateClosed {
			continue
		}
		job, err := b.repo.Job(ctx, h.ID)
		if err != nil {
			return nil, err
		}
		r := b.ReportOn(job)
		for _, s := range r.Shortages {
			out = append(out, &JobShortage{Shortage: s, Head: job.Head, Report: r})
		}
	}
	return out, nil
}

// JobShortage is a shortage with the job and the report that it comes from.
type JobShortage struct {
	*Shortage
	Head   *Head
	Report *Report
}
