package kitlist

import (
	"flag"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"golang.org/x/tools/txtar"
)

var sight = flag.String("sight", "", "directory of lists whose figures TestFigures counts")

// figure is how often one thing was read right.
type figure struct{ right, of int }

func (f *figure) add(ok bool) {
	f.of++
	if ok {
		f.right++
	}
}

// figures of a set of lists. A wanted row without a line, and a line without a wanted row, count as wrong kinds.
type figures struct {
	lists, silent                       int
	kind, pieces, flags, special, whole figure // special: rows that carry any of the flags, wanted or read
}

// TestFigures counts what is right row by row; -v shows it. On lists written before the reader saw them, it gives the
// first-sight figures of testdata/first-sight.txt.
func TestFigures(t *testing.T) {
	if *sight == "" {
		t.Skip("counts first-sight figures of the lists in -sight; what was read before must pass TestLists")
	}
	names, err := filepath.Glob(filepath.Join(*sight, "*.txtar"))
	if err != nil || len(names) == 0 {
		t.Fatalf("no lists: %v", err)
	}
	var f figures
	for _, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		a := txtar.Parse(data)
		f.lists++
		f.count(t, filepath.Base(name), Read(string(a.Files[0].Data), Options{}), string(a.Files[1].Data))
	}
	for _, x := range []struct {
		name string
		f    figure
	}{{"kind", f.kind}, {"pieces", f.pieces}, {"flags", f.flags}, {"flagged rows", f.special}, {"row", f.whole}} {
		t.Logf("%-12s %4d of %4d  %.1f %%", x.name, x.f.right, x.f.of, 100*float64(x.f.right)/float64(max(x.f.of, 1)))
	}
	t.Logf("%d lists; pieces wrong without a question: %d", f.lists, f.silent)
}

func (f *figures) count(t *testing.T, name string, l List, want string) {
	left := slices.Clone(l.Lines)
	for _, w := range strings.Split(strings.TrimSpace(want), "\n") {
		words := strings.Fields(w)
		if len(words) == 0 || words[0] == "list" {
			continue
		}
		at := slices.IndexFunc(left, func(n Line) bool { return strings.HasPrefix(row(n), words[0]+" ") })
		if at < 0 {
			t.Logf("%s: MISSING %s", name, w)
			f.row(words, nil)
			continue
		}
		if !f.row(words, &left[at]) {
			t.Logf("%s: want %q got %q %q\n\t%s", name, w, row(left[at]), missingFacts(words, left[at]), left[at].Text)
		}
		left = slices.Delete(left, at, at+1)
	}
	for _, n := range left {
		t.Logf("%s: NOT WANTED %s\n\t%s", name, row(n), n.Text)
		f.kind.add(false)
		f.whole.add(false)
	}
}

// row counts one wanted row; n is nil when nothing was read for it.
func (f *figures) row(words []string, n *Line) bool {
	want := exact(words)
	item := want[1] == string(Item)
	got := make([]string, 2)
	if n != nil {
		got = strings.Fields(row(*n))
	}
	kind := got[1] == want[1]
	f.kind.add(kind)
	pieces := true
	if item {
		pieces = kind && strings.Trim(got[2], "~") == strings.Trim(want[2], "~")
		f.pieces.add(pieces)
		if !pieces && (n == nil || len(n.Questions) == 0 && !n.Quantity.Assumed) {
			f.silent++
		}
	}
	flags := kind && slices.Equal(standings(want), standings(got))
	f.flags.add(flags)
	if len(standings(want)) > 0 || len(standings(got)) > 0 {
		f.special.add(flags)
	}
	whole := n != nil && slices.Equal(want, got) && len(missingFacts(words, *n)) == 0
	f.whole.add(whole)
	return whole
}

// exact is the part of a wanted row that must be equal.
func exact(words []string) []string {
	if k := slices.IndexFunc(words, func(s string) bool { return strings.Contains(s, "=") }); k >= 0 {
		return words[:k]
	}
	return words
}

// standings are the flags of a row, without the number of an alternative group.
func standings(row []string) []string {
	var out []string
	for _, w := range row[min(2, len(row)):] {
		if w[0] < '0' || w[0] > '9' {
			out = append(out, w)
		}
	}
	return out
}

func missingFacts(words []string, n Line) []string {
	var out []string
	have := facts(n)
	for _, w := range words[len(exact(words)):] {
		if !slices.Contains(have, w) {
			out = append(out, w)
		}
	}
	return out
}
