package measure

import "layshaft/catalog/quantity"

// exact is a fraction of a unit (nanometre or millinewton metre); den > 0.
// The bounds on readings (maxReadings, maxSize) keep every product in int64.
type exact struct{ num, den int64 }

func whole(n int64) exact { return exact{n, 1} }

func fraction(num, den int64) exact {
	if den < 0 {
		num, den = -num, -den
	}
	if g := gcd(num, den); g > 1 {
		num, den = num/g, den/g
	}
	return exact{num, den}
}

func gcd(a, b int64) int64 {
	if a < 0 {
		a = -a
	}
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// plus is e + k times o.
func (e exact) plus(o exact, k int64) exact {
	g := gcd(e.den, o.den)
	return fraction(e.num*(o.den/g)+k*o.num*(e.den/g), e.den/g*o.den)
}

func (e exact) floor() int64 {
	q := e.num / e.den
	if e.num%e.den < 0 {
		q--
	}
	return q
}

func (e exact) ceil() int64 { return -exact{-e.num, e.den}.floor() }

// nearest rounds half away from zero.
func (e exact) nearest() int64 {
	if e.num < 0 {
		return -exact{-e.num, e.den}.nearest()
	}
	return exact{e.num + e.den/2, e.den}.floor()
}

// cmp compares e with a whole number of units.
func (e exact) cmp(n int64) int {
	switch d := e.num - n*e.den; {
	case d < 0:
		return -1
	case d > 0:
		return 1
	}
	return 0
}

// within rounds e to whole units so that the result lies in [lo, hi] exactly
// when e does: outside the window it rounds away from it.
func (e exact) within(lo, hi int64) int64 {
	switch {
	case e.cmp(lo) < 0:
		return e.floor()
	case e.cmp(hi) > 0:
		return e.ceil()
	}
	return e.nearest()
}

func (e exact) float() float64 { return float64(e.num) / float64(e.den) }

// mm is a fraction of nanometres as millimetres, for statistics only.
func (e exact) mm() float64 { return e.float() / float64(quantity.MM) }
