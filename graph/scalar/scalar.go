// Package scalar maps the API's own scalars to exact domain types. It is the
// only place where a size becomes API text and back.
package scalar

import (
	"encoding"
	"fmt"
	"io"
	"strconv"

	"github.com/99designs/gqlgen/graphql"

	"layshaft/catalog/quantity"
)

// Node is any record with a global id. Domain types do not know the API, so
// the interface asks nothing of them.
type Node any

// SearchHit is any record that a search can find.
type SearchHit any

// MarshalMillimetres writes a length as decimal millimetres, "17.25".
func MarshalMillimetres(l quantity.Length) graphql.Marshaler { return text(l.MM()) }

// UnmarshalMillimetres reads decimal millimetres, or a length with its unit.
func UnmarshalMillimetres(v any) (quantity.Length, error) {
	s, err := input(v)
	if err != nil {
		return 0, err
	}
	return quantity.ParseLengthIn(s, quantity.Millimetre)
}

// MarshalDegrees writes an angle as decimal degrees, "28.5".
func MarshalDegrees(a quantity.Angle) graphql.Marshaler { return text(a.Degrees()) }

// UnmarshalDegrees reads decimal degrees.
func UnmarshalDegrees(v any) (quantity.Angle, error) {
	s, err := input(v)
	if err != nil {
		return 0, err
	}
	if a, err := quantity.ParseAngle(s + "°"); err == nil {
		return a, nil
	}
	return quantity.ParseAngle(s)
}

// MarshalTorque writes a torque with its unit.
func MarshalTorque(t quantity.Torque) graphql.Marshaler { return text(t.String()) }

// UnmarshalTorque reads a torque with its unit.
func UnmarshalTorque(v any) (quantity.Torque, error) {
	return parsed[quantity.Torque](v)
}

// MarshalDate writes a date as in ISO 8601; null for the zero date.
func MarshalDate(d quantity.Date) graphql.Marshaler {
	if d.IsZero() {
		return graphql.Null
	}
	return text(d.String())
}

// UnmarshalDate reads a date as in ISO 8601.
func UnmarshalDate(v any) (quantity.Date, error) { return parsed[quantity.Date](v) }

// MarshalRevision writes a revision as decimal text.
func MarshalRevision(r uint64) graphql.Marshaler { return text(strconv.FormatUint(r, 10)) }

// UnmarshalRevision reads a revision.
func UnmarshalRevision(v any) (uint64, error) {
	s, err := input(v)
	if err != nil {
		return 0, err
	}
	r, err := strconv.ParseUint(s, 10, 64)
	if err != nil {
		return 0, fmt.Errorf("not a revision: %q. Send the text that an answer gave", s)
	}
	return r, nil
}

func text(s string) graphql.Marshaler {
	return graphql.WriterFunc(func(w io.Writer) { _, _ = io.WriteString(w, strconv.Quote(s)) })
}

// input accepts text only: a bare JSON number has lost its exact digits.
func input(v any) (string, error) {
	s, ok := v.(string)
	if !ok {
		return "", fmt.Errorf("send it as text, not as %T", v)
	}
	return s, nil
}

func parsed[T any, P interface {
	*T
	encoding.TextUnmarshaler
}](v any) (T, error) {
	var out T
	s, err := input(v)
	if err != nil {
		return out, err
	}
	return out, P(&out).UnmarshalText([]byte(s))
}
