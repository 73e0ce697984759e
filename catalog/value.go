package catalog

import (
	"fmt"
	"strconv"
	"strings"

	"layshaft/catalog/quantity"
)

// String is the value as people write it, unit included: "35 mm", "23", "yes",
// "M30x1.5". It is empty when nothing is stated. ParseValue reads it back.
func (v Value) String() string {
	switch v.Kind {
	case KindLength:
		return quantity.Length(v.Number).String()
	case KindAngle:
		return quantity.Angle(v.Number).String()
	case KindCount:
		return strconv.FormatInt(v.Number, 10)
	case KindYesNo:
		if v.Number == 0 {
			return "no"
		}
		return "yes"
	}
	return v.Text
}

// ParseValue reads a value of a kind as people write it. Lengths and angles
// need their unit.
func ParseValue(kind ValueKind, text string) (Value, error) {
	trimmed := strings.TrimSpace(text)
	switch kind {
	case KindLength:
		l, err := quantity.ParseLength(trimmed)
		return LengthValue(l), err
	case KindAngle:
		a, err := quantity.ParseAngle(trimmed)
		return AngleValue(a), err
	case KindCount:
		n, err := strconv.Atoi(trimmed)
		if err != nil {
			return Value{}, fmt.Errorf("not a whole number: %q. Write digits only, for example 23", text)
		}
		return CountValue(n), nil
	case KindYesNo:
		switch strings.ToLower(trimmed) {
		case "yes":
			return YesNoValue(true), nil
		case "no":
			return YesNoValue(false), nil
		}
		return Value{}, fmt.Errorf("neither yes nor no: %q. Write yes or no", text)
	case KindChoice:
		return ChoiceValue(trimmed), nil
	case KindText:
		return TextValue(trimmed), nil
	}
	return Value{}, fmt.Errorf("no kind of value %q. Use length, count, angle, text, choice or yes/no", kind)
}

// ValueKind that observations of a feature of this kind carry. A ratio is text:
// an exact fraction.
func (k FeatureKind) ValueKind() ValueKind {
	switch k {
	case FeatureCount:
		return KindCount
	case FeatureYesNo:
		return KindYesNo
	case FeatureSize:
		return KindLength
	}
	return KindText
}
