package match

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
)

//go:embed weights.csv
var weightsCSV string

// Weights are the coefficients of the logit, by feature, and the probabilities
// from which a line is certain.
type Weights struct {
	value      [featureCount]float64
	thresholds []Threshold // by Parts, ascending
}

// Threshold is the least probability of a certain line for catalogues of up to
// so many parts; the last one also serves larger catalogues. KnownVariant is for
// lists whose variant is known.
type Threshold struct {
	Parts        int
	KnownVariant bool
	Permille     int
}

// Shipped gives the built-in weights.
func Shipped() *Weights {
	w, err := ReadWeights(strings.NewReader(weightsCSV))
	if err != nil {
		panic("match: embedded weights: " + err.Error())
	}
	return w
}

// Features lists the names of the evidence in the order of the weights.
func Features() []string { return slices.Clone(featureNames[:]) }

// Get gives the weight of a named feature, 0 for an unknown one.
func (w *Weights) Get(name string) float64 {
	if i := slices.Index(featureNames[:], name); i >= 0 {
		return w.value[i]
	}
	return 0
}

// Thresholds that are set.
func (w *Weights) Thresholds() []Threshold { return slices.Clone(w.thresholds) }

// WithThresholds gives the same weights with other thresholds.
func (w *Weights) WithThresholds(t []Threshold) *Weights {
	out := *w
	out.thresholds = slices.Clone(t)
	slices.SortFunc(out.thresholds, func(a, b Threshold) int { return a.Parts - b.Parts })
	return &out
}

// threshold for a catalogue of so many parts.
func (w *Weights) threshold(parts int, known bool) int {
	best := 995
	for _, t := range w.thresholds {
		if t.KnownVariant != known {
			continue
		}
		best = t.Permille
		if parts <= t.Parts {
			break
		}
	}
	return best
}

// ReadWeights reads a table "name,value". Names "certain known <parts>" and
// "certain open <parts>" hold thresholds in permille. Errors name the row.
func ReadWeights(r io.Reader) (*Weights, error) {
	rows, err := csv.NewReader(r).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("weights: %w", err)
	}
	w := &Weights{}
	for i, row := range rows {
		if i == 0 || len(row) < 2 {
			continue
		}
		v, err := strconv.ParseFloat(row[1], 64)
		if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
			return nil, fmt.Errorf("weights row %d: %q is no number", i+1, row[1])
		}
		if rest, ok := strings.CutPrefix(row[0], "certain "); ok {
			var mode string
			t := Threshold{Permille: int(v)}
			if _, err := fmt.Sscanf(rest, "%s %d", &mode, &t.Parts); err != nil {
				return nil, fmt.Errorf("weights row %d: want \"certain known 1000\", have %q", i+1, row[0])
			}
			t.KnownVariant = mode == "known"
			w.thresholds = append(w.thresholds, t)
			continue
		}
		at := slices.Index(featureNames[:], row[0])
		if at < 0 {
			return nil, fmt.Errorf("weights row %d: no feature is named %q", i+1, row[0])
		}
		w.value[at] = v
	}
	return w.WithThresholds(w.thresholds), nil
}

// Write writes the table that ReadWeights reads.
func (w *Weights) Write(out io.Writer) error {
	c := csv.NewWriter(out)
	rows := [][]string{{"name", "value"}}
	for i, n := range featureNames {
		rows = append(rows, []string{n, strconv.FormatFloat(w.value[i], 'f', 4, 64)})
	}
	for _, t := range w.thresholds {
		mode := "open"
		if t.KnownVariant {
			mode = "known"
		}
		rows = append(rows, []string{fmt.Sprintf("certain %s %d", mode, t.Parts), strconv.Itoa(t.Permille)})
	}
	return c.WriteAll(rows)
}

// score is the utility of one alternative.
func (w *Weights) score(x *vector) float64 {
	s := 0.0
	for i, v := range x {
		if v != 0 {
			s += w.value[i] * float64(v)
		}
	}
	return s
}

// softmax turns utilities into probabilities in place.
func softmax(s []float64) {
	top := math.Inf(-1)
	for _, v := range s {
		top = max(top, v)
	}
	sum := 0.0
	for i, v := range s {
		s[i] = math.Exp(v - top)
		sum += s[i]
	}
	for i := range s {
		s[i] /= sum
	}
}

