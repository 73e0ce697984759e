package reconcile

import (
	"encoding/json"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"layshaft/catalog"

	"pgregory.net/rapid"
)

func drawShop(t *rapid.T) *shop {
	c := rapidChance{t}
	return randomShop(c, 3+c.below(14), c.below(14))
}

func mustRun(t *rapid.T, in Input) *Report {
	r := Run(in)
	if len(r.Faults) > 0 {
		t.Fatalf("faults: %q", r.Faults)
	}
	return r
}

// TestPromises: what a report must always satisfy. Run asserts supplied = used +
// surplus and covered or short itself; a fault fails the test.
func TestPromises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := drawShop(t).input()
		a := mustRun(t, in)
		x := encode(a)
		mustRun(t, drawShop(t).input())
		if y := encode(a); x != y {
			t.Fatalf("another job's run changed a report:\n%s\n%s", x, y)
		}
		if y := encode(mustRun(t, in)); x != y {
			t.Fatalf("two runs differ:\n%s\n%s", x, y)
		}
		acyclic(t, in)
		groupsHoldEverything(t, in, a)
	})
}

func encode(r *Report) string {
	b, err := json.Marshal(r)
	if err != nil {
		panic(err)
	}
	return string(b)
}

// acyclic: no kept edge closes a circle, and every node that was reached leads back
// to a root by its shortest chain.
func acyclic(t *rapid.T, in Input) {
	w := newWork(in)
	w.settle()
	g := &w.graph
	for _, e := range g.edges {
		if e.from >= 0 && (!g.reached(e.from) || g.leads(e.to, e.from, make([]bool, len(g.dist)))) {
			t.Fatalf("edge %v closes a circle", e)
		}
	}
	for node, d := range g.dist {
		if d < 0 {
			continue
		}
		chain := w.chain(node)
		if len(chain) != int(d)+1 || chain[0].From != "" {
			t.Fatalf("node %d at distance %d has the chain %s", node, d, chainText(chain))
		}
		for _, id := range g.in[node] {
			if from := g.edges[id].from; from >= 0 && g.dist[from]+1 < d {
				t.Fatalf("node %d has a shorter chain than the one shown", node)
			}
		}
	}
}

func groupsHoldEverything(t *rapid.T, in Input, r *Report) {
	seen := map[*Finding]int{}
	blocks := true
	for _, g := range FindingGroups(in.Index, r) {
		if g.Blocking > 0 && !blocks {
			t.Fatalf("group %q blocks and comes after one that does not", g.Title)
		}
		blocks = g.Blocking > 0
		for _, it := range g.Items {
			if it.Message == "" || g.Title == "" {
				t.Fatalf("an item of %q says nothing", g.Title)
			}
			for _, f := range it.Findings {
				seen[f]++
			}
		}
	}
	for _, f := range r.Findings {
		if seen[f] != 1 {
			t.Fatalf("finding %s is in %d groups", f.ID, seen[f])
		}
	}
}

var lineNumber = regexp.MustCompile(`\b([Ll]ines?) \d+`)

// unnumbered writes a report without what depends on the order of the lines.
func unnumbered(r *Report) string {
	key := func(i int) string {
		l := *r.Lines[i]
		if l.Place != nil {
			p := *l.Place
			p.Line, p.Start, p.End = 0, 0, 0
			l.Place = &p
		}
		b, _ := json.Marshal(l)
		return string(b)
	}
	var b strings.Builder
	for _, d := range r.Demands {
		var uses []string
		for _, u := range d.Uses {
			uses = append(uses, fmt.Sprint(u.Part, u.Pieces, key(u.Line), lineNumber.ReplaceAllString(u.Why, "$1")))
		}
		slices.Sort(uses)
		fmt.Fprintln(&b, d.Position, d.Quantity, d.Covered, d.Accept, chainText(d.Chain), uses)
	}
	for _, f := range r.Findings {
		fmt.Fprintln(&b, f.ID, f.Severity, f.Blocking, lineNumber.ReplaceAllString(f.Message, "$1"))
	}
	for _, s := range r.Shortages {
		fmt.Fprintln(&b, s.ID, s.Quantity, s.State, s.Accept, lineNumber.ReplaceAllString(s.Because, "$1"))
	}
	for _, s := range r.Surplus {
		fmt.Fprintln(&b, s.Part, s.Pieces, s.Reason, key(s.Line))
	}
	return b.String()
}

