package measure

import (
	"fmt"
	"math"
	"slices"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

// SpreadInput asks which grades to have before the dry build.
type SpreadInput struct {
	// Stack gives the window: a grade reaches as far as its play stays inside.
	Stack *catalog.Stack
	// Past are the thicknesses that closed this stack in earlier jobs of the
	// family. Mean and Sigma, when Sigma > 0, are used in their place.
	Past        []quantity.Length
	Mean, Sigma quantity.Length
	// OldShim measured in this box, 0 when not known, and the standard deviation
	// of the new thickness about it with new bearings; 0 takes 0.04 mm (from
	// memory: 0.03 to 0.05).
	OldShim, OldSigma quantity.Length
	Grades            []Grade
	GradeStep         quantity.Length // for turning torque
	// SecondOrder is what a missing grade costs: freight and waiting.
	SecondOrder quantity.Money
	// StockWorth of an unused grade, per thousand of its price.
	StockWorth int
	// Wanted probability that a grade on hand fits; 0 takes 0.95.
	Wanted float64
}

// Prior is what is believed of the thickness before measuring, in mm.
type Prior struct {
	Mean, Sigma float64
	DoF         float64 // of Student's t; 0 for the normal distribution
	Basis       string
}

// SpreadGrade is a grade in a spread.
type SpreadGrade struct {
	Grade
	// Chance that this grade is needed and no other of the spread would do.
	Chance float64
}

// SpreadRow is the best spread with a number of grades bought.
type SpreadRow struct {
	Bought []SpreadGrade // thinnest first; grades on hand are counted as well
	// Covered is the probability that a grade on hand or bought fits, measuring
	// and prior errors apart.
	Covered float64
	// Price of those bought, and the expected cost: price less worth in stock,
	// plus the second order times the chance of needing it. Valid with Priced.
	Price, Expected quantity.Money
	Priced          bool
}

// SpreadResult is the outcome; rows by number bought, from none.
type SpreadResult struct {
	Refusals []Refusal
	Notices  []Notice
	Prior    Prior
	// A grade fits when the thickness wanted lies from ReachBelow under to
	// ReachAbove over it.
	ReachBelow, ReachAbove quantity.Length
	OnHand                 []Grade
	Rows                   []SpreadRow
	// Enough is the index of the first row that reaches the wanted probability,
	// -1 when none does.
	Enough int
	// Cheapest is the spread of least expected cost: a grade is in it while the
	// chance that it is the needed one, times the second order, exceeds its price
	// less its worth in stock. Nil without prices.
	Cheapest *SpreadRow
}

// defaultOldSigma is the shop's default for SpreadInput.OldSigma.
const defaultOldSigma = 40 * quantity.Micron

// maxRows bounds the rows; a tray of more grades is bought whole.
const maxRows = 15

// Spread chooses grades by dynamic programming over the grades in order of
// thickness, which is exact because all reach equally far: what a grade adds
// depends on its left neighbour alone. Taking the best next grade each time is
// not exact (a centred first grade can be wrong for two).
func Spread(in SpreadInput) SpreadResult {
	w := &spreadWork{in: in}
	w.out.Enough = -1
	if w.in.Wanted <= 0 || w.in.Wanted >= 1 {
		w.in.Wanted = 0.95
	}
	if !w.reach() || !w.prior() || !w.grades() {
		return w.out
	}
	w.rows()
	w.cheapest()
	return w.out
}

type spreadWork struct {
	in    SpreadInput
	out   SpreadResult
	all   []Grade // one per thickness, thinnest first
	have  []bool  // on hand
	net   []float64
	short float64 // cost of a second order, minor units
	money string  // currency, "" without prices
}

func (w *spreadWork) refuse(code, place, reason, remedy string) bool {
	w.out.Refusals = append(w.out.Refusals, Refusal{code, place, reason, remedy})
	return false
}

// reach finds how far a grade may be off from the aim.
func (w *spreadWork) reach() bool {
	s := w.in.Stack
	if s == nil {
		return w.refuse("no-stack", "stack", "no stack is named", "choose the stack")
	}
	if s.Method == catalog.MethodTorque {
		step := int64(w.in.GradeStep)
		if step <= 0 {
			step = gradeStep(w.in.Grades)
		}
		if step <= 0 || s.TorquePerGrade <= 0 || s.TorqueMax < s.TorqueMin || s.TorqueMax > maxTorque {
			return w.refuse("no-step", "grades", "the torque window, the torque per grade or the step is not known", "enter them in the stack's record")
		}
		half := fraction(int64(s.TorqueMax-s.TorqueMin)*step, 2*int64(s.TorquePerGrade))
		w.out.ReachBelow, w.out.ReachAbove = quantity.Length(half.floor()), quantity.Length(half.floor())
		return true
	}
	check := &stackWork{in: StackInput{Stack: s}}
	if !check.recipe() {
		w.out.Refusals = check.out.Refusals
		return false
	}
	// Grade g gives play aim + s (t - g) when t is the thickness wanted.
	w.out.ReachBelow, w.out.ReachAbove = check.out.Aim-check.out.Min, check.out.Max-check.out.Aim
	if s.ThickerOpens {
		w.out.ReachBelow, w.out.ReachAbove = w.out.ReachAbove, w.out.ReachBelow
	}
	return true
}

// prior combines the family's jobs with the old shim by their weights.
func (w *spreadWork) prior() bool {
	family, ok := w.family()
	old := Prior{w.in.OldShim.Millimetres(), w.in.OldSigma.Millimetres(), 0, "old shim"}
	if w.in.OldSigma <= 0 {
		old.Sigma = defaultOldSigma.Millimetres()
		old.Basis = "old shim, deviation 0.04 mm from memory"
	}
	switch {
	case w.in.OldShim <= 0 && !ok:
		return w.refuse("no-prior", "past", "fewer than 3 earlier jobs and no old shim", "measure the old shim, or state a mean and its deviation")
	case w.in.OldShim <= 0:
		w.out.Prior = family
	case !ok:
		w.out.Prior = old
	default:
		a, b := 1/(family.Sigma*family.Sigma), 1/(old.Sigma*old.Sigma)
		w.out.Prior = Prior{(family.Mean*a + old.Mean*b) / (a + b), 1 / math.Sqrt(a+b), 0, family.Basis + "; " + old.Basis}
		if math.Abs(family.Mean-old.Mean) > 3*math.Hypot(family.Sigma, old.Sigma) {
			w.out.Notices = append(w.out.Notices, Notice{"old-shim-odd", LevelCheck, "Check the old shim: " + show(w.in.OldShim) + " is far from what this family takes."})
		}
	}
	return true
}

// family is the predictive distribution for one more job: Student's t with n-1
// degrees of freedom and scale s sqrt(1 + 1/n).
func (w *spreadWork) family() (Prior, bool) {
	if w.in.Sigma > 0 {
		return Prior{w.in.Mean.Millimetres(), w.in.Sigma.Millimetres(), 0, "stated mean and deviation"}, true
	}
	n := float64(len(w.in.Past))
	if n < 3 {
		return Prior{}, false
	}
	var mean, squares float64
	for _, t := range w.in.Past {
		mean += t.Millimetres() / n
	}
	for _, t := range w.in.Past {
		squares += (t.Millimetres() - mean) * (t.Millimetres() - mean)
	}
	// Past thicknesses are grades, so a run of equal ones still hides a step.
	s := max(math.Sqrt(squares/(n-1)), quantity.Length(gradeStep(w.in.Grades)).Millimetres()/math.Sqrt(12), 0.001)
	return Prior{mean, s * math.Sqrt(1+1/n), n - 1, fmt.Sprintf("%d earlier jobs", len(w.in.Past))}, true
}

// grades sorts, merges equal thicknesses (cheapest stays) and prices.
func (w *spreadWork) grades() bool {
	sorted := slices.Clone(w.in.Grades)
	slices.SortStableFunc(sorted, func(a, b Grade) int {
		if a.Thickness != b.Thickness {
			return int(min(max(a.Thickness-b.Thickness, -1), 1))
		}
		return comparePrice(a.Price, b.Price)
	})
	for _, g := range sorted {
		if g.Thickness <= 0 || g.Thickness > maxShim {
			continue
		}
		have := g.Stock != nil && *g.Stock > 0
		if n := len(w.all); n > 0 && w.all[n-1].Thickness == g.Thickness {
			if have && !w.have[n-1] {
				w.all[n-1], w.have[n-1] = g, true
			}
			continue
		}
		w.all, w.have = append(w.all, g), append(w.have, have)
	}
	if len(w.all) == 0 || len(w.all) > 400 {
		return w.refuse("no-grades", "grades", fmt.Sprintf("%d usable grades", len(w.all)), "enter the grades of the series, at most 400")
	}
	for i, g := range w.all {
		if w.have[i] {
			w.out.OnHand = append(w.out.OnHand, g)
		}
	}
	return w.price()
}

// price takes costs as minor units; one currency or none.
func (w *spreadWork) price() bool {
	w.net = make([]float64, len(w.all))
	w.money, w.short = w.in.SecondOrder.Currency, float64(w.in.SecondOrder.Minor)
	for i, g := range w.all {
		if w.have[i] {
			continue
		}
		if g.Price.Currency == "" {
			w.money = ""
			return true
		}
		if w.money != "" && g.Price.Currency != w.money {
			return w.refuse("currencies", "grades", "prices in "+g.Price.Currency+" and "+w.money, "give all in one currency")
		}
		w.net[i] = float64(g.Price.Minor) * float64(1000-min(max(w.in.StockWorth, 0), 1000)) / 1000
	}
	return true
}

// below is the prior's distribution function at a length.
func (w *spreadWork) below(l quantity.Length) float64 {
	p := w.out.Prior
	return studentBelow((l.Millimetres()-p.Mean)/p.Sigma, p.DoF)
}

// interval of thicknesses wanted for which a grade fits.
func (w *spreadWork) interval(i int) (from, to quantity.Length) {
	return w.all[i].Thickness - w.out.ReachBelow, w.all[i].Thickness + w.out.ReachAbove
}

// gains[j][i+1] is what grade j adds when i is its left neighbour, i = -1 none.
func (w *spreadWork) gains() [][]float64 {
	n := len(w.all)
	from, to := make([]float64, n), make([]float64, n)
	for i := range w.all {
		a, b := w.interval(i)
		from[i], to[i] = w.below(a), w.below(b)
	}
	g := make([][]float64, n)
	for j := range g {
		g[j] = make([]float64, j+1)
		g[j][0] = to[j] - from[j]
		for i := range j {
			g[j][i+1] = to[j] - max(from[j], to[i])
		}
	}
	return g
}

// hair is the least difference that counts; smaller ones are float noise.
const hair = 1e-12

// rows finds the best spread for every number bought.
func (w *spreadWork) rows() {
	n, gains := len(w.all), w.gains()
	buyable := 0
	for _, h := range w.have {
		if !h {
			buyable++
		}
	}
	most := min(maxRows, buyable)
	// best[k][j+1]: k bought, j the last grade; from holds the neighbour.
	best, from := make([][]float64, most+1), make([][]int, most+1)
	for k := range best {
		best[k], from[k] = make([]float64, n+1), make([]int, n+1)
		for j := range best[k] {
			best[k][j] = math.Inf(-1)
		}
	}
	best[0][0] = 0
	for j := range n {
		cost := 1
		if w.have[j] {
			cost = 0
		}
		for k := cost; k <= most; k++ {
			for i := 0; i <= j; i++ {
				if v := best[k-cost][i] + gains[j][i]; v > best[k][j+1]+hair {
					best[k][j+1], from[k][j+1] = v, i
				}
			}
		}
	}
	for k := range best {
		last := 0
		for j := range best[k] {
			if best[k][j] > best[k][last]+hair {
				last = j
			}
		}
		chosen := slices.Clone(w.have)
		for at, left := last, k; at > 0; {
			chosen[at-1] = true
			prev := from[left][at]
			if !w.have[at-1] {
				left--
			}
			at = prev
		}
		row := w.row(chosen)
		w.out.Rows = append(w.out.Rows, row)
		if w.out.Enough < 0 && row.Covered >= w.in.Wanted {
			w.out.Enough = k
		}
		if row.Covered > max(w.in.Wanted, 0.999) {
			break
		}
	}
	if w.out.Enough < 0 {
		w.out.Notices = append(w.out.Notices, Notice{"not-reached", LevelNote,
			fmt.Sprintf("The spread searched, %d bought, covers %s; %s was wanted.", len(w.out.Rows)-1, Chance(w.out.Rows[len(w.out.Rows)-1].Covered), Chance(w.in.Wanted))})
	}
}

// row describes a set of grades: coverage, each grade's own chance, cost.
func (w *spreadWork) row(chosen []bool) SpreadRow {
	row := SpreadRow{Covered: w.covered(chosen, -1), Priced: w.money != ""}
	var net float64
	for i, c := range chosen {
		if !c || w.have[i] {
			continue
		}
		row.Bought = append(row.Bought, SpreadGrade{w.all[i], max(0, row.Covered-w.covered(chosen, i))})
		net += w.net[i]
		row.Price.Minor += w.all[i].Price.Minor
	}
	if row.Priced {
		row.Price.Currency = w.money
		row.Expected = quantity.Money{Minor: int64(math.Round(net + (1-row.Covered)*w.short)), Currency: w.money}
	} else {
		row.Price = quantity.Money{}
	}
	return row
}

// covered is the prior's mass on the union of the chosen intervals, one left out.
func (w *spreadWork) covered(chosen []bool, without int) float64 {
	var sum float64
	end := quantity.Length(math.MinInt64)
	for i, c := range chosen {
		if !c || i == without {
			continue
		}
		a, b := w.interval(i)
		if a = max(a, end); b > a {
			sum += w.below(b) - w.below(a)
		}
		end = b
	}
	return sum
}

// cheapest is the exact least of expected cost, by the same recursion.
func (w *spreadWork) cheapest() {
	if w.money == "" || w.short <= 0 {
		w.out.Notices = append(w.out.Notices, Notice{"no-prices", LevelNote, "No cheapest spread: prices of the grades or the cost of a second order are not entered."})
		return
	}
	n, gains := len(w.all), w.gains()
	value, from := make([]float64, n+1), make([]int, n+1)
	last := 0
	for j := range n {
		value[j+1] = math.Inf(-1)
		for i := 0; i <= j; i++ {
			if v := value[i] + gains[j][i]*w.short - w.net[j]; v > value[j+1]+hair {
				value[j+1], from[j+1] = v, i
			}
		}
		if value[j+1] > value[last]+hair {
			last = j + 1
		}
	}
	chosen := slices.Clone(w.have)
	for at := last; at > 0; at = from[at] {
		chosen[at-1] = true
	}
	row := w.row(chosen)
	w.out.Cheapest = &row
}
