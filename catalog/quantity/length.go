package quantity

import (
	"math/big"
	"strings"
)

// Unit is a unit of length a number can be written in.
type Unit string

// The units a shop writes lengths in.
const (
	Millimetre Unit = "mm"
	Inch       Unit = "in"
	Micrometre Unit = "um"
)

// Length is a size or a difference of sizes in whole nanometres. One inch is
// exactly 25 400 000 nm (international inch, NIST SP 811).
type Length int64

// Lengths to multiply by: 35*quantity.MM.
const (
	Nanometre Length = 1
	Micron    Length = 1_000
	MM        Length = 1_000_000
	In        Length = 25_400_000
)

const lengthKind = "length"

const lengthUnits = `write a unit: mm, cm, m, um (µm), nm, in (") or thou`

// lengthUnitNames maps every accepted writing to nanometres.
var lengthUnitNames = map[string]Length{
	"mm": MM, "millimetre": MM, "millimetres": MM, "millimeter": MM, "millimeters": MM,
	"cm": 10 * MM, "m": 1000 * MM,
	"um": Micron, "\u00b5m": Micron, "\u03bcm": Micron, "micron": Micron, "microns": Micron,
	"micrometre": Micron, "micrometres": Micron, "micrometer": Micron, "micrometers": Micron,
	"nm": Nanometre,
	"in": In, "in.": In, "inch": In, "inches": In, `"`: In, "\u2033": In, "\u201d": In, "''": In,
	"thou": In / 1000,
}

// ParseLength reads a length with its unit: "35 mm", "0,05mm", `1 3/4"`,
// "0.003 in", "5 µm". A bare number, and a value that is not a whole number of
// nanometres, are refused. Errors are [*ParseError].
func ParseLength(s string) (Length, error) { return parseLength(s, 0) }

// ParseLengthIn is [ParseLength] where a bare number counts in u; a unit in the
// text wins over u. An unknown u is refused.
func ParseLengthIn(s string, u Unit) (Length, error) {
	nm, ok := lengthUnitNames[string(u)]
	if !ok {
		return 0, refuse(lengthKind, s, 0, "the default unit "+string(u)+" is not known", "use mm, in or um")
	}
	return parseLength(s, nm)
}

func parseLength(s string, bare Length) (Length, error) {
	if len(s) > maxText {
		return 0, refuse(lengthKind, s, maxText, "the text is too long", "give one length alone")
	}
	body := strings.TrimSpace(s)
	lead := strings.Index(s, body)
	neg, rest := cutSign(body)
	n, used, problem := scanMixed(rest)
	at := lead + len(body) - len(rest)
	if problem != "" {
		return 0, refuse(lengthKind, s, at+used, problem, "write it like 35 mm, 0.05 mm or 1 3/4 in")
	}
	n.neg = neg
	name := strings.TrimSpace(rest[used:])
	unit := bare
	if name != "" {
		var ok bool
		if unit, ok = lengthUnitNames[name]; !ok {
			unit, ok = lengthUnitNames[strings.ToLower(name)]
			if !ok || name == "M" {
				return 0, refuse(lengthKind, s, at+used, "unit "+quoteShort(name)+" is not known", lengthUnits)
			}
		}
	}
	if unit == 0 {
		return 0, refuse(lengthKind, s, len(s), "a number without a unit", lengthUnits)
	}
	v, how := n.times(uint64(unit))
	switch how {
	case inexact:
		return 0, refuse(lengthKind, s, at, "finer than a nanometre", "write fewer decimals")
	case tooLarge:
		return 0, refuse(lengthKind, s, at, "too large", "check the number and the unit")
	}
	return Length(v), nil
}

func quoteShort(s string) string {
	if len(s) > 12 {
		s = strings.ToValidUTF8(s[:12], "") + "..."
	}
	return "'" + s + "'"
}

// scanMixed reads "12", "0.5", "3/4", "1 3/4" or "1-3/4" at the start of s.
func scanMixed(s string) (n number, used int, problem string) {
	num, den, used, problem := scanDecimal(s)
	if problem != "" {
		return number{}, used, problem
	}
	n = number{num: num, den: den}
	if den != 1 {
		return n, used, ""
	}
	if rest := s[used:]; strings.HasPrefix(rest, "/") {
		return scanOver(n, s, used)
	}
	gap := used
	for gap < len(s) && (s[gap] == ' ' || s[gap] == '-') {
		gap++
	}
	top, k, ok := scanDigits(s[gap:], 0)
	if gap == used || k == 0 || !strings.HasPrefix(s[gap+k:], "/") {
		return n, used, ""
	}
	if !ok {
		return number{}, gap, "the number has too many digits"
	}
	frac, end, problem := scanOver(number{num: top, den: 1}, s, gap+k)
	if problem != "" {
		return number{}, end, problem
	}
	if frac.num >= frac.den || num > 1<<31 {
		return number{}, gap, "not a proper fraction after the whole number"
	}
	return number{num: num*frac.den + frac.num, den: frac.den}, end, ""
}

func scanOver(top number, s string, slash int) (n number, used int, problem string) {
	den, k, ok := scanDigits(s[slash+1:], 0)
	switch {
	case k == 0:
		return number{}, slash + 1, "no number after the fraction stroke"
	case !ok || den > 1<<20:
		return number{}, slash + 1, "the number under the fraction stroke is too large"
	case den == 0:
		return number{}, slash + 1, "division by zero"
	}
	return number{num: top.num, den: den}, slash + 1 + k, ""
}

// String writes the shortest exact decimal in millimetres: "35 mm".
func (l Length) String() string { return l.MM() + " mm" }

// MM is the shortest exact decimal in millimetres without the unit: "17.25".
func (l Length) MM() string { return formatScaled(int64(l), 6) }

// Format writes l with unit u. Millimetres and micrometres are always exact.
// Inches are exact (at most six decimals) when they can be; any other length is
// rounded to five decimals, half away from zero, and marked with a leading '≈',
// which the parsers refuse, so that a rounded value never comes back as a size.
// An unknown unit is written in millimetres.
func (l Length) Format(u Unit) string {
	switch u {
	case Inch:
		// 25 400 000 = 127 * 200 000: a multiple of 127 nm ends after six decimals.
		if l%127 == 0 {
			return formatScaled(int64(l)/127*5, 6) + " in"
		}
		return "≈" + l.ratIn().FloatString(5) + " in"
	case Micrometre:
		return formatScaled(int64(l), 3) + " um"
	default:
		return l.String()
	}
}

func (l Length) ratIn() *big.Rat { return big.NewRat(int64(l), int64(In)) }

// Abs is l without its sign; the most negative length, which has no positive
// twin, gives the largest one.
func (l Length) Abs() Length {
	if l >= 0 {
		return l
	}
	if l == -l {
		return -(l + 1)
	}
	return -l
}

// Millimetres is l as a float, for statistics and drawing only.
func (l Length) Millimetres() float64 { return float64(l) / float64(MM) }

// MarshalText writes what [Length.String] writes.
func (l Length) MarshalText() ([]byte, error) { return []byte(l.String()), nil }

// UnmarshalText reads what [ParseLength] reads.
func (l *Length) UnmarshalText(text []byte) error {
	v, err := ParseLength(string(text))
	if err != nil {
		return err
	}
	*l = v
	return nil
}
