package match

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"layshaft/catalog"
	"layshaft/reconcile/kitlist"
	"layshaft/reconcile/match/trial"
)

// portion is a count of right ones among all.
type portion struct{ right, all int }

func (s *portion) add(ok bool) {
	s.all++
	if ok {
		s.right++
	}
}

// bound is the exact one-sided 95 % lower bound of the portion (Clopper and
// Pearson 1934): the p at which so many right ones or more have probability 5 %.
func (s portion) bound() float64 {
	if s.right == 0 || s.all == 0 {
		return 0
	}
	lo, hi := 0.0, 1.0
	for range 60 {
		p := (lo + hi) / 2
		if tail(s.all, s.right, p) < 0.05 {
			lo = p
		} else {
			hi = p
		}
	}
	return lo
}

// tail is the probability of at least k successes among n.
func tail(n, k int, p float64) float64 {
	sum := 0.0
	ln, _ := math.Lgamma(float64(n + 1))
	for i := k; i <= n; i++ {
		a, _ := math.Lgamma(float64(i + 1))
		b, _ := math.Lgamma(float64(n - i + 1))
		sum += math.Exp(ln - a - b + float64(i)*math.Log(p) + float64(n-i)*math.Log1p(-p))
	}
	return sum
}

func (s portion) String() string {
	if s.all == 0 {
		return "no lines"
	}
	return fmt.Sprintf("%6.2f %%  (%d of %d; 95 %% bound %.2f %%)", 100*float64(s.right)/float64(s.all), s.right, s.all, 100*s.bound())
}

// figures are those of the reading table.
type figures struct {
	kind, pieces, flags                portion
	top, topNumber, topWords, five     portion
	precision, coverage, answered      portion
	refused, asked                     portion
	family, variant                    portion
	told                               portion // families that the list is said to tell
	untold                             int     // lists of which the family is left open
	forecasts                          []forecast
	causes                             map[string]int // why answerable lines are not certain
	wrong, open, notRefused, kindWrong []string
	notAsked, lost                     []string
}

// forecast is the probability given to the first candidate, and what came of it.
type forecast struct {
	permille int
	right    bool
}

// calibration is the expected calibration error of forecasts over ten bins.
func calibration(all []forecast) float64 {
	var bins [10]float64
	for _, x := range all {
		b := &bins[min(x.permille/100, 9)]
		*b += float64(x.permille) / 1000
		if x.right {
			*b--
		}
	}
	sum := 0.0
	for _, b := range bins {
		sum += math.Abs(b)
	}
	return sum / float64(max(len(all), 1))
}

// calibrationBound is the one-sided 95 % upper bound of the calibration error by
// drawing as many forecasts anew, a thousand times (the bootstrap, Efron 1979).
// Drawing adds to the error, so that the bound is a cautious one.
func calibrationBound(all []forecast) float64 {
	rng := rand.New(rand.NewPCG(1, 2))
	drawn, errors := make([]forecast, len(all)), make([]float64, 1000)
	for i := range errors {
		for k := range drawn {
			drawn[k] = all[rng.IntN(len(all))]
		}
		errors[i] = calibration(drawn)
	}
	slices.Sort(errors)
	return errors[949]
}

func (f *figures) print(t *testing.T, title string) {
	t.Helper()
	var b strings.Builder
	row := func(name string, s portion) {
		if s.all > 0 {
			fmt.Fprintf(&b, "  %-40s %s\n", name, s)
		}
	}
	fmt.Fprintf(&b, "%s\n", title)
	row("line kind right", f.kind)
	row("quantity in pieces exact", f.pieces)
	row("excluded / alternative flags", f.flags)
	row("top-1 part, answerable lines", f.top)
	row("  lines with a number", f.topNumber)
	row("  lines without", f.topWords)
	row("recall in five", f.five)
	row("certain: precision", f.precision)
	row("certain: coverage of item lines", f.coverage)
	row("certain: coverage of answerable lines", f.answered)
	row("match nothing: refused", f.refused)
	row("ambiguous on purpose: asked", f.asked)
	row("family first from the list alone", f.family)
	row("  where the list is said to tell it", f.told)
	fmt.Fprintf(&b, "  %-40s %6d\n", "  left open, with candidates", f.untold)
	row("variant found from the list alone", f.variant)
	fmt.Fprintf(&b, "  %-40s %6.4f    (%d lines; 95 %% bound %.4f)\n", "calibration error", calibration(f.forecasts), len(f.forecasts), calibrationBound(f.forecasts))
	fmt.Fprintf(&b, "  answerable lines that are not certain, by cause\n")
	causes := slices.SortedFunc(maps.Keys(f.causes), func(a, b string) int { return cmp.Or(f.causes[b]-f.causes[a], cmp.Compare(a, b)) })
	for _, c := range causes {
		fmt.Fprintf(&b, "  %6d  %s\n", f.causes[c], c)
	}
	t.Log(b.String())
}

