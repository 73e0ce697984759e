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

// TestMutation breaks every rule in turn, in a copy that the compiler lays over the
// source, and runs scenarios and properties: some of them must fail. It takes long
// and runs only when asked:
//
//	LAYSHAFT_MUTATE=rules go test ./reconcile -run Mutation -v -timeout 2h
//	LAYSHAFT_MUTATE=conditions ...
//
// "rules" silences each rule, takes its block away or gives it one, and lowers its
// severity. "conditions" drops each half of every condition of the rule files; what
// survives is listed and not counted as a failure, since some halves only spare
// work.
func TestMutation(t *testing.T) {
	var all []mutant
	mode := os.Getenv("LAYSHAFT_MUTATE")
	switch mode {
	case "rules":
		all = ruleMutants(t)
	case "conditions":
		files, err := filepath.Glob("rule_*.go")
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range files {
			all = append(all, conditionMutants(t, f)...)
		}
	default:
		t.Skip("set LAYSHAFT_MUTATE to rules or conditions")
	}
	killed := 0
	for _, m := range all {
		if by := m.killer(t); by != "" {
			killed++
			t.Logf("killed   %s: %s (%s)", m.file, m.what, by)
		} else if mode == "rules" {
			t.Errorf("SURVIVED %s: %s", m.file, m.what)
		} else {
			t.Logf("survived %s: %s", m.file, m.what)
		}
	}
	t.Logf("%d of %d mutants killed", killed, len(all))
}

var ruleLine = regexp.MustCompile(`(?m)^\t\{"([a-z-]+)", (\w+), (\w+), (true|false), ".*", (rule\w+)\},$`)

func ruleMutants(t *testing.T) []mutant {
	src, err := os.ReadFile("rules.go")
	if err != nil {
		t.Fatal(err)
	}
	found := ruleLine.FindAllSubmatchIndex(src, -1)
	if len(found) != len(rules) {
		t.Fatalf("%d lines of the table were read, %d rules", len(found), len(rules))
	}
	var out []mutant
	for _, at := range found {
		part := func(i int) string { return string(src[at[2*i]:at[2*i+1]]) }
		with := func(i int, text, what string) {
			changed := append(append(append([]byte{}, src[:at[2*i]]...), text...), src[at[2*i+1]:]...)
			out = append(out, mutant{"rules.go", part(1) + " " + what, changed})
		}
		with(5, "func(*work, *Rule) { _ = "+part(5)+" }", "is silent")
		with(4, map[string]string{"true": "false", "false": "true"}[part(4)], "blocks: not "+part(4))
		other := "Note"
		if part(2) == "Note" {
			other = "Check"
		}
		with(2, other, "severity "+other)
	}
	return out
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

// killer names the first test that fails on the mutant; empty when none does. A
// mutant that does not compile counts as killed by the compiler.
func (m mutant) killer(t *testing.T) string {
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
	// Properties run from one seed, so that a second run says the same.
	cmd := exec.Command("go", "test", "-vet=off", "-overlay", filepath.Join(dir, "overlay.json"), "-count=1", ".",
		"-run", "Scenario|Promises|LineOrder|RightItem|TakingBack|Compare|Allocation|Narrow", "-rapid.nofailfile", "-rapid.seed=1")
	cmd.Env = append(os.Environ(), "LAYSHAFT_MUTATE=")
	out, err := cmd.CombinedOutput()
	switch hit := failLine.FindAllStringSubmatch(string(out), 2); {
	case err == nil:
		return ""
	case len(hit) == 2:
		return hit[1][1]
	case len(hit) == 1:
		return hit[0][1]
	case strings.Contains(string(out), "build failed"):
		return "does not compile"
	}
	t.Fatalf("%s: %s: %.500s", m.file, m.what, out)
	return ""
}
