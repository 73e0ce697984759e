package measure

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"

	"layshaft/catalog/quantity"
)

// searchLimit bounds how many combinations are looked at.
const searchLimit = 500_000

// choose evaluates every allowed combination and ranks those in the window.
func (w *stackWork) choose() {
	w.out.GuardBand = w.rule.Factor * w.sigma(1)
	if len(w.in.Grades) == 0 {
		w.say("no-grades", LevelNote, "No grades are entered; the thickness wanted is "+show(w.out.Wanted)+".")
		return
	}
	w.grades = w.usable()
	grades := w.grades
	count := w.maxCount()
	for count > 1 && combinations(len(grades), count) > searchLimit {
		count--
		w.say("search-limited", LevelCheck, fmt.Sprintf("Check stacks of more than %d pieces by hand: there are too many grades to try them all.", count))
	}
	if w.in.Stack.MaxCount > 3 {
		w.say("search-limited", LevelCheck, "Check stacks of more than 3 pieces by hand: they are not searched.")
	}
	found := w.search(grades, count)
	inside := found.inside
	slices.SortFunc(inside, w.rank)
	keep := w.in.Keep
	if keep <= 0 {
		keep = 12
	}
	w.out.Candidates = inside[:min(keep, len(inside))]
	if len(inside) == 0 {
		w.noFit(found, grades, count)
		return
	}
	for _, c := range []*Candidate{found.thinner, found.thicker} {
		if c != nil && len(w.out.Candidates) < keep {
			w.out.Candidates = append(w.out.Candidates, *c)
		}
	}
}

// usable drops grades that cannot be and merges doubles; thinnest first.
func (w *stackWork) usable() []Grade {
	var out []Grade
	for _, g := range w.in.Grades {
		if g.Thickness <= 0 || g.Thickness > maxShim {
			w.say("bad-grade", LevelCheck, fmt.Sprintf("Check the thickness of %s: %s cannot be; it was left out.", g.Part, g.Thickness))
			continue
		}
		out = append(out, g)
	}
	slices.SortFunc(out, func(a, b Grade) int {
		return cmp.Or(cmp.Compare(a.Thickness, b.Thickness), cmp.Compare(a.Part, b.Part), comparePrice(a.Price, b.Price))
	})
	return slices.CompactFunc(out, func(a, b Grade) bool {
		return a.Part == b.Part && a.Thickness == b.Thickness && a.Stock == nil && b.Stock == nil
	})
}

func combinations(n, k int) float64 {
	total, c := 0.0, 1.0
	for i := 1; i <= k; i++ {
		c = c * float64(n+i-1) / float64(i)
		total += c
	}
	return total
}

// found is the outcome of a search: everything inside the window and the
// nearest combination on either side of it, in thickness.
type found struct {
	inside           []Candidate
	thinner, thicker *Candidate
}

// search tries all combinations of at most count pieces. The last piece is
// found by bisection, so that only sums near the window are built.
func (w *stackWork) search(grades []Grade, count int) found {
	var f found
	lo, hi := w.out.Thinnest, w.out.Thickest
	picked := make([]int, 0, count)
	var below, above []int
	var belowSum, aboveSum quantity.Length
	var pick func(from int, sum quantity.Length)
	pick = func(from int, sum quantity.Length) {
		last := func(i int) bool { return w.allowed(grades, append(picked, i)) }
		first := from + sort.Search(len(grades)-from, func(i int) bool { return sum+grades[from+i].Thickness >= lo })
		i := first
		for ; i < len(grades) && sum+grades[i].Thickness <= hi; i++ {
			if last(i) {
				f.inside = append(f.inside, w.candidate(grades, append(picked, i)))
			}
		}
		for j := i; j < len(grades); j++ {
			if s := sum + grades[j].Thickness; above != nil && s >= aboveSum {
				break
			} else if last(j) {
				above, aboveSum = slices.Clone(append(picked, j)), s
				break
			}
		}
		for j := first - 1; j >= from; j-- {
			if s := sum + grades[j].Thickness; below != nil && s <= belowSum {
				break
			} else if last(j) {
				below, belowSum = slices.Clone(append(picked, j)), s
				break
			}
		}
		if len(picked)+1 == count {
			return
		}
		for i := from; i < len(grades) && sum+grades[i].Thickness < hi; i++ {
			picked = append(picked, i)
			pick(i, sum+grades[i].Thickness)
			picked = picked[:len(picked)-1]
		}
	}
	pick(0, 0)
	if below != nil {
		c := w.candidate(grades, below)
		f.thinner = &c
	}
	if above != nil {
		c := w.candidate(grades, above)
		f.thicker = &c
	}
	return f
}

// allowed applies the rules for stacks: no piece thinner than Thinnest, and
// only pieces in stock where the stock is known. picked is ascending.
func (w *stackWork) allowed(grades []Grade, picked []int) bool {
	if len(picked) == 1 {
		return true
	}
	if grades[picked[0]].Thickness < w.in.Stack.Thinnest {
		return false
	}
	return onHand(grades, picked)
}

func onHand(grades []Grade, picked []int) bool {
	run := 0
	for i, p := range picked {
		if i > 0 && p == picked[i-1] {
			run++
		} else {
			run = 1
		}
		if s := grades[p].Stock; s != nil && *s < run {
			return false
		}
	}
	return true
}

// sigma is the standard uncertainty of the result with n pieces.
func (w *stackWork) sigma(n int) float64 {
	shim, _ := w.shimSigma()
	if w.byTorque() {
		shim *= float64(w.in.Stack.TorquePerGrade) / 1000 / quantity.Length(w.step).Millimetres()
	}
	return math.Sqrt(w.out.Budget.U*w.out.Budget.U + float64(n)*shim*shim)
}

