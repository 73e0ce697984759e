package gearing

import "math"

// Involute is inv t = tan t - t for an angle t in radians, 0 <= t < pi/2; NaN
// outside.
func Involute(t float64) float64 {
	if math.IsNaN(t) || t < 0 || t >= math.Pi/2 {
		return math.NaN()
	}
	if t > 0.1 {
		return math.Tan(t) - t
	}
	// Series of tan t - t: the difference would lose all digits near 0.
	q := t * t
	return t * q * (1.0/3 + q*(2.0/15+q*(17.0/315+q*(62.0/2835+q*(1382.0/155925+q*21844.0/6081075)))))
}

// InverseInvolute is the angle t in radians with inv t = v, for v >= 0; NaN for
// a negative v, which no angle has.
func InverseInvolute(v float64) float64 {
	switch {
	case math.IsNaN(v) || v < 0 || math.IsInf(v, 1):
		return math.NaN()
	case v == 0:
		return 0
	}
	// Newton's steps inside a bracket that shrinks: where a step would leave the
	// bracket it is halved instead, so that every v >= 0 converges.
	lo, hi := 0.0, math.Nextafter(math.Pi/2, 0)
	t := math.Cbrt(3 * v)
	if t >= 1 {
		t = math.Atan(v + math.Pi/2)
	}
	for range 200 {
		f := Involute(t) - v
		if f > 0 {
			hi = t
		} else {
			lo = t
		}
		tan := math.Tan(t)
		step := f / (tan * tan)
		if math.Abs(step) <= 1e-16*t {
			return t
		}
		if t -= step; !(t > lo && t < hi) {
			t = lo + (hi-lo)/2
		}
	}
	return t
}
