package measure

import "math"

// normalBetween is the chance that a normal quantity with mean m and standard
// deviation u lies in [lo, hi] (JCGM 106:2012, 7.2); with u 0 it is 0 or 1.
func normalBetween(lo, hi, m, u float64) float64 {
	if u <= 0 {
		if m >= lo && m <= hi {
			return 1
		}
		return 0
	}
	// The tail that is small is computed, so that nothing cancels.
	a, b := (lo-m)/u, (hi-m)/u
	if a > 0 {
		a, b = -b, -a
	}
	return math.Max(0, normalTail(a)-normalTail(b))
}

// normalTail is the chance of a standard normal above z.
func normalTail(z float64) float64 { return math.Erfc(z/math.Sqrt2) / 2 }

// studentBelow is the distribution function of Student's t; 0 degrees of
// freedom mean infinitely many, the normal distribution.
func studentBelow(t, dof float64) float64 {
	if dof <= 0 {
		return normalTail(-t)
	}
	tail := incompleteBeta(dof/2, 0.5, dof/(dof+t*t)) / 2
	if t > 0 {
		return 1 - tail
	}
	return tail
}

// studentQuantile is the t whose distribution function is p, 0 < p < 1.
func studentQuantile(p, dof float64) float64 {
	if p == 0.5 {
		return 0
	}
	if p < 0.5 {
		return -studentQuantile(1-p, dof)
	}
	lo, hi := 0.0, 1.0
	for studentBelow(hi, dof) < p && hi < 1e12 {
		hi *= 2
	}
	for range 200 {
		mid := (lo + hi) / 2
		if mid == lo || mid == hi {
			break
		}
		if studentBelow(mid, dof) < p {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}

// incompleteBeta is the regularised incomplete beta function by its continued
// fraction (DLMF 8.17.22), evaluated with Lentz's method.
func incompleteBeta(a, b, x float64) float64 {
	if x <= 0 {
		return 0
	}
	if x >= 1 {
		return 1
	}
	if x > (a+1)/(a+b+2) {
		return 1 - incompleteBeta(b, a, 1-x)
	}
	la, _ := math.Lgamma(a)
	lb, _ := math.Lgamma(b)
	lab, _ := math.Lgamma(a + b)
	front := math.Exp(lab-la-lb+a*math.Log(x)+b*math.Log1p(-x)) / a
	const tiny = 1e-300
	c, d := 1.0, 0.0
	f := 1.0
	for i := range 400 {
		m := float64(i / 2)
		var term float64
		switch {
		case i == 0:
			term = 1
		case i%2 == 0:
			term = m * (b - m) * x / ((a + 2*m - 1) * (a + 2*m))
		default:
			term = -(a + m) * (a + b + m) * x / ((a + 2*m) * (a + 2*m + 1))
		}
		d = 1 + term*d
		if math.Abs(d) < tiny {
			d = tiny
		}
		d = 1 / d
		c = 1 + term/c
		if math.Abs(c) < tiny {
			c = tiny
		}
		f *= c * d
		if math.Abs(1-c*d) < 1e-15 {
			break
		}
	}
	return front * (f - 1)
}

// grubbsCritical is the two-sided 5 % critical value of Grubbs' test for one
// outlier among n >= 3 readings (ISO 5725-2 uses the same statistic).
func grubbsCritical(n int) float64 {
	m := float64(n)
	t := studentQuantile(1-0.05/(2*m), m-2)
	return (m - 1) / math.Sqrt(m) * math.Sqrt(t*t/(m-2+t*t))
}
