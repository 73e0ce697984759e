package match

import (
	"flag"
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
		f.kind.add(string(j.line.Kind) == j.truth.Kind)
		if j.truth.Kind == "item" {
			f.line(j)
		}
	}
}

func show(t *testing.T, f *figures) {
	for _, list := range [][]string{f.wrong, f.notRefused, f.open} {
		for _, s := range list[:min(len(list), *showWrong)] {
			t.Log(s)
		}
	}
}
