package server_test

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"net"
	"net/http"
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
	s := openShop(t)
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
	lines := bufio.NewScanner(resp.Body)
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
// reads holds nobody up.
func TestThousandSubscribers(t *testing.T) {
	n := 1000
	if testing.Short() {
		n = 100
	}
	s := openShop(t, func(c *server.Config) { c.Streams = server.Streams{Total: n + 10, PerCaller: n + 10, PerSocket: 5} })
	if err := s.keeper.Step(t.Context()); err != nil {
		t.Fatal(err)
	}
	part, key := s.shortPart(t, "7203")
	const changes = 6
	stalled := s.stall(t)
	defer stalled.Close()
	var before, during runtime.MemStats
	var started atomic.Bool
	runtime.GC()
	runtime.ReadMemStats(&before)
	var ready, done sync.WaitGroup
	var total atomic.Int64
	heard := make([][]string, n)
	failed := make(chan error, n)
	for i := range n {
		ready.Add(1)
		done.Go(func() {
			first := true
			if err := s.listen(t, "", func(p feedPage) bool {
				if first { // the state at the start
					first = false
					ready.Done()
				}
				for _, e := range p.Edges {
					if e.Node.Key == key && started.Load() {
						heard[i] = append(heard[i], fmt.Sprint(e.Node.Gone))
						total.Add(1)
					}
				}
				return len(heard[i]) < changes
			}); err != nil {
				failed <- err
			}
		})
	}
	ready.Wait()
	started.Store(true)
	runtime.GC()
	runtime.ReadMemStats(&during)
	t.Logf("%d subscribers: %d bytes each, clients of the test included", n, (during.HeapAlloc+during.StackInuse-before.HeapAlloc-before.StackInuse)/uint64(n))
	for i := range changes {
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
		for total.Load() < int64(n*(i+1)) {
			select {
			case err := <-failed:
				t.Fatal(err)
			case <-t.Context().Done():
				t.Fatal("given up")
			case <-time.After(5 * time.Millisecond):
			}
		}
	}
	done.Wait()
	for i, h := range heard {
		if strings.Join(h, " ") != "true false true false true false" {
			t.Fatalf("subscriber %d heard %v", i, h)
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

// stall subscribes and never reads the answer.
func (s *shop) stall(t testing.TB) net.Conn {
	t.Helper()
	c, err := net.Dial("tcp", s.Listener.Addr().String())
	if err != nil {
		t.Fatal(err)
	}
	body := `{"query":"subscription{shortages(changedSince:\"\"){edges{node{key because}}}}"}`
	if _, err := fmt.Fprintf(c, "POST /graphql HTTP/1.1\r\nHost: x\r\nAccept: text/event-stream\r\nContent-Type: application/json\r\nContent-Length: %d\r\n\r\n%s", len(body), body); err != nil {
		t.Fatal(err)
	}
	return c
}
