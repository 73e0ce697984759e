package reconcile

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"layshaft/catalog"
)

// The second derivation is a logic program in testdata/derivation that derives
// demand, parts, coverage and findings from the same facts, and shares no line
// with the engine. The job number comes first in every atom, so that one run
// derives many jobs.
//
//	go test ./reconcile -run Derivation                       the first 200 jobs
//	LAYSHAFT_DERIVE=2000 go test ./reconcile -run Derivation  all of them
//	LAYSHAFT_DERIVE=619-620 go test ./reconcile -run Derivation
const (
	deriveJobs  = 200
	deriveBatch = 25
)

// findClingo skips a test, or fails where tools are required, without clingo.
func findClingo(t testing.TB) string {
	t.Helper()
	path, err := exec.LookPath("clingo")
	if err != nil {
		if os.Getenv("LAYSHAFT_REQUIRE_TOOLS") == "1" {
			t.Fatal("clingo is required and was not found")
		}
		t.Skip("clingo was not found: the second derivation is not made")
	}
	return path
}

// deriveSize gives job k its positions: 5 to 120, small ones more often.
func deriveSize(k int) int {
	switch {
	case k%20 == 19:
		return 60 + k%61
	case k%4 == 3:
		return 20 + k%41
	}
	return 5 + k%16
}

func deriveShop(k int) *styled {
	n := deriveSize(k)
	return styledShop(seeded(uint64(1000+k)), n, n*8/10)
}

func TestSecondDerivation(t *testing.T) {
	clingo := findClingo(t)
	first, jobs := 0, deriveJobs
	if text := os.Getenv("LAYSHAFT_DERIVE"); text != "" {
		from, to, ok := strings.Cut(text, "-")
		if !ok {
			from, to = "0", text
		}
		var errs [2]error
		first, errs[0] = strconv.Atoi(from)
		jobs, errs[1] = strconv.Atoi(to)
		if err := errors.Join(errs[:]...); err != nil {
			t.Fatalf("LAYSHAFT_DERIVE: %v", err)
		}
	}
	differ, codes, shortages := 0, map[string]int{}, 0
	for from := first; from < jobs; from += deriveBatch {
		to := min(from+deriveBatch, jobs)
		var facts strings.Builder
		for k := from; k < to; k++ {
			writeFacts(&facts, k, deriveShop(k).input())
		}
		derived := deriveAll(t, clingo, facts.String())
		for k := from; k < to; k++ {
			in := deriveShop(k).input()
			r := Run(in)
			if len(r.Faults) > 0 {
				t.Fatalf("job %d: faults: %q", k, r.Faults)
			}
			shortages += len(r.Shortages)
			for _, f := range r.Findings {
				codes[f.Code]++
			}
			if diff := onlyOne(derived[k], told(in, r)); diff != "" {
				if differ++; differ <= 20 {
					t.Errorf("job %d, %d positions: the derivation (-) and the engine (+) differ:\n%s", k, deriveSize(k), diff)
				}
			}
		}
	}
	t.Logf("%d jobs, %d shortages; %d jobs differ", jobs-first, shortages, differ)
	for _, code := range derivedCodes {
		t.Logf("%6d %s", codes[code], code)
		if codes[code] == 0 && jobs-first >= deriveJobs {
			t.Errorf("no job has a finding %s: it was not compared", code)
		}
	}
	if differ > 0 {
		t.Errorf("%d of %d jobs differ", differ, jobs-first)
	}
}

// onlyOne lists what one of two says and the other does not.
func onlyOne(derived, engine []string) string {
	var b strings.Builder
	for _, x := range derived {
		if !slices.Contains(engine, x) {
			b.WriteString("  - " + x + "\n")
		}
	}
	for _, x := range engine {
		if !slices.Contains(derived, x) {
			b.WriteString("  + " + x + "\n")
		}
	}
	return b.String()
}

// derivedCodes are the findings about a position that both derive.
var derivedCodes = []string{"catalogue-contradiction", "size-mismatch", "one-time-reused", "measured-out", "bond-split", "hub-sleeve-split",
	"cup-cone-split", "treatment-unsuitable", "treatment-size", "one-time-missing", "excluded-by-kit", "not-available", "quantity-short",
	"not-in-kit", "wrong-variant", "select-fit-open", "absent-on-arrival", "weak-standing", "not-back", "disturbed-fastener", "conditional-position",
	"superseded", "duplicate"}

