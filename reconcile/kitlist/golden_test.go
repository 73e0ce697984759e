package kitlist

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/tools/txtar"
)

var show = flag.Bool("show", false, "print how each test list is read")

// A wanted row is "<line>[.<part>] <kind> [<pieces>[~]] [flag ...] [key=value ...]". The line, kind, pieces, "~" for an
// assumed count, and the flags must be equal; a key=value must be among what was read. Values write blanks as "_".
func TestLists(t *testing.T) {
	files, err := filepath.Glob("testdata/lists/*.txtar")
	if err != nil || len(files) < 50 {
		t.Fatalf("%d lists: %v", len(files), err)
	}
	for _, name := range files {
		t.Run(strings.TrimSuffix(filepath.Base(name), ".txtar"), func(t *testing.T) { testList(t, name) })
	}
}

func testList(t *testing.T, name string) {
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	a := txtar.Parse(data)
	if len(a.Files) != 2 {
		t.Fatal("want the files list and want")
	}
	l := Read(string(a.Files[0].Data), Options{})
	if err := l.Check(); err != nil {
		t.Fatal(err)
	}
	if *show {
		for _, n := range l.Lines {
			t.Log(row(n), " ", facts(n), "\n\t\t", n.Text)
		}
		t.Log(listFacts(l))
	}
	left := slices.Clone(l.Lines)
	for _, want := range strings.Split(strings.TrimSpace(string(a.Files[1].Data)), "\n") {
		f := strings.Fields(want)
		if len(f) == 0 {
			continue
		}
		if f[0] == "list" {
			subset(t, want, f[1:], listFacts(l))
			continue
		}
		at := slices.IndexFunc(left, func(n Line) bool { return strings.HasPrefix(row(n), f[0]+" ") })
		if at < 0 {
			t.Errorf("no line for %q", want)
			continue
		}
		n := left[at]
		left = slices.Delete(left, at, at+1)
		k := slices.IndexFunc(f, func(s string) bool { return strings.Contains(s, "=") })
		if k < 0 {
			k = len(f)
		}
		if got := row(n); got != strings.Join(f[:k], " ") {
			t.Errorf("%q\n\tread as %s\n\twant    %s", n.Text, got, want)
		}
		subset(t, want, f[k:], facts(n))
	}
	for _, n := range left {
		t.Errorf("not wanted: %s", row(n))
	}
}

func subset(t *testing.T, row string, want, have []string) {
	t.Helper()
	for _, w := range want {
		if !slices.Contains(have, w) {
			t.Errorf("%s: %q is not among %q", row, w, have)
		}
	}
}

// row writes the part of a line that must be equal.
func row(n Line) string {
	s := strconv.Itoa(n.No)
	if n.Sub > 0 {
		s += "." + strconv.Itoa(n.Sub)
	}
	s += " " + string(n.Kind)
	if n.Kind == Item {
		s += " " + strconv.Itoa(n.Quantity.Pieces)
		if n.Quantity.Assumed {
			s += "~"
		}
	}
	f := n.Flags
	for _, x := range []struct {
		on   bool
		name string
	}{{f.Excluded, "excluded"}, {f.Conditional, "cond"}, {f.NotAvailable, "nla"}, {f.BackOrder, "backorder"},
		{f.Declined, "declined"}, {f.Offered, "offered"}, {f.Alternative > 0, fmt.Sprintf("alt(%d)", f.Alternative)},
		{f.Correction, "correction"}} {
		if x.on {
			s += " " + x.name
		}
	}
	return s
}

// facts lists what else was read from a line.
func facts(n Line) []string {
	var out []string
	add := func(k, v string) { out = append(out, k+"="+strings.ReplaceAll(v, " ", "_")) }
	for _, x := range n.Numbers {
		add("num", squash(x.Text))
	}
	for _, x := range n.Flags.Superseded {
		add("old", squash(x))
	}
	for _, x := range n.Flags.ReplacedBy {
		add("new", squash(x))
	}
	for _, x := range n.Designations {
		add("brg", x.Text)
	}
	for _, g := range n.Sizes {
		var v []string
		for _, m := range g.Measures {
			v = append(v, m.Length.MM())
		}
		if g.Grades {
			add("grades", strings.Join(v, ","))
		} else {
			add("size", strings.Join(v, "x"))
		}
	}
	for _, x := range n.Threads {
		add("thread", x.Diameter.Length.MM()+"/"+x.Pitch.Length.MM()+"/"+x.Length.Length.MM()+map[bool]string{true: "/L"}[x.Left])
	}
	for _, x := range n.Teeth {
		add("teeth", strconv.Itoa(x.Count))
	}
	for _, x := range n.Gears {
		add("gears", strings.Trim(fmt.Sprint(x.Gears), "[]"))
	}
	if n.Price != nil {
		add("price", strconv.FormatInt(n.Price.Minor, 10))
	}
	add("mult", n.Quantity.Multiplier)
	add("count", strconv.Itoa(n.Quantity.Count))
	add("pack", strconv.Itoa(n.Quantity.Pack))
	add("variant", n.Flags.Variant)
	add("proven", strconv.FormatBool(n.Quantity.Proven))
	for _, x := range n.Flags.With {
		add("with", x)
	}
	for _, x := range n.Flags.Without {
		add("without", x)
	}
	for _, x := range n.Context {
		add("context", x)
	}
	for _, x := range n.Questions {
		add("q", x.Code)
	}
	return out
}

func listFacts(l List) []string {
	out := []string{"voice=" + string(l.Voice), "delimiter=" + l.Delimiter, "decimal=" + l.Decimal, "unit=" + l.Unit,
		"agrees=" + strconv.FormatBool(l.Totals.Agrees)}
	for _, q := range l.Questions {
		out = append(out, "q="+q.Code)
	}
	return out
}

func squash(s string) string {
	return strings.Map(func(r rune) rune {
		if 'a' <= r && r <= 'z' {
			return r - 'a' + 'A'
		}
		if 'A' <= r && r <= 'Z' || '0' <= r && r <= '9' {
			return r
		}
		return -1
	}, s)
}
