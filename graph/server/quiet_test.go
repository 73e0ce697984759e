package server_test

import (
	"context"
	"encoding/json"
	"io"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/coder/websocket"

	"layshaft/graph"
	"layshaft/graph/server"
	"layshaft/reconcile"
)

// subscribe opens the feed over server-sent events from now on and returns the
// answer as soon as it has begun.
func (s *shop) subscribe(t testing.TB, ctx context.Context, query string) *http.Response {
	t.Helper()
	body, err := json.Marshal(map[string]string{"query": query})
	if err != nil {
		t.Fatal(err)
	}
	req, err := http.NewRequestWithContext(ctx, http.MethodPost, s.URL+"/graphql", strings.NewReader(string(body)))
	if err != nil {
		t.Fatal(err)
	}
	req.Header.Set("Content-Type", "application/json")
	req.Header.Set("Accept", "text/event-stream")
	resp, err := s.Client().Do(req)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { resp.Body.Close() })
	return resp
}

const watch = "subscription{shortages{totalCount}}"

// TestQuietStream is open at once, shows that it lives, and ends when its
// caller's way in is taken back.
func TestQuietStream(t *testing.T) {
	held := make(chan bool, 100)
	s := emptyShop(t, func(c *server.Config) {
		c.Streams = server.Streams{Beat: 20 * time.Millisecond}
		c.Principal = func(r *http.Request) *graph.Principal {
			p := everybody(r)
			p.Grant = "g"
			return p
		}
		c.Holds = func(context.Context, string) bool {
			select {
			case held <- true:
				return len(held) < 3
			default:
				return false
			}
		}
	})
	resp := s.subscribe(t, t.Context(), watch) // returns with the headers, before any event
	text := make([]byte, 4096)
	said := ""
	for {
		n, err := resp.Body.Read(text)
		said += string(text[:n])
		if err != nil {
			break
		}
	}
	if !strings.HasPrefix(said, ":\n\n") || !strings.Contains(said, `"SIGN_IN"`) || !strings.HasSuffix(said, "event: complete\ndata: \n\n") {
		t.Errorf("the stream said %q", said)
	}
}

