package kitlist

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"
)

// headRows are the rows under the heads: number, words, count, price, total.
var headRows = [][]string{
	{"TR-4410", "Input bearing 6307 NR", "1", "14.20", "14.20"}, {"TR-4411", "Layshaft bearing 30206", "2", "9.80", "19.60"},
	{"TR-4420", "Synchro ring 1st/2nd", "2", "18.50", "37.00"}, {"TR-4430", "Strut", "9", "1.10", "9.90"},
	{"TR-4431", "Strut spring", "6", "0.60", "3.60"}, {"TR-4440", "Oil seal 35x50x8", "1", "3.90", "3.90"}, {"TR-4450", "Gasket set", "1", "12.00", "12.00"},
}

// layouts are the orders of columns that lists come in.
var layouts = []string{"number words qty", "qty words number", "words qty price", "qty words price total", "number words qty price total",
	"words qty", "qty words", "number qty words", "words number qty", "number words price qty", "row words qty", "row number words qty price",
	"words ordered supplied", "number words ordered supplied", "ordered supplied words price"}

// writers write rows as a table.
var writers = map[string]func(rows [][]string) string{
	"tabs":       func(r [][]string) string { return joined(r, "\t") },
	"pipes":      func(r [][]string) string { return joined(r, " | ") },
	"semicolons": func(r [][]string) string { return joined(r, ";") },
	"commas":     func(r [][]string) string { return joined(r, ",") },
	"blanks":     padded,
}

func joined(rows [][]string, sep string) string {
	var b strings.Builder
	for _, r := range rows {
		b.WriteString(strings.Join(r, sep) + "\n")
	}
	return b.String()
}

func padded(rows [][]string) string {
	width := make([]int, len(rows[0]))
	for _, r := range rows {
		for i, c := range r {
			width[i] = max(width[i], len([]rune(c)))
		}
	}
	var b strings.Builder
	for _, r := range rows {
		line := ""
		for i, c := range r {
			line += c + strings.Repeat(" ", width[i]-len([]rune(c))+3)
		}
		b.WriteString(strings.TrimRight(line, " ") + "\n")
	}
	return b.String()
}

// TestHeads reads the same rows under every head, in every layout and separator the head can stand in.
func TestHeads(t *testing.T) {
	data, err := os.ReadFile("testdata/shapes/heads.txt")
	if err != nil {
		t.Fatal(err)
	}
	usual := map[string]string{"number": "Part no", "words": "Description", "qty": "Qty", "price": "Price", "total": "Total", "row": "#", "ordered": "Ordered", "supplied": "Supplied"}
	var f figure
	for _, line := range strings.Split(strings.TrimSpace(string(data)), "\n")[1:] {
		kind, heads, _ := strings.Cut(line, " ")
		for _, head := range strings.Split(heads, "|") {
			wrong, of := []string{}, 0
			for _, layout := range layouts {
				cols := strings.Fields(layout)
				if !slices.Contains(cols, kind) {
					continue
				}
				for _, name := range []string{"tabs", "pipes", "semicolons", "commas", "blanks"} {
					if name == "commas" && len(cols) < 3 || name == "semicolons" && len(cols) < 3 {
						continue // two cells make no table
					}
					ok := readTable(writers[name](headed2(cols, usual, kind, head)), cols)
					f.add(ok)
					if of++; !ok {
						wrong = append(wrong, layout+" "+name)
					}
				}
			}
			if len(wrong) > 0 && *misses {
				t.Logf("%s %q: %d of %d wrong: %s", kind, head, len(wrong), of, strings.Join(wrong, "; "))
			}
		}
	}
	t.Logf("%d of %d tables are right", f.right, f.of)
	if f.right*100 < f.of*99 {
		t.Errorf("only %d of %d tables are right", f.right, f.of)
	}
}

// headed2 gives the rows in a layout under their heads, one of them named otherwise.
func headed2(cols []string, usual map[string]string, kind, head string) [][]string {
	rows := [][]string{nil}
	for _, c := range cols {
		if c == kind {
			rows[0] = append(rows[0], head)
		} else {
			rows[0] = append(rows[0], usual[c])
		}
	}
	at := map[string]int{"number": 0, "words": 1, "qty": 2, "ordered": 2, "supplied": 2, "price": 3, "total": 4}
	for i, r := range headRows {
		var out []string
		for _, c := range cols {
			switch {
			case c == "row":
				out = append(out, fmt.Sprint(i+1))
			case c == "supplied" && i == 3:
				out = append(out, "6") // of 9
			default:
				out = append(out, r[at[c]])
			}
		}
		rows = append(rows, out)
	}
	return rows
}

// readTable says that every row has its pieces and the heads are a heading.
func readTable(text string, cols []string) bool {
	lines := Read(text, Options{}).Lines
	if len(lines) != len(headRows)+1 || lines[0].Kind != Heading {
		return false
	}
	for i, n := range lines[1:] {
		want := headRows[i][2]
		if i == 3 && slices.Contains(cols, "supplied") {
			want = "6"
		}
		if n.Kind != Item || fmt.Sprint(n.Quantity.Pieces) != want || n.Quantity.Assumed || n.Flags.Conditional || n.Flags.Excluded {
			return false
		}
	}
	return true
}
