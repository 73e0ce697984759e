package kitlist

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/tools/txtar"
)

// mutations change how a text was pasted, and nothing that it says.
var mutations = map[string]func(string) string{
	"carriage returns":  func(s string) string { return strings.ReplaceAll(s, "\n", "\r\n") },
	"blanks at the end": func(s string) string { return strings.ReplaceAll(s, "\n", "  \n") },
	"set in": func(s string) string {
		return "    " + strings.ReplaceAll(strings.TrimSuffix(s, "\n"), "\n", "\n    ") + "\n"
	},
	"blank lines":   func(s string) string { return s + "\n\n" },
	"hard blanks":   func(s string) string { return strings.ReplaceAll(s, " ", "\u00a0") },
	"capitals":      strings.ToUpper,
	"small letters": strings.ToLower,
	"signed":        func(s string) string { return s + "\nKind regards\n" },
}

// TestMutations reads the kept lists as otherwise pasted: the rows must stay.
func TestMutations(t *testing.T) {
	files, err := filepath.Glob("testdata/lists/*.txtar")
	if err != nil {
		t.Fatal(err)
	}
	for name, change := range mutations {
		var f figure
		for _, file := range files {
			data, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			text := string(txtar.Parse(data).Files[0].Data)
			before, after := Read(text, Options{}).Lines, Read(change(text), Options{}).Lines
			rows := map[string]string{}
			for _, n := range after {
				r := strings.SplitN(row(n), " ", 2)
				rows[r[0]] = r[1]
			}
			for _, n := range before {
				r := strings.SplitN(row(n), " ", 2)
				f.add(rows[r[0]] == r[1])
				if rows[r[0]] != r[1] && *misses {
					t.Logf("%s %s: %s %s became %s\n\t%s", name, filepath.Base(file), r[0], r[1], rows[r[0]], n.Text)
				}
			}
		}
		t.Logf("%-18s %d of %d rows stay", name, f.right, f.of)
		least := 99
		if name == "hard blanks" {
			least = 94 // gaps of two bytes in one character still mislead the mending of misread counts
		}
		if f.right*100 < f.of*least {
			t.Errorf("%s: only %d of %d rows stay", name, f.right, f.of)
		}
	}
}
