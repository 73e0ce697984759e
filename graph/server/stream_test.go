package server_test

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"layshaft/catalog"
	"layshaft/graph/server"
	"layshaft/reconcile"
)

type collected struct {
	Seen []struct {
		Data   json.RawMessage
		Errors []struct{ Message string }
	}
	Refused any
}

// checkClient holds what both npm clients must have seen.
func checkClient(t *testing.T, query, invalid, wrong, stream collected) {
	t.Helper()
	if len(query.Seen) != 1 || string(query.Seen[0].Data) != `{"shop":{"families":3}}` {
		t.Errorf("query: %+v", query)
	}
	if invalid.Refused == nil && (len(invalid.Seen) != 1 || len(invalid.Seen[0].Errors) == 0) {
		t.Errorf("a query that is not valid: %+v", invalid)
	}
	if len(wrong.Seen) != 1 || len(wrong.Seen[0].Errors) == 0 {
		t.Errorf("a query whose resolver refuses: %+v", wrong)
	}
	if len(stream.Seen) != 1 || !strings.Contains(string(stream.Seen[0].Data), `"key":"720`) {
		t.Errorf("subscription: %+v", stream)
	}
}

func TestWebsocketClient(t *testing.T) {
	tools := npm(t)
	s := openShop(t, func(c *server.Config) { c.Streams = server.Streams{Greeting: time.Second} })
	if err := s.keeper.Step(t.Context()); err != nil {
		t.Fatal(err)
	}
	var got struct {
		Query, Invalid, Wrong, Stream, After collected
		Codes                                map[string]int
	}
	if err := json.Unmarshal(tools.run(t, "ws.cjs", "ws"+strings.TrimPrefix(s.URL, "http")+"/graphql"), &got); err != nil {
		t.Fatal(err)
	}
	checkClient(t, got.Query, got.Invalid, got.Wrong, got.Stream)
	if len(got.After.Seen) != 1 {
		t.Errorf("the socket does not live on after errors: %+v", got.After)
	}
	for what, want := range map[string]int{"noInit": 4401, "twoInits": 4429, "duplicate": 4409, "notJSON": 4400, "unknown": 4400, "late": 4408} {
		if got.Codes[what] != want {
			t.Errorf("%s closes with %d, want %d", what, got.Codes[what], want)
		}
	}
}

func TestEventsClient(t *testing.T) {
	tools := npm(t)
	s := openShop(t)
	if err := s.keeper.Step(t.Context()); err != nil {
		t.Fatal(err)
	}
	var got struct{ Query, Invalid, Wrong, Stream collected }
	if err := json.Unmarshal(tools.run(t, "sse.cjs", s.URL+"/graphql"), &got); err != nil {
		t.Fatal(err)
	}
	checkClient(t, got.Query, got.Invalid, got.Wrong, got.Stream)
}

// listen subscribes over server-sent events and calls heard with each page until
// it returns false.
func (s *shop) listen(t testing.TB, since string, heard func(page feedPage) bool) error {
	t.Helper()
	body := fmt.Sprintf(`{"query":"subscription($s:String){shortages(changedSince:$s){edges{node{key quantity gone} cursor} pageInfo{endCursor hasNextPage}}}","variables":{"s":%q}}`, since)
	req, err := http.NewRequestWithContext(t.Context(), http.MethodPost, s.URL+"/graphql", strings.NewReader(body))
	if err != nil {
		return err
	}
	req.Header.Set("Content-Type", "application/json")
	req.Header.Set("Accept", "text/event-stream")
	resp, err := s.Client().Do(req)
	if err != nil {
		return err
	}
	defer resp.Body.Close()
	return hear(resp.Body, heard)
}

// hear calls heard with each page of a stream until it returns false.
func hear(stream io.Reader, heard func(page feedPage) bool) error {
	lines := bufio.NewScanner(stream)
	lines.Buffer(make([]byte, 4096), 1<<20)
	for lines.Scan() {
		data, ok := bytes.CutPrefix(lines.Bytes(), []byte("data: {"))
		if !ok {
			continue
		}
		var a struct {
			Data   struct{ Shortages feedPage }
			Errors []struct{ Message string }
		}
		if err := json.Unmarshal(append([]byte("{"), data...), &a); err != nil {
			return err
		}
		if len(a.Errors) > 0 {
			return fmt.Errorf("%s", a.Errors[0].Message)
		}
		if !heard(a.Data.Shortages) {
			return nil
		}
	}
	return lines.Err()
}

type feedPage struct {
	Edges []struct {
		Cursor string
		Node   struct {
			Key      string
			Quantity int
			Gone     bool
		}
	}
	PageInfo struct {
		EndCursor   string
		HasNextPage bool
	}
}

// setGoods changes how many pieces of a part a job has, and so its shortages.
func (s *shop) setGoods(t testing.TB, job, part string, n, request int) {
	t.Helper()
	_, err := s.bench.Change(t.Context(), reconcile.JobID(job), catalog.Change{Request: fmt.Sprintf("goods-%d", request), Who: "test",
		Put: []catalog.Record{&reconcile.Goods{Job: reconcile.JobID(job), ID: "shelf-" + part, Part: catalog.PartID(part), Pieces: n, Source: reconcile.FromShelf}}})
	if err != nil {
		t.Fatal(err)
	}
}

// shortPart is a part that would end a shortage of a job.
func (s *shop) shortPart(t testing.TB, job string) (part, key string) {
	t.Helper()
	r, err := s.bench.Report(t.Context(), reconcile.JobID(job))
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range r.Shortages {
		if len(x.Accept) > 0 && x.State == reconcile.OrderNow {
			return string(x.Accept[0]), x.ID
		}
	}
	t.Fatal("the job has no shortage to play with")
	return "", ""
}

