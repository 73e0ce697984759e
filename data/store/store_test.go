package store_test

import (
	"context"
	"fmt"
	"log/slog"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
	"layshaft/data/kv"
	"layshaft/data/store"
	"layshaft/reconcile"
)

var clock = func() time.Time { return time.Date(2026, 3, 9, 8, 0, 0, 0, time.UTC) }

func open(t *testing.T, engine kv.Store) (*store.Store, *catalog.Curator, *reconcile.Bench) {
	t.Helper()
	s, err := store.Open(t.Context(), engine, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	return s, catalog.NewCurator(s, clock), reconcile.NewBench(s, clock)
}

func family() *catalog.Family {
	return &catalog.Family{ID: "brook", Name: "Brook 5", Box: catalog.Longitudinal,
		CentreDistance: 75 * quantity.MM, Provenance: catalog.Provenance{Standing: catalog.Confirmed}}
}

func change(t *testing.T, c *catalog.Curator, request string, put ...catalog.Record) *catalog.Edit {
	t.Helper()
	e, problems, err := c.Change(t.Context(), catalog.Change{Request: request, Who: "ada", Why: "test", Put: put})
	if err != nil || len(problems) > 0 {
		t.Fatalf("change %s: %v %v", request, err, problems)
	}
	return e
}

func TestEditIsServedWhenItReturns(t *testing.T) {
	s, c, _ := open(t, kv.NewMemory())
	defer s.Close()
	e := change(t, c, "r1", family())
	if e.ID != "e1" || e.Rev != 1 {
		t.Errorf("first edit is %s at %d, want e1 at 1", e.ID, e.Rev)
	}
	f, ok := c.Index().Family("brook")
	if !ok || f.Rev != 1 || f.By != "ada" {
		t.Errorf("family after its edit: %+v", f)
	}
	if c.Index().Rev() != 1 {
		t.Errorf("index at %d, want 1", c.Index().Rev())
	}
}

func TestRepeatedRequestReturnsFirstOutcome(t *testing.T) {
	s, c, _ := open(t, kv.NewMemory())
	defer s.Close()
	first := change(t, c, "r1", family())
	again := change(t, c, "r1", family())
	if first.ID != again.ID {
		t.Errorf("repeated request made %s after %s", again.ID, first.ID)
	}
	other := family()
	other.Name = "another"
	_, _, err := c.Change(t.Context(), catalog.Change{Request: "r1", Who: "ada", Put: []catalog.Record{other}})
	if catalog.CodeOf(err) != catalog.CodeReused {
		t.Errorf("same id, other change: %v", err)
	}
}

func TestSeenRevisionRefusesStaleChange(t *testing.T) {
	s, c, _ := open(t, kv.NewMemory())
	defer s.Close()
	change(t, c, "r1", family())
	renamed := family()
	renamed.Name = "Brook five"
	change(t, c, "r2", renamed)
	mine := family()
	mine.Name = "mine"
	_, _, err := c.Change(t.Context(), catalog.Change{Request: "r3", Who: "bob", Put: []catalog.Record{mine},
		Expect: map[catalog.Ref]uint64{{Table: catalog.TableFamily, Key: "brook"}: 1}})
	if catalog.CodeOf(err) != catalog.CodeConflict {
		t.Errorf("stale change: %v", err)
	}
	if f, _ := c.Index().Family("brook"); f.Name != "Brook five" {
		t.Errorf("the stale change was stored: %q", f.Name)
	}
}

func TestUndoIsANewEditAndConflictsWhenChangedSince(t *testing.T) {
	s, c, _ := open(t, kv.NewMemory())
	defer s.Close()
	change(t, c, "r1", family())
	renamed := family()
	renamed.Name = "Brook five"
	e := change(t, c, "r2", renamed)
	undo, problems, err := c.Undo(t.Context(), e.ID, "u1", "ada", "wrong")
	if err != nil || len(problems) > 0 || undo.Undoes != e.ID {
		t.Fatalf("undo: %+v %v %v", undo, problems, err)
	}
	if f, _ := c.Index().Family("brook"); f.Name != "Brook 5" {
		t.Errorf("after undo: %q", f.Name)
	}
	if _, _, err := c.Undo(t.Context(), e.ID, "u2", "ada", "again"); catalog.CodeOf(err) != catalog.CodeConflict {
		t.Errorf("undo of what was changed since: %v", err)
	}
}

func TestJobOfManyDecisionsIsOneEdit(t *testing.T) {
	s, c, b := open(t, kv.NewMemory())
	defer s.Close()
	change(t, c, "r1", family())
	put := []catalog.Record{&reconcile.Head{ID: "j1", Title: "a box", Family: "brook", State: reconcile.StateStripped}}
	for i := range 150 {
		put = append(put, &reconcile.Decision{Job: "j1", Position: catalog.PositionID(fmt.Sprintf("p-%03d", i)), Choice: reconcile.Reuse})
	}
	if _, err := b.Change(t.Context(), "j1", catalog.Change{Request: "r2", Who: "ada", Put: put}); err != nil {
		t.Fatal(err)
	}
	job, err := b.Job(t.Context(), "j1")
	if err != nil || len(job.Decisions) != 150 || job.Rev != 2 {
		t.Fatalf("job: %v, %d decisions, rev %d", err, len(job.Decisions), job.Rev)
	}
}

func TestReopenServesTheSame(t *testing.T) {
	engine := kv.NewMemory()
	s, c, b := open(t, engine)
	change(t, c, "r1", family())
	must(t, b, "j1", "r2", &reconcile.Head{ID: "j1", Title: "a box", Family: "brook", State: reconcile.StateStripped},
		&reconcile.KitList{Job: "j1", ID: "k1", Name: "kit", Text: "1 bearing"},
		&reconcile.Decision{Job: "j1", Position: "p", Choice: reconcile.Replace})
	if _, err := b.Change(t.Context(), "j1", catalog.Change{Request: "r3", Who: "ada",
		Delete: []catalog.Ref{{Table: reconcile.TableDecision, Key: "j1/p"}}}); err != nil {
		t.Fatal(err)
	}
	want, _ := b.Job(t.Context(), "j1")
	tables := s.Tables()
	rev := c.Index().Rev()

	again, c2, b2 := open(t, engine)
	got, err := b2.Job(t.Context(), "j1")
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Errorf("job after reopening (-want +got):\n%s", d)
	}
	if d := cmp.Diff(tables, again.Tables()); d != "" {
		t.Errorf("catalogue after reopening (-want +got):\n%s", d)
	}
	if c2.Index().Rev() != rev {
		t.Errorf("index at %d after reopening, was %d", c2.Index().Rev(), rev)
	}
}

