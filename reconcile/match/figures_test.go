package match

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"layshaft/reconcile/kitlist"
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
	bins                               [10]struct{ p, right, n float64 }
	wrong, open, notRefused, kindWrong []string
	notAsked, lost                     []string
}

// calibration is the expected calibration error over ten bins.
func (f *figures) calibration() float64 {
	sum, n := 0.0, 0.0
	for _, b := range f.bins {
		sum += math.Abs(b.p - b.right)
		n += b.n
	}
	if n == 0 {
		return 0
	}
	return sum / n
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
	row("family found from the list alone", f.family)
	row("variant found from the list alone", f.variant)
	fmt.Fprintf(&b, "  %-40s %.4f\n", "calibration error", f.calibration())
	t.Log(b.String())
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
	right := certain && t.Accepts(r.Part)
	f.coverage.add(certain)
	if certain {
		f.precision.add(right)
		if !right {
			f.wrong = append(f.wrong, fmt.Sprintf("certain and wrong: %q read %s, truth %q (%s)", t.Text, r.Part, t.Part, r.Why))
		}
	}
	top, p := "", 0
	if len(r.Candidates) > 0 {
		top, p = string(r.Candidates[0].Part), r.Candidates[0].Permille
	}
	switch {
	case t.Part == "":
		f.refused.add(r.Outcome == None)
		if r.Outcome != None {
			f.notRefused = append(f.notRefused, fmt.Sprintf("not refused: %q %s read %s %d: %s", t.Text, r.Outcome, top, p, r.Why))
		}
	case t.Ambiguous:
		f.asked.add(!certain && r.Outcome != None)
		if certain || r.Outcome == None {
			f.notAsked = append(f.notAsked, fmt.Sprintf("not asked: %q %s %s: %s", t.Text, r.Outcome, r.Part, r.Why))
		}
		return // no answer is right, so no probability can be
	default:
		ok := len(r.Candidates) > 0 && t.Accepts(r.Candidates[0].Part)
		f.top.add(ok)
		f.answered.add(certain)
		if !certain && ok {
			f.open = append(f.open, fmt.Sprintf("right but open: %d %q %s", p, t.Text, r.Why))
		}
		if t.Number {
			f.topNumber.add(ok)
		} else {
			f.topWords.add(ok)
		}
		in := false
		for _, c := range r.Candidates {
			in = in || t.Accepts(c.Part)
		}
		f.five.add(in)
		if !ok {
			f.wrong = append(f.wrong, fmt.Sprintf("first is wrong: %q read %s %d, truth %s: %s", t.Text, top, p, t.Part, r.Why))
		}
	}
	if len(r.Candidates) > 0 {
		b := &f.bins[min(p/100, 9)]
		b.n++
		b.p += float64(p) / 1000
		if t.Accepts(r.Candidates[0].Part) {
			b.right++
		}
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
			got = append(got, fmt.Sprintf("%s %d", x.Variant, x.Permille))
		}
		f.lost = append(f.lost, fmt.Sprintf("family lost: %s, read %v", variant, got))
	}
	f.variant.add(len(s) > 0 && string(s[0].Variant) == variant)
}
