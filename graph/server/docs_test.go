package server_test

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"layshaft/catalog"
	"layshaft/catalog/access"
	"layshaft/graph"
	"layshaft/graph/server"
)

func TestDocs(t *testing.T) {
	s := openShop(t)
	status, text, head := s.get(t, "/docs")
	if status != 200 || !strings.Contains(head.Get("Content-Security-Policy"), "script-src 'self'") {
		t.Fatal(status, head)
	}
	for name, def := range server.Schema(&graph.Resolver{}).Schema().Types {
		if !strings.HasPrefix(name, "__") && !strings.Contains(text, `id="`+def.Name+`"`) {
			t.Errorf("%s is not described", name)
		}
	}
	_, csv, _ := s.get(t, "/feeds/shortages.csv")
	heading, _, _ := strings.Cut(csv, "\r\n")
	for _, column := range strings.Split(heading, ",") {
		if !strings.Contains(text, "<code>"+column+"</code>") {
			t.Errorf("the guide does not name the column %s", column)
		}
	}
	for _, path := range []string{"/docs/docs.css", "/docs/desk.js"} {
		if status, _, _ := s.get(t, path); status != 200 {
			t.Errorf("%s: %d", path, status)
		}
	}
	for _, outside := range []string{`src="http`, `src="//`, `href="http`, `href="//`, "<script>", " onclick="} {
		if strings.Contains(text, outside) {
			t.Errorf("the page has %q", outside)
		}
	}
}

// TestExamples: what the query desk offers works on the demo shop.
func TestExamples(t *testing.T) {
	s := openShop(t)
	if err := s.keeper.Step(t.Context()); err != nil {
		t.Fatal(err)
	}
	for _, e := range server.Examples {
		a, resp := s.post(t, e.Query, nil)
		if len(a.Errors) > 0 || len(a.Data) < 20 {
			t.Errorf("%s: %s %+v", e.Name, a.Data, a.Errors)
		}
		if resp.Header.Get("Layshaft-Cost") == "" {
			t.Errorf("%s: no cost", e.Name)
		}
	}
}

// TestIntegrationExamples runs the examples of the guide as their readers would:
// a first run, a change, a second run.
func TestIntegrationExamples(t *testing.T) {
	s := openGuarded(t)
	ctx := t.Context()
	if err := s.keeper.Step(ctx); err != nil {
		t.Fatal(err)
	}
	_, key, err := s.register.Issue(ctx, access.Wanted{Name: "example", Scopes: []catalog.Scope{catalog.ScopeShortagesRead}, Life: time.Hour, By: "test"})
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	run := func(name string, args ...string) string {
		t.Helper()
		cmd := exec.CommandContext(ctx, name, args...)
		cmd.Env = append(os.Environ(), "LAYSHAFT_TOKEN="+key)
		out, err := cmd.CombinedOutput()
		if err != nil {
			t.Fatalf("%s %v: %v\n%s", name, args, err, out)
		}
		return string(out)
	}
	program := filepath.Join(dir, "pull")
	run("go", "build", "-o", program, "docs/pull.go")
	first := run(program, s.URL, filepath.Join(dir, "state.json"))
	curl, missing := exec.LookPath("curl")
	if missing != nil && os.Getenv("LAYSHAFT_REQUIRE_TOOLS") == "1" {
		t.Fatal("curl is required")
	}
	if missing != nil {
		t.Log("the shell example is left out: it needs curl")
	}
	shell := func() string {
		if curl == "" {
			return ""
		}
		return run("sh", "docs/pull.sh", s.URL, filepath.Join(dir, "cursor.txt"))
	}
	shell()
	part, short := s.shortPart(t, "7203")
	s.setGoods(t, "7203", part, 50, 1)
	if err := s.keeper.Step(ctx); err != nil {
		t.Fatal(err)
	}
	second := run(program, s.URL, filepath.Join(dir, "state.json"))
	if first == second {
		t.Errorf("the Go example did not see the change: %s", second)
	}
	var st struct{ Shortages map[string]json.RawMessage }
	b, err := os.ReadFile(filepath.Join(dir, "state.json"))
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(b, &st); err != nil || st.Shortages[short] != nil {
		t.Errorf("%s is still kept: %v", short, err)
	}
	if curl != "" {
		if out := shell(); !strings.Contains(out, `"key":"`+short+`","gone":true`) {
			t.Errorf("the shell example printed %.300s", out)
		}
	}
}
