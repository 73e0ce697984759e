package fit_test

import (
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"

	"layshaft/catalog"
	"layshaft/data/demo"
	"layshaft/reconcile/fit"

	"github.com/google/go-cmp/cmp"
)

var update = flag.Bool("update", false, "write what is answered into the questions")

// TestQuestions reads testdata/questions.txt: a question "VARIANT: PART at POSITION?",
// its answer in the lines below, "#" begins a remark. The catalogue is the demo's.
func TestQuestions(t *testing.T) {
	c, err := demo.Catalogue()
	if err != nil {
		t.Fatal(err)
	}
	ix := catalog.NewIndex(c, 1)
	const file = "testdata/questions.txt"
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	n := 0
	for _, l := range strings.Split(strings.TrimRight(string(data), "\n"), "\n") {
		switch {
		case strings.HasPrefix(l, " "): // an answer; written anew below
		case strings.HasSuffix(l, "?"):
			n++
			var v, part, pos string
			if _, err := fmt.Sscanf(strings.TrimSuffix(l, "?"), "%s %s at %s", &v, &part, &pos); err != nil {
				t.Fatalf("%q: %v", l, err)
			}
			got, err := fit.Ask(ix, fit.Question{Variant: catalog.VariantID(strings.TrimSuffix(v, ":")),
				Position: catalog.PositionID(pos), Part: catalog.PartID(part)})
			if err != nil {
				t.Fatalf("%q: %v", l, err)
			}
			out.WriteString(l + "\n" + told(got))
		default:
			out.WriteString(l + "\n")
		}
	}
	if *update {
		if err := os.WriteFile(file, []byte(out.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	} else if diff := cmp.Diff(string(data), out.String()); diff != "" {
		t.Errorf("answers differ (-want +got):\n%s", diff)
	}
	if n < 10 {
		t.Errorf("%d questions were read", n)
	}
}

func told(a *fit.Answer) string {
	var b strings.Builder
	fmt.Fprintf(&b, "  %s", a.Verdict)
	if a.Standing != "" {
		fmt.Fprintf(&b, ", %s", a.Standing)
	}
	b.WriteString("\n")
	for _, f := range a.Because {
		fmt.Fprintf(&b, "  because %s\n", f.Text)
	}
	for _, m := range a.Measure {
		fmt.Fprintf(&b, "  %s\n", m.Text)
	}
	for _, c := range a.Changes {
		fmt.Fprintf(&b, "  %s: %s instead of %s", c.Position, c.To, c.From)
		if c.Price != nil {
			fmt.Fprintf(&b, ", %s", c.Price)
		}
		b.WriteString("\n")
		for _, f := range c.Reasons {
			fmt.Fprintf(&b, "    %s\n", f.Text)
		}
	}
	if a.Cost.Currency != "" {
		fmt.Fprintf(&b, "  %s together\n", a.Cost)
	}
	return b.String()
}

func TestCompare(t *testing.T) {
	c, err := demo.Catalogue()
	if err != nil {
		t.Fatal(err)
	}
	rows, err := fit.Compare(catalog.NewIndex(c, 1), "bw-brg-6306n", "bw-brg-6207n")
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, d := range rows {
		got = append(got, fmt.Sprintf("%s: %s, %s; same %t, by %s", d.Label, d.A, d.B, d.Same, d.By))
	}
	want := []string{
		"bore: 30 mm, 35 mm; same false, by 5 mm",
		"designation: 6306 N, 6207 N; same false, by 0 mm",
		"width: 19 mm, 17 mm; same false, by -2 mm",
	}
	for _, w := range want {
		if !strings.Contains(strings.Join(got, "\n"), w) {
			t.Errorf("no row %q in\n%s", w, strings.Join(got, "\n"))
		}
	}
	if !strings.Contains(strings.Join(got, "\n"), "outside diameter: 72 mm, 72 mm; same true") {
		t.Errorf("the outside diameters are one:\n%s", strings.Join(got, "\n"))
	}
}

// TestWhere: the special bearing is never listed by size, the plain one is; a
// place of the same kind with another bore is near.
func TestWhere(t *testing.T) {
	c, err := demo.Catalogue()
	if err != nil {
		t.Fatal(err)
	}
	ix := catalog.NewIndex(c, 1)
	special, err := fit.Where(ix, "bw-brg-6306n-cs")
	if err != nil {
		t.Fatal(err)
	}
	if len(special.BySize) > 0 || len(special.Stated) == 0 {
		t.Errorf("special bearing: %d stated, %d by size", len(special.Stated), len(special.BySize))
	}
	plain, err := fit.Where(ix, "bw-brg-6306n")
	if err != nil {
		t.Fatal(err)
	}
	if len(plain.Stated) == 0 || len(plain.Near) == 0 {
		t.Fatalf("plain bearing: %d stated, %d near", len(plain.Stated), len(plain.Near))
	}
	for _, s := range append(plain.BySize, plain.Near...) {
		if s.Stated || s.Standing != catalog.Derived {
			t.Errorf("%s of %s is not a statement of the catalogue", s.Position, s.Variant)
		}
	}
	for _, s := range plain.Near {
		if len(s.Against)+len(s.Open) == 0 {
			t.Errorf("nothing speaks against %s of %s", s.Position, s.Variant)
		}
	}
}
