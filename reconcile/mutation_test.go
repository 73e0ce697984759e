package reconcile

import (
	"encoding/json"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// mutant is one source file with one thing broken.
type mutant struct {
	file, what string
	text       []byte
}

// TestEveryRuleMatters breaks each rule of the table in turn: it is silenced, loses its
// block, and has another severity. Some scenario must then say something else.
func TestEveryRuleMatters(t *testing.T) {
	scenarios := loadScenarios(t)
	whole := append([]Rule(nil), rules...)
	defer copy(rules, whole)
	change := func(what string, i int, as func(*Rule)) {
		copy(rules, whole)
		as(&rules[i])
		for _, s := range scenarios {
			if render(Run(s.in)) != s.report {
				return
			}
		}
		t.Errorf("no scenario notices that %s %s", whole[i].Code, what)
	}
	for i := range whole {
		change("is silent", i, func(r *Rule) { r.find = func(*work, *Rule) {} })
		if whole[i].Blocks {
			change("no longer blocks", i, func(r *Rule) { r.Blocks = false })
		}
		other := map[Severity]Severity{Stop: Check, Check: Note, Note: Check}
		change("has another severity", i, func(r *Rule) { r.Severity, r.Critical = other[r.Severity], other[r.Critical] })
	}
}

// TestMutation drops each half of every condition of the rule files in turn, in a
// copy that the compiler lays over the source, and runs scenarios, properties and
// the second derivation. What survives is listed: some halves only spare work. It
// takes long and runs only when asked, with the files to break:
//
//	LAYSHAFT_MUTATE='rule_*.go' go test ./reconcile -run Mutation -v -timeout 3h
func TestMutation(t *testing.T) {
	pattern := os.Getenv("LAYSHAFT_MUTATE")
	if pattern == "" {
		t.Skip("set LAYSHAFT_MUTATE to the files to break")
	}
	files, err := filepath.Glob(pattern)
	if err != nil || len(files) == 0 {
		t.Fatalf("no files %s: %v", pattern, err)
	}
	killed, invalid, all := 0, 0, 0
	for _, f := range files {
		for _, m := range conditionMutants(t, f) {
			all++
			switch by := m.killer(t); by {
			case "":
				t.Logf("survived %s: %s", m.file, m.what)
			case noProgram:
				invalid++
			default:
				killed++
				t.Logf("killed   %s: %s (%s)", m.file, m.what, by)
			}
		}
	}
	t.Logf("%d of %d mutants killed; %d more are no program", killed, all-invalid, invalid)
}

// conditionMutants drops either half of every && and || of a file.
func conditionMutants(t *testing.T, file string) []mutant {
	src, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	set := token.NewFileSet()
	tree, err := parser.ParseFile(set, file, src, 0)
	if err != nil {
		t.Fatal(err)
	}
	text := func(n ast.Node) string { return string(src[set.Position(n.Pos()).Offset:set.Position(n.End()).Offset]) }
	var out []mutant
	ast.Inspect(tree, func(n ast.Node) bool {
		b, ok := n.(*ast.BinaryExpr)
		if !ok || b.Op != token.LAND && b.Op != token.LOR {
			return true
		}
		from, to := set.Position(b.Pos()).Offset, set.Position(b.End()).Offset
		for _, half := range []ast.Expr{b.X, b.Y} {
			dropped := b.Y
			if half == b.Y {
				dropped = b.X
			}
			changed := append(append(append([]byte{}, src[:from]...), "("+text(half)+")"...), src[to:]...)
			out = append(out, mutant{file, fmt.Sprintf("line %d without %s", set.Position(b.Pos()).Line, text(dropped)), changed})
		}
		return true
	})
	return out
}

var failLine = regexp.MustCompile(`--- FAIL: (\S+)`)

// noProgram stands for a mutant that does not compile: it shows nothing.
const noProgram = "does not compile"

// killer names the first test that fails on the mutant, scenarios and properties
// first, then the second derivation; empty when none does.
func (m mutant) killer(t *testing.T) string {
	t.Helper()
	// Properties run from one seed, so that a second run says the same.
	by := m.killerAmong(t, "Scenario|Promises|LineOrder|RightItem|TakingBack|Compare|Allocation|Narrow")
	if by == "" {
		by = m.killerAmong(t, "SecondDerivation")
	}
	return by
}

func (m mutant) killerAmong(t *testing.T, tests string) string {
	t.Helper()
	dir := t.TempDir()
	wd, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	copied := filepath.Join(dir, m.file)
	overlay, err := json.Marshal(map[string]map[string]string{"Replace": {filepath.Join(wd, m.file): copied}})
	if err != nil {
		t.Fatal(err)
	}
	for name, data := range map[string][]byte{copied: m.text, filepath.Join(dir, "overlay.json"): overlay} {
		if err := os.WriteFile(name, data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	cmd := exec.Command("go", "test", "-vet=off", "-overlay", filepath.Join(dir, "overlay.json"), "-count=1", ".",
		"-run", tests, "-rapid.nofailfile", "-rapid.seed=1")
	cmd.Env = append(os.Environ(), "LAYSHAFT_MUTATE=", "LAYSHAFT_DERIVE=120")
	out, err := cmd.CombinedOutput()
	switch hit := failLine.FindAllStringSubmatch(string(out), 2); {
	case err == nil:
		return ""
	case len(hit) == 2:
		return hit[1][1]
	case len(hit) == 1:
		return hit[0][1]
	case strings.Contains(string(out), "build failed"):
		return noProgram
	}
	t.Fatalf("%s: %s: %v: %.500s", m.file, m.what, err, out)
	return ""
}
