package measure

import (
	"errors"
	"fmt"
	"strings"

	"layshaft/catalog/quantity"
)

// Bounds on input. Nothing on a bench is longer than maxSize; with at most
// maxReadings values per series every exact product fits 64 bits.
const (
	maxReadings = 24
	maxSize     = 2000 * quantity.MM
	maxShim     = 100 * quantity.MM
	maxTorque   = 1000 * quantity.NewtonMetre
)

// value is one reading as understood, in nanometres, millinewton metres or
// millidegrees Celsius.
type value struct {
	amount     int64
	resolution int64 // of the digits typed
	struck     bool
}

// parseValue reads one typed value. unit is the default for bare lengths, ""
// when a bare number is refused.
func parseValue(text string, kind Kind, unit quantity.Unit, torqueUnit string) (value, error) {
	var v value
	body := strings.TrimSpace(text)
	if strings.HasPrefix(body, "(") && strings.HasSuffix(body, ")") && len(body) > 1 {
		v.struck = true
		body = strings.TrimSpace(body[1 : len(body)-1])
	}
	amount, err := parseAmount(body, kind, unit, torqueUnit)
	if err != nil {
		return value{}, err
	}
	v.amount = amount
	if kind == KindTemperature {
		return v, nil // no uncertainty is worked out of it
	}
	if step, err := parseAmount(lastDigit(body), kind, unit, torqueUnit); err == nil {
		v.resolution = step
	}
	return v, nil
}

func parseAmount(text string, kind Kind, unit quantity.Unit, torqueUnit string) (int64, error) {
	switch kind {
	case KindTorque:
		if torqueUnit != "" && bare(text) {
			text += " " + torqueUnit
		}
		t, err := quantity.ParseTorque(text)
		return int64(t), err
	case KindTemperature:
		return parseTemperature(text)
	}
	if unit == "" {
		l, err := quantity.ParseLength(text)
		return int64(l), err
	}
	l, err := quantity.ParseLengthIn(text, unit)
	return int64(l), err
}

func bare(text string) bool {
	return text != "" && strings.Trim(text, "+-0123456789.,") == ""
}

// lastDigit turns a number into one step of its last digit: "24.86 mm" gives
// "00.01 mm", `1 3/64"` gives `1/64"`. It finds the resolution a person read.
func lastDigit(text string) string {
	text = strings.TrimLeft(text, "+- \t")
	end := strings.LastIndexAny(text, "0123456789") + 1
	if end == 0 {
		return text
	}
	// A unit may hold no digits, so the number ends at the last one.
	if slash := strings.LastIndexByte(text[:end], '/'); slash >= 0 {
		return "1" + text[slash:]
	}
	out := []byte(text)
	for i := range out[:end] {
		if out[i] >= '0' && out[i] <= '9' {
			out[i] = '0'
		}
	}
	out[end-1] = '1'
	return string(out)
}

var errTemperature = errors.New("a temperature is a number with C or F: write it like 24 C or 75.2 F")

// parseTemperature gives millidegrees Celsius; Fahrenheit is rounded to them.
func parseTemperature(text string) (int64, error) {
	s := strings.ReplaceAll(strings.TrimSpace(text), ",", ".")
	fahrenheit := strings.HasSuffix(s, "F")
	if !fahrenheit && !strings.HasSuffix(s, "C") {
		return 0, errTemperature
	}
	s = strings.TrimSpace(s[:len(s)-1])
	s = strings.TrimSpace(strings.TrimSuffix(s, "°"))
	sign := int64(1)
	if rest, ok := strings.CutPrefix(s, "-"); ok {
		sign, s = -1, rest
	}
	number, decimals, _ := strings.Cut(s, ".")
	if number == "" || len(number) > 4 || len(decimals) > 3 || strings.Trim(number+decimals, "0123456789") != "" {
		return 0, errTemperature
	}
	var milli int64
	for _, d := range (number + decimals + "000")[:len(number)+3] {
		milli = milli*10 + int64(d-'0')
	}
	milli *= sign
	if fahrenheit {
		milli = fraction((milli-32_000)*5, 9).nearest()
	}
	return milli, nil
}

// reason and remedy of an error of the quantity package, without its preamble.
func parseRefusal(place, text string, err error) Refusal {
	r := Refusal{Code: "not-a-reading", Place: place, Reason: err.Error(), Remedy: "write the number with its unit, like 24.86 mm"}
	if p, ok := errors.AsType[*quantity.ParseError](err); ok {
		r.Reason, r.Remedy = fmt.Sprintf("%q is not a %s: %s", shorten(text), p.Kind, p.Problem), p.Remedy
	}
	return r
}

func shorten(text string) string {
	if r := []rune(text); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return text
}
