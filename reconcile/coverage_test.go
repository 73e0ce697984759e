package reconcile_test

import (
	"log/slog"
	"testing"
	"time"

	"layshaft/catalog"
	"layshaft/data/demo"
	"layshaft/data/kv"
	"layshaft/data/store"
	"layshaft/reconcile"
)

// TestKitCoverage: tried on the job that it lies with, the only list of a job does
// what the job's own report says; on every job the pieces of the list are used or
// over.
func TestKitCoverage(t *testing.T) {
	bench := demoBench(t)
	alone := 0
	for _, family := range []catalog.FamilyID{"bw76", "th92", "vm77"} {
		covers, err := bench.KitCoverage(t.Context(), family)
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range covers.Cells {
			if c.Covered > c.Wanted || c.Covered < 0 || c.Spare < 0 {
				t.Errorf("list %s of %s on %s: %+v", c.Kit.ID, c.Kit.Job, c.Job.ID, c)
			}
			if c.Kit.Job != c.Job.ID {
				continue
			}
			alone++
			r := reportFor(t, bench, c.Job.ID)
			covered, short := kitPieces(r)
			if c.Covered != covered || c.Wanted != covered+short || c.Blocking != r.Blocking {
				t.Errorf("%s: cell says %d of %d and %d blocking, its report %d of %d and %d", c.Job.ID,
					c.Covered, c.Wanted, c.Blocking, covered, covered+short, r.Blocking)
			}
		}
	}
	if alone < 4 {
		t.Errorf("only %d lists were tried on their own job", alone)
	}
}

func kitPieces(r *reconcile.Report) (covered, short int) {
	for _, d := range r.Demands {
		if d.Possible {
			continue
		}
		short += d.Short
		for _, u := range d.Uses {
			if r.Lines[u.Line].Source == reconcile.FromKit {
				covered += u.Pieces
			}
		}
	}
	return covered, short
}

func reportFor(t *testing.T, bench *reconcile.Bench, id reconcile.JobID) *reconcile.Report {
	t.Helper()
	r, err := bench.Report(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// demoBench is a bench over the demo shop in memory.
func demoBench(t *testing.T) *reconcile.Bench {
	t.Helper()
	_, bench, _ := demoShop(t)
	return bench
}

// demoShop is the demo shop in memory: its store, a bench over it, and its jobs.
func demoShop(t *testing.T) (*store.Store, *reconcile.Bench, []*reconcile.Job) {
	t.Helper()
	st, err := store.Open(t.Context(), kv.NewMemory(), slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { st.Close() })
	clock := func() time.Time { return time.Date(2026, 3, 24, 8, 0, 0, 0, time.UTC) }
	c, err := demo.Catalogue()
	if err != nil {
		t.Fatal(err)
	}
	if _, problems, err := catalog.NewCurator(st, clock).Import(t.Context(), c, "import", "test", "demo"); err != nil || len(problems) > 0 {
		t.Fatal(err, problems)
	}
	jobs, err := demo.Jobs()
	if err != nil {
		t.Fatal(err)
	}
	bench := reconcile.NewBench(st, clock)
	for _, j := range jobs {
		if _, err := bench.Change(t.Context(), j.ID, catalog.Change{Request: "job-" + string(j.ID), Who: "test", Put: j.Records()}); err != nil {
			t.Fatal(err)
		}
	}
	return st, bench, jobs
}
