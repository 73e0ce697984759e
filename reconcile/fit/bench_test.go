package fit

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"layshaft/catalog"
)

// large is a question about a gearbox of n positions: every position has six
// parts in three series, neighbours must be of one series at one seat and of one
// length at another, and the part asked about is of another series, so that the
// change runs on to its neighbours.
func large(n, chain int) (*catalog.Index, Question) {
	r := rand.New(rand.NewPCG(1, 2))
	in := random(r, n, false)
	c := in.cat
	c.Parts, c.Fitments, c.Mates, c.Offers = nil, nil, nil, nil
	for i := range n {
		for k := range 6 {
			part := &catalog.Part{ID: catalog.PartID(fmt.Sprintf("x%d-%d", i, k)), Kind: "gear"}
			for s := range 4 {
				part.Attributes = append(part.Attributes, &catalog.Attribute{Name: catalog.AttributeKey(fmt.Sprint("s", s)), Value: mm(1 + k/2 + s*k%2)})
			}
			c.Parts = append(c.Parts, part)
			c.Fitments = append(c.Fitments, &catalog.Fitment{Variant: "a", Position: catalog.PositionID(fmt.Sprint("p", i)), Part: part.ID,
				Standard: k == 0, Provenance: catalog.Provenance{Standing: catalog.Stated}})
			c.Offers = append(c.Offers, &catalog.Offer{ID: "o" + string(part.ID), Supplier: "s", Part: part.ID,
				Breaks: []*catalog.PriceBreak{{From: 1}}})
			c.Offers[len(c.Offers)-1].Breaks[0].Price.Minor = int64(100 + r.IntN(900))
			c.Offers[len(c.Offers)-1].Breaks[0].Price.Currency = "EUR"
		}
	}
	mate := func(a, b int) {
		s := catalog.AttributeKey("s0")
		c.Mates = append(c.Mates, &catalog.Mate{ID: fmt.Sprint("m", len(c.Mates)), Family: "f", Relation: catalog.Equal, Reason: "they touch",
			A: catalog.Seat{Position: catalog.PositionID(fmt.Sprint("p", a)), Name: s}, B: catalog.Seat{Position: catalog.PositionID(fmt.Sprint("p", b)), Name: s}})
	}
	for i := 1; i < n; i++ { // groups of chain positions that hang together, joined loosely
		if i%chain != 0 {
			mate(i-1, i)
			mate(i-i%chain, i)
			continue
		}
		c.Mates = append(c.Mates, &catalog.Mate{ID: fmt.Sprint("m", len(c.Mates)), Family: "f", Relation: catalog.Window, Min: -3e6, Max: 3e6, Reason: "they touch",
			A: catalog.Seat{Position: catalog.PositionID(fmt.Sprint("p", i-1)), Name: "s1"}, B: catalog.Seat{Position: catalog.PositionID(fmt.Sprint("p", i)), Name: "s1"}})
	}
	in.q = Question{Variant: "a", Position: "p0", Part: "x0-4"}
	return catalog.NewIndex(c, 1), in.q
}

// BenchmarkAsk: a family of 120 positions with 720 parts, where the part asked for
// makes 0, 2, 7 or 15 other changes necessary, or is impossible.
//
//	go test -run - -bench Ask -benchmem ./reconcile/fit
func BenchmarkAsk(b *testing.B) {
	for _, chain := range []int{1, 3, 8, 16} {
		ix, q := large(120, chain)
		run(b, fmt.Sprintf("120-positions-%d-changes", chain-1), ix, q)
	}
	ix, q := large(120, 8)
	last := Place{State: Fixed, Part: "x7-0"}
	q.Places = map[catalog.PositionID]Place{"p7": last}
	run(b, "120-positions-impossible", ix, q)
}

func run(b *testing.B, name string, ix *catalog.Index, q Question) {
	a, err := Ask(ix, q)
	if err != nil {
		b.Fatal(err)
	}
	b.Run(name, func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			if _, err := Ask(ix, q); err != nil {
				b.Fatal(err)
			}
		}
		b.ReportMetric(float64(len(a.Changes)), "changes")
		b.ReportMetric(float64(len(a.Because)), "facts")
	})
}
