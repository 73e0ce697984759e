package reconcile

import (
	"fmt"
	"reflect"
	"strings"
	"testing"

	"layshaft/catalog/quantity"
)

// TestKeptReadings: a desk that has read lists and reported on them before answers
// as one that has not, whatever of the question differs.
func TestKeptReadings(t *testing.T) {
	ix := hubShop()
	used := NewDesk(ix)
	text := "drive shaft oil seal 1 per side\nsynchro keys 3 per hub\nhub\n"
	for round := range 2 {
		for _, in := range []Context{{}, {Family: "f"}, {Family: "f", Variant: "v"}} {
			for _, k := range []*KitList{
				{Job: "j", ID: "a", Text: text},
				{Job: "j", ID: "b", Text: text, Supplier: "s"},
				{Job: "j", ID: "a", Text: text, Answers: []*Answer{{Line: 3, Text: "hub", Part: "hub-34"}}},
			} {
				job := &Job{Head: &Head{ID: "j", Family: in.Family, Variant: in.Variant}, KitLists: []*KitList{k}}
				used.Report(job, quantity.Date{})
				got, want := used.Read(k, in), NewDesk(ix).Read(k, in)
				if !reflect.DeepEqual(got, want) {
					t.Errorf("round %d, %+v, list %s of %q: read differently", round, in, k.ID, k.Supplier)
				}
			}
		}
	}
}

// TestKeptReadingsAreBounded: many texts do not pile up, and one that is larger than
// the bound is not kept.
func TestKeptReadingsAreBounded(t *testing.T) {
	var kept texts
	for i := range 100 {
		kept.put(textKey{text: fmt.Sprint(i) + strings.Repeat("x", maxKeptText/10)}, &readText{})
		if kept.bytes > maxKeptText || len(kept.byKey) == 0 {
			t.Fatalf("%d bytes of %d texts are kept", kept.bytes, len(kept.byKey))
		}
	}
	large := textKey{text: strings.Repeat("y", maxKeptText+1)}
	kept.put(large, &readText{})
	if kept.get(large) != nil || kept.bytes > maxKeptText {
		t.Errorf("a large text is kept: %d bytes", kept.bytes)
	}
}
