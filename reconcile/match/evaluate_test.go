package match

import (
	"flag"
	"fmt"
	"os"
	"runtime"
	"testing"
	"time"

	"layshaft/catalog"
	"layshaft/reconcile/kitlist"
	"layshaft/reconcile/match/trial"
)

var showWrong = flag.Int("wrong", 0, "evaluation prints so many wrong lines of each part")

// TestEvaluate prints every figure of the reading table. It fails only on what
// must hold anywhere; the figures are for people. Run it with
//
//	go test -run Evaluate ./reconcile/match -v
func TestEvaluate(t *testing.T) {
	if testing.Short() {
		t.Skip("the evaluation takes half a minute")
	}
	t.Run("by hand", evaluateCorpus)
	t.Run("generated", evaluateGenerated)
}

func evaluateGenerated(t *testing.T) {
	var known, open figures
	lines, spent := 0, time.Duration(0)
	for _, spec := range testSpecs {
		world := trial.NewWorld(spec)
		m := New(catalog.NewIndex(world.Catalogue, 1), Options{})
		for i, k := range world.Kits(spec.Seed*1000, 80, trial.Usual) {
			list := kitlist.Read(k.Text, kitlist.Options{})
			start := time.Now()
			results := m.Match(list, Context{Variant: k.Variant})
			spent += time.Since(start)
			lines += len(list.Lines)
			count(&known, list, results, k.Truth)
			if i%2 == 0 {
				count(&open, list, m.Match(list, Context{}), k.Truth)
				known.suggest(m, list, string(k.Family), string(k.Variant))
			}
		}
	}
	known.print(t, "generated lists, variant known")
	open.print(t, "generated lists, variant unknown")
	t.Logf("matching alone: %.0f lines/s on %s (a rate of this run, not asserted)", float64(lines)/spent.Seconds(), runtime.GOARCH)
	show(t, &known)
	if known.precision.all == 0 || known.top.all == 0 {
		t.Error("nothing was measured")
	}
}

// count judges a list line by line.
func count(f *figures, list kitlist.List, results []Result, truth []trial.Truth) {
	for _, j := range judge(list, results, truth) {
		f.kind.add(j.line != nil && string(j.line.Kind) == j.truth.Kind)
		if j.line == nil || string(j.line.Kind) != j.truth.Kind {
			f.kindWrong = append(f.kindWrong, fmt.Sprintf("kind is wrong: %q want %s", j.truth.Text, j.truth.Kind))
		}
		if j.truth.Kind != "item" {
			continue
		}
		if j.line == nil {
			j.line = &kitlist.Line{}
		}
		f.line(j)
		f.flag(j)
	}
}

// evaluateCorpus reads the lists written by hand, with all three catalogues and
// a generated one in the same index.
func evaluateCorpus(t *testing.T) {
	fsys := os.DirFS("testdata/corpus")
	c := trial.NewWorld(testSpecs[0]).Catalogue
	for _, name := range []string{"brack", "orlan", "hesper"} {
		if err := trial.ReadCatalogue(fsys, name, c); err != nil {
			t.Fatal(err)
		}
	}
	lists, err := trial.ReadLists(fsys)
	if err != nil {
		t.Fatal(err)
	}
	m := New(catalog.NewIndex(c, 1), Options{})
	styles := map[string]bool{}
	var known, apart, open figures
	for _, h := range lists {
		styles[h.Style] = true
		f := &known
		if h.Apart {
			f = &apart
		}
		list := kitlist.Read(h.Text, kitlist.Options{})
		checkTruth(t, m, h)
		count(f, list, m.Match(list, Context{Variant: h.Variant}), h.Truth)
		count(&open, list, m.Match(list, Context{}), h.Truth)
		f.suggest(m, list, string(h.Family), string(h.Variant))
	}
	t.Logf("%d lists in %d styles, %d parts in the index", len(lists), len(styles), len(m.parts))
	known.print(t, "lists written by hand, variant known (seen while the matcher was made)")
	apart.print(t, "lists written by hand, variant known (kept apart: lists-apart.txt)")
	open.print(t, "lists written by hand, variant unknown")
	show(t, &known)
	if len(lists) < 60 || len(styles) < 14 {
		t.Errorf("%d lists in %d styles: want 60 in 14", len(lists), len(styles))
	}
}

// checkTruth keeps typing mistakes out of the corpus.
func checkTruth(t *testing.T, m *Matcher, h *trial.HandList) {
	t.Helper()
	for _, x := range h.Truth {
		if _, ok := m.ix.Part(x.Part); x.Part != "" && !ok {
			t.Errorf("list %s: no part %s", h.ID, x.Part)
		}
	}
}

func show(t *testing.T, f *figures) {
	for _, list := range [][]string{f.kindWrong, f.wrong, f.notRefused, f.open} {
		for _, s := range list[:min(len(list), *showWrong)] {
			t.Log(s)
		}
	}
}
