package catalog

import "strings"

// Verdict is the three-valued answer of a mate.
type Verdict uint8

// A mate is Unknown where a value is not stated, or the two are not of one kind.
const (
	Unknown Verdict = iota
	Holds
	Broken
)

// Judge compares the value at A with the value at B.
func (m *Mate) Judge(a, b Value) Verdict {
	if !a.Stated() || !b.Stated() || a.Kind != b.Kind {
		return Unknown
	}
	ok := false
	switch m.Relation {
	case Equal:
		ok = a.Same(b)
	case Less:
		ok = a.Number < b.Number
	case Window:
		d := a.Number - b.Number
		ok = m.Min <= d && d <= m.Max
	default:
		return Unknown
	}
	if ok {
		return Holds
	}
	return Broken
}

// Same reports whether two values are equal; text is compared without regard to
// case.
func (v Value) Same(o Value) bool {
	return v.Kind == o.Kind && v.Number == o.Number && (v.Text == o.Text || strings.EqualFold(v.Text, o.Text))
}
