package exchange

import (
	"slices"

	"layshaft/catalog"
)

// Type is how a column's cells are written.
type Type string

// The types of columns.
const (
	TypeText   Type = "text"      // taken as it stands, spaces included
	TypeID     Type = "id"        // identifier
	TypeWord   Type = "word"      // one of a closed set, see Column.Words
	TypeList   Type = "list"      // items separated by '|'
	TypeCount  Type = "count"     // whole number
	TypeYesNo  Type = "yes/no"    // "yes", "no" or blank
	TypeLength Type = "length"    // "35 mm"
	TypeAngle  Type = "angle"     // "25.5°"
	TypeTorque Type = "torque"    // "90 N·m"
	TypeMoney  Type = "money"     // "18.40 EUR"
	TypeLead   Type = "lead time" // "2/4/9" working days
	TypeDate   Type = "date"      // "2026-03-09"
	TypeValue  Type = "value"     // by the declared kind of the attribute or feature
)

// Column describes one column of a table.
type Column struct {
	Name     string
	Type     Type
	Required bool     // must be in the header and filled in every row
	Words    []string // allowed, for TypeWord
	Least    int      // smallest value, for TypeCount
}

// Reference says that the values of Columns stand in the columns To of Table.
// Rows with a blank in one of the columns are not looked up; a list column
// is looked up item by item.
type Reference struct {
	Columns []string
	Table   string
	To      []string
}

// TableLayout describes one table.
type TableLayout struct {
	Name    string
	Columns []Column
	// Key columns are unique together.
	Key        []string
	References []Reference
}

// Column returns the named column; ok is false when the table has none.
func (l TableLayout) Column(name string) (c Column, ok bool) {
	i := slices.IndexFunc(l.Columns, func(c Column) bool { return c.Name == name })
	if i < 0 {
		return Column{}, false
	}
	return l.Columns[i], true
}

// Layout lists every table in the order in which tables are written.
func Layout() []TableLayout {
	all := tables()
	out := make([]TableLayout, len(all))
	for i, t := range all {
		out[i] = t.layout()
	}
	return out
}

// sheet is a table whatever its row type.
type sheet interface {
	layout() TableLayout
	// decode reads grid rows into the builder and reports bad cells.
	decode(b *builder, g *grid) []Fault
	// encode writes the catalogue's rows, header excluded, in canonical order.
	encode(c *catalog.Catalogue, k *kinds) ([][]string, error)
	// view renders the rows for comparing.
	view(c *catalog.Catalogue, k *kinds) viewed
}

// tables lists every table, parents before their nested rows.
func tables() []sheet {
	return slices.Concat(familyTables(), positionTables(), partTables(), ruleTables(), measureTables(), tradeTables())
}

// column is a Column with its way in and out of a row.
type column[R any] struct {
	Column
	parse  func(k *kinds, row *R, cell string) *refusal
	format func(k *kinds, row *R) (string, error)
}

func (c *column[R]) req() *column[R] {
	c.Required = true
	return c
}

func (c *column[R]) id() *column[R] {
	c.Type = TypeID
	return c
}

func (c *column[R]) least(n int) *column[R] {
	c.Least = n
	return c
}

// table is a sheet whose rows are of type R.
type table[R any] struct {
	name string
	key  []string
	refs []Reference
	cols []*column[R]
	// fresh makes an empty row.
	fresh func() *R
	// rows lists the catalogue's rows; order is the order inside one parent for
	// nested rows and means nothing for records.
	rows func(c *catalog.Catalogue) []*R
	// put adds a row to the catalogue in the making.
	put func(b *builder, row *R)
	// nested rows keep their order inside a parent, whose columns are the first
	// `nested` ones of key.
	nested int
}

func (t *table[R]) layout() TableLayout {
	l := TableLayout{Name: t.name, Key: t.key, References: t.refs}
	for _, c := range t.cols {
		l.Columns = append(l.Columns, c.Column)
	}
	return l
}

// ref is a reference of one column to one column.
func ref(column, table, to string) Reference {
	return Reference{Columns: []string{column}, Table: table, To: []string{to}}
}

// refIn is a reference inside the row's family.
func refIn(column, table, to string) Reference {
	return Reference{Columns: []string{"family", column}, Table: table, To: []string{"family", to}}
}

// under is a nested row with the key of the record that it belongs to; Sub is
// the second half of a two-column key.
type under[C any] struct {
	Parent, Sub string
	Row         *C
}

func freshUnder[C any]() *under[C] { return &under[C]{Row: new(C)} }

// nest lists the nested rows of one parent.
func nest[C any](out []*under[C], parent, sub string, rows []*C) []*under[C] {
	for _, r := range rows {
		out = append(out, &under[C]{Parent: parent, Sub: sub, Row: r})
	}
	return out
}