// TestLineOrder: shuffled lines give the same report but for line numbers.
func TestLineOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawShop(t)
		want := unnumbered(mustRun(t, s.input()))
		for i, k := range rapid.Permutation(indexes(len(s.supply))).Draw(t, "order") {
			p := *s.supply[i].Place
			p.Line, p.Start, p.End = k+1, k, k+1
			l := *s.supply[i]
			l.Place = &p
			s.supply[i] = &l
		}
		if got := unnumbered(mustRun(t, s.input())); got != want {
			t.Fatalf("the order of the lines matters:\n%s\nwas\n%s", got, want)
		}
	})
}

func indexes(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	return out
}

// TestRightItem: supplying what a shortage asks for ends it, lengthens no list
// and brings no finding about the position.
func TestRightItem(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawShop(t)
		s.supply = append(s.supply, &SupplyLine{Place: &Place{List: "more", Line: 1, Text: "?"}, Source: FromKit, Outcome: Question})
		before := mustRun(t, s.input())
		var open []*Shortage
		for _, x := range before.Shortages {
			if x.State == OrderNow {
				open = append(open, x)
			}
		}
		if len(open) == 0 {
			t.Skip("nothing to order")
		}
		x := rapid.SampledFrom(open).Draw(t, "shortage")
		s.supply = append(s.supply, &SupplyLine{Place: &Place{List: "more", Line: 2, Text: "right item"}, Source: FromKit,
			Outcome: Certain, Part: x.Accept[0], Pieces: x.Quantity})
		after := mustRun(t, s.input())
		if n, m := certainShort(before), certainShort(after); m >= n {
			t.Fatalf("%d short before, %d after %s was added for %s:\n%s\nand before:\n%s", n, m, x.Accept[0], x.Position, render(after), render(before))
		}
		had := codes(before, x.Position, x.Accept[0])
		for _, c := range codes(after, x.Position, x.Accept[0]) {
			if !slices.Contains(had, c) {
				t.Fatalf("%s was added for %s and brought the finding %s:\n%s\nand before:\n%s", x.Accept[0], x.Position, c, render(after), render(before))
			}
		}
	})
}

func certainShort(r *Report) int {
	n := 0
	for _, s := range r.Shortages {
		if !s.Possible {
			n += s.Quantity
		}
	}
	return n
}

// codes of the findings about a position, but for notes on other parts; the ways
// to be short count as one.
func codes(r *Report, id catalog.PositionID, part catalog.PartID) []string {
	var out []string
	for _, f := range r.Findings {
		if f.Position == id && (f.Severity != Note || f.Part == part || f.Part == "") {
			switch f.Code {
			case "quantity-short", "one-time-missing", "not-in-kit", "cup-cone-split":
				out = append(out, "short")
			case "alternatives": // speaks of equal lines, of which either may serve
			default:
				out = append(out, f.Code)
			}
		}
	}
	return out
}

// TestTakingBackADecision: without a decision to renew something, nothing is in
// demand that was not before. Companions are left out: they follow the supply,
// which is free for other positions then.
func TestTakingBackADecision(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawShop(t)
		for _, e := range s.cat.Supersessions {
			e.Companions = nil
		}
		i := slices.IndexFunc(s.job.Decisions, func(d *Decision) bool { return d.Choice == Replace || d.Choice == Absent })
		if i < 0 {
			t.Skip("nothing is renewed")
		}
		before := mustRun(t, s.input())
		s.job.Decisions = slices.Delete(slices.Clone(s.job.Decisions), i, i+1)
		after := mustRun(t, s.input())
		for _, d := range after.Demands {
			if !d.Possible && !slices.ContainsFunc(before.Demands, func(b *Demand) bool { return b.Position == d.Position && !b.Possible }) {
				t.Fatalf("%s came into demand: %s", d.Position, chainText(d.Chain))
			}
		}
	})
}
