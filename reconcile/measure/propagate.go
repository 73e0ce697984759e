package measure

import "math"

// Quantity is one input of a measurement model: its estimate, its standard
// uncertainty in the same unit, and its degrees of freedom. Here and in every
// result 0 degrees of freedom mean infinitely many: the uncertainty is taken as
// known.
type Quantity struct {
	Name  string
	Value float64
	U     float64
	DoF   float64
}

// Propagation is the outcome of a measurement model.
type Propagation struct {
	Value float64
	U     float64 // combined standard uncertainty u_c
	// DoF are the effective degrees of freedom by Welch-Satterthwaite, for
	// uncorrelated inputs.
	DoF float64
	// Contributions are c_i u_i, signed, in the order of the inputs.
	Contributions []float64
}

// Propagate applies the law of propagation of uncertainty (JCGM 100:2008, 5.1
// and 5.2). Sensitivities are taken as in its note to 5.1.3: half of
// f(x+u) - f(x-u). correlation gives r(i, j); nil means none. Inputs with U 0
// contribute nothing.
func Propagate(f func(x []float64) float64, inputs []Quantity, correlation func(i, j int) float64) Propagation {
	x := make([]float64, len(inputs))
	for i, q := range inputs {
		x[i] = q.Value
	}
	p := Propagation{Value: f(x), Contributions: make([]float64, len(inputs))}
	for i, q := range inputs {
		if q.U == 0 {
			continue
		}
		x[i] = q.Value + q.U
		above := f(x)
		x[i] = q.Value - q.U
		p.Contributions[i] = (above - f(x)) / 2
		x[i] = q.Value
	}
	p.U = math.Sqrt(math.Max(0, covariance(p.Contributions, p.Contributions, correlation)))
	p.DoF = effectiveDoF(p, inputs)
	return p
}

// covariance of two outputs from their contributions (JCGM 100:2008, H.2.3).
func covariance(a, b []float64, correlation func(i, j int) float64) float64 {
	var sum float64
	for i := range a {
		sum += a[i] * b[i]
		for j := range b {
			if correlation != nil && i != j {
				sum += a[i] * b[j] * correlation(i, j)
			}
		}
	}
	return sum
}

// effectiveDoF is the Welch-Satterthwaite formula (JCGM 100:2008, G.4.1).
func effectiveDoF(p Propagation, inputs []Quantity) float64 {
	var sum float64
	for i, q := range inputs {
		if q.DoF > 0 {
			sum += math.Pow(p.Contributions[i], 4) / q.DoF
		}
	}
	if sum == 0 {
		return 0
	}
	return math.Pow(p.U, 4) / sum
}
