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
//
// With LAYSHAFT_MEASURE_PG naming another folder, made the same way from
// testdata/bench/postgraphile, and LAYSHAFT_MEASURE_DB an empty database of this
// machine (postgres://...), PostGraphile over PostgreSQL is measured too; its
// processor time is that of node and of the database's processes.
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
		ways := []way{{"bare", bare.URL, body, ownTime}, {"kept", kept.URL, body, ownTime}, {"made", made.URL, body, ownTime},
			{"stock", stock, body, ownTime}, {"yoga", yoga, body, timeOf(pid)}}
		if pg := os.Getenv("LAYSHAFT_MEASURE_PG"); pg != "" {
			ways = append(ways, postgraphile(t, pg, os.Getenv("LAYSHAFT_MEASURE_DB"), same))
		}
		var first float64
		for _, w := range ways {
			got := fetch(t, w.url+"/graphql", w.body)
			if len(got) != len(same) && w.name != "postgraphile" { // its fields have longer names
				t.Errorf("%s answers %d bytes, want %d: %.300s", w.name, len(got), len(same), got)
			}
			rps, cpu := wrk(t, w)
			if w.name == "bare" {
				first = rps
			}
			t.Logf("%-10s %-12s %7d bytes %8.0f requests/s  1/%.1f of bare  %.3f ms CPU a request", m.name, w.name, len(got), rps, first/rps, cpu)
		}
		bare.Close()
	}
}

// way is one server that gives a measured answer.
type way struct {
	name, url string
	body      []byte
	spent     func(*testing.T) time.Duration // processor time so far
}

// postgraphile fills a database with an answer and serves it.
func postgraphile(t *testing.T, dir, database string, answer []byte) way {
	t.Helper()
	line, node := nodeServer(t, dir, "testdata/bench/postgraphile/postgraphile.cjs", database, dataFile(t, answer))
	var said struct {
		Port, Backend int
		Query         string
	}
	if err := json.Unmarshal([]byte(line), &said); err != nil {
		t.Fatal(err, line)
	}
	body, err := json.Marshal(map[string]string{"query": said.Query})
	if err != nil {
		t.Fatal(err)
	}
	_, master := processOf(t, said.Backend)
	return way{"postgraphile", fmt.Sprintf("http://127.0.0.1:%d", said.Port), body, func(t *testing.T) time.Duration {
		sum := timeOf(node)(t)
		all, err := filepath.Glob("/proc/[0-9]*")
		if err != nil {
			t.Fatal(err)
		}
		for _, dir := range all {
			pid, err := strconv.Atoi(filepath.Base(dir))
			if err != nil {
				continue
			}
			if used, parent := processOf(t, pid); parent == master {
				sum += used
			}
		}
		return sum
	}}
}

// dataFile keeps the data of an answer for a server in Node.
func dataFile(t *testing.T, answer []byte) string {
	t.Helper()
	var a struct{ Data json.RawMessage }
	if err := json.Unmarshal(answer, &a); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "data.json")
	if err := os.WriteFile(file, a.Data, 0o666); err != nil {
		t.Fatal(err)
	}
	return file
}

// nodeServer starts a script that prints a line when it answers.
func nodeServer(t *testing.T, dir, script string, args ...string) (line string, pid int) {
	t.Helper()
	path, err := filepath.Abs(script)
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.CommandContext(t.Context(), "node", append([]string{path}, args...)...)
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
	line, err = bufio.NewReader(out).ReadString('\n')
	if err != nil {
		t.Fatal(err)
	}
	return line, cmd.Process.Pid
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
	schema := filepath.Join(t.TempDir(), "schema.graphqls")
	if err := os.WriteFile(schema, sdl, 0o666); err != nil {
		t.Fatal(err)
	}
	port, pid := nodeServer(t, dir, "testdata/bench/yoga.cjs", schema, dataFile(t, answer))
	return "http://127.0.0.1:" + strings.TrimSpace(port), pid
}

var rate = regexp.MustCompile(`Requests/sec:\s+([0-9.]+)`)

// wrk loads a server for some seconds, warm-up first, and returns requests a
// second and milliseconds of processor time a request.
func wrk(t *testing.T, w way) (rps, cpu float64) {
	t.Helper()
	script := filepath.Join(t.TempDir(), "post.lua")
	lua := fmt.Sprintf("wrk.method='POST'\nwrk.headers['Content-Type']='application/json'\nwrk.body=[==[%s]==]\n", w.body)
	if err := os.WriteFile(script, []byte(lua), 0o666); err != nil {
		t.Fatal(err)
	}
	load := func(seconds string) string {
		out, err := exec.CommandContext(t.Context(), "wrk", "-t1", "-c8", "-d"+seconds, "-s", script, w.url+"/graphql").CombinedOutput()
		if err != nil || strings.Contains(string(out), "Non-2xx") {
			t.Fatalf("wrk: %v\n%s", err, out)
		}
		return string(out)
	}
	load("1s")
	before, start := w.spent(t), time.Now()
	out := load("3s")
	used, took := w.spent(t)-before, time.Since(start)
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

// ownTime is the processor time of this process.
func ownTime(t *testing.T) time.Duration {
	t.Helper()
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		t.Fatal(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// timeOf another process.
func timeOf(pid int) func(*testing.T) time.Duration {
	return func(t *testing.T) time.Duration {
		used, _ := processOf(t, pid)
		return used
	}
}

// processOf gives a process's processor time and its parent.
func processOf(t *testing.T, pid int) (used time.Duration, parent int) {
	t.Helper()
	b, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", pid))
	if err != nil {
		return 0, 0 // it has just ended
	}
	f := strings.Fields(string(b[strings.LastIndexByte(string(b), ')')+1:]))
	parent, err1 := strconv.Atoi(f[1])
	user, err2 := strconv.Atoi(f[11])
	system, err3 := strconv.Atoi(f[12])
	if err1 != nil || err2 != nil || err3 != nil {
		t.Fatal(err1, err2, err3)
	}
	return time.Duration(user+system) * 10 * time.Millisecond, parent // clock ticks of 1/100 s
}