// told is what a report says, in the words of the derivation. Which of equal
// alternatives serves is anybody's choice: their duplicates are left out.
func told(in Input, r *Report) []string {
	var out []string
	either := eitherOr(in)
	for _, f := range r.Findings {
		if f.Position != "" && slices.Contains(derivedCodes, f.Code) && !(f.Code == "duplicate" && either[f.Part]) {
			out = append(out, fmt.Sprintf("finding %s %s", f.Code, f.Position))
		}
	}
	for _, s := range r.Shortages {
		out = append(out, fmt.Sprintf("short %s %d", s.Position, s.Quantity))
	}
	over := map[catalog.PartID]int{}
	for _, s := range r.Surplus {
		over[s.Part] += s.Pieces
	}
	for part, n := range over {
		out = append(out, fmt.Sprintf("over %s %d", part, n))
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// eitherOr are the parts that alternatives and choices of the lists supply.
func eitherOr(in Input) map[catalog.PartID]bool {
	out := map[catalog.PartID]bool{}
	for _, l := range in.Supply {
		p, ok := in.Index.Part(l.Part)
		if !ok {
			continue
		}
		choice := slices.ContainsFunc(p.Contents, func(c *catalog.Content) bool { return c.Choice != "" })
		for _, c := range p.Contents {
			out[c.Part] = out[c.Part] || l.Alternative != 0 || choice && c.Choice != ""
		}
		out[l.Part] = out[l.Part] || l.Alternative != 0
	}
	return out
}

// deriveAll derives, and where parts were barred from a place derives again with
// that fact, until nothing more is barred.
func deriveAll(t testing.TB, clingo, facts string) map[int][]string {
	t.Helper()
	for {
		out := derive(t, clingo, facts)
		more := ""
		for _, said := range out {
			for _, text := range said {
				if atom, ok := strings.CutPrefix(text, "new"); ok {
					more += atom + ".\n"
				}
			}
		}
		if more == "" {
			return out
		}
		facts += more
	}
}

// derive runs the programs over facts and returns what they say about each job.
func derive(t testing.TB, clingo, facts string) map[int][]string {
	t.Helper()
	programs, err := filepath.Glob("testdata/derivation/*.lp")
	if err != nil || len(programs) == 0 {
		t.Fatalf("no programs: %v", err)
	}
	file := filepath.Join(t.TempDir(), "facts.lp")
	if err := os.WriteFile(file, []byte(facts), 0o644); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(context.Background(), 5*time.Minute)
	defer cancel()
	args := append([]string{"--outf=2", "--opt-strategy=usc", "--quiet=1", "-Wnone", file}, programs...)
	data, err := exec.CommandContext(ctx, clingo, args...).Output()
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) { // clingo exits with 30 when it has the best model
		t.Fatal(err)
	}
	var result struct {
		Result string
		Call   []struct{ Witnesses []struct{ Value []string } }
	}
	if err := json.Unmarshal(data, &result); err != nil {
		t.Fatalf("clingo: %v: %.2000s", err, string(data)+string(exitText(exit)))
	}
	if result.Result != "OPTIMUM FOUND" {
		t.Fatalf("clingo says %s: %s", result.Result, exitText(exit))
	}
	out := map[int][]string{}
	models := result.Call[0].Witnesses
	for _, atom := range models[len(models)-1].Value {
		k, text := readAtom(atom)
		if text != "" {
			out[k] = append(out[k], text)
		}
	}
	for k := range out {
		slices.Sort(out[k])
	}
	return out
}

func exitText(e *exec.ExitError) []byte {
	if e == nil {
		return nil
	}
	return e.Stderr
}

// readAtom turns f(3,"bond-split","p001") into job 3, "finding bond-split p001".
func readAtom(atom string) (int, string) {
	name, rest, _ := strings.Cut(strings.TrimSuffix(atom, ")"), "(")
	args := strings.Split(strings.ReplaceAll(rest, `"`, ""), ",")
	k, _ := strconv.Atoi(args[0])
	switch name {
	case "newbar":
		return k, atom
	case "f":
		if !slices.Contains(derivedCodes, args[1]) {
			return k, ""
		}
		return k, "finding " + args[1] + " " + args[2]
	case "short", "over":
		return k, name + " " + args[1] + " " + args[2]
	}
	return k, ""
}

// BenchmarkAgainstClingo reports on one job of 116 positions and 80 lines with the
// engine, and with clingo in the same run: times-faster is the ratio of the medians.
// The logic program's time includes reading the facts from a file, but not that of
// starting clingo, which is measured and taken off.
//
//	go test -run - -bench Clingo -benchtime 5x ./reconcile
func BenchmarkAgainstClingo(b *testing.B) {
	clingo := findClingo(b)
	in := styledShop(seeded(5), 116, 80).input()
	var text strings.Builder
	writeFacts(&text, 0, in)
	took := func(fn func()) time.Duration {
		var all []time.Duration
		for range 7 {
			start := time.Now()
			fn()
			all = append(all, time.Since(start))
		}
		slices.Sort(all)
		return all[len(all)/2]
	}
	derived := deriveAll(b, clingo, text.String())
	if diff := onlyOne(derived[0], told(in, Run(in))); diff != "" {
		b.Fatalf("the two differ:\n%s", diff)
	}
	start := took(func() { _ = exec.Command(clingo, "--version").Run() })
	var ratio, program float64
	for b.Loop() {
		engine := took(func() { Run(in) })
		logic := took(func() { derive(b, clingo, text.String()) }) - start
		ratio, program = float64(logic)/float64(engine), float64(logic)
	}
	b.ReportMetric(ratio, "times-faster")
	b.ReportMetric(program/1e6, "clingo-ms")
}
