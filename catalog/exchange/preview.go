package exchange

import (
	"slices"
	"strconv"
	"strings"

	"layshaft/catalog"
)

// ChangeKind says what an import would do to a row.
type ChangeKind string

// The kinds of changes.
const (
	Added   ChangeKind = "added"
	Changed ChangeKind = "changed"
	Removed ChangeKind = "removed"
	// Moved: the nested rows of one record are in another order.
	Moved ChangeKind = "moved"
)

// FieldChange is one cell before and after.
type FieldChange struct {
	Column string `json:"column"`
	Old    string `json:"old"`
	New    string `json:"new"`
}

// Change is one row that an import would add, change or remove.
type Change struct {
	Kind  ChangeKind `json:"kind"`
	Table string     `json:"table"`
	// Key of the row, its key cells joined by '/'; for Moved that of the record.
	Key string `json:"key"`
	// Fields that change; for an added or removed row all that are filled.
	Fields []FieldChange `json:"fields,omitempty"`
}

// Diff is what an import would change, in the order of tables and keys.
type Diff struct {
	Changes []Change `json:"changes"`
}

// Count gives the number of changes of a kind.
func (d Diff) Count(kind ChangeKind) (n int) {
	for _, c := range d.Changes {
		if c.Kind == kind {
			n++
		}
	}
	return n
}

// Preview compares two catalogues field by field, as their tables would be
// written. Stamps are not compared.
func Preview(old, new *catalog.Catalogue) Diff {
	var d Diff
	oldKinds, newKinds := kindsOf(old), kindsOf(new)
	for _, t := range tables() {
		d.Changes = append(d.Changes, compareTable(t.layout(), t.view(old, oldKinds), t.view(new, newKinds))...)
	}
	return d
}

// viewed is one table as rows of text by key.
type viewed struct {
	order  []string // keys in order
	rows   map[string][]string
	nested []string            // parents in order
	within map[string][]string // parent -> keys of its nested rows, in order
}

// view renders rows for people: a value that can't be exported is shown as its
// fault, so that a faulty catalogue can be compared as well.
func (t *table[R]) view(c *catalog.Catalogue, k *kinds) viewed {
	v := viewed{rows: map[string][]string{}, within: map[string][]string{}}
	at := t.keyColumns()
	for _, row := range t.rows(c) {
		cells := make([]string, len(t.cols))
		for i, col := range t.cols {
			cell, err := col.format(k, row)
			if err != nil {
				cell = "(" + err.Error() + ")"
			}
			cells[i] = cell
		}
		key := pick(cells, at)
		for n := 2; v.rows[key] != nil; n++ { // a key used twice
			key = pick(cells, at) + " #" + strconv.Itoa(n)
		}
		v.rows[key] = cells
		v.order = append(v.order, key)
		if t.nested > 0 {
			parent := pick(cells, at[:t.nested])
			if v.within[parent] == nil {
				v.nested = append(v.nested, parent)
			}
			v.within[parent] = append(v.within[parent], key)
		}
	}
	slices.Sort(v.order)
	slices.Sort(v.nested)
	return v
}

func pick(cells []string, at []int) string {
	out := make([]string, len(at))
	for i, j := range at {
		out[i] = cells[j]
	}
	return strings.Join(out, "/")
}

func compareTable(l TableLayout, old, new viewed) (changes []Change) {
	keys := slices.Concat(old.order, new.order)
	slices.Sort(keys)
	for _, key := range slices.Compact(keys) {
		before, after := old.rows[key], new.rows[key]
		c := Change{Kind: Changed, Table: l.Name, Key: key}
		switch {
		case before == nil:
			c.Kind = Added
		case after == nil:
			c.Kind = Removed
		}
		for i, column := range l.Columns {
			var f FieldChange
			if before != nil {
				f.Old = before[i]
			}
			if after != nil {
				f.New = after[i]
			}
			if f.Old != f.New {
				f.Column = column.Name
				c.Fields = append(c.Fields, f)
			}
		}
		if len(c.Fields) > 0 {
			changes = append(changes, c)
		}
	}
	for _, parent := range old.nested {
		if !slices.Equal(common(old.within[parent], new.rows), common(new.within[parent], old.rows)) {
			changes = append(changes, Change{Kind: Moved, Table: l.Name, Key: parent})
		}
	}
	return changes
}

// common keeps the keys that the other side has too.
func common(keys []string, other map[string][]string) (out []string) {
	for _, k := range keys {
		if other[k] != nil {
			out = append(out, k)
		}
	}
	return out
}
