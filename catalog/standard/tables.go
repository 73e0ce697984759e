// Package standard holds what published standards fix: rolling-bearing
// designations and their boundary dimensions, ISO 286 limits and fits,
// retaining rings, radial shaft seals, O-rings, metric threads and hexagons.
//
// The values sit in tables/*.csv, with their sources in tables/SOURCES.md. They
// are nominal sizes and tolerances of standards; none is a service limit.
package standard

import (
	"embed"
	"encoding/csv"
	"fmt"
	"sync"

	"layshaft/catalog/quantity"
)

//go:embed tables/*.csv
var tableFiles embed.FS

// record is one row of an embedded table, by column name.
type record struct {
	table  string
	line   int
	fields map[string]string
}

// text gives a field; a missing column is a fault of this package.
func (r record) text(column string) string {
	v, ok := r.fields[column]
	if !ok {
		panic(fmt.Sprintf("standard: table %s has no column %s", r.table, column))
	}
	return v
}

// mm reads a field in millimetres; an empty field is zero.
func (r record) mm(column string) quantity.Length { return r.in(column, quantity.Millimetre) }

// um reads a field in micrometres; an empty field is zero.
func (r record) um(column string) quantity.Length { return r.in(column, quantity.Micrometre) }

func (r record) in(column string, unit quantity.Unit) quantity.Length {
	v := r.text(column)
	if v == "" {
		return 0
	}
	l, err := quantity.ParseLengthIn(v, unit)
	if err != nil {
		panic(fmt.Sprintf("standard: table %s line %d column %s: %v", r.table, r.line, column, err))
	}
	return l
}

// readTable reads tables/<name>.csv. The tables are part of the program and a
// test reads them all, so a fault here stops the program.
func readTable(name string) []record {
	f, err := tableFiles.Open("tables/" + name + ".csv")
	if err != nil {
		panic("standard: " + err.Error())
	}
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil || len(rows) == 0 {
		panic(fmt.Sprintf("standard: table %s: %d rows, %v", name, len(rows), err))
	}
	records := make([]record, 0, len(rows)-1)
	for i, row := range rows[1:] {
		fields := make(map[string]string, len(row))
		for c, column := range rows[0] {
			fields[column] = row[c]
		}
		records = append(records, record{table: name, line: i + 2, fields: fields})
	}
	return records
}

// onceTable reads a table at first use and keeps what build makes of it.
func onceTable[T any](build func() T) func() T { return sync.OnceValue(build) }
