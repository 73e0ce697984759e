package match

import (
	"flag"
	"fmt"
	"os"
	"runtime"
	"slices"
	"strings"
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

// evaluateGenerated reads lists made by package trial, in the mix that they were
// first made with and in the wider one.
func evaluateGenerated(t *testing.T) {
	for _, mix := range []struct {
		name  string
		noise trial.Noise
		seed  uint64
	}{{"generated lists", trial.Usual, 0}, {"generated lists with headings, bare bearings and the measured mix", trial.Wide, 7}} {
		var known, open figures
		lines, spent := 0, time.Duration(0)
		for _, spec := range testSpecs {
			world := trial.NewWorld(spec)
			m := New(catalog.NewIndex(world.Catalogue, 1), Options{})
			for i, k := range world.Kits(spec.Seed*1000+mix.seed, 80, mix.noise) {
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
		known.print(t, mix.name+", variant known")
		open.print(t, mix.name+", variant unknown")
		t.Logf("matching alone: %.0f lines/s on %s (a rate of this run, not asserted)", float64(lines)/spent.Seconds(), runtime.GOARCH)
		show(t, &known)
		if known.precision.all == 0 || known.top.all == 0 {
			t.Error("nothing was measured")
		}
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

// handCatalogues are the catalogues that the hand lists are read against.
var handCatalogues = []string{"brack", "orlan", "hesper", "veldra", "nordal"}

// portions of the corpus, in the order of their making; the last file of a
// portion tells what is known of it.
var portions = []struct{ title, file string }{
	{"lists written by hand, variant known (seen while the matcher was made)", "lists-1.txt lists-2.txt lists-3.txt"},
	{"second hand corpus, variant known (lists-4.txt; first sight is in first-sight.md)", "lists-4.txt"},
	{"lists written by hand, variant known (kept apart: lists-apart.txt)", "lists-apart.txt"},
	{"second lists kept apart, variant known (lists-apart-2.txt; how far blind: first-sight.md)", "lists-apart-2.txt"},
	{"third hand corpus, variant known (lists-5.txt; first sight is in first-sight.md)", "lists-5.txt"},
}

// handShop puts all hand catalogues and a generated one into one index.
func handShop(t *testing.T, opts Options) *Matcher {
	t.Helper()
	c := trial.NewWorld(testSpecs[0]).Catalogue
	for _, name := range handCatalogues {
		if err := trial.ReadCatalogue(os.DirFS("testdata/corpus"), name, c); err != nil {
			t.Fatal(err)
		}
	}
	return New(catalog.NewIndex(c, 1), opts)
}

// evaluateCorpus reads the lists written by hand.
func evaluateCorpus(t *testing.T) {
	lists, err := trial.ReadLists(os.DirFS("testdata/corpus"))
	if err != nil {
		t.Fatal(err)
	}
	m := handShop(t, Options{})
	styles := map[string]bool{}
	known := make([]figures, len(portions))
	var open figures
	for _, h := range lists {
		styles[h.Style] = true
		at := slices.IndexFunc(portions, func(p struct{ title, file string }) bool { return strings.Contains(p.file, h.File) })
		if at < 0 {
			t.Fatalf("%s is in no portion of the corpus", h.File)
		}
		list := kitlist.Read(h.Text, kitlist.Options{})
		checkTruth(t, m, h)
		count(&known[at], list, m.Match(list, Context{Variant: h.Variant}), h.Truth)
		count(&open, list, m.Match(list, Context{}), h.Truth)
		known[at].suggest(m, list, string(h.Family), string(h.Variant))
	}
	t.Logf("%d lists in %d styles, %d parts in the index", len(lists), len(styles), len(m.parts))
	for i := range known {
		known[i].print(t, portions[i].title)
		if !strings.Contains(portions[i].file, "apart") {
			show(t, &known[i])
		}
	}
	open.print(t, "all lists written by hand, variant unknown")
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
	for _, list := range [][]string{f.kindWrong, f.wrong, f.notRefused, f.notAsked, f.lost, f.open} {
		for _, s := range list[:min(len(list), *showWrong)] {
			t.Log(s)
		}
	}
}
