package exchange

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Fault is one thing wrong with a package or workbook, as a value.
type Fault struct {
	// File of a package ("parts.csv") or sheet of a workbook ("parts").
	File string `json:"file"`
	// Row as an editor or a spreadsheet counts it, from 1, the header being row
	// 1; 0 when the fault is about the file as a whole.
	Row int `json:"row,omitempty"`
	// Column by name; empty when the fault is about the row or file.
	Column string `json:"column,omitempty"`
	// Cell as it was found, shortened when very long.
	Cell   string `json:"cell,omitempty"`
	Reason string `json:"reason"`
	Repair string `json:"repair"`
}

// String gives place, cell, reason and repair in one line.
func (f Fault) String() string {
	var b strings.Builder
	b.WriteString(f.File)
	if f.Row > 0 {
		fmt.Fprintf(&b, ", row %d", f.Row)
	}
	if f.Column != "" {
		fmt.Fprintf(&b, ", column %s", f.Column)
	}
	if f.Cell != "" {
		fmt.Fprintf(&b, ", %q", f.Cell)
	}
	fmt.Fprintf(&b, ": %s; %s", f.Reason, f.Repair)
	return b.String()
}

const shownCell = 80

// shorten keeps a cell short enough for a message.
func shorten(cell string) string {
	if len(cell) <= shownCell {
		return strings.ToValidUTF8(cell, "\uFFFD")
	}
	return strings.ToValidUTF8(cell[:shownCell], "\uFFFD") + "..."
}

// arrange sorts faults by file in the order of the layout, row and column.
func arrange(faults []Fault, suffix string) []Fault {
	rank := map[string]int{}
	for i, l := range Layout() {
		rank[l.Name+suffix] = i + 1
	}
	slices.SortStableFunc(faults, func(a, b Fault) int {
		return cmp.Or(cmp.Compare(rank[a.File], rank[b.File]), cmp.Compare(a.File, b.File),
			cmp.Compare(a.Row, b.Row))
	})
	return faults
}
