package store_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"layshaft/catalog"
	"layshaft/data/kv"
	"layshaft/reconcile"
)

// TestServedStateEqualsReload: whatever edits came, what the feed built in
// memory is what a fresh start reads.
func TestServedStateEqualsReload(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		engine := kv.NewMemory()
		s, c, b := open(t, engine)
		change(t, c, "start", family())
		must(t, b, "j1", "job", &reconcile.Head{ID: "j1", Title: "a box", Family: "brook", State: reconcile.StateStripped})
		var undoable []*catalog.Edit
		for i := range rapid.IntRange(1, 25).Draw(rt, "edits") {
			if e := randomEdit(rt, t, c, b, fmt.Sprintf("r%d", i), undoable); e != nil {
				undoable = append(undoable, e)
			}
		}
		again, c2, b2 := open(t, engine)
		if d := cmp.Diff(rows(again.Tables()), rows(s.Tables())); d != "" {
			rt.Fatalf("tables (-reloaded +served):\n%s", d)
		}
		if c.Index().Rev() != c2.Index().Rev() {
			rt.Fatalf("index rev %d reloaded as %d", c.Index().Rev(), c2.Index().Rev())
		}
		served, err1 := b.Job(t.Context(), "j1")
		reloaded, err2 := b2.Job(t.Context(), "j1")
		if d := cmp.Diff(reloaded, served); d != "" || catalog.CodeOf(err1) != catalog.CodeOf(err2) {
			rt.Fatalf("job (-reloaded +served): %v %v\n%s", err2, err1, d)
		}
	})
}

// rows of a catalogue by table and key: their order means nothing.
func rows(c *catalog.Catalogue) map[string]catalog.Record {
	out := map[string]catalog.Record{}
	c.Records(func(r catalog.Record) { out[string(r.Table())+" "+r.Key()] = r })
	return out
}

func randomEdit(rt *rapid.T, t *testing.T, c *catalog.Curator, b *reconcile.Bench, request string, past []*catalog.Edit) *catalog.Edit {
	n := rapid.IntRange(0, 4).Draw(rt, "which")
	switch rapid.SampledFrom([]string{"part", "drop part", "decide", "list", "drop decision", "undo"}).Draw(rt, "kind") {
	case "part":
		return change(t, c, request, &catalog.Part{ID: catalog.PartID(fmt.Sprintf("p%d", n)), Kind: "shim", Name: request,
			Unit: catalog.UnitPiece, Numbers: []*catalog.Number{{Issuer: "x", Text: fmt.Sprintf("N-%d", n), Role: catalog.NumberCurrent}}})
	case "drop part":
		e, _, err := c.Change(t.Context(), catalog.Change{Request: request, Who: "ada",
			Delete: []catalog.Ref{{Table: catalog.TablePart, Key: fmt.Sprintf("p%d", n)}}})
		return okOr(rt, e, err, catalog.CodeNotFound)
	case "decide":
		return okOr1(rt, b, t, request, &reconcile.Decision{Job: "j1", Position: catalog.PositionID(fmt.Sprintf("pos%d", n)), Choice: reconcile.Replace})
	case "list":
		return okOr1(rt, b, t, request, &reconcile.KitList{Job: "j1", ID: fmt.Sprintf("k%d", n), Name: request,
			Text: strings.Repeat("1 bearing 6207\n", rapid.IntRange(0, 50).Draw(rt, "lines"))})
	case "drop decision":
		e, err := b.Change(t.Context(), "j1", catalog.Change{Request: request, Who: "ada",
			Delete: []catalog.Ref{{Table: reconcile.TableDecision, Key: fmt.Sprintf("j1/pos%d", n)}}})
		return okOr(rt, e, err, catalog.CodeNotFound)
	}
	if len(past) == 0 {
		return nil
	}
	e := rapid.SampledFrom(past).Draw(rt, "undone")
	var err error
	if e.Job != "" {
		e, err = b.Undo(t.Context(), "j1", e.ID, request, "ada", "")
	} else {
		e, _, err = c.Undo(t.Context(), e.ID, request, "ada", "")
	}
	return okOr(rt, e, err, catalog.CodeConflict)
}

func okOr1(rt *rapid.T, b *reconcile.Bench, t *testing.T, request string, rec catalog.Record) *catalog.Edit {
	e, err := b.Change(t.Context(), "j1", catalog.Change{Request: request, Who: "ada", Put: []catalog.Record{rec}})
	return okOr(rt, e, err, "")
}

func okOr(rt *rapid.T, e *catalog.Edit, err error, allowed catalog.Code) *catalog.Edit {
	if err == nil {
		return e
	}
	if catalog.CodeOf(err) != allowed {
		rt.Fatalf("edit: %v", err)
	}
	return nil
}
