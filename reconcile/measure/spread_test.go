package measure

import (
	"fmt"
	"math"
	"math/bits"
	"testing"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
	"pgregory.net/rapid"
)

// Our own worked numbers: mean 0.90, deviation 0.08, step 0.05, reach 0.03.
func TestSpreadOwnExample(t *testing.T) {
	r := Spread(SpreadInput{Stack: recipe(catalog.MethodDepth, 20, 80, 50), Mean: um(900), Sigma: um(80), Grades: series(600, 1200, 50), Wanted: 0.95})
	for n, want := range map[int]float64{1: 0.29, 3: 0.68, 5: 0.90, 7: 0.98} {
		near(t, fmt.Sprintf("%d grades", n), want, r.Rows[n].Covered, 0.005)
	}
	near(t, "9 grades", 0.996, r.Rows[9].Covered, 0.0005)
	if r.Enough != 7 {
		t.Errorf("0.95 needs %d grades", r.Enough)
	}
	// The old shim narrows it.
	old := Spread(SpreadInput{Stack: recipe(catalog.MethodDepth, 20, 80, 50), Mean: um(900), Sigma: um(80), OldShim: um(950), Grades: series(600, 1200, 50)})
	if old.Enough < 1 || old.Enough > 4 || old.Prior.Sigma > 0.04 {
		t.Errorf("with the old shim %d grades, deviation %v", old.Enough, old.Prior.Sigma)
	}
}

func TestSpreadPriors(t *testing.T) {
	s := recipe(catalog.MethodDepth, 20, 80, 50)
	past := []quantity.Length{um(850), um(900), um(900), um(950)}
	r := Spread(SpreadInput{Stack: s, Past: past, Grades: series(600, 1200, 50)})
	near(t, "mean", 0.9, r.Prior.Mean, 1e-12)
	near(t, "deviation", math.Sqrt(0.005/3)*math.Sqrt(1.25), r.Prior.Sigma, 1e-12)
	if r.Prior.DoF != 3 {
		t.Errorf("degrees of freedom %v", r.Prior.DoF)
	}
	if r := Spread(SpreadInput{Stack: s, Past: past[:2], Grades: series(600, 1200, 50)}); len(r.Refusals) != 1 || r.Refusals[0].Code != "no-prior" {
		t.Errorf("two jobs: %+v", r.Refusals)
	}
	if r := Spread(SpreadInput{Stack: s, OldShim: um(900), Grades: series(600, 1200, 50)}); len(r.Refusals) > 0 || r.Prior.Mean != 0.9 {
		t.Errorf("old shim alone: %+v %+v", r.Prior, r.Refusals)
	}
	if r := Spread(SpreadInput{Stack: s, OldShim: um(900)}); len(r.Refusals) != 1 {
		t.Errorf("no grades: %+v", r.Refusals)
	}
}

// A greedy choice is not exact: with a fine step the best single grade is the
// centred one, the best two straddle the mean.
func TestGreedySpreadIsNotExact(t *testing.T) {
	r := Spread(SpreadInput{Stack: recipe(catalog.MethodDepth, 20, 80, 50), Mean: um(900), Sigma: um(40), Grades: series(840, 960, 30)})
	one, two := r.Rows[1].Bought, r.Rows[2].Bought
	if one[0].Thickness != um(900) || two[0].Thickness != um(870) || two[1].Thickness != um(930) {
		t.Errorf("one %v, two %v", one, two)
	}
}

