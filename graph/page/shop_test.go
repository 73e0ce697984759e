package page_test

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"layshaft/catalog"
	"layshaft/data/demo"
	"layshaft/data/kv"
	"layshaft/data/store"
	"layshaft/graph"
	"layshaft/graph/page"
	"layshaft/graph/server"
	"layshaft/reconcile"
)

var ticks atomic.Int64

// clock stands at one morning and goes on by a millisecond whenever it is looked at.
var clock = func() time.Time {
	return time.Date(2026, 3, 24, 8, 0, 0, 0, time.UTC).Add(time.Duration(ticks.Add(1)) * time.Millisecond)
}

// shop serves the pages over the demo shop in memory.
type shop struct {
	*httptest.Server
	bench *reconcile.Bench
}

func open(t testing.TB) *shop {
	t.Helper()
	return serve(t, filled(t), func(*page.Config) {}).shop
}

// demoShop is an export of the demo shop's store, filled once for all tests.
var demoShop = sync.OnceValues(func() ([]byte, error) {
	ctx, engine := context.Background(), kv.NewMemory()
	st, err := store.Open(ctx, engine, slog.New(slog.DiscardHandler))
	if err != nil {
		return nil, err
	}
	defer st.Close()
	c, err := demo.Catalogue()
	if err != nil {
		return nil, err
	}
	if _, problems, err := catalog.NewCurator(st, clock).Import(ctx, c, "import", "test", "demo"); err != nil || len(problems) > 0 {
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

// filled is a store of its own with the demo shop in it.
func filled(t testing.TB) kv.Store {
	t.Helper()
	export, err := demoShop()
	if err != nil {
		t.Fatal(err)
	}
	engine := kv.NewMemory()
	if _, err := engine.Import(context.Background(), bytes.NewReader(export)); err != nil {
		t.Fatal(err)
	}
	return engine
}

type bare struct {
	*shop
	curator *catalog.Curator
}

func empty(t testing.TB) *bare {
	t.Helper()
	return serve(t, kv.NewMemory(), func(*page.Config) {})
}

// serve serves the pages over a store.
func serve(t testing.TB, engine kv.Store, change func(*page.Config)) *bare {
	t.Helper()
	log := slog.New(slog.NewTextHandler(t.Output(), &slog.HandlerOptions{Level: slog.LevelWarn}))
	st, err := store.Open(context.Background(), engine, log)
	if err != nil {
		t.Fatal(err)
	}
	curator, bench := catalog.NewCurator(st, clock), reconcile.NewBench(st, clock)
	who := &graph.Principal{Name: "Ada", Scopes: catalog.Scopes()}
	keeper := reconcile.NewKeeper(st, bench, clock)
	api := server.New(server.Config{Resolver: &graph.Resolver{Curator: curator, Bench: bench, Keeper: keeper, Now: clock}, Log: log,
		CacheBytes: 64 << 20, Principal: func(*http.Request) *graph.Principal { return who }})
	mux := http.NewServeMux()
	api.Register(mux)
	cfg := page.Config{Server: api, Log: log, Now: clock}
	change(&cfg)
	page.New(cfg).Register(mux)
	srv := httptest.NewServer(mux)
	t.Cleanup(func() { srv.Close(); st.Close() })
	return &bare{&shop{srv, bench}, curator}
}

// get fetches a page and expects a status.
func (s *shop) get(t testing.TB, path string, status int) string {
	t.Helper()
	resp, err := s.Client().Get(s.URL + path)
	if err != nil {
		t.Fatal(err)
	}
	return body(t, resp, path, status)
}

func body(t testing.TB, resp *http.Response, what string, status int) string {
	t.Helper()
	defer resp.Body.Close()
	b, err := io.ReadAll(resp.Body)
	if err != nil {
		t.Fatal(err)
	}
	if resp.StatusCode != status {
		t.Fatalf("%s: status %d, want %d\n%s", what, resp.StatusCode, status, b)
	}
	return string(b)
}

func wants(t testing.TB, text string, parts ...string) {
	t.Helper()
	for _, p := range parts {
		if !strings.Contains(text, p) {
			t.Errorf("the page lacks %q", p)
		}
	}
}

func TestJobList(t *testing.T) {
	s := open(t)
	wants(t, s.get(t, "/", 200), "/jobs/7201", "/jobs/7204", "On the bench")
}
