package server_test

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"layshaft/graph/server"
)

// corpus holds operations whose answers must not depend on how the generated
// code works: every shape that it has a path for.
func corpus(s *shop) []string {
	variant := string(s.curator.Index().Variants()[0].ID)
	out := []string{
		`{a:shop{parts} b:shop{parts families}}`,
		`{job(key:"7203"){...F ...G key}} fragment F on Job{key title report{blocking}} fragment G on Job{key report{blocking findings{code}}}`,
		`query($y:Boolean!){shop{parts @skip(if:$y) families @include(if:$y)}}`,
		`{nodes(ids:["` + "RmFtaWx5OnRhcm5iZWNr" + `","eHg6eA","UGFydDpub25l"]){id __typename}}`,
		`{part(key:"none"){key}}`,
		`{parts(first:0){totalCount}}`,
		`{parts(first:3,after:"xx"){totalCount}}`,
		`{parts(first:20){edges{node{key attributes{key text length count} numbers{issuer text} contents{partKey} predecessors{oldKey} successors{newKey} offers{stock stockDate leadBest supplier{name}}}}}}`,
		`{search(text:"shaft",first:20){__typename ... on Part{key} ... on Node{id} ... on Variant{key family{key}} ... on Position{label}}}`,
		`{jobs{edges{node{key variant{key} decisions{position choice due} kitLists{name answers{line}} goods{name due} observations{text} measurements{name readings{name values}}
			report{lines{place{list line} part{key} candidates{part{key}}} demands{accept chain{cause}} findings{key code severity message remedies{text parts}}}}}}}`,
		`{families{key name positions{key label life} mates{key relation} bonds{key} stacks{key} features{key}}}`,
		`{__schema{types{name kind description fields{name type{name kind ofType{name}}} enumValues{name}}}}`,
		`{catalogueProblems{code} history(first:5){edges{node{who at operations{table key}}}}}`,
		`mutation{undoEdit(input:{requestId:"u",edit:"e99999"}){edit{key} userErrors{__typename code message}}}`,
		`{grants{key} auditLog{edges{node{mutations}}}}`,
		`{shortages(changedSince:"",first:7){edges{cursor node{key accept{key} price{text} governs offers{supplier landed{text} leadWorst}}} pageInfo{endCursor hasNextPage}}}`,
	}
	for _, m := range measured {
		out = append(out, strings.ReplaceAll(m.query, "%VARIANT%", variant))
	}
	for _, e := range server.Examples {
		out = append(out, e.Query)
	}
	return out
}

// answersOf the corpus; ids of internal errors differ and are taken out.
func answersOf(t *testing.T) []string {
	s := openShop(t)
	if err := s.keeper.Step(t.Context()); err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, query := range corpus(s) {
		a, _ := s.post(t, query, map[string]any{"y": true})
		for _, e := range a.Errors {
			delete(e.Extensions, "id")
			if strings.HasPrefix(e.Message, "internal error") {
				t.Errorf("%s: %s", query, e.Message)
			}
		}
		errs, err := json.Marshal(a.Errors)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, string(a.Data)+" "+string(errs))
	}
	return out
}

// corpusFile tells the test below, run inside another tree, where to write.
const corpusFile = "LAYSHAFT_TEST_CORPUS"

// TestGeneratedIsRewritten: the code in use is what the rewriter makes.
func TestGeneratedIsRewritten(t *testing.T) {
	if os.Getenv(corpusFile) != "" {
		t.Skip("this tree is left as the generator wrote it")
	}
	files, err := filepath.Glob("../generated/*.generated.go")
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	for _, f := range files {
		b, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		if strings.Contains(string(b), "graphql.NewFieldSet(") {
			t.Fatalf("%s is not rewritten: run go generate ./graph", filepath.Base(f))
		}
	}
}

// TestRewriteKeepsAnswers generates the code anew in a copy of the module, leaves
// it as it is, and compares its answers with ours. It takes a minute.
func TestRewriteKeepsAnswers(t *testing.T) {
	mine := answersOf(t)
	if file := os.Getenv(corpusFile); file != "" {
		b, err := json.Marshal(mine)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, b, 0o666); err != nil {
			t.Fatal(err)
		}
		return
	}
	if os.Getenv("LAYSHAFT_REQUIRE_TOOLS") != "1" {
		t.Skip("generates and compiles the module a second time: set LAYSHAFT_REQUIRE_TOOLS=1 to run it")
	}
	dir := t.TempDir()
	run := func(name string, args ...string) {
		t.Helper()
		cmd := exec.CommandContext(t.Context(), name, args...)
		cmd.Dir = dir
		cmd.Env = append(os.Environ(), corpusFile+"="+filepath.Join(dir, "answers.json"))
		if out, err := cmd.CombinedOutput(); err != nil {
			t.Fatalf("%s %v: %v\n%s", name, args, err, out)
		}
	}
	for _, name := range []string{"go.mod", "go.sum", "gqlgen.yml"} {
		b, err := os.ReadFile(filepath.Join("..", "..", name))
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, name), b, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	for _, name := range []string{"catalog", "reconcile", "graph", "data"} {
		if err := os.CopyFS(filepath.Join(dir, name), os.DirFS(filepath.Join("..", "..", name))); err != nil {
			t.Fatal(err)
		}
	}
	run("go", "tool", "gqlgen", "generate")
	run("go", "test", "./graph/server", "-count=1", "-run", "^TestRewriteKeepsAnswers$")
	b, err := os.ReadFile(filepath.Join(dir, "answers.json"))
	if err != nil {
		t.Fatal(err)
	}
	var stock []string
	if err := json.Unmarshal(b, &stock); err != nil || len(stock) != len(mine) {
		t.Fatal(len(stock), err)
	}
	for i := range mine {
		if mine[i] != stock[i] {
			t.Errorf("answer %d differs:\nours  %.600s\nstock %.600s", i, mine[i], stock[i])
		}
	}
}
