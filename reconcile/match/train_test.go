package match

import (
	"bytes"
	"flag"
	"os"
	"slices"
	"testing"

	"layshaft/catalog"
	"layshaft/reconcile/kitlist"
	"layshaft/reconcile/match/trial"
)

var train = flag.Bool("train", false, "refit weights.csv from the training catalogues")

// Training, threshold and test catalogues are apart: other seeds, other number
// and name styles, other families and lists.
var (
	trainSpecs = []trial.Spec{
		{Seed: 11, Families: 6, Variants: 2, Numbers: "dashed", Names: "plain"},
		{Seed: 12, Families: 6, Variants: 2, Numbers: "maker", Names: "noun-first"},
		{Seed: 13, Families: 5, Variants: 3, Numbers: "letters", Names: "shout"},
	}
	thresholdSpecs = []trial.Spec{
		{Seed: 21, Families: 6, Variants: 2, Numbers: "digits", Names: "plain"},
		{Seed: 22, Families: 8, Variants: 2, Numbers: "dashed", Names: "kind-only"},
	}
	testSpecs = []trial.Spec{
		{Seed: 41, Families: 8, Variants: 2, Numbers: "dotted", Names: "plain"},
		{Seed: 42, Families: 8, Variants: 2, Numbers: "spaced", Names: "noun-first"},
		{Seed: 43, Families: 8, Variants: 3, Numbers: "letters", Names: "kind-only"},
	}
)

// judged is one line with its reading and its truth.
type judged struct {
	truth  trial.Truth
	result Result
	line   *kitlist.Line
}

// judge pairs each truth with the reading of its physical line; of several items
// on one line the first truth belongs to the first item, and so on. A truth whose
// line was not read as an entry of its own has a nil line.
func judge(list kitlist.List, results []Result, truth []trial.Truth) []judged {
	var out []judged
	used := 0
	for k, t := range truth {
		if k == 0 || truth[k-1].No != t.No {
			used = 0
		}
		j, seen := judged{truth: t}, 0
		for i := range list.Lines {
			n := &list.Lines[i]
			if n.No > t.No || n.Last < t.No {
				continue
			}
			if seen == used {
				j.result, j.line = results[i], n
				break
			}
			seen++
		}
		used++
		out = append(out, j)
	}
	return out
}

func rowsOf(m *Matcher, k *trial.Kit, in Context) []Row {
	list := kitlist.Read(k.Text, kitlist.Options{})
	answers := map[int]catalog.PartID{}
	for _, t := range k.Truth {
		if t.Kind != "item" || t.Ambiguous {
			continue
		}
		for i := range list.Lines {
			if n := &list.Lines[i]; n.No == t.No && n.Last == t.No && n.Sub <= 1 {
				answers[i] = t.Part
				break
			}
		}
	}
	return m.Rows(list, in, answers)
}

// TestTrain refits the shipped weights; run it with -train.
func TestTrain(t *testing.T) {
	if !*train {
		t.Skip("refits weights.csv only when asked with -train")
	}
	w := Shipped()
	for range 2 { // the candidates kept depend on the weights
		var rows []Row
		for _, spec := range trainSpecs {
			world := trial.NewWorld(spec)
			m := New(catalog.NewIndex(world.Catalogue, 1), Options{Weights: w})
			kits := append(world.Kits(spec.Seed*1000, 45, trial.Usual), world.Kits(spec.Seed*1000+7, 45, trial.Wide)...)
			for i, k := range kits {
				in := Context{Variant: k.Variant}
				if i%5 == 4 {
					in = Context{}
				}
				rows = append(rows, rowsOf(m, k, in)...)
			}
		}
		w = Fit(w, rows, 1)
		t.Logf("%d rows", len(rows))
	}
	w = w.WithThresholds(thresholds(t, w))
	var b bytes.Buffer
	if err := w.Write(&b); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile("weights.csv", b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
}

// thresholds finds, for lists with and without a known variant, the least
// probability at which at most 1 in 1000 would-be certain lines is wrong.
func thresholds(t *testing.T, w *Weights) []Threshold {
	probe := w.WithThresholds([]Threshold{{1 << 30, true, 1}, {1 << 30, false, 1}})
	var out []Threshold
	for _, known := range []bool{true, false} {
		var all []judged
		for _, spec := range thresholdSpecs {
			world := trial.NewWorld(spec)
			m := New(catalog.NewIndex(world.Catalogue, 1), Options{Weights: probe})
			kits := append(world.Kits(spec.Seed*1000, 150, trial.Usual), world.Kits(spec.Seed*1000+7, 150, trial.Wide)...)
			for _, k := range kits {
				in := Context{Variant: k.Variant}
				if !known {
					in = Context{}
				}
				list := kitlist.Read(k.Text, kitlist.Options{})
				all = append(all, judge(list, m.Match(list, in), k.Truth)...)
			}
		}
		p := cut(all)
		for _, j := range all {
			if r := j.result; r.Outcome == Certain && !j.truth.Accepts(r.Part) && r.Candidates[0].Permille >= 995 {
				t.Logf("certain and wrong at %d: %q %s, want %s: %s", r.Candidates[0].Permille, j.truth.Text, r.Part, j.truth.Part, r.Why)
			}
		}
		t.Logf("known %v: certain from %d permille", known, p)
		out = append(out, Threshold{1 << 30, known, p})
	}
	return out
}

// leastCertain keeps a threshold set without any wrong line from lowering the bar
// below what one such line must promise by itself.
const leastCertain = 980

// cut gives the least threshold that keeps the share of wrong lines above it
// within 1 in 1000.
func cut(all []judged) int {
	type point struct {
		p    int
		good bool
	}
	var pts []point
	for _, j := range all {
		if j.result.Outcome == Certain {
			pts = append(pts, point{j.result.Candidates[0].Permille, j.result.Part == j.truth.Part})
		}
	}
	slices.SortFunc(pts, func(a, b point) int { return b.p - a.p })
	best, wrong := 1000, 0
	for i, p := range pts {
		if !p.good {
			wrong++
		}
		if (i+1 == len(pts) || pts[i+1].p != p.p) && float64(wrong) <= float64(i+1)/1000 {
			best = p.p
		}
	}
	return max(best, leastCertain)
}
