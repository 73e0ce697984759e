package fit

import (
	"cmp"
	"slices"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

// Difference is one row of a comparison of two parts.
type Difference struct {
	// Key and At name the attribute; Key is "kind" or "designation" for what is no
	// attribute.
	Key   catalog.AttributeKey
	At    string
	Label string
	A, B  catalog.Value // the zero Value where a part does not state it
	// Same: both state it and it is equal. Known: both state it.
	Same, Known bool
	// By is how much larger B is, for lengths that both state.
	By quantity.Length
}

// Compare lists the attributes of two parts side by side, what differs first,
// then what only one of them states, then what is the same; else by key and seat.
// An error means that the catalogue does not have one of them.
func Compare(ix *catalog.Index, a, b catalog.PartID) ([]*Difference, error) {
	pa, ok := ix.Part(a)
	if !ok {
		return nil, catalog.NotFound(catalog.TablePart, string(a))
	}
	pb, ok := ix.Part(b)
	if !ok {
		return nil, catalog.NotFound(catalog.TablePart, string(b))
	}
	out := []*Difference{row("kind", "", "kind", textOf(string(pa.Kind)), textOf(string(pb.Kind)))}
	if pa.Designation != "" || pb.Designation != "" {
		out = append(out, row("designation", "", "designation", textOf(pa.Designation), textOf(pb.Designation)))
	}
	for _, x := range ix.Attributes(a) {
		var v catalog.Value
		if y, ok := ix.Attribute(b, x.Name, x.At); ok {
			v = y.Value
		}
		out = append(out, row(x.Name, x.At, seatLabel(ix, x.Name, x.At), x.Value, v))
	}
	for _, y := range ix.Attributes(b) {
		if _, both := ix.Attribute(a, y.Name, y.At); !both {
			out = append(out, row(y.Name, y.At, seatLabel(ix, y.Name, y.At), catalog.Value{}, y.Value))
		}
	}
	slices.SortStableFunc(out, func(x, y *Difference) int {
		return cmp.Or(cmp.Compare(x.rank(), y.rank()), cmp.Compare(x.Key, y.Key), cmp.Compare(x.At, y.At))
	})
	return out, nil
}

func textOf(s string) catalog.Value {
	if s == "" {
		return catalog.Value{}
	}
	return catalog.TextValue(s)
}

func row(key catalog.AttributeKey, at, label string, a, b catalog.Value) *Difference {
	d := &Difference{Key: key, At: at, Label: label, A: a, B: b, Known: a.Stated() && b.Stated()}
	d.Same = d.Known && a.Same(b)
	if d.Known && a.Kind == catalog.KindLength && b.Kind == catalog.KindLength {
		d.By = b.Length() - a.Length()
	}
	return d
}

func (d *Difference) rank() int {
	switch {
	case d.Same:
		return 2
	case d.Known:
		return 0
	}
	return 1
}
