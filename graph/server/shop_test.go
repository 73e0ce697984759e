package server_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"layshaft/catalog"
	"layshaft/catalog/access"
	"layshaft/data/demo"
	"layshaft/data/kv"
	"layshaft/data/store"
	"layshaft/graph"
	"layshaft/graph/server"
	"layshaft/reconcile"
)

var clock = func() time.Time { return time.Date(2026, 3, 24, 8, 0, 0, 0, time.UTC) }

// shop is the demo shop in memory behind an API server.
type shop struct {
	*httptest.Server
	api      *server.Server
	store    *store.Store
	curator  *catalog.Curator
	bench    *reconcile.Bench
	register *access.Register
	keeper   *reconcile.Keeper
}

// everybody is a principal who may do all.
func everybody(*http.Request) *graph.Principal {
	return &graph.Principal{Name: "Ada", Scopes: catalog.Scopes()}
}

// openShop serves the demo shop; change adjusts the configuration first.
func openShop(t testing.TB, change ...func(*server.Config)) *shop {
	t.Helper()
	export, err := demoShop()
	if err != nil {
		t.Fatal(err)
	}
	engine := kv.NewMemory()
	if _, err := engine.Import(context.Background(), bytes.NewReader(export)); err != nil {
		t.Fatal(err)
	}
	return serve(t, engine, change...)
}

// demoShop is an export of the demo shop's store, filled once for all tests.
var demoShop = sync.OnceValues(func() ([]byte, error) {
	ctx, engine := context.Background(), kv.NewMemory()
	st, err := store.Open(ctx, engine, slog.New(slog.DiscardHandler))
	if err != nil {
		return nil, err
	}
	defer st.Close()
	rows, err := demo.Catalogue()
	if err != nil {
		return nil, err
	}
	if _, problems, err := catalog.NewCurator(st, clock).Import(ctx, rows, "import", "test", "demo"); err != nil || len(problems) > 0 {
		return nil, fmt.Errorf("%v %w", problems, err)
	}
	jobs, err := demo.Jobs()
	if err != nil {
		return nil, err
	}
	bench := reconcile.NewBench(st, clock)
	for _, j := range jobs {
		if _, err := bench.Change(ctx, j.ID, catalog.Change{Request: "job-" + string(j.ID), Who: "test", Put: j.Records()}); err != nil {
			return nil, err
		}
	}
	var out bytes.Buffer
	_, err = engine.Export(ctx, &out)
	return out.Bytes(), err
})

func emptyShop(t testing.TB, change ...func(*server.Config)) *shop {
	t.Helper()
	return serve(t, kv.NewMemory(), change...)
}

// serve serves the API over a store.
func serve(t testing.TB, engine kv.Store, change ...func(*server.Config)) *shop {
	t.Helper()
	log := slog.New(slog.NewTextHandler(t.Output(), &slog.HandlerOptions{Level: slog.LevelWarn}))
	st, err := store.Open(context.Background(), engine, log)
	if err != nil {
		t.Fatal(err)
	}
	s := &shop{store: st, curator: catalog.NewCurator(st, clock), bench: reconcile.NewBench(st, clock),
		register: access.NewRegister(st, clock)}
	s.keeper = reconcile.NewKeeper(st, s.bench, clock)
	cfg := server.Config{Resolver: &graph.Resolver{Curator: s.curator, Bench: s.bench, Access: s.register, Keeper: s.keeper, Now: clock}, Log: log, Principal: everybody}
	for _, c := range change {
		c(&cfg)
	}
	s.api = server.New(cfg)
	mux := http.NewServeMux()
	s.api.Register(mux)
	s.Server = httptest.NewServer(s.api.Observed(mux))
	t.Cleanup(func() {
		s.Close()
		if err := st.Close(); err != nil {
			t.Error(err)
		}
	})
	return s
}

// answer is what the API sends.
type answer struct {
	Data   json.RawMessage
	Errors []struct {
		Message    string
		Extensions map[string]any
	}
}

// code of the first error; empty when there is none.
func (a answer) code() string {
	if len(a.Errors) == 0 {
		return ""
	}
	code, _ := a.Errors[0].Extensions["code"].(string)
	return code
}

// post sends an operation; header holds names and values in turn.
func (s *shop) post(t testing.TB, query string, variables map[string]any, header ...string) (answer, *http.Response) {
	t.Helper()
	body, err := json.Marshal(map[string]any{"query": query, "variables": variables})
	if err != nil {
		t.Fatal(err)
	}
	req, err := http.NewRequestWithContext(t.Context(), http.MethodPost, s.URL+"/graphql", bytes.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	req.Header.Set("Content-Type", "application/json")
	for i := 0; i+1 < len(header); i += 2 {
		req.Header.Set(header[i], header[i+1])
	}
	resp, err := s.Client().Do(req)
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	text, err := io.ReadAll(resp.Body)
	if err != nil {
		t.Fatal(err)
	}
	var a answer
	if err := json.Unmarshal(text, &a); err != nil {
		t.Fatalf("%v: %.300s", err, text)
	}
	return a, resp
}

// ask sends an operation that must succeed and decodes its data.
func (s *shop) ask(t testing.TB, query string, variables map[string]any, data any) {
	t.Helper()
	a, _ := s.post(t, query, variables)
	if len(a.Errors) > 0 {
		t.Fatalf("%s: %+v", query, a.Errors)
	}
	if err := json.Unmarshal(a.Data, data); err != nil {
		t.Fatal(err)
	}
}

// outside tells a script where it finds its npm packages and the server.
type outside struct{ dir string }

// npm finds node and the packages that .ci/package.json names. Without them the
// test is skipped, unless LAYSHAFT_REQUIRE_TOOLS is 1.
func npm(t testing.TB) outside {
	t.Helper()
	dir := os.Getenv("LAYSHAFT_TOOLS")
	if dir == "" {
		dir = filepath.Join("..", "..", ".tools")
	}
	dir, err := filepath.Abs(dir)
	if err != nil {
		t.Fatal(err)
	}
	_, missing := exec.LookPath("node")
	if missing == nil {
		_, missing = os.Stat(filepath.Join(dir, "node_modules", "graphql"))
	}
	if missing == nil {
		return outside{dir}
	}
	if os.Getenv("LAYSHAFT_REQUIRE_TOOLS") == "1" {
		t.Fatal("node and the packages of .ci/package.json are required:", missing)
	}
	t.Skip("needs node and the packages of .ci/package.json; set LAYSHAFT_TOOLS to the folder that holds node_modules:", missing)
	return outside{}
}

// run runs a script of testdata and returns what it prints. Packages are found
// from the working folder, so that no copy of them is needed here.
func (o outside) run(t testing.TB, script string, args ...string) []byte {
	t.Helper()
	path, err := filepath.Abs(filepath.Join("testdata", script))
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), 2*time.Minute)
	defer cancel()
	cmd := exec.CommandContext(ctx, "node", append([]string{path}, args...)...)
	cmd.Dir = o.dir
	var out, errs bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &errs
	if err := cmd.Run(); err != nil {
		t.Fatalf("node %s: %v\n%s\n%s", script, err, out.String(), errs.String())
	}
	return out.Bytes()
}
