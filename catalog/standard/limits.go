package standard

import (
	"fmt"
	"strconv"
	"strings"

	"layshaft/catalog/quantity"
)

// Side says whether limits are those of a hole or of a shaft.
type Side string

// The two sides of a fit.
const (
	Hole  Side = "hole"
	Shaft Side = "shaft"
)

// Limits are the two permitted deviations of one nominal size.
type Limits struct {
	Side    Side
	Symbol  string          // "k6", "H7"; for a bearing ring the tolerance class
	Nominal quantity.Length // size the deviations count from
	Upper   quantity.Length // upper deviation, signed
	Lower   quantity.Length // lower deviation, signed
	Source  string
}

// Max is the largest permitted size.
func (l Limits) Max() quantity.Length { return l.Nominal + l.Upper }

// Min is the smallest permitted size.
func (l Limits) Min() quantity.Length { return l.Nominal + l.Lower }

// Contains says whether a size lies inside the limits, both ends included.
func (l Limits) Contains(size quantity.Length) bool { return l.Min() <= size && size <= l.Max() }

// String writes "30 k6 (+0.015/+0.002)".
func (l Limits) String() string {
	return fmt.Sprintf("%s %s (%s/%s)", l.Nominal.MM(), l.Symbol, signed(l.Upper), signed(l.Lower))
}

func signed(l quantity.Length) string {
	if l > 0 {
		return "+" + l.MM()
	}
	return l.MM()
}

const (
	limitsRemedy = "write size and tolerance class, like 30 k6 or 72 H7"
	iso286Source = "ISO 286-1:2010 tables and rules"
)

// span is a value for sizes over one limit up to and including the next.
type span struct {
	over, upTo, value quantity.Length
}

func inSpans(spans []span, size quantity.Length) (quantity.Length, bool) {
	for _, s := range spans {
		if s.over < size && size <= s.upTo {
			return s.value, true
		}
	}
	return 0, false
}

type iso286Tables struct {
	grades     map[int][]span    // tolerance by grade number
	deviations map[string][]span // by symbol; "j5-j6", "J7" for the grades it names
}

var iso286 = onceTable(func() iso286Tables {
	t := iso286Tables{grades: map[int][]span{}, deviations: map[string][]span{}}
	for _, r := range readTable("iso286_tolerance_grades") {
		grade, err := strconv.Atoi(strings.TrimPrefix(r.text("grade"), "IT"))
		if err != nil {
			panic("standard: " + err.Error())
		}
		t.grades[grade] = append(t.grades[grade], span{r.mm("over_mm"), r.mm("up_to_mm"), r.um("tolerance_um")})
	}
	for _, r := range readTable("iso286_fundamental_deviations") {
		symbol := r.text("symbol")
		t.deviations[symbol] = append(t.deviations[symbol], span{r.mm("over_mm"), r.mm("up_to_mm"), r.um("value_um")})
	}
	return t
})

// ToleranceGrade gives the standard tolerance IT<grade> (5 to 11) for a nominal
// size up to 250 mm (ISO 286-1:2010 Table 1).
func ToleranceGrade(grade int, nominal quantity.Length) (quantity.Length, error) {
	spans, ok := iso286().grades[grade]
	if !ok || grade < 5 {
		return 0, refuse("IT"+strconv.Itoa(grade), 0, "grades IT5 to IT11 are known", "use one of them")
	}
	v, ok := inSpans(spans, nominal)
	if !ok {
		return 0, refuse(nominal.MM(), 0, "sizes over 0 up to 250 mm are known", "check the nominal size")
	}
	return v, nil
}

// ParseLimits reads a nominal size in millimetres with its ISO 286 tolerance
// class and gives the deviations: "30 k6", "72H7", "Ø35 js6". Capital letters
// are holes. Known are g h js j k m n p r and G H JS J K M N P R in grades 5 to
// 11 as far as ISO 286-2 has them, up to 250 mm. Errors are [*DesignationError].
func ParseLimits(text string) (Limits, error) {
	nominal, class, at, err := cutSize(text)
	if err != nil {
		return Limits{}, err
	}
	letters := run(class, 0, isLetter)
	grade, err := strconv.Atoi(strings.TrimSpace(class[letters:]))
	if letters == 0 || letters > 2 || err != nil {
		return Limits{}, refuse(text, at, "no tolerance class here", limitsRemedy)
	}
	return limitsOf(text, at, nominal, class[:letters], grade)
}

