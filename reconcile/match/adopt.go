package match

import "math"

// minRows is how many answers a refit wants before it moves anything.
const minRows = 50

// strengths that a refit tries, see Fit. Weaker ones were found to harm lists
// that the fit had not seen.
var strengths = []float64{200, 50, 10}

// Refitted is the outcome of a refit.
type Refitted struct {
	Weights *Weights
	// Adopted: the new weights did better on answers that they had not seen.
	// Otherwise Weights are those it began with.
	Adopted bool
	Rows    int
	// LossBefore and LossAfter are mean negative log likelihoods, HitsBefore and
	// HitsAfter the answers that stand first; all on answers held out of the fit.
	LossBefore, LossAfter float64
	HitsBefore, HitsAfter int
}

// Refit fits weights to a shop's answers and keeps them only when they do
// better on answers held out: each half of the rows is judged by a fit to the
// other half. It is deterministic.
func Refit(start *Weights, rows []Row) Refitted {
	r := Refitted{Weights: start, Rows: len(rows), LossBefore: Loss(start, rows), HitsBefore: Hits(start, rows)}
	r.LossAfter, r.HitsAfter = r.LossBefore, r.HitsBefore
	if len(rows) < minRows {
		return r
	}
	a, b := rows[:len(rows)/2], rows[len(rows)/2:]
	for _, s := range strengths {
		onA, onB := Fit(start, b, s), Fit(start, a, s)
		loss := (Loss(onA, a)*float64(len(a)) + Loss(onB, b)*float64(len(b))) / float64(len(rows))
		hits := Hits(onA, a) + Hits(onB, b)
		if loss < r.LossAfter && loss < 0.99*r.LossBefore && hits >= r.HitsBefore {
			r.LossAfter, r.HitsAfter, r.Adopted = loss, hits, true
			r.Weights = Fit(start, rows, s)
		}
	}
	return r
}

// Loss is the mean negative log likelihood of the answers under weights: 0 when
// every answer was certain and right.
func Loss(w *Weights, rows []Row) float64 {
	if len(rows) == 0 {
		return 0
	}
	sum := 0.0
	var p []float64
	for i := range rows {
		p = rows[i].chances(w, p)
		sum -= math.Log(max(p[rows[i].chosen], 1e-300))
	}
	return sum / float64(len(rows))
}

// Hits counts the answers that weights put first.
func Hits(w *Weights, rows []Row) int {
	n := 0
	var p []float64
	for i := range rows {
		p = rows[i].chances(w, p)
		best := 0
		for k := range p {
			if p[k] > p[best] {
				best = k
			}
		}
		if best == rows[i].chosen {
			n++
		}
	}
	return n
}
