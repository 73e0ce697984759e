package exchange

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

// kinds knows how the cells of value columns are written.
type kinds struct {
	attributes map[catalog.AttributeKey]catalog.ValueKind
	features   map[string]catalog.FeatureKind // by family/id
}

func newKinds() *kinds {
	return &kinds{attributes: map[catalog.AttributeKey]catalog.ValueKind{}, features: map[string]catalog.FeatureKind{}}
}

func kindsOf(c *catalog.Catalogue) *kinds {
	k := newKinds()
	for _, a := range c.Attributes {
		k.attributes[a.Name] = a.Kind
	}
	for _, f := range c.Features {
		k.features[f.Key()] = f.Kind
	}
	return k
}

// parseValue reads a cell as the kind wants it. An empty kind means that the
// declaration itself is missing or bad, which is reported where it stands.
func parseValue(kind catalog.ValueKind, cell string) (catalog.Value, *refusal) {
	if kind != catalog.KindText && kind != catalog.KindChoice {
		cell = strings.TrimSpace(cell)
	}
	switch kind {
	case catalog.KindLength:
		l, err := quantity.ParseLength(cell)
		if err != nil {
			return catalog.Value{}, fromError(err)
		}
		return catalog.LengthValue(l), nil
	case catalog.KindAngle:
		a, err := quantity.ParseAngle(cell)
		if err != nil {
			return catalog.Value{}, fromError(err)
		}
		return catalog.AngleValue(a), nil
	case catalog.KindCount:
		n, bad := parseCount(cell, math.MinInt)
		if bad != nil {
			return catalog.Value{}, bad
		}
		return catalog.CountValue(n), nil
	case catalog.KindYesNo:
		b, bad := parseYesNo(cell)
		if bad != nil {
			return catalog.Value{}, bad
		}
		return catalog.YesNoValue(b), nil
	case catalog.KindChoice:
		return catalog.ChoiceValue(cell), nil
	}
	return catalog.TextValue(cell), nil
}

// formatValue writes a value; one that is not of the wanted kind is refused,
// since it would come back as something else.
func formatValue(kind catalog.ValueKind, v catalog.Value) (string, error) {
	if v.Kind != kind || kind == "" {
		return "", fmt.Errorf("the value %s%d is of kind %q, the declaration says %q", v.Text, v.Number, v.Kind, kind)
	}
	switch kind {
	case catalog.KindLength:
		return quantity.Length(v.Number).String(), nil
	case catalog.KindAngle:
		return quantity.Angle(v.Number).String(), nil
	case catalog.KindCount:
		return strconv.FormatInt(v.Number, 10), nil
	case catalog.KindYesNo:
		if v.Number == 0 {
			return "no", nil
		}
		return "yes", nil
	}
	if strings.TrimSpace(v.Text) == "" {
		return "", errors.New("the value is empty")
	}
	return v.Text, nil
}

// property is properties.value.
func property() *column[under[catalog.Attribute]] {
	type row = under[catalog.Attribute]
	return &column[row]{
		Column: Column{Name: "value", Type: TypeValue, Required: true},
		parse: func(k *kinds, r *row, cell string) (bad *refusal) {
			r.Row.Value, bad = parseValue(k.attributes[r.Row.Name], cell)
			return bad
		},
		format: func(k *kinds, r *row) (string, error) {
			return formatValue(k.attributes[r.Row.Name], r.Row.Value)
		},
	}
}

// featureKinds maps what a feature shows to how it is written.
var featureKinds = map[catalog.FeatureKind]catalog.ValueKind{
	catalog.FeatureCount: catalog.KindCount,
	catalog.FeatureRatio: catalog.KindText,
	catalog.FeatureYesNo: catalog.KindYesNo,
	catalog.FeatureSize:  catalog.KindLength,
	catalog.FeatureMark:  catalog.KindText,
}

// shown is feature_values.value.
func shown() *column[under[catalog.FeatureValue]] {
	type row = under[catalog.FeatureValue]
	kindOf := func(k *kinds, r *row) catalog.FeatureKind { return k.features[r.Parent+"/"+r.Sub] }
	return &column[row]{
		Column: Column{Name: "value", Type: TypeValue, Required: true},
		parse: func(k *kinds, r *row, cell string) (bad *refusal) {
			kind := kindOf(k, r)
			if kind == catalog.FeatureRatio {
				if _, err := quantity.ParseRatio(cell); err != nil {
					return fromError(err)
				}
			}
			r.Row.Value, bad = parseValue(featureKinds[kind], cell)
			return bad
		},
		format: func(k *kinds, r *row) (string, error) {
			return formatValue(featureKinds[kindOf(k, r)], r.Row.Value)
		},
	}
}

// windowEnd is mates.min and mates.max: a number in the unit of attribute A.
func windowEnd(name string, at func(*catalog.Mate) *int64) *column[catalog.Mate] {
	return &column[catalog.Mate]{
		Column: Column{Name: name, Type: TypeValue},
		parse: func(k *kinds, m *catalog.Mate, cell string) *refusal {
			kind := k.attributes[m.A.Name]
			switch kind {
			case "":
				return nil
			case catalog.KindCount, catalog.KindLength, catalog.KindAngle:
				v, bad := parseValue(kind, cell)
				*at(m) = v.Number
				return bad
			}
			return refusef("leave it blank or compare sizes, angles or counts", "attribute %q is of kind %s, which has no difference", m.A.Name, kind)
		},
		format: func(k *kinds, m *catalog.Mate) (string, error) {
			n := *at(m)
			if n == 0 && m.Relation != catalog.Window {
				return "", nil
			}
			switch kind := k.attributes[m.A.Name]; kind {
			case catalog.KindCount, catalog.KindLength, catalog.KindAngle:
				return formatValue(kind, catalog.Value{Kind: kind, Number: n})
			default:
				return "", fmt.Errorf("%d: attribute %q of kind %q has no difference", n, m.A.Name, kind)
			}
		},
	}
}
