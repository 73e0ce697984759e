//go:build linux

package server_test

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/99designs/gqlgen/graphql/handler"
	"github.com/99designs/gqlgen/graphql/handler/lru"
	"github.com/99designs/gqlgen/graphql/handler/transport"
	"github.com/vektah/gqlparser/v2/ast"

	"layshaft/graph"
	"layshaft/graph/server"
)

// TestRatios measures requests a second and processor time a request with wrk,
// all ways in turn, and prints them beside each other. It is no test: times are
// not asserted. It runs when asked for:
//
//	cp graph/server/testdata/bench/package.json DIR && npm install --prefix DIR
//	LAYSHAFT_MEASURE=DIR go test ./graph/server -run TestRatios -v
func TestRatios(t *testing.T) {
	dir := os.Getenv("LAYSHAFT_MEASURE")
	if dir == "" {
		t.Skip("measures when LAYSHAFT_MEASURE names a folder with graphql-yoga")
	}
	made := openShop(t)
	kept := openShop(t, func(c *server.Config) { c.CacheBytes = 64 << 20 })
	variant := string(made.curator.Index().Variants()[0].ID)
	stock := stockServer(t, made)
	for _, m := range measured {
		query := strings.ReplaceAll(m.query, "%VARIANT%", variant)
		body, err := json.Marshal(map[string]string{"query": query})
		if err != nil {
			t.Fatal(err)
		}
		same := fetch(t, made.URL+"/graphql", body)
		bare := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
			_, _ = io.Copy(io.Discard, r.Body)
			w.Header().Set("Content-Type", "application/json; charset=utf-8")
			w.Header().Set("Content-Length", strconv.Itoa(len(same)))
			_, _ = w.Write(same)
		}))
		yoga, pid := yogaServer(t, dir, made.URL, same)
		var first float64
		for _, way := range []struct {
			name, url string
			pid       int
		}{{"bare", bare.URL, 0}, {"kept", kept.URL, 0}, {"made", made.URL, 0}, {"stock", stock, 0}, {"yoga", yoga, pid}} {
			if got := fetch(t, way.url+"/graphql", body); len(got) != len(same) {
				t.Errorf("%s answers %d bytes, want %d: %.300s", way.name, len(got), len(same), got)
			}
			rps, cpu := wrk(t, way.url+"/graphql", body, way.pid)
			if way.name == "bare" {
				first = rps
			}
			t.Logf("%-10s %-5s %7d bytes %8.0f requests/s  1/%.1f of bare  %.3f ms CPU a request", m.name, way.name, len(same), rps, first/rps, cpu)
		}
		bare.Close()
	}
}

func fetch(t *testing.T, url string, body []byte) []byte {
	t.Helper()
	resp, err := http.Post(url, "application/json", strings.NewReader(string(body)))
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	b, err := io.ReadAll(resp.Body)
	if err != nil || strings.Contains(string(b), `"errors"`) {
		t.Fatalf("%v %.500s", err, b)
	}
	return b
}

// stockServer answers the same schema through the library's own handler.
func stockServer(t *testing.T, s *shop) string {
	t.Helper()
	h := handler.New(server.Schema(&graph.Resolver{Curator: s.curator, Bench: s.bench, Access: s.register, Keeper: s.keeper, Now: clock}))
	h.AddTransport(transport.POST{})
	h.SetQueryCache(lru.New[*ast.QueryDocument](1000))
	srv := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h.ServeHTTP(w, r.WithContext(graph.WithPrincipal(r.Context(), everybody(r))))
	}))
	t.Cleanup(srv.Close)
	return srv.URL
}

// yogaServer starts the Node server with the answer as its data.
func yogaServer(t *testing.T, dir, url string, answer []byte) (string, int) {
	t.Helper()
	resp, err := http.Get(url + "/schema.graphql")
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	sdl, err := io.ReadAll(resp.Body)
	if err != nil {
		t.Fatal(err)
	}
	var a struct{ Data json.RawMessage }
	if err := json.Unmarshal(answer, &a); err != nil {
		t.Fatal(err)
	}
	files := t.TempDir()
	for name, b := range map[string][]byte{"schema.graphqls": sdl, "data.json": a.Data} {
		if err := os.WriteFile(filepath.Join(files, name), b, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	script, err := filepath.Abs("testdata/bench/yoga.cjs")
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.CommandContext(t.Context(), "node", script, filepath.Join(files, "schema.graphqls"), filepath.Join(files, "data.json"))
	cmd.Dir, cmd.Stderr = dir, os.Stderr
	cmd.Env = append(os.Environ(), "NODE_ENV=production")
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = cmd.Process.Kill(); _ = cmd.Wait() })
	port, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		t.Fatal(err)
	}
	return "http://127.0.0.1:" + strings.TrimSpace(port), cmd.Process.Pid
}

var rate = regexp.MustCompile(`Requests/sec:\s+([0-9.]+)`)

// wrk loads an address for some seconds, warm-up first, and returns requests a
// second and milliseconds of processor time a request, of this process or of pid.
func wrk(t *testing.T, url string, body []byte, pid int) (rps, cpu float64) {
	t.Helper()
	script := filepath.Join(t.TempDir(), "post.lua")
	lua := fmt.Sprintf("wrk.method='POST'\nwrk.headers['Content-Type']='application/json'\nwrk.body=[==[%s]==]\n", body)
	if err := os.WriteFile(script, []byte(lua), 0o666); err != nil {
		t.Fatal(err)
	}
	load := func(seconds string) string {
		out, err := exec.CommandContext(t.Context(), "wrk", "-t1", "-c8", "-d"+seconds, "-s", script, url).CombinedOutput()
		if err != nil || strings.Contains(string(out), "Non-2xx") {
			t.Fatalf("wrk: %v\n%s", err, out)
		}
		return string(out)
	}
	load("1s")
	before, start := processorTime(t, pid), time.Now()
	out := load("3s")
	used, took := processorTime(t, pid)-before, time.Since(start)
	m := rate.FindStringSubmatch(out)
	if m == nil {
		t.Fatal(out)
	}
	rps, err := strconv.ParseFloat(m[1], 64)
	if err != nil {
		t.Fatal(err)
	}
	return rps, float64(used.Microseconds()) / 1000 / (rps * took.Seconds())
}

// processorTime of a process; of this one when pid is 0.
func processorTime(t *testing.T, pid int) time.Duration {
	t.Helper()
	if pid == 0 {
		var u syscall.Rusage
		if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
			t.Fatal(err)
		}
		return time.Duration(u.Utime.Nano() + u.Stime.Nano())
	}
	b, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", pid))
	if err != nil {
		t.Fatal(err)
	}
	f := strings.Fields(string(b[strings.LastIndexByte(string(b), ')')+1:]))
	user, err1 := strconv.Atoi(f[11])
	system, err2 := strconv.Atoi(f[12])
	if err1 != nil || err2 != nil {
		t.Fatal(err1, err2)
	}
	return time.Duration(user+system) * 10 * time.Millisecond // clock ticks of 1/100 s
}