// at is the play, or the torque, that a thickness gives.
func (w *stackWork) at(t quantity.Length) exact {
	if w.byTorque() {
		more := whole(int64(t)).plus(w.fitted, -1)
		return w.torque.plus(fraction(more.num*int64(w.in.Stack.TorquePerGrade), more.den*w.step), w.sign)
	}
	y := w.base.plus(whole(int64(t)), -1)
	y.num *= w.sign
	return y
}

func (w *stackWork) candidate(grades []Grade, picked []int) Candidate {
	c := Candidate{OnHand: onHand(grades, picked)}
	for i, p := range slices.Backward(picked) {
		c.Pieces = append(c.Pieces, grades[p])
		c.Thickness += grades[p].Thickness
		if price, err := c.Price.Add(grades[p].Price); err == nil && (i == len(picked)-1 || !c.Price.IsZero()) && !grades[p].Price.IsZero() {
			c.Price = price
		} else {
			c.Price = quantity.Money{}
		}
	}
	y := w.at(c.Thickness)
	rounded := y.within(*w.limits.lo, *w.limits.hi)
	if w.byTorque() {
		c.Torque = quantity.Torque(rounded)
	} else {
		c.Play = quantity.Length(rounded)
	}
	c.Inside = w.limits.holds(y)
	u, per := w.sigma(len(picked)), w.perUnit()
	m := y.float() / per
	c.Probability = w.limits.chance(m, u, per)
	c.BelowMin = bounds{hi: w.limits.lo}.chance(m, u, per)
	c.AboveMax = bounds{lo: w.limits.hi}.chance(m, u, per)
	c.Verdict = w.limits.judge(y, w.rule.guard(u, per))
	return c
}

// rank orders candidates inside the window: on hand first, then probability as
// printed (two decimals), fewer pieces, the preferred side of the aim, distance
// from the aim (exact), price, the looser one (too tight seizes), and at last the
// parts' ids.
func (w *stackWork) rank(a, b Candidate) int {
	flag := func(v bool) int {
		if v {
			return 0
		}
		return 1
	}
	return cmp.Or(
		flag(a.OnHand)-flag(b.OnHand),
		cmp.Compare(math.Round(b.Probability*100), math.Round(a.Probability*100)),
		len(a.Pieces)-len(b.Pieces),
		flag(w.preferred(&a))-flag(w.preferred(&b)),
		cmp.Compare(w.distance(a.Thickness), w.distance(b.Thickness)),
		comparePrice(a.Price, b.Price),
		int(w.sign)*cmp.Compare(a.Thickness, b.Thickness),
		slices.CompareFunc(a.Pieces, b.Pieces, func(x, y Grade) int {
			return cmp.Or(-cmp.Compare(x.Thickness, y.Thickness), cmp.Compare(x.Part, y.Part))
		}),
	)
}

// distance of a thickness from the one wanted, in units of 1/w.want.den.
func (w *stackWork) distance(t quantity.Length) int64 {
	d := int64(t)*w.want.den - w.want.num
	return max(d, -d)
}

// preferred says whether a candidate lies on the stack's preferred side of the
// aim, or on the aim; true for all without a preference.
func (w *stackWork) preferred(c *Candidate) bool {
	side := w.at(c.Thickness).cmp(w.aim)
	if w.byTorque() {
		side = -side // less torque is the looser side
	}
	switch w.in.Stack.Preferred {
	case "loose":
		return side >= 0
	case "tight":
		return side <= 0
	}
	return true
}

// comparePrice puts known prices first, lower first; currencies never mix.
func comparePrice(a, b quantity.Money) int {
	known := func(m quantity.Money) int {
		if m.Currency == "" {
			return 1
		}
		return 0
	}
	return cmp.Or(known(a)-known(b), cmp.Compare(a.Currency, b.Currency), cmp.Compare(a.Minor, b.Minor))
}

// noFit names the nearest on either side and what would do.
func (w *stackWork) noFit(f found, grades []Grade, count int) {
	n := &NoFit{OrderMin: w.out.Thinnest, OrderMax: w.out.Thickest}
	n.Looser, n.Tighter = f.thinner, f.thicker
	if w.sign < 0 {
		n.Looser, n.Tighter = n.Tighter, n.Looser
	}
	n.Nearest = n.Looser
	if n.Nearest == nil || n.Tighter != nil && w.beyond(n.Tighter) < w.beyond(n.Looser) {
		n.Nearest = n.Tighter
	}
	if count == w.in.Stack.MaxCount || w.in.Stack.MaxCount <= 0 && count == 1 {
		if more := w.search(grades, count+1); count < 3 && len(more.inside) > 0 {
			slices.SortFunc(more.inside, w.rank)
			n.MorePieces = &more.inside[0]
		}
	}
	n.NextStep = w.nextStep(n)
	for _, c := range []*Candidate{n.Looser, n.Tighter} {
		if c != nil {
			w.out.Candidates = append(w.out.Candidates, *c)
		}
	}
	if len(w.out.Candidates) == 2 && n.Nearest == n.Tighter {
		slices.Reverse(w.out.Candidates)
	}
	w.out.NoFit = n
}

// beyond is how far a candidate lies outside the window.
func (w *stackWork) beyond(c *Candidate) float64 {
	t := int64(c.Thickness)
	if w.lo.cmp(t) > 0 {
		return w.lo.float() - float64(t)
	}
	return float64(t) - w.hi.float()
}
