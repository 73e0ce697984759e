package match

import (
	"testing"

	"layshaft/catalog"
	"layshaft/reconcile/kitlist"
	"layshaft/reconcile/match/trial"
)

// TestRefit refits the shipped weights to a shop's own answers, more and more of
// them, and looks at lists of the same shop that the refit has not seen: it must
// not make these noticeably worse; what it gains is logged.
//
//	go test -run TestRefit -v ./reconcile/match
func TestRefit(t *testing.T) {
	shipped := Shipped()
	for _, spec := range testSpecs {
		w := trial.NewWorld(spec)
		m := New(catalog.NewIndex(w.Catalogue, 1), Options{})
		var rows, unseen []Row
		for i, k := range w.Kits(7, 60, trial.Usual) {
			r := rowsOf(m, k, Context{Variant: k.Variant})
			if i%2 == 0 {
				rows = append(rows, r...)
			} else {
				unseen = append(unseen, r...)
			}
		}
		before, hits := Loss(shipped, unseen), Hits(shipped, unseen)
		for _, n := range []int{20, 100, len(rows)} {
			r := Refit(shipped, rows[:min(n, len(rows))])
			after := Loss(r.Weights, unseen)
			t.Logf("seed %d, %d answers, adopted %v: %d unseen lines, loss %.4f -> %.4f, first right %d -> %d",
				spec.Seed, r.Rows, r.Adopted, len(unseen), before, after, hits, Hits(r.Weights, unseen))
			if after > before*1.1 || Hits(r.Weights, unseen) < hits-2 {
				t.Errorf("seed %d, %d answers: unseen lists are read worse after the refit", spec.Seed, n)
			}
			if n < minRows && r.Adopted {
				t.Errorf("%d answers are too few to move anything", n)
			}
		}
	}
}

// TestRefitLearns: weights that were spoiled are mended by a shop's answers.
func TestRefitLearns(t *testing.T) {
	spoiled := *Shipped()
	for i := range spoiled.value {
		spoiled.value[i] /= 4
	}
	w := trial.NewWorld(testSpecs[0])
	m := New(catalog.NewIndex(w.Catalogue, 1), Options{})
	var rows []Row
	for _, k := range w.Kits(9, 30, trial.Usual) {
		rows = append(rows, rowsOf(m, k, Context{Variant: k.Variant})...)
	}
	if r := Refit(&spoiled, rows); !r.Adopted || r.LossAfter >= r.LossBefore {
		t.Errorf("adopted %v, loss %.4f -> %.4f", r.Adopted, r.LossBefore, r.LossAfter)
	}
}

// TestTeach: a word is proposed only when it is the one thing that the line does
// not say in known words.
func TestTeach(t *testing.T) {
	nut := &catalog.Part{ID: "p-nut", Kind: "nut", Name: "Main shaft nut", Unit: catalog.UnitPiece}
	m := New(catalog.NewIndex(&catalog.Catalogue{Parts: []*catalog.Part{nut}}, 1), Options{})
	for text, want := range map[string]string{
		"main shaft wibbler 2 off":  "wibbler",
		"main shaft nut wibbler":    "", // the kind is named already
		"wibbler wobbling 1x":       "", // which of the two means the part?
		"main shaft 1x":             "",
		"rear 12 wibbler / wibbler": "wibbler",
	} {
		list := kitlist.Read(text+"\n", kitlist.Options{})
		got := ""
		if w, ok := m.Teach(&list, &list.Lines[0], "p-nut"); ok {
			got = w.Variant
			if w.Canonical != "nut" {
				t.Errorf("%q teaches %q", text, w.Canonical)
			}
		}
		if got != want {
			t.Errorf("%q teaches %q, want %q", text, got, want)
		}
	}
}
