package identify

import (
	"encoding/csv"
	"math/big"
	"strings"
	"sync"
)

var exactRates = sync.OnceValue(func() map[string]*big.Rat {
	rows, err := csv.NewReader(strings.NewReader(ratesCSV)).ReadAll()
	if err != nil {
		panic(err)
	}
	rate := map[string]*big.Rat{}
	for _, r := range rows[1:] {
		rate[r[0]+" "+r[1]] = dec(r[2])
	}
	return rate
})

func dec(s string) *big.Rat {
	r, ok := new(big.Rat).SetString(s)
	if !ok {
		panic("not a number: " + s)
	}
	return r
}

func rat(a, b int64) *big.Rat { return big.NewRat(a, b) }

func add(xs ...*big.Rat) *big.Rat { return fold((*big.Rat).Add, rat(0, 1), xs) }

func times(xs ...*big.Rat) *big.Rat { return fold((*big.Rat).Mul, rat(1, 1), xs) }

func minus(a, b *big.Rat) *big.Rat { return new(big.Rat).Sub(a, b) }

func over(a, b *big.Rat) *big.Rat { return new(big.Rat).Quo(a, b) }

func one() *big.Rat { return rat(1, 1) }

func zero() *big.Rat { return rat(0, 1) }

func when(b bool, r *big.Rat) *big.Rat {
	if b {
		return r
	}
	return zero()
}

func fold(f func(z, a, b *big.Rat) *big.Rat, start *big.Rat, xs []*big.Rat) *big.Rat {
	out := start
	for _, x := range xs {
		out = f(new(big.Rat), out, x)
	}
	return out
}

// bellAt is the normal density at d for a standard deviation sigma.
func bellAt(d, sigma *big.Rat) *big.Rat {
	const prec = 400
	f := func(r *big.Rat) *big.Float { return new(big.Float).SetPrec(prec).SetRat(r) }
	z := over(d, sigma)
	x := f(times(rat(1, 2), z, z))
	if v, _ := x.Float64(); v > 600 {
		return zero()
	}
	// exp(x) as (exp(x/2^k))^(2^k), then its inverse.
	k := 0
	for y, _ := x.Float64(); y > 0.5; y /= 2 {
		k++
	}
	small := new(big.Float).SetMantExp(x, -k)
	sum, term := big.NewFloat(1).SetPrec(prec), big.NewFloat(1).SetPrec(prec)
	for i := 1; i < 90; i++ {
		term.Mul(term, small)
		term.Quo(term, big.NewFloat(float64(i)).SetPrec(prec))
		sum.Add(sum, term)
	}
	for range k {
		sum.Mul(sum, sum)
	}
	pi, _, err := big.ParseFloat("3.14159265358979323846264338327950288419716939937510582097494459230781640628620899", 10, prec, big.ToNearestEven)
	if err != nil {
		panic(err)
	}
	root := new(big.Float).SetPrec(prec).Sqrt(pi.Mul(pi, big.NewFloat(2)))
	sum.Mul(sum, root)
	r, _ := sum.Rat(nil)
	// Shorten the fraction so that sums of many stay quick; 2^-300 is far below 1e-9.
	return short(over(one(), times(r, sigma)))
}

func short(r *big.Rat) *big.Rat {
	out, _ := new(big.Float).SetPrec(300).SetRat(r).Rat(nil)
	return out
}
