package exchange

import (
	"fmt"
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
	cell = strings.TrimSpace(cell)
	if kind == catalog.KindYesNo { // spreadsheets write TRUE and 1
		yes, bad := parseYesNo(cell)
		return catalog.YesNoValue(yes), bad
	}
	if kind == "" {
		return catalog.Value{}, nil
	}
	v, err := catalog.ParseValue(kind, cell)
	if err != nil {
		return catalog.Value{}, fromError(err)
	}
	return v, nil
}

// formatValue writes a value; one that is not of the wanted kind is refused,
// since it would come back as something else.
func formatValue(kind catalog.ValueKind, v catalog.Value) (string, error) {
	if v.Kind != kind || kind == "" {
		return "", fmt.Errorf("the value %s%d is of kind %q, the declaration says %q", v.Text, v.Number, v.Kind, kind)
	}
	text := v.String()
	if text == "" || strings.TrimSpace(text) != text {
		return "", fmt.Errorf("the value %q is empty or has spaces around it", text)
	}
	return text, nil
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
			r.Row.Value, bad = parseValue(valueKind(kind), cell)
			return bad
		},
		format: func(k *kinds, r *row) (string, error) {
			return formatValue(valueKind(kindOf(k, r)), r.Row.Value)
		},
	}
}

// valueKind of a feature's values; none when the feature is not known.
func valueKind(kind catalog.FeatureKind) catalog.ValueKind {
	if kind == "" {
		return ""
	}
	return kind.ValueKind()
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