// cutSize takes the nominal size off the front; class is the trimmed rest and
// at its offset.
func cutSize(text string) (nominal quantity.Length, class string, at int, err error) {
	if len(text) > maxDesignation {
		return 0, "", 0, refuse(text, maxDesignation, "the text is too long", limitsRemedy)
	}
	start := len(text) - len(strings.TrimLeft(text, " \tØø⌀∅"))
	end := run(text, start, func(c byte) bool { return isDigit(c) || c == '.' || c == ',' })
	nominal, err = quantity.ParseLengthIn(text[start:end], quantity.Millimetre)
	if err != nil {
		return 0, "", 0, refuse(text, start, "no size here", limitsRemedy)
	}
	rest := strings.TrimLeft(text[end:], " ")
	if r, ok := strings.CutPrefix(rest, "mm"); ok {
		rest = r
	}
	at = end + strings.Index(text[end:], rest)
	rest = strings.TrimSpace(rest)
	return nominal, rest, at + strings.Index(text[at:], rest), nil
}

func limitsOf(text string, at int, nominal quantity.Length, letters string, grade int) (Limits, error) {
	if letters == "Js" {
		letters = "JS" // older writing of the hole
	}
	l := Limits{Nominal: nominal, Symbol: letters + strconv.Itoa(grade), Source: iso286Source}
	it, err := ToleranceGrade(grade, nominal)
	if err != nil {
		return Limits{}, refuse(text, at, "only IT5 to IT11 up to 250 mm are known", limitsRemedy)
	}
	var ok bool
	if letters == strings.ToLower(letters) {
		l.Side = Shaft
		l.Upper, l.Lower, ok = shaftDeviations(nominal, letters, grade, it)
	} else {
		l.Side = Hole
		l.Upper, l.Lower, ok = holeDeviations(nominal, letters, grade, it)
	}
	if !ok {
		return Limits{}, refuse(text, at, "tolerance class "+l.Symbol+" is not known", "known are g h js j k m n p r and G H JS J K M N P R")
	}
	return l, nil
}

// shaftDeviations applies ISO 286-1: the fundamental deviation from the table,
// the other one a tolerance away.
func shaftDeviations(d quantity.Length, letter string, grade int, it quantity.Length) (es, ei quantity.Length, ok bool) {
	t := iso286().deviations
	switch letter {
	case "h":
		return 0, -it, true
	case "js":
		return it / 2, -it / 2, true
	case "g":
		es, ok = inSpans(t["g"], d)
		return es, es - it, ok
	case "j":
		symbol := "j" + strconv.Itoa(grade)
		if grade <= 6 {
			symbol = "j5-j6"
		}
		ei, ok = inSpans(t[symbol], d)
	case "k":
		if grade > 7 {
			return it, 0, true
		}
		ei, ok = inSpans(t["k"], d)
	case "m", "n", "p", "r":
		ei, ok = inSpans(t[letter], d)
	}
	return ei + it, ei, ok
}

// holeDeviations applies the rules of ISO 286-1 that turn shaft deviations into
// hole deviations: mirrored, and for K, M, N up to IT8 and P, R up to IT7 with
// delta = IT(n) - IT(n-1) added, so that fits of the same letters correspond.
func holeDeviations(d quantity.Length, letter string, grade int, it quantity.Length) (es, ei quantity.Length, ok bool) {
	t := iso286().deviations
	switch letter {
	case "H":
		return it, 0, true
	case "JS":
		return it / 2, -it / 2, true
	case "G":
		shaft, ok := inSpans(t["g"], d)
		return -shaft + it, -shaft, ok
	case "J":
		es, ok = inSpans(t["J"+strconv.Itoa(grade)], d)
		return es, es - it, ok
	}
	top, known := map[string]int{"K": 8, "M": 8, "N": 8, "P": 7, "R": 7}[letter]
	if !known {
		return 0, 0, false
	}
	shaft, ok := inSpans(t[strings.ToLower(letter)], d)
	if !ok {
		return 0, 0, false
	}
	if grade > top {
		switch letter {
		case "N": // keyways: 0 above 3 mm
			if d > 3*quantity.MM {
				return 0, -it, true
			}
			return -shaft, -shaft - it, true
		case "P", "R":
			return -shaft, -shaft - it, true
		}
		return 0, 0, false
	}
	es = -shaft + delta(d, grade, it)
	return es, es - it, true
}

func delta(d quantity.Length, grade int, it quantity.Length) quantity.Length {
	const noDelta = 3 * quantity.MM // ISO 286-1: delta is 0 up to and including 3 mm
	if d <= noDelta {
		return 0
	}
	finer, _ := inSpans(iso286().grades[grade-1], d) // IT4 is tabled for IT5
	return it - finer
}
