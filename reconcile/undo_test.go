package reconcile_test

import (
	"encoding/json"
	"fmt"
	"testing"

	"layshaft/catalog"
	"layshaft/reconcile"

	"pgregory.net/rapid"
)

// TestUndoRestoresTheReport: whatever is decided, supplied or struck out on a job of
// the demo, undoing it gives the report back byte for byte, but for the number of the
// edit.
func TestUndoRestoresTheReport(t *testing.T) {
	_, bench, jobs := demoShop(t)
	n, changed := 0, 0
	rapid.Check(t, func(r *rapid.T) {
		n++
		job := rapid.SampledFrom(jobs).Draw(r, "job")
		before := reportOf(t, bench, job.ID)
		edit, err := bench.Change(t.Context(), job.ID, catalog.Change{Request: fmt.Sprint("change-", n), Who: "ada", Put: put(r, bench.Desk().Index(), job)})
		if err != nil {
			r.Fatal(err)
		}
		if reportOf(t, bench, job.ID) != before {
			changed++
		}
		if _, err := bench.Undo(t.Context(), job.ID, edit.ID, fmt.Sprint("undo-", n), "ada", "not so"); err != nil {
			r.Fatal(err)
		}
		if after := reportOf(t, bench, job.ID); after != before {
			r.Fatalf("undo does not restore the report:\n%s\nwas\n%s", after, before)
		}
	})
	if changed < n/2 {
		t.Errorf("only %d of %d changes changed a report", changed, n)
	}
}

func reportOf(t *testing.T, b *reconcile.Bench, id reconcile.JobID) string {
	t.Helper()
	r, err := b.Report(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	c := *r
	c.JobRev = 0
	data, err := json.Marshal(&c)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// put draws some records of a job: decisions, goods or a list.
func put(r *rapid.T, ix *catalog.Index, job *reconcile.Job) []catalog.Record {
	positions := ix.Positions(job.Family)
	var out []catalog.Record
	for _, i := range rapid.SliceOfNDistinct(rapid.IntRange(0, len(positions)-1), 1, 4, rapid.ID[int]).Draw(r, "positions") {
		p := positions[i]
		choice := rapid.SampledFrom([]reconcile.Choice{reconcile.Replace, reconcile.Absent, reconcile.Reuse, reconcile.NotFitted}).Draw(r, "choice")
		out = append(out, &reconcile.Decision{Job: job.ID, Position: p.ID, Choice: choice, Why: "looked at again"})
	}
	if rapid.Bool().Draw(r, "goods") {
		part := rapid.SampledFrom(ix.Parts()).Draw(r, "part")
		out = append(out, &reconcile.Goods{Job: job.ID, ID: "found-on-the-shelf", Part: part.ID, Pieces: 2, Source: reconcile.FromShelf})
	}
	if rapid.Bool().Draw(r, "list") {
		out = append(out, &reconcile.KitList{Job: job.ID, ID: "one-more", Text: "2 x 6207 N\n1 gasket set\n"})
	}
	return out
}