// TestStreamsAreCounted: a caller has so many connections and no more, over both
// transports together; one that closes makes room; a full socket says so.
func TestStreamsAreCounted(t *testing.T) {
	s := emptyShop(t, func(c *server.Config) { c.Streams = server.Streams{Total: 3, PerCaller: 2, PerSocket: 1} })
	one, leave := context.WithCancel(t.Context())
	s.subscribe(t, one, watch)
	socket, _, err := websocket.Dial(t.Context(), "ws"+strings.TrimPrefix(s.URL, "http")+"/graphql",
		&websocket.DialOptions{Subprotocols: []string{"graphql-transport-ws"}})
	if err != nil {
		t.Fatal(err)
	}
	defer socket.CloseNow()
	if resp := s.subscribe(t, t.Context(), watch); resp.StatusCode != http.StatusTooManyRequests || resp.Header.Get("Retry-After") == "" {
		t.Errorf("a third: %d", resp.StatusCode)
	}
	leave()
	for range 200 { // the server hears of it a moment later
		if resp := s.subscribe(t, t.Context(), watch); resp.StatusCode == http.StatusOK {
			break
		}
		time.Sleep(10 * time.Millisecond)
	}
	if _, text, _ := s.get(t, "/metrics"); !strings.Contains(text, `layshaft_streams{kind="events"} 1`) || !strings.Contains(text, `layshaft_streams{kind="websocket"} 1`) {
		t.Error("the metrics do not count the streams")
	}
	say := func(text string) {
		if err := socket.Write(t.Context(), websocket.MessageText, []byte(text)); err != nil {
			t.Fatal(err)
		}
	}
	hear := func() string {
		_, b, err := socket.Read(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		return string(b)
	}
	say(`{"type":"connection_init"}`)
	if got := hear(); got != `{"type":"connection_ack"}` {
		t.Fatal(got)
	}
	say(`{"type":"ping","payload":{"a":1}}`)
	if got := hear(); got != `{"type":"pong","payload":{"a":1}}` {
		t.Errorf("ping: %s", got)
	}
	for _, id := range []string{"1", "2"} {
		say(`{"type":"subscribe","id":"` + id + `","payload":{"query":"` + watch + `"}}`)
	}
	if got := hear(); !strings.Contains(got, `"id":"2","type":"error"`) || !strings.Contains(got, "BUSY") {
		t.Errorf("a second operation on one socket: %s", got)
	}
}

// TestPanicsStayInside: a panic in a service is an internal error with an id,
// whichever way it was reached, and the server goes on.
func TestPanicsStayInside(t *testing.T) {
	s := openShop(t, func(c *server.Config) { // services without a store panic when used
		c.Resolver.Bench, c.Resolver.Keeper = &reconcile.Bench{}, &reconcile.Keeper{}
	})
	for _, query := range []string{"{jobs{totalCount}}", `{job(key:"7203"){key}}`} {
		if a, _ := s.post(t, query, nil); a.code() != "INTERNAL" || strings.Contains(a.Errors[0].Message, "nil pointer") {
			t.Errorf("%s: %+v", query, a.Errors)
		}
	}
	for _, path := range []string{"/feeds/shortages.json", "/feeds/request-for-quotation.xml?supplier=tarnbeck&shortage=x"} {
		if status, text, _ := s.get(t, path); status != http.StatusInternalServerError || !strings.HasPrefix(text, "internal error ") {
			t.Errorf("%s: %d %s", path, status, text)
		}
	}
	resp := s.subscribe(t, t.Context(), watch)
	if b, err := io.ReadAll(resp.Body); err != nil || !strings.Contains(string(b), `"INTERNAL"`) {
		t.Errorf("a stream: %v %s", err, b)
	}
	if a, _ := s.post(t, "{suppliers{key}}", nil); a.code() != "" {
		t.Errorf("the server does not go on: %+v", a.Errors)
	}
}

// TestTimeIsBounded: an operation that takes too long is given up with a code.
func TestTimeIsBounded(t *testing.T) {
	s := openShop(t, func(c *server.Config) { c.OperationTime = time.Nanosecond })
	if a, resp := s.post(t, "{jobs{edges{node{report{blocking}}}}}", nil); a.code() != "TIMEOUT" && resp.StatusCode != http.StatusServiceUnavailable {
		t.Errorf("%d %+v", resp.StatusCode, a)
	}
}

// TestRateIsPerPrincipal: what one asks for is counted by cost, over the API and
// the plain feeds together, and is nobody else's.
func TestRateIsPerPrincipal(t *testing.T) {
	var who switchable
	s := openShop(t, func(c *server.Config) {
		c.Principal = who.of
		c.Rate = server.Rate{PerSecond: 0.001, Burst: 10}
		c.Limits = server.DefaultLimits
		c.Limits.Cost = 2100
	})
	as := func(name string) {
		p := everybody(nil)
		p.Name = name
		who.set(p)
	}
	as("Ada")
	if status, _, _ := s.get(t, "/feeds/shortages.csv"); status != http.StatusOK {
		t.Fatal(status)
	}
	if a, _ := s.post(t, "{catalogueProblems{key}}", nil); a.code() != "BUSY" {
		t.Errorf("what costs 2000 after a feed that cost 1000 of 2100: %+v", a)
	}
	if a, resp := s.post(t, "{shop{parts}}", nil); a.code() != "" || resp.Header.Get("Layshaft-Cost") != "2" {
		t.Errorf("what costs 2: %+v, cost %s", a.Errors, resp.Header.Get("Layshaft-Cost"))
	}
	if status, _, _ := s.get(t, "/feeds/shortages.csv"); status != http.StatusOK {
		t.Error("a second feed: ", status)
	}
	status, text, head := s.get(t, "/feeds/shortages.csv")
	if status != http.StatusTooManyRequests || head.Get("Retry-After") == "" {
		t.Errorf("a third feed: %d %s", status, text)
	}
	as("Bo")
	if a, _ := s.post(t, "{catalogueProblems{key}}", nil); a.code() != "" {
		t.Errorf("another principal: %+v", a.Errors)
	}
}