// Row is one answered line for Fit: the evidence of every alternative, the last
// of them "none of these", and which one was right.
type Row struct {
	alternatives []vector
	chosen       int
}

// Alternatives is the number of choices of the row, "none" included.
func (r *Row) Alternatives() int { return len(r.alternatives) }

// Fit finds the weights that make the answers most likely, held near start: with
// few rows they hardly move. Strength is the precision of that pull, 1 is usual.
// It is deterministic.
func Fit(start *Weights, rows []Row, strength float64) *Weights {
	out := *start
	out.thresholds = slices.Clone(start.thresholds)
	if strength <= 0 {
		strength = 1
	}
	last := objective(&out, start, rows, strength)
	for range 40 {
		g, h := derivatives(&out, start, rows, strength)
		step := solve(h, g)
		next, scale := out, 1.0
		value := last
		for range 20 {
			for i := range next.value {
				next.value[i] = out.value[i] + scale*step[i]
			}
			if value = objective(&next, start, rows, strength); value >= last {
				break
			}
			scale /= 2
		}
		if value < last+1e-7*math.Abs(last) {
			break
		}
		out, last = next, value
	}
	return &out
}

// objective is the penalised log likelihood.
func objective(w, start *Weights, rows []Row, strength float64) float64 {
	sum := 0.0
	for i, v := range w.value {
		d := v - start.value[i]
		sum -= strength * d * d / 2
	}
	var p []float64
	for i := range rows {
		p = rows[i].chances(w, p)
		sum += math.Log(max(p[rows[i].chosen], 1e-300))
	}
	return sum
}

func (r *Row) chances(w *Weights, p []float64) []float64 {
	p = p[:0]
	for k := range r.alternatives {
		p = append(p, w.score(&r.alternatives[k]))
	}
	softmax(p)
	return p
}

type matrix [featureCount][featureCount]float64

// derivatives are the gradient and the negative Hessian.
func derivatives(w, start *Weights, rows []Row, strength float64) (g [featureCount]float64, h *matrix) {
	h = &matrix{}
	for i := range g {
		g[i] = -strength * (w.value[i] - start.value[i])
		h[i][i] = strength
	}
	var p []float64
	for i := range rows {
		r := &rows[i]
		p = r.chances(w, p)
		var mean [featureCount]float64
		for k := range r.alternatives {
			for f, v := range r.alternatives[k] {
				mean[f] += p[k] * float64(v)
			}
		}
		for f, v := range r.alternatives[r.chosen] {
			g[f] += float64(v) - mean[f]
		}
		for k := range r.alternatives {
			if p[k] > 1e-5 {
				addOuter(h, &r.alternatives[k], &mean, p[k])
			}
		}
	}
	return g, h
}

func addOuter(h *matrix, x *vector, mean *[featureCount]float64, p float64) {
	var d [featureCount]float64
	for f := range d {
		d[f] = float64(x[f]) - mean[f]
	}
	for a := range d {
		if d[a] == 0 {
			continue
		}
		pa := p * d[a]
		for b := 0; b <= a; b++ {
			h[a][b] += pa * d[b]
		}
	}
}

// solve gives x with h x = g by Cholesky's method; h is symmetric (lower half
// filled) and positive definite because of the pull towards the start.
func solve(h *matrix, g [featureCount]float64) [featureCount]float64 {
	n := int(featureCount)
	for i := range n {
		for j := 0; j <= i; j++ {
			s := h[i][j]
			for k := range j {
				s -= h[i][k] * h[j][k]
			}
			if i == j {
				h[i][i] = math.Sqrt(max(s, 1e-12))
			} else {
				h[i][j] = s / h[j][j]
			}
		}
	}
	x := g
	for i := range n {
		for k := range i {
			x[i] -= h[i][k] * x[k]
		}
		x[i] /= h[i][i]
	}
	for i := n - 1; i >= 0; i-- {
		for k := i + 1; k < n; k++ {
			x[i] -= h[k][i] * x[k]
		}
		x[i] /= h[i][i]
	}
	return x
}
