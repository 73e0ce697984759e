package fit

import (
	"cmp"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

// instance is a small random question with what brute force needs to know.
type instance struct {
	cat *catalog.Catalogue
	ix  *catalog.Index
	q   Question
}

func mm(n int) catalog.Value { return catalog.LengthValue(quantity.Length(n) * quantity.MM) }

func standing(r *rand.Rand) catalog.Standing {
	if r.IntN(12) == 0 {
		return catalog.Doubted
	}
	return catalog.Standings()[r.IntN(3)]
}

// random makes a family of n positions in two variants and a question about the
// first position.
func random(r *rand.Rand, n int, open bool) *instance {
	yes := func(oneIn int) bool { return r.IntN(oneIn) == 0 }
	c := &catalog.Catalogue{Families: []*catalog.Family{{ID: "f", Name: "f"}},
		Variants:  []*catalog.Variant{{ID: "a", Family: "f", Name: "a"}, {ID: "b", Family: "f", Name: "b"}},
		Suppliers: []*catalog.Supplier{{ID: "s", Currency: "EUR"}}}
	in := &instance{cat: c, q: Question{Variant: "a", Position: "p0", Part: catalog.PartID(fmt.Sprint("x0-", r.IntN(2))), Places: map[catalog.PositionID]Place{}}}
	for i := range n {
		pos := catalog.PositionID(fmt.Sprint("p", i))
		c.Positions = append(c.Positions, &catalog.Position{ID: pos, Family: "f", Kind: "gear", Quantity: 1 + r.IntN(2), Order: i})
		for k := range 2 + r.IntN(3) {
			part := &catalog.Part{ID: catalog.PartID(fmt.Sprintf("x%d-%d", i, k)), Kind: "gear", Special: yes(20)}
			for s := range 2 {
				if !yes(25) {
					part.Attributes = append(part.Attributes, &catalog.Attribute{Name: catalog.AttributeKey(fmt.Sprint("s", s)), Value: mm(1 + r.IntN(2))})
				}
			}
			c.Parts = append(c.Parts, part)
			if !yes(4) {
				c.Offers = append(c.Offers, &catalog.Offer{ID: "o" + string(part.ID), Supplier: "s", Part: part.ID,
					Breaks: []*catalog.PriceBreak{{From: 1, Price: quantity.Money{Minor: int64(1 + r.IntN(4)), Currency: "EUR"}}}})
			}
			for _, v := range []catalog.VariantID{"a", "b"} {
				if !yes(3) {
					c.Fitments = append(c.Fitments, &catalog.Fitment{Variant: v, Position: pos, Part: part.ID, Standard: k == 0,
						Provenance: catalog.Provenance{Standing: standing(r)}})
				}
			}
		}
		if i > 0 && yes(4) {
			in.q.Places[pos] = randomPlace(r, c, i, open)
		}
	}
	for m := range 1 + r.IntN(n+2) {
		a, b := r.IntN(n), r.IntN(n)
		if a == b {
			continue
		}
		seat := func(i int) catalog.Seat {
			return catalog.Seat{Position: catalog.PositionID(fmt.Sprint("p", i)), Name: catalog.AttributeKey(fmt.Sprint("s", r.IntN(2)))}
		}
		lo := int64(r.IntN(2)-1) * int64(quantity.MM)
		c.Mates = append(c.Mates, &catalog.Mate{ID: fmt.Sprint("m", m), Family: "f", A: seat(a), B: seat(b), Min: lo, Max: lo + int64(quantity.MM),
			Relation: catalog.Relations()[[]int{0, 0, 1, 2}[r.IntN(4)]], Reason: "they touch", Provenance: catalog.Provenance{Standing: standing(r)}})
	}
	in.ix = catalog.NewIndex(c, 1)
	return in
}

func randomPlace(r *rand.Rand, c *catalog.Catalogue, i int, open bool) Place {
	p := Place{Part: c.Parts[len(c.Parts)-1].ID}
	switch r.IntN(6) {
	case 0:
		p.State = Fixed
	case 1:
		return Place{State: Empty}
	case 2:
		if open {
			return Place{State: Open}
		}
	case 3:
		p.Part = ""
	case 4:
		p.Sizes = []*catalog.Attribute{{Name: "s0", Value: mm(1 + r.IntN(3))}}
	}
	return p
}

// cell is an option of brute force.
type cell struct {
	part    catalog.PartID
	sizes   []*catalog.Attribute
	kept    bool
	foreign bool
	price   int64 // -1: nobody offers it
}

// brute answers by trying every combination; it shares nothing with the package
// but the catalogue.
type brute struct {
	in     *instance
	pos    []*catalog.Position
	cells  [][]cell
	states []State
	rules  []*catalog.Mate
}

func newBrute(in *instance, only func(catalog.PositionID) bool) *brute {
	b := &brute{in: in}
	at := map[catalog.PositionID]bool{}
	for _, p := range in.cat.Positions {
		if in.q.Places[p.ID].State != Empty && only(p.ID) {
			b.pos = append(b.pos, p)
		}
		at[p.ID] = in.q.Places[p.ID].State != Empty
	}
	touched := map[catalog.PositionID]bool{}
	for _, m := range in.cat.Mates {
		if m.Standing == catalog.Doubted || !at[m.A.Position] || !at[m.B.Position] {
			continue
		}
		touched[m.A.Position], touched[m.B.Position] = true, true
		if only(m.A.Position) && only(m.B.Position) {
			b.rules = append(b.rules, m)
		}
	}
	for _, p := range b.pos {
		b.cells = append(b.cells, b.options(p, touched[p.ID]))
		b.states = append(b.states, in.q.Places[p.ID].State)
	}
	return b
}

func (b *brute) options(p *catalog.Position, touched bool) []cell {
	if p.ID == b.in.q.Position {
		return []cell{{part: b.in.q.Part, foreign: !b.stated(p.ID, b.in.q.Part)}}
	}
	g, told := b.in.q.Places[p.ID]
	there := g.Part
	if !told {
		for _, f := range b.in.cat.Fitments {
			if f.Variant == "a" && f.Position == p.ID && f.Standard {
				there = f.Part
			}
		}
	}
	var out []cell
	if g.State != Open {
		out = append(out, cell{part: there, sizes: g.Sizes, kept: true})
	}
	for _, x := range b.in.cat.Parts {
		here := b.stated(p.ID, x.ID)
		there2 := slices.ContainsFunc(b.in.cat.Fitments, func(f *catalog.Fitment) bool {
			return f.Position == p.ID && f.Part == x.ID && f.Standing != catalog.Doubted
		})
		if x.ID == there && g.State != Open || !here && (!there2 || x.Special || !touched) {
			continue
		}
		c := cell{part: x.ID, foreign: !here, price: -1}
		for _, o := range b.in.cat.Offers {
			if o.Part == x.ID {
				c.price = o.Breaks[0].Price.Minor * int64(p.Quantity)
			}
		}
		out = append(out, c)
	}
	if len(out) == 0 {
		out = []cell{{kept: true}}
	}
	return out
}

func (b *brute) stated(pos catalog.PositionID, part catalog.PartID) bool {
	return slices.ContainsFunc(b.in.cat.Fitments, func(f *catalog.Fitment) bool {
		return f.Variant == "a" && f.Position == pos && f.Part == part && f.Standing != catalog.Doubted
	})
}

func (b *brute) index(id catalog.PositionID) int {
	return slices.IndexFunc(b.pos, func(p *catalog.Position) bool { return p.ID == id })
}

func (b *brute) value(c cell, s catalog.Seat) (catalog.Value, bool) {
	for _, a := range c.sizes {
		if a.Name == s.Name {
			return a.Value, true
		}
	}
	for _, p := range b.in.cat.Parts {
		if p.ID == c.part {
			for _, a := range p.Attributes {
				if a.Name == s.Name {
					return a.Value, false
				}
			}
		}
	}
	return catalog.Value{}, false
}

// goes says whether a mate allows two cells: 1 it holds, 0 not known, -1 broken.
func (b *brute) goes(m *catalog.Mate, x, y cell) int {
	if x.kept && y.kept {
		return 1
	}
	v, sizedX := b.value(x, m.A)
	w, sizedY := b.value(y, m.B)
	if v.Kind != "" && w.Kind != "" {
		ok := false
		switch m.Relation {
		case catalog.Equal:
			ok = v.Number == w.Number
		case catalog.Less:
			ok = v.Number < w.Number
		case catalog.Window:
			ok = v.Number-w.Number >= m.Min && v.Number-w.Number <= m.Max
		}
		if ok {
			return 1
		}
		return -1
	}
	if !sizedX && !sizedY && b.stated(m.A.Position, x.part) && b.stated(m.B.Position, y.part) {
		return 1
	}
	target := b.in.q.Position
	if x.foreign && m.A.Position != target || y.foreign && m.B.Position != target {
		return -1
	}
	return 0
}

// best is the least changes, of these the fewest foreign and unpriced ones, then
// the least money; or ok false.
type best struct {
	changes, foreign, unpriced int
	minor                      int64
	ok                         bool
}

func (b best) less(o best) bool {
	return cmp.Or(cmp.Compare(b.changes, o.changes), cmp.Compare(b.foreign, o.foreign),
		cmp.Compare(b.unpriced, o.unpriced), cmp.Compare(b.minor, o.minor)) < 0
}

func (b *brute) try(rules []*catalog.Mate, fixed []int, least int) (out best) {
	now := make([]int, len(b.pos))
	var next func(i int)
	next = func(i int) {
		if i == len(now) {
			got := best{ok: true}
			for k := range now {
				if c := b.cells[k][now[k]]; !c.kept && b.states[k] != Open && b.pos[k].ID != b.in.q.Position {
					got.changes++
					if c.foreign {
						got.foreign++
					}
					if c.price < 0 {
						got.unpriced++
					} else {
						got.minor += c.price
					}
				}
			}
			if !out.ok || got.less(out) {
				out = got
			}
			return
		}
		for x := range b.cells[i] {
			if slices.Contains(fixed, i) && x > 0 {
				break
			}
			now[i] = x
			good := true
			for _, m := range rules {
				p, q := b.index(m.A.Position), b.index(m.B.Position)
				if max(p, q) == i && b.goes(m, b.cells[p][now[p]], b.cells[q][now[q]]) < least {
					good = false
					break
				}
			}
			if good {
				next(i + 1)
			}
		}
	}
	next(0)
	return out
}

func (b *brute) fixed() []int {
	var out []int
	for i, s := range b.states {
		if s == Fixed {
			out = append(out, i)
		}
	}
	return out
}

// coreSize is the size of the smallest set of facts that nothing satisfies.
func (b *brute) coreSize() int {
	fixed := b.fixed()
	n := len(b.rules) + len(fixed)
	least := n + 1
	for set := range 1 << n {
		var rules []*catalog.Mate
		var fs []int
		for k := range n {
			if set>>k&1 == 1 {
				if k < len(b.rules) {
					rules = append(rules, b.rules[k])
				} else {
					fs = append(fs, fixed[k-len(b.rules)])
				}
			}
		}
		if size := len(rules) + len(fs); size < least && !b.try(rules, fs, 0).ok {
			least = size
		}
	}
	return least
}

// TestAgainstBruteForce: 1,000 questions; half of them have positions that are
// open anyway. Where there are open positions, brute force looks at the same
// region: what is open elsewhere is no matter of the question.
func TestAgainstBruteForce(t *testing.T) {
	verdicts := map[Verdict]int{}
	with := 0
	for seed := range uint64(1000) {
		in := random(rand.New(rand.NewPCG(seed, 4)), 3+int(seed%4), seed%2 == 1)
		got, err := Ask(in.ix, in.q)
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		verdicts[got.Verdict]++
		if len(got.Changes) > 0 {
			with++
		}
		if again, _ := Ask(in.ix, in.q); fmt.Sprintf("%+v", flat(again)) != fmt.Sprintf("%+v", flat(got)) {
			t.Fatalf("seed %d: two answers differ", seed)
		}
		compare(t, seed, in, got)
	}
	t.Logf("verdicts %v, %d answers with changes", verdicts, with)
	for _, v := range []Verdict{Yes, YesIf, No, Unknown} {
		if verdicts[v] < 50 {
			t.Errorf("only %d answers are %q: the instances do not try it", verdicts[v], v)
		}
	}
}

// flat is an answer without pointers.
func flat(a *Answer) []string {
	out := []string{string(a.Verdict), string(a.Standing), fmt.Sprint(a.Cost, a.Unpriced)}
	for _, c := range a.Changes {
		out = append(out, fmt.Sprint(c.Position, c.From, c.To, c.Pieces))
	}
	for _, m := range a.Measure {
		out = append(out, m.Text)
	}
	for _, f := range a.Because {
		out = append(out, f.Text)
	}
	return out
}

func compare(t *testing.T, seed uint64, in *instance, got *Answer) {
	t.Helper()
	only := func(catalog.PositionID) bool { return true }
	if slices.ContainsFunc(in.cat.Positions, func(p *catalog.Position) bool { return in.q.Places[p.ID].State == Open }) {
		part, _ := in.ix.Part(in.q.Part)
		v, _ := in.ix.Variant("a")
		pos, _ := in.ix.Position("f", "p0")
		p := newProblem(in.ix, v, pos, part, in.q.Places)
		only = func(id catalog.PositionID) bool {
			return slices.ContainsFunc(p.places, func(s place) bool { return s.pos.ID == id && s.region })
		}
	}
	b := newBrute(in, only)
	sure, maybe := b.try(b.rules, b.fixed(), 1), b.try(b.rules, b.fixed(), 0)
	part, _ := in.ix.Part(in.q.Part)
	blind := !b.stated("p0", in.q.Part) && (part.Special || !slices.ContainsFunc(in.cat.Mates, func(m *catalog.Mate) bool {
		return m.Standing != catalog.Doubted && (m.A.Position == "p0" && in.q.Places[m.B.Position].State != Empty || m.B.Position == "p0" && in.q.Places[m.A.Position].State != Empty)
	}))
	want := Unknown
	switch {
	case !maybe.ok:
		want = No
	case sure.ok && sure.changes <= maybe.changes && !blind && sure.changes == 0:
		want = Yes
	case sure.ok && sure.changes <= maybe.changes && !blind:
		want = YesIf
	}
	if got.Verdict != want {
		t.Fatalf("seed %d: %s, brute force says %s (%+v, %+v): %v", seed, got.Verdict, want, sure, maybe, flat(got))
	}
	if want == No {
		if n := b.coreSize(); n != len(got.Because) || !got.Smallest {
			t.Fatalf("seed %d: explained by %d facts, %d would do: %v", seed, len(got.Because), n, flat(got))
		}
		return
	}
	if sure.ok && (len(got.Changes) != sure.changes || got.Unpriced != sure.unpriced || got.Cost.Minor != sure.minor || !got.Cheapest) {
		t.Fatalf("seed %d: %v, brute force needs %+v", seed, flat(got), sure)
	}
	if (want == Unknown) != (len(got.Measure) > 0) {
		t.Fatalf("seed %d: %s with %d things to measure", seed, got.Verdict, len(got.Measure))
	}
}