func TestImportReplacesTheCatalogueWhole(t *testing.T) {
	s, c, _ := open(t, kv.NewMemory())
	defer s.Close()
	change(t, c, "r1", family())
	rows := &catalog.Catalogue{}
	for i := range 300 {
		rows.Parts = append(rows.Parts, &catalog.Part{ID: catalog.PartID(fmt.Sprintf("part-%03d", i)), Kind: "shim",
			Name: "shim", Unit: catalog.UnitPiece, Numbers: []*catalog.Number{{Issuer: "x", Text: fmt.Sprintf("S-%03d", i), Role: catalog.NumberCurrent}}})
	}
	e, problems, err := c.Import(t.Context(), rows, "r2", "ada", "new catalogue")
	if err != nil || len(problems) > 0 || !e.Bulk {
		t.Fatalf("import: %+v %v %v", e, problems, err)
	}
	if n := len(c.Index().Parts()); n != 300 {
		t.Errorf("%d parts after import, want 300", n)
	}
	if _, ok := c.Index().Family("brook"); ok {
		t.Error("the old catalogue is still served")
	}
	edits, err := c.History(t.Context(), catalog.EditQuery{Limit: 10})
	if err != nil || len(edits) != 2 || edits[0].ID != e.ID {
		t.Errorf("history: %v %v", edits, err)
	}
}

func must(t *testing.T, b *reconcile.Bench, job reconcile.JobID, request string, put ...catalog.Record) {
	t.Helper()
	if _, err := b.Change(background(), job, catalog.Change{Request: request, Who: "ada", Put: put}); err != nil {
		t.Fatal(err)
	}
}

// background outlives a test's own context: a store is closed in clean-up.
func background() context.Context { return context.Background() }
