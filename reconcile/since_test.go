package reconcile_test

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"layshaft/catalog"
	"layshaft/reconcile"

	"pgregory.net/rapid"
)

// TestSinceGoesBack: what is gone and new since any earlier revision is the
// difference of the reports that were made then and now; the report of then is
// worked out again by a bench that never saw it.
func TestSinceGoesBack(t *testing.T) {
	st, bench, jobs := demoShop(t)
	clock := func() time.Time { return time.Date(2026, 3, 24, 8, 0, 0, 0, time.UTC) }
	n, told := 0, 0
	rapid.Check(t, func(r *rapid.T) {
		job := rapid.SampledFrom(jobs).Draw(r, "job")
		then := findingsOf(t, bench, job.ID)
		seen, err := bench.Job(t.Context(), job.ID)
		if err != nil {
			r.Fatal(err)
		}
		edits := rapid.IntRange(1, 3).Draw(r, "edits")
		for range edits {
			n++
			change := catalog.Change{Request: fmt.Sprint("since-", n), Who: "ada", Put: put(r, bench.Desk().Index(), job)}
			if _, err := bench.Change(t.Context(), job.ID, change); err != nil {
				r.Fatal(err)
			}
		}
		now := findingsOf(t, bench, job.ID)
		stranger := reconcile.NewBench(st, clock)
		read, err := stranger.Job(t.Context(), job.ID)
		if err != nil {
			r.Fatal(err)
		}
		got, err := stranger.Since(t.Context(), read, seen.Rev)
		if err != nil {
			r.Fatal(err)
		}
		if len(got.Edits) != edits {
			r.Fatalf("%d edits, want %d", len(got.Edits), edits)
		}
		if gone := without(then, now); !slices.Equal(ids(got.Gone), gone) {
			r.Fatalf("gone %v, want %v", ids(got.Gone), gone)
		}
		if fresh := without(now, then); !slices.Equal(ids(got.New), fresh) {
			r.Fatalf("new %v, want %v", ids(got.New), fresh)
		}
		told += len(got.Gone) + len(got.New)
		for _, c := range got.Changed {
			if c.Before.ID != c.After.ID {
				r.Fatalf("%s became %s", c.Before.ID, c.After.ID)
			}
		}
		if same, err := stranger.Since(t.Context(), read, read.Rev); err != nil || len(same.Edits)+len(same.Gone)+len(same.New)+len(same.Changed) > 0 {
			r.Fatalf("something changed since now: %+v %v", same, err)
		}
		if all, err := stranger.Since(t.Context(), read, 0); err != nil || len(all.New) != len(now) || len(all.Gone) > 0 {
			r.Fatalf("since before the job was opened, not every finding is new: %+v %v", all, err)
		}
	})
	if told == 0 {
		t.Error("no edit changed a finding: the test says nothing")
	}
}

func findingsOf(t *testing.T, b *reconcile.Bench, id reconcile.JobID) []string {
	t.Helper()
	r, err := b.Report(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	return ids(r.Findings)
}

func ids(all []*reconcile.Finding) []string {
	out := []string{}
	for _, f := range all {
		out = append(out, f.ID)
	}
	return out
}

// without are those of a that b does not have.
func without(a, b []string) []string {
	return slices.DeleteFunc(slices.Clone(a), func(id string) bool { return slices.Contains(b, id) })
}