// cause is why a line is not certain, without what differs from line to line.
func cause(r *Result) string {
	_, doubt, found := strings.Cut(r.Why, "; to confirm, since ")
	switch {
	case r.Outcome == Likely && found:
		return doubt
	case r.Outcome == Likely:
		return "the probability is below the limit"
	case r.Telling != "":
		return "several parts answer; not stated: " + r.Telling
	}
	return strings.TrimLeft(r.Why, "0123456789 ")
}

// line counts one line whose kind is item by truth.
func (f *figures) line(j judged) {
	r, t := &j.result, &j.truth
	if t.Pieces > 0 {
		ok := j.line.Quantity.Pieces == t.Pieces
		f.pieces.add(ok)
		if !ok {
			f.kindWrong = append(f.kindWrong, fmt.Sprintf("pieces are wrong: %q %d, want %d", t.Text, j.line.Quantity.Pieces, t.Pieces))
		}
	}
	certain := r.Outcome == Certain
	f.coverage.add(certain)
	if certain {
		right := t.Accepts(r.Part)
		f.precision.add(right)
		if !right {
			f.wrong = append(f.wrong, fmt.Sprintf("certain and wrong: %q read %s, truth %q (%s)", t.Text, r.Part, t.Part, r.Why))
		}
	}
	switch {
	case t.Part == "":
		f.refused.add(r.Outcome == None)
		if r.Outcome != None {
			top, p := first(r)
			f.notRefused = append(f.notRefused, fmt.Sprintf("not refused: %q %s read %s %d: %s", t.Text, r.Outcome, top, p, r.Why))
		}
	case t.Ambiguous:
		f.asked.add(!certain && r.Outcome != None)
		if certain || r.Outcome == None {
			f.notAsked = append(f.notAsked, fmt.Sprintf("not asked: %q %s %s: %s", t.Text, r.Outcome, r.Part, r.Why))
		}
		return // no answer is right, so no probability can be
	default:
		f.answerable(r, t)
	}
	if top, p := first(r); top != "" {
		f.forecasts = append(f.forecasts, forecast{p, t.Accepts(top)})
	}
}

// first is the leading candidate with its probability; "" when there is none.
func first(r *Result) (catalog.PartID, int) {
	if len(r.Candidates) == 0 {
		return "", 0
	}
	return r.Candidates[0].Part, r.Candidates[0].Permille
}

// answerable counts a line that a part answers.
func (f *figures) answerable(r *Result, t *trial.Truth) {
	top, p := first(r)
	ok := t.Accepts(top)
	f.top.add(ok)
	if t.Number {
		f.topNumber.add(ok)
	} else {
		f.topWords.add(ok)
	}
	f.five.add(slices.ContainsFunc(r.Candidates, func(c Candidate) bool { return t.Accepts(c.Part) }))
	if !ok {
		f.wrong = append(f.wrong, fmt.Sprintf("first is wrong: %q read %s %d, truth %s: %s", t.Text, top, p, t.Part, r.Why))
	}
	f.answered.add(r.Outcome == Certain)
	if r.Outcome == Certain {
		return
	}
	if f.causes == nil {
		f.causes = map[string]int{}
	}
	f.causes[cause(r)]++
	if ok {
		f.open = append(f.open, fmt.Sprintf("right but open: %d %q %s", p, t.Text, r.Why))
	}
}

// flag counts what the line says of its own standing.
func (f *figures) flag(j judged) {
	t, g := &j.truth, &j.line.Flags
	ok := g.Excluded == t.Excluded && g.Conditional == t.Conditional && g.NotAvailable == t.NotAvailable && (g.Alternative > 0) == (t.Alternative > 0)
	f.flags.add(ok)
	if !ok {
		f.kindWrong = append(f.kindWrong, fmt.Sprintf("flags are wrong: %q %+v", t.Text, *g))
	}
}

// suggest counts whether the family and variant are found without being told.
func (f *figures) suggest(m *Matcher, list kitlist.List, family, variant string) {
	s := m.SuggestFamily(list)
	f.family.add(len(s) > 0 && string(s[0].Family) == family)
	if len(s) == 0 || string(s[0].Family) != family {
		var got []string
		for _, x := range s[:min(len(s), 3)] {
			got = append(got, fmt.Sprintf("%s %d told %v", x.Variant, x.Permille, x.Told))
		}
		f.lost = append(f.lost, fmt.Sprintf("family lost: %s, read %v of %q", variant, got, list.Text))
	}
	if len(s) > 0 && s[0].Told {
		f.told.add(string(s[0].Family) == family)
	} else {
		f.untold++
	}
	f.variant.add(len(s) > 0 && string(s[0].Variant) == variant)
}
