package sheet

import (
	"sort"
	"strings"

	"layshaft/catalog"
)

// Limits of a file. Beyond them reading is refused, or, for columns and cells,
// cut with a notice.
const (
	MaxFile     = 8 << 20  // bytes
	maxUnpacked = 64 << 20 // bytes of a workbook unpacked
	maxRows     = 20_000
	maxColumns  = 60
	maxCell     = 2000 // bytes
	maxText     = 1 << 20
)

// Options correct what is guessed; the zero value guesses everything.
type Options struct {
	// Sheet by name; empty guesses. A CSV file has one, named "".
	Sheet string
	// Head is the row of the column heads, from 1; 0 guesses, -1 there is none.
	Head int
	// Columns say what a column holds, by its letters: {"B": "number"}. The words
	// are those of Kinds.
	Columns map[string]string
}

// Skip is the kind of a column that is not read.
const Skip = "skip"

// Kinds of column that Options.Columns takes, with the head that each is given.
var heads = map[string]string{
	"number": "Part number", "words": "Description", "qty": "Qty", "ordered": "Qty ordered", "supplied": "Qty supplied", "pack": "Pack size",
	"unit": "Unit", "price": "Price", "total": "Total", "row": "No", "note": "Note", Skip: "",
}

// Kinds lists the words for what a column may hold.
func Kinds() []string {
	out := make([]string, 0, len(heads))
	for k := range heads {
		out = append(out, k)
	}
	sort.Strings(out)
	return out
}

// Column is one column of the chosen table.
type Column struct {
	Letter string
	Head   string // as written; empty when there is no head row
	// Kind as guessed from the head or given; empty when it is not known. What a
	// column without a head holds is guessed later, from its cells.
	Kind string
}

// Cell ties a stretch of the text to a cell of the file.
type Cell struct {
	Start, End int    // bytes of Text
	Ref        string // "Kit!B7"; "B7" of a CSV file
}

// File is a file read.
type File struct {
	Text    string
	Sheets  []string // all that are visible; one "" for CSV
	Sheet   string   // the one read
	Head    int      // row of the heads, 0 when there is none
	Columns []Column
	Cells   []Cell // in the order of Text
	// Notices are things that a person should know: what was left out, repeated or
	// looks wrong.
	Notices []string
}

// At names the cells that a stretch of the text covers, "Kit!B7" or
// "Kit!A7:C7"; empty when it covers none.
func (f *File) At(start, end int) string {
	i := sort.Search(len(f.Cells), func(i int) bool { return f.Cells[i].End > start })
	j := i
	for j < len(f.Cells) && f.Cells[j].Start < end {
		j++
	}
	switch {
	case i == j:
		return ""
	case j == i+1:
		return f.Cells[i].Ref
	}
	last := f.Cells[j-1].Ref
	return f.Cells[i].Ref + ":" + last[strings.LastIndexByte(last, '!')+1:]
}

// letters is the name of column i, from 0.
func letters(i int) string {
	s := ""
	for i++; i > 0; i = (i - 1) / 26 {
		s = string(rune('A'+(i-1)%26)) + s
	}
	return s
}

func tooLarge(name, message, remedy string) error {
	return &catalog.Error{Code: catalog.CodeTooLarge, Place: name, Message: message, Remedy: remedy}
}