// TestThousandSubscribers: every one hears every change, in order; one who never
// reads holds nobody up and is let go. It prints what a subscriber takes of the
// server's memory: the clients are bare connections until then.
func TestThousandSubscribers(t *testing.T) {
	n := 1000
	if testing.Short() {
		n = 100
	}
	s := openShop(t, func(c *server.Config) {
		c.Streams = server.Streams{Total: n + 10, PerCaller: n + 10, Patience: 3 * time.Second}
	})
	if err := s.keeper.Step(t.Context()); err != nil {
		t.Fatal(err)
	}
	part, key := s.shortPart(t, "7203")
	before := settledMemory()
	conns := make([]net.Conn, n)
	for i := range conns {
		conns[i] = dial(t, s.Listener.Addr(), `subscription{shortages(changedSince:""){edges{node{key quantity gone} cursor}}}`)
	}
	s.waitForStreams(t, n)
	t.Logf("%d subscribers: %d bytes of the server's memory each", n, (settledMemory()-before)/uint64(n))
	// The one who never reads is sent more than its connection can hold.
	narrow := httptest.NewUnstartedServer(s.Config.Handler)
	narrow.Config.ConnState = func(c net.Conn, state http.ConnState) {
		if state == http.StateNew {
			_ = c.(*net.TCPConn).SetWriteBuffer(16 << 10)
		}
	}
	narrow.Start()
	t.Cleanup(narrow.Close)
	dial(t, narrow.Listener.Addr(), `subscription{shortages(changedSince:""){edges{node{`+many(300, func(i int) string { return fmt.Sprintf("a%d:because ", i) })+`}}}}`)
	s.waitForStreams(t, n+1)
	heard, took := s.hearAll(t, conns, key, part)
	for i, h := range heard {
		if h != "true false true false true false" {
			t.Fatalf("subscriber %d heard %q", i, h)
		}
	}
	t.Logf("slowest of the changes to reach all: %v", took.Round(time.Millisecond))
	for _, c := range conns {
		c.Close()
	}
	s.waitForStreams(t, 0) // the one who never reads too, without leaving
}

// hearAll makes six changes and returns what each subscriber heard of one
// shortage, and how long the slowest change took to reach everybody.
func (s *shop) hearAll(t *testing.T, conns []net.Conn, key, part string) (heard []string, slowest time.Duration) {
	t.Helper()
	const changes = 6
	var total, ready atomic.Int64
	var done sync.WaitGroup
	heard = make([]string, len(conns))
	failed := make(chan error, len(conns))
	for i, c := range conns {
		done.Go(func() {
			resp, err := http.ReadResponse(bufio.NewReader(c), nil)
			if err != nil {
				failed <- err
				return
			}
			var said []string
			if err := hear(resp.Body, func(p feedPage) bool {
				ready.Add(1)
				for _, e := range p.Edges {
					if e.Node.Key == key && len(p.Edges) < 10 { // not the state at the start
						said = append(said, fmt.Sprint(e.Node.Gone))
						total.Add(1)
					}
				}
				return len(said) < changes
			}); err != nil {
				failed <- err
			}
			heard[i] = strings.Join(said, " ")
		})
	}
	until := func(n *atomic.Int64, want int) {
		for n.Load() < int64(want) {
			select {
			case err := <-failed:
				t.Fatal(err)
			case <-t.Context().Done():
				t.Fatal("given up")
			case <-time.After(2 * time.Millisecond):
			}
		}
	}
	until(&ready, len(conns))
	for i := range changes {
		start := time.Now()
		if i%2 == 0 {
			s.setGoods(t, "7203", part, 50, i)
		} else {
			s.dropGoods(t, "7203", part, i)
		}
		if err := s.keeper.Step(t.Context()); err != nil {
			t.Fatal(err)
		}
		// Everybody has to hear this one before the next: a feed keeps the newest
		// change of a shortage only.
		until(&total, len(conns)*(i+1))
		slowest = max(slowest, time.Since(start))
	}
	done.Wait()
	return heard, slowest
}

// settledMemory in use for objects and stacks.
func settledMemory() uint64 {
	runtime.GC()
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.HeapAlloc + m.StackInuse
}

// waitForStreams waits until so many event streams are open.
func (s *shop) waitForStreams(t testing.TB, n int) {
	t.Helper()
	want := fmt.Sprintf("layshaft_streams{kind=\"events\"} %d\n", n)
	for {
		if _, text, _ := s.get(t, "/metrics"); strings.Contains(text, want) {
			return
		}
		select {
		case <-t.Context().Done():
			t.Fatal("not reached:", want)
		case <-time.After(20 * time.Millisecond):
		}
	}
}

func (s *shop) dropGoods(t testing.TB, job, part string, request int) {
	t.Helper()
	_, err := s.bench.Change(t.Context(), reconcile.JobID(job), catalog.Change{Request: fmt.Sprintf("goods-%d", request), Who: "test",
		Delete: []catalog.Ref{{Table: reconcile.TableGoods, Key: job + "/shelf-" + part}}})
	if err != nil {
		t.Fatal(err)
	}
}

// dial subscribes on a bare connection with little room and reads nothing.
func dial(t testing.TB, to net.Addr, query string) net.Conn {
	t.Helper()
	c, err := net.Dial("tcp", to.String())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { c.Close() })
	if err := c.(*net.TCPConn).SetReadBuffer(16 << 10); err != nil {
		t.Fatal(err)
	}
	body, err := json.Marshal(map[string]string{"query": query})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := fmt.Fprintf(c, "POST /graphql HTTP/1.1\r\nHost: x\r\nAccept: text/event-stream\r\nContent-Type: application/json\r\nContent-Length: %d\r\n\r\n%s", len(body), body); err != nil {
		t.Fatal(err)
	}
	return c
}
