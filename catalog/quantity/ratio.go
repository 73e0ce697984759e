package quantity

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"math/big"
	"strings"
)

// Ratio is an exact ratio of tooth counts in lowest terms, sign on the
// numerator. The zero value is the ratio 0. Two ratios made by [NewRatio] are
// equal exactly when == says so.
type Ratio struct{ num, den int64 }

// ErrRatio is wrapped by every refusal of ratio arithmetic.
var ErrRatio = errors.New("ratio")

// NewRatio gives num/den in lowest terms. den 0 and terms beyond int64 after
// reduction are refused.
func NewRatio(num, den int64) (Ratio, error) {
	if den == 0 {
		return Ratio{}, fmt.Errorf("%w %d/%d: division by zero; give the driving wheel at least one tooth", ErrRatio, num, den)
	}
	return fromRat(big.NewRat(num, den))
}

func fromRat(r *big.Rat) (Ratio, error) {
	if !r.Num().IsInt64() || !r.Denom().IsInt64() || r.Num().Int64() == math.MinInt64 {
		return Ratio{}, fmt.Errorf("%w: the exact result does not fit 64 bits; check the tooth counts", ErrRatio)
	}
	if r.Sign() == 0 {
		return Ratio{}, nil
	}
	return Ratio{num: r.Num().Int64(), den: r.Denom().Int64()}, nil
}

func (r Ratio) rat() *big.Rat { return big.NewRat(r.num, r.Den()) }

// Num is the numerator in lowest terms.
func (r Ratio) Num() int64 { return r.num }

// Den is the denominator in lowest terms, at least 1.
func (r Ratio) Den() int64 {
	if r.den == 0 {
		return 1
	}
	return r.den
}

// IsZero says whether r is 0.
func (r Ratio) IsZero() bool { return r.num == 0 }

// Mul is the exact product; one that does not fit 64 bits is refused.
func (r Ratio) Mul(o Ratio) (Ratio, error) {
	return fromRat(new(big.Rat).Mul(r.rat(), o.rat()))
}

// Inv is the exact reciprocal; that of 0 is refused.
func (r Ratio) Inv() (Ratio, error) {
	if r.num == 0 {
		return Ratio{}, fmt.Errorf("%w: 0 has no inverse", ErrRatio)
	}
	if r.num < 0 {
		return Ratio{num: -r.den, den: -r.num}, nil
	}
	return Ratio{num: r.den, den: r.num}, nil
}

// Cmp is -1, 0 or +1 as r is smaller than, equal to or larger than o.
func (r Ratio) Cmp(o Ratio) int {
	if r.Den() == o.Den() {
		return cmp.Compare(r.num, o.num)
	}
	return r.rat().Cmp(o.rat())
}

// Float64 is the nearest float, for display and statistics only.
func (r Ratio) Float64() float64 {
	f, _ := r.rat().Float64()
	return f
}

// String writes "31/23"; a whole number keeps its denominator: "4/1".
func (r Ratio) String() string { return fmt.Sprintf("%d/%d", r.num, r.Den()) }

// Decimal writes r rounded to n decimals (0 to 18), half away from zero: "1.348".
func (r Ratio) Decimal(n int) string { return r.rat().FloatString(min(max(n, 0), 18)) }

// ParseRatio reads "31/23", "3.5:1", "31:23" or a decimal, exactly. Errors are
// [*ParseError].
func ParseRatio(s string) (Ratio, error) {
	const kind, remedy = "ratio", "write it like 31/23, 3.5:1 or 1.348"
	if len(s) > maxText {
		return Ratio{}, refuse(kind, s, maxText, "the text is too long", remedy)
	}
	body := strings.TrimSpace(s)
	neg, rest := cutSign(body)
	at := strings.Index(s, body) + len(body) - len(rest)
	num, den, used, problem := scanDecimal(rest)
	if problem != "" {
		return Ratio{}, refuse(kind, s, at+used, problem, remedy)
	}
	value := new(big.Rat).SetFrac(new(big.Int).SetUint64(num), new(big.Int).SetUint64(den))
	if tail := strings.TrimLeft(rest[used:], " "); tail != "" {
		if tail[0] != '/' && tail[0] != ':' {
			return Ratio{}, refuse(kind, s, at+used, "text after the number", remedy)
		}
		under := strings.TrimLeft(tail[1:], " ")
		at += len(rest) - len(under)
		n2, d2, used2, problem := scanDecimal(under)
		if problem == "" && used2 < len(under) {
			problem = "text after the number"
		}
		if problem == "" && n2 == 0 {
			problem = "division by zero"
		}
		if problem != "" {
			return Ratio{}, refuse(kind, s, at, problem, remedy)
		}
		value.Quo(value, new(big.Rat).SetFrac(new(big.Int).SetUint64(n2), new(big.Int).SetUint64(d2)))
	}
	if neg {
		value.Neg(value)
	}
	r, err := fromRat(value)
	if err != nil {
		return Ratio{}, refuse(kind, s, 0, "too large", remedy)
	}
	return r, nil
}

// MarshalText writes what [Ratio.String] writes.
func (r Ratio) MarshalText() ([]byte, error) { return []byte(r.String()), nil }

// UnmarshalText reads what [ParseRatio] reads.
func (r *Ratio) UnmarshalText(text []byte) error {
	v, err := ParseRatio(string(text))
	if err != nil {
		return err
	}
	*r = v
	return nil
}

// MarshalBinary is [Ratio.MarshalText]: the fields are unexported, and codecs
// that ignore text forms would lose them.
func (r Ratio) MarshalBinary() ([]byte, error) { return r.MarshalText() }

// UnmarshalBinary is [Ratio.UnmarshalText].
func (r *Ratio) UnmarshalBinary(data []byte) error { return r.UnmarshalText(data) }
