package quantity

import (
	"math/big"
	"strings"
)

// Torque is a torque in whole millinewton metres.
type Torque int64

// NewtonMetre is one newton metre.
const NewtonMetre Torque = 1_000

const (
	torqueKind  = "torque"
	torqueUnits = "write a unit: N·m (Nm), lbf·ft, lbf·in or kgf·m"
)

// torqueUnit gives newton metres for a unit written without dots, spaces and
// dashes. lbf·ft, lbf·in and kgf·m are exact by the definitions of foot, pound
// and standard gravity in NIST SP 811.
var torqueUnit = map[string]*big.Rat{
	"nm":   mustRat("1"),
	"lbft": mustRat("1.3558179483314004"), "lbfft": mustRat("1.3558179483314004"),
	"ftlb": mustRat("1.3558179483314004"), "ftlbf": mustRat("1.3558179483314004"),
	"lbin": mustRat("0.1129848290276167"), "lbfin": mustRat("0.1129848290276167"),
	"inlb": mustRat("0.1129848290276167"), "inlbf": mustRat("0.1129848290276167"),
	"kgfm": mustRat("9.80665"), "kgm": mustRat("9.80665"),
	"kgfcm": mustRat("0.0980665"), "ncm": mustRat("0.01"),
}

func mustRat(s string) *big.Rat {
	r, ok := new(big.Rat).SetString(s)
	if !ok {
		panic("quantity: bad constant " + s)
	}
	return r
}

// ParseTorque reads "25 N·m", "25 Nm", "18 lbf·ft", "2.5 kgf·m". A bare number
// is refused. The value is rounded to the nearest millinewton metre, half away
// from zero; newton metres must be exact. Errors are [*ParseError].
func ParseTorque(s string) (Torque, error) {
	if len(s) > maxText {
		return 0, refuse(torqueKind, s, maxText, "the text is too long", torqueUnits)
	}
	body := strings.TrimSpace(s)
	neg, rest := cutSign(body)
	at := strings.Index(s, body) + len(body) - len(rest)
	num, den, used, problem := scanDecimal(rest)
	if problem != "" {
		return 0, refuse(torqueKind, s, at+used, problem, torqueUnits)
	}
	name := strings.NewReplacer(" ", "", ".", "", "·", "", "\u22c5", "", "-", "", "*", "").Replace(rest[used:])
	if name == "" {
		return 0, refuse(torqueKind, s, len(s), "a number without a unit", torqueUnits)
	}
	factor, ok := torqueUnit[strings.ToLower(name)]
	if !ok || name == "nm" {
		return 0, refuse(torqueKind, s, at+used, "unit "+quoteShort(name)+" is not known", torqueUnits)
	}
	milli := new(big.Rat).SetFrac(new(big.Int).SetUint64(num), new(big.Int).SetUint64(den))
	milli.Mul(milli, factor).Mul(milli, new(big.Rat).SetInt64(int64(NewtonMetre)))
	if name == "Nm" && !milli.IsInt() {
		return 0, refuse(torqueKind, s, at, "finer than a millinewton metre", "write at most three decimals")
	}
	v, ok := roundRat(milli, neg)
	if !ok {
		return 0, refuse(torqueKind, s, at, "too large", "check the number and the unit")
	}
	return Torque(v), nil
}

// String writes the shortest exact decimal in newton metres: "25 N·m".
func (t Torque) String() string { return formatScaled(int64(t), 3) + " N·m" }

// MarshalText writes what [Torque.String] writes.
func (t Torque) MarshalText() ([]byte, error) { return []byte(t.String()), nil }

// UnmarshalText reads what [ParseTorque] reads.
func (t *Torque) UnmarshalText(text []byte) error {
	v, err := ParseTorque(string(text))
	if err != nil {
		return err
	}
	*t = v
	return nil
}
