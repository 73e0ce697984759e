package reconcile

// Scenarios are txtar files in testdata/scenarios that a mechanic can read. The
// text before the first file says what it shows. Lines of that text that begin
// with "fires:" or "near miss:" name rules that must, or must not, speak.
//
//	-- catalogue --   what the shop knows, one statement a line
//	-- job --         the gearbox on the bench and what is decided
//	-- kit --         supply lines, already read; "-- kit NAME --" for more lists
//	-- text --        instead of kit: a pasted list, read by Desk.Read
//	-- report --      what the engine must say, in short lines (go test -update)
//	-- says --        sentences that must be among the messages, word for word
//
// # Catalogue
//
// Names are words without blanks; # begins a comment; "because" begins a reason.
//
//	as five-speed                 all that five-speed.catalogue says, then more
//	family five-speed
//	variant early | variant late, without rev-ring
//	position pilot: pilot bearing, wear, blocking, critical, 2 pieces, outside, called Pilot bearing
//	part p25: pilot bearing, outside 25 mm, bore@front 12 mm, teeth 31, hand left, called Small pilot bearing,
//	     number X-25, designation 6207, special, no longer made, contains 2 ring + 1 nut, choice red: r1 + r2
//	fits pilot early: p25, p26 stated, p27 doubted x2     the first is the standard part
//	mate m1: pilot outside = shaft pilot-bore because the bearing sits in the shaft
//	mate m2: ring thickness < bearing groove | mate m3: seal bore - shaft seat in -0.1 mm .. 0 mm
//	bond b1: third, cs-third sold together | bond b2: hub, sleeve worn together, advice
//	reach third undoes nut because the nut holds the gears
//	stack s1: shim set by cs-front, cs-rear, by depth-and-height, play 0.02 mm .. 0.08 mm
//	limit l1: shaft journal, at least 29.98 mm, at most 30.02 mm
//	supersede p25 by p26 + 1 washer, one-way | equals | serial A100..A200 | doubted | source Tarnbeck
//	wheel w3: third | mesh w3 c3
//	supplier tarn: EUR | offer p25 tarn: 12.50 EUR, lead 3
//
// A position's kind is a kind of part; it is one-time, wear, hard, select-fit or
// inspect. Facts of a part other than the words above are attributes: KEY[@SEAT]
// VALUE, a length with its unit, a count, yes or no, or a word. A fit is
// confirmed unless stated, derived or doubted is added.
//
// # Job
//
//	variant early | variant early or late | full strip | serial A150 | today 2026-03-01
//	pilot: replace | replace with p26 | replace 1 piece | absent | not fitted | undecided
//	pilot: reuse, found p26, journal 29.9 mm, measured gauge 4 | rework grind | send out grind, due 2026-03-09, returned
//	shelf 2 p25 | order 1 p25 | returned 1 p25 | received 1 p25
//	verdict l1 renew | grades s1: shim-90, shim-95
//	gauge stack s1: depth 24.86 mm / 24.87 mm, height 24.12 mm | gauge limit l1: size 29.95 mm
//	signed FINDING by Jo because ...
//
// # Kit
//
// A line is "2 p25" and may go on with: excluded, not available, if fitted,
// likely, alternative 1, return by 2026-03-09. "? p25 or p26" may mean two parts,
// "?? words" was not understood, "# words" is no item.
//
// # Report
//
//	need POSITION PIECES [open] [possible]: cause chain, root first; covered by
//	stop! size-mismatch POSITION PART line 2      "!" blocks
//	short POSITION PIECES STATE: parts
//	over PIECES PART REASON line 2

import (
	"flag"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/rogpeppe/go-internal/txtar"
)

var update = flag.Bool("update", false, "write what the engine says into the scenarios")

const scenarioDir = "testdata/scenarios"

// scenario is one parsed file.
type scenario struct {
	name        string
	fires, near []string
	in          Input
	report      string
	says        []string
}

func loadScenarios(t testing.TB) []*scenario {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(scenarioDir, "*.txtar"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no scenarios in %s: %v", scenarioDir, err)
	}
	var out []*scenario
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		s, err := parseScenario(strings.TrimSuffix(filepath.Base(file), ".txtar"), data)
		if err != nil {
			t.Fatalf("%s: %v", file, err)
		}
		out = append(out, s)
	}
	return out
}

func TestScenarios(t *testing.T) {
	for _, s := range loadScenarios(t) {
		t.Run(s.name, func(t *testing.T) {
			r := Run(s.in)
			if len(r.Faults) > 0 {
				t.Fatalf("faults: %q", r.Faults)
			}
			got := render(r)
			if *update {
				rewrite(t, s.name, got)
			} else if diff := cmp.Diff(strings.Split(s.report, "\n"), strings.Split(got, "\n")); diff != "" {
				t.Errorf("report differs (-want +got):\n%s", diff)
			}
			for _, want := range s.says {
				if !slices.ContainsFunc(r.Findings, func(f *Finding) bool { return f.Message == want }) {
					t.Errorf("no finding says: %s\nfindings say:\n%s", want, messages(r))
				}
			}
			for _, code := range s.fires {
				if !hasCode(r, code) {
					t.Errorf("rule %s does not speak", code)
				}
			}
			for _, code := range s.near {
				if hasCode(r, code) {
					t.Errorf("rule %s speaks, and should not", code)
				}
			}
		})
	}
}

// TestEveryRuleHasScenarios walks the rule list: each rule has a scenario that
// fires it and a near miss.
func TestEveryRuleHasScenarios(t *testing.T) {
	fires, near := map[string]int{}, map[string]int{}
	all := loadScenarios(t)
	for _, s := range all {
		for _, c := range s.fires {
			fires[c]++
		}
		for _, c := range s.near {
			near[c]++
		}
	}
	for _, r := range Rules() {
		if fires[r.Code] == 0 {
			t.Errorf("no scenario fires %s", r.Code)
		}
		if near[r.Code] == 0 {
			t.Errorf("no scenario is a near miss of %s", r.Code)
		}
		delete(fires, r.Code)
		delete(near, r.Code)
	}
	for c := range fires {
		t.Errorf("a scenario names a rule %q that does not exist", c)
	}
	for c := range near {
		t.Errorf("a scenario names a rule %q that does not exist", c)
	}
	if len(all) < 60 {
		t.Errorf("%d scenarios, want 60 or more", len(all))
	}
}

func hasCode(r *Report, code string) bool {
	return slices.ContainsFunc(r.Findings, func(f *Finding) bool { return f.Code == code })
}

func messages(r *Report) string {
	var b strings.Builder
	for _, f := range r.Findings {
		b.WriteString("  " + f.Code + ": " + f.Message + "\n")
	}
	return b.String()
}

func rewrite(t *testing.T, name, report string) {
	t.Helper()
	file := filepath.Join(scenarioDir, name+".txtar")
	ar, err := txtar.ParseFile(file)
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(ar.Files, func(f txtar.File) bool { return f.Name == "report" })
	if i < 0 {
		ar.Files = append(ar.Files, txtar.File{Name: "report"})
		i = len(ar.Files) - 1
	}
	ar.Files[i].Data = []byte(report + "\n")
	if err := os.WriteFile(file, txtar.Format(ar), 0o644); err != nil {
		t.Fatal(err)
	}
}
