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

// thresholdSizes are the catalogues for which thresholds are found: about so many
// parts at most, made of so many families.
var thresholdSizes = []struct{ parts, families, kits int }{{5_000, 15, 300}, {50_000, 150, 300}, {1 << 30, 770, 300}}

// thresholds finds, for catalogues of about 2,000, 20,000 and 100,000 parts and
// lists with and without a known variant, the least probability at which the 95 %
// bound of right ones among would-be certain lines keeps the promise.
func thresholds(t *testing.T, w *Weights) []Threshold {
	var probe []Threshold
	for _, known := range []bool{true, false} {
		probe = append(probe, Threshold{1 << 30, known, 1})
	}
	open := w.WithThresholds(probe)
	var out []Threshold
	for k, size := range thresholdSizes {
		world := trial.NewWorld(trial.Spec{Seed: 21 + uint64(k), Families: size.families, Variants: 2, Numbers: []string{"digits", "dashed", "maker"}[k],
			Names: []string{"plain", "kind-only", "noun-first"}[k]})
		m := New(catalog.NewIndex(world.Catalogue, 1), Options{Weights: open})
		seed := 1000 * (21 + uint64(k))
		kits := append(world.Kits(seed, size.kits/2, trial.Usual), world.Kits(seed+7, size.kits/2, trial.Wide)...)
		for _, known := range []bool{true, false} {
			var all []judged
			for _, k := range kits {
				in := Context{Variant: k.Variant}
				if !known {
					in = Context{}
				}
				list := kitlist.Read(k.Text, kitlist.Options{})
				all = append(all, judge(list, m.Match(list, in), k.Truth)...)
			}
			p := cut(all)
			bands(t, all)
			t.Logf("%d parts, known %v: certain from %d permille", len(m.parts), known, p)
			out = append(out, Threshold{size.parts, known, p})
		}
	}
	return out
}

// bands logs how many would-be certain lines of each probability are right.
func bands(t *testing.T, all []judged) {
	edges := []int{500, 800, 900, 950, 970, 980, 990, 995, 1001}
	n := make([]portion, len(edges))
	for _, j := range all {
		if j.result.Outcome != Certain || j.result.Candidates[0].Permille < edges[0] {
			continue
		}
		at := 0
		for j.result.Candidates[0].Permille >= edges[at+1] {
			at++
		}
		ok := j.truth.Accepts(j.result.Part)
		n[at].add(ok)
		if !ok {
			t.Logf("certain and wrong at %d: %q %s, want %s: %s", j.result.Candidates[0].Permille, j.truth.Text, j.result.Part, j.truth.Part, j.result.Why)
		}
	}
	for i := range edges[1:] {
		t.Logf("  from %d: %d of %d", edges[i], n[i].right, n[i].all)
	}
}

// promise is the share of right ones among certain lines that must be shown, and
// leastCertain what a line must promise by itself, however well a set went.
const (
	promise      = 0.998
	leastCertain = 930
)

// cut gives the least threshold above which the 95 % bound of the right ones
// keeps the promise.
func cut(all []judged) int {
	type point struct {
		p    int
		good bool
	}
	var pts []point
	for _, j := range all {
		if j.result.Outcome == Certain {
			pts = append(pts, point{j.result.Candidates[0].Permille, j.truth.Accepts(j.result.Part)})
		}
	}
	slices.SortFunc(pts, func(a, b point) int { return b.p - a.p })
	best := 1000
	var s portion
	for i, p := range pts {
		s.add(p.good)
		if (i+1 == len(pts) || pts[i+1].p != p.p) && s.all > 1000 && s.bound() >= promise {
			best = p.p
		}
	}
	return max(best, leastCertain)
}
