package quantity

import (
	"math/big"
	"strings"
)

// Angle is an angle in whole microdegrees.
type Angle int64

// Degree is one degree of arc.
const Degree Angle = 1_000_000

const (
	angleKind   = "angle"
	angleRemedy = `write it like 25.5°, 25.5 deg or 25°30'`
)

// ParseAngle reads "25.5°", "25.5 deg" or degrees, minutes and seconds,
// `25°30'15"`. A bare number is refused. Decimal degrees must be exact in
// microdegrees; minutes and seconds are rounded to the nearest microdegree,
// half away from zero. Errors are [*ParseError].
func ParseAngle(s string) (Angle, error) {
	if len(s) > maxText {
		return 0, refuse(angleKind, s, maxText, "the text is too long", angleRemedy)
	}
	body := strings.TrimSpace(s)
	neg, rest := cutSign(body)
	at := strings.Index(s, body) + len(body) - len(rest)
	num, den, used, problem := scanDecimal(rest)
	if problem != "" {
		return 0, refuse(angleKind, s, at+used, problem, angleRemedy)
	}
	tail := strings.TrimSpace(rest[used:])
	unit, ok := cutAny(tail, "°", "degrees", "degree", "deg")
	if !ok {
		return 0, refuse(angleKind, s, at+used, "no degree sign after the number", angleRemedy)
	}
	if unit = strings.TrimSpace(unit); unit != "" {
		return parseMinutes(s, neg, num, den, unit)
	}
	v, how := number{neg: neg, num: num, den: den}.times(uint64(Degree))
	if how != exact {
		return 0, refuse(angleKind, s, at, "too large or finer than a microdegree", "write at most six decimals")
	}
	return Angle(v), nil
}

func cutAny(s string, prefixes ...string) (string, bool) {
	for _, p := range prefixes {
		if r, ok := strings.CutPrefix(s, p); ok {
			return r, true
		}
	}
	return s, false
}

// parseMinutes reads the minutes and seconds after whole degrees.
func parseMinutes(s string, neg bool, deg, den uint64, rest string) (Angle, error) {
	at := len(strings.TrimRight(s, " \t\r\n")) - len(rest)
	if den != 1 {
		return 0, refuse(angleKind, s, at, "minutes after a fraction of a degree", angleRemedy)
	}
	total := new(big.Rat).SetInt(new(big.Int).SetUint64(deg))
	marks := [][]string{{"'", "\u2032", "\u2019"}, {`"`, "\u2033", "\u201d", "''"}}
	part := int64(60)
	for _, mark := range marks {
		if rest == "" {
			break
		}
		num, d, used, problem := scanDecimal(rest)
		if problem != "" {
			return 0, refuse(angleKind, s, at, problem, angleRemedy)
		}
		after, ok := cutAny(rest[used:], mark...)
		if !ok || num >= 60*d {
			return 0, refuse(angleKind, s, at, "not minutes or seconds below 60", angleRemedy)
		}
		v := new(big.Rat).SetFrac(new(big.Int).SetUint64(num), new(big.Int).SetUint64(d))
		total.Add(total, v.Quo(v, new(big.Rat).SetInt64(part)))
		part *= 60
		after = strings.TrimSpace(after)
		at += len(rest) - len(after)
		rest = after
	}
	if rest != "" {
		return 0, refuse(angleKind, s, at, "text after the seconds", angleRemedy)
	}
	v, ok := roundRat(total.Mul(total, new(big.Rat).SetInt64(int64(Degree))), neg)
	if !ok {
		return 0, refuse(angleKind, s, 0, "too large", angleRemedy)
	}
	return Angle(v), nil
}

// roundRat rounds a non-negative rational half up and applies the sign.
func roundRat(r *big.Rat, neg bool) (int64, bool) {
	twice := new(big.Int).Add(new(big.Int).Lsh(r.Num(), 1), r.Denom())
	q := twice.Quo(twice, new(big.Int).Lsh(r.Denom(), 1))
	if neg {
		q.Neg(q)
	}
	return q.Int64(), q.IsInt64()
}

// String writes the shortest exact decimal in degrees: "25.5°".
func (a Angle) String() string { return a.Degrees() + "°" }

// Degrees is the angle as exact decimal degrees without a unit, "28.5".
func (a Angle) Degrees() string { return formatScaled(int64(a), 6) }

// MarshalText writes what [Angle.String] writes.
func (a Angle) MarshalText() ([]byte, error) { return []byte(a.String()), nil }

// UnmarshalText reads what [ParseAngle] reads.
func (a *Angle) UnmarshalText(text []byte) error {
	v, err := ParseAngle(string(text))
	if err != nil {
		return err
	}
	*a = v
	return nil
}