// Against all subsets: coverage for every number bought and the least expected
// cost, with grades on hand, prices and unequal reach either side.
func TestSpreadAgainstAllSubsets(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 10).Draw(t, "n")
		aim := rapid.Int64Range(20, 80).Draw(t, "aim")
		in := SpreadInput{Stack: recipe(catalog.MethodDepth, 20, 80, aim), Mean: um(rapid.Int64Range(600, 1100).Draw(t, "mean")),
			Sigma: um(rapid.Int64Range(10, 120).Draw(t, "sigma")), SecondOrder: quantity.Money{Minor: rapid.Int64Range(1, 9000).Draw(t, "second"), Currency: "EUR"},
			StockWorth: rapid.IntRange(0, 900).Draw(t, "worth")}
		in.Stack.ThickerOpens = rapid.Bool().Draw(t, "opens")
		at := int64(600)
		for i := range n {
			at += rapid.Int64Range(5, 80).Draw(t, "step")
			g := Grade{Part: catalog.PartID(fmt.Sprint(i)), Thickness: um(at), Price: quantity.Money{Minor: rapid.Int64Range(50, 900).Draw(t, "price"), Currency: "EUR"}}
			if rapid.IntRange(0, 3).Draw(t, "stock") == 0 {
				g.Stock = ptr(1)
			}
			in.Grades = append(in.Grades, g)
		}
		r := Spread(in)
		if len(r.Refusals) > 0 {
			t.Fatalf("%+v", r.Refusals)
		}
		best, least := subsets(in)
		for k, row := range r.Rows {
			if len(row.Bought) > k || math.Abs(row.Covered-best[k]) > 1e-9 {
				t.Fatalf("%d bought (%d): covered %v, best %v", k, len(row.Bought), row.Covered, best[k])
			}
		}
		if r.Cheapest == nil || math.Abs(float64(r.Cheapest.Expected.Minor)-least) > 0.5+1e-6 {
			t.Fatalf("expected cost %v, least %v", r.Cheapest, least)
		}
	})
}

// subsets tries every set of grades: the best coverage by number bought and
// the least expected cost in minor units.
func subsets(in SpreadInput) (best []float64, least float64) {
	n := len(in.Grades)
	best, least = make([]float64, n+1), math.Inf(1)
	phi := func(l float64) float64 {
		return 0.5 * (1 + math.Erf((l-in.Mean.Millimetres())/in.Sigma.Millimetres()/math.Sqrt2))
	}
	below, above := in.Stack.Aim-in.Stack.Min, in.Stack.Max-in.Stack.Aim
	if in.Stack.ThickerOpens {
		below, above = above, below
	}
	for set := range 1 << n {
		bought, cost := 0, 0.0
		var covered float64
		end := math.Inf(-1)
		for i, g := range in.Grades { // ascending by construction
			if g.Stock == nil && set&(1<<i) == 0 {
				continue
			}
			if g.Stock == nil {
				bought++
				cost += float64(g.Price.Minor) * float64(1000-in.StockWorth) / 1000
			}
			from, to := math.Max(end, (g.Thickness-below).Millimetres()), (g.Thickness + above).Millimetres()
			if to > from {
				covered += phi(to) - phi(from)
			}
			end = to
		}
		if bits.OnesCount(uint(set)) == bought {
			best[bought] = math.Max(best[bought], covered)
		}
		least = math.Min(least, cost+(1-covered)*float64(in.SecondOrder.Minor))
	}
	return best, least
}

// The purchasing example: cheap grades against a dear second order are bought
// while chance times cost exceeds price less worth.
func TestSpreadCheapest(t *testing.T) {
	g := series(600, 1200, 50)
	for i := range g {
		g[i].Price = quantity.Money{Minor: 300, Currency: "EUR"}
	}
	in := SpreadInput{Stack: recipe(catalog.MethodDepth, 20, 80, 50), Mean: um(900), Sigma: um(80), Grades: g, StockWorth: 500,
		SecondOrder: quantity.Money{Minor: 20_000, Currency: "EUR"}}
	r := Spread(in)
	for _, b := range r.Cheapest.Bought {
		if b.Chance*20_000 <= 150 {
			t.Errorf("%s is bought with a chance of %v", b.Thickness, b.Chance)
		}
	}
	if n := len(r.Cheapest.Bought); n != 9 {
		t.Errorf("%d bought", n)
	}
	in.SecondOrder.Currency = "USD"
	if r := Spread(in); len(r.Refusals) != 1 || r.Refusals[0].Code != "currencies" {
		t.Errorf("%+v", r.Refusals)
	}
	in.SecondOrder = quantity.Money{}
	if r := Spread(in); r.Cheapest != nil || !has(r.Notices, "no-prices") {
		t.Error("a cheapest spread without costs")
	}
}
