package server

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"strings"
	"sync"
	"time"

	"github.com/99designs/gqlgen/graphql"
	"github.com/coder/websocket"

	"layshaft/graph"
)

// The GraphQL over WebSocket protocol: its sub-protocol and its close codes.
const (
	subprotocol = "graphql-transport-ws"

	closeInvalid      websocket.StatusCode = 4400
	closeUnauthorized websocket.StatusCode = 4401
	closeForbidden    websocket.StatusCode = 4403
	closeSubprotocol  websocket.StatusCode = 4406
	closeInitTimeout  websocket.StatusCode = 4408
	closeDuplicate    websocket.StatusCode = 4409
	closeManyInits    websocket.StatusCode = 4429
)

// message of the protocol.
type message struct {
	ID      string          `json:"id,omitempty"`
	Type    string          `json:"type"`
	Payload json.RawMessage `json:"payload,omitempty"`
}

// closing is an error that ends a socket with a code and a reason.
type closing struct {
	code   websocket.StatusCode
	reason string
}

func (c *closing) Error() string { return fmt.Sprintf("%d %s", c.code, c.reason) }

// socket is one websocket connection.
type socket struct {
	s      *Server
	conn   *websocket.Conn
	cancel context.CancelCauseFunc

	acked bool // touched by the reading goroutine alone

	mu     sync.Mutex // guards active
	active map[string]context.CancelFunc
	wg     sync.WaitGroup
}

// websockets answers a request to open a socket. Other sites' pages are refused
// by the library: the origin must be this host.
func (s *Server) websockets(w http.ResponseWriter, r *http.Request) {
	leave, err := s.streams.enter(caller(r.Context()))
	if err != nil {
		refuseStream(w, err)
		return
	}
	defer leave()
	conn, err := websocket.Accept(w, r, s.accepted())
	if err != nil {
		return // the library has answered
	}
	gauge := s.metrics.streams.WithLabelValues("websocket")
	gauge.Inc()
	defer gauge.Dec()
	conn.SetReadLimit(maxBody)
	if conn.Subprotocol() != subprotocol {
		_ = conn.Close(closeSubprotocol, "Subprotocol not acceptable")
		return
	}
	ctx, cancel := s.streams.bound(context.WithoutCancel(r.Context()))
	k := &socket{s: s, conn: conn, cancel: cancel, active: map[string]context.CancelFunc{}}
	k.close(k.serve(ctx))
	cancel(nil)
	k.wg.Wait()
}

func (s *Server) accepted() *websocket.AcceptOptions {
	o := &websocket.AcceptOptions{Subprotocols: []string{subprotocol}}
	if _, host, ok := strings.Cut(s.cfg.Origin, "://"); ok {
		o.OriginPatterns = []string{host}
	}
	return o
}

// close ends the socket with the code that the error stands for.
func (k *socket) close(err error) {
	var c *closing
	switch {
	case errors.As(err, &c):
		_ = k.conn.Close(c.code, c.reason)
	case errors.Is(err, errStopping):
		_ = k.conn.Close(websocket.StatusGoingAway, "the server is stopping")
	case errors.Is(err, errRevoked):
		_ = k.conn.Close(closeForbidden, "Forbidden")
	default:
		_ = k.conn.CloseNow()
	}
}

// serve reads messages until the socket ends, and says why it ended.
func (k *socket) serve(ctx context.Context) error {
	first := time.AfterFunc(k.s.cfg.Streams.Greeting, func() { k.cancel(&closing{closeInitTimeout, "Connection initialisation timeout"}) })
	defer first.Stop()
	k.wg.Go(func() { k.keepAlive(ctx) })
	// A read that is given up tears the connection down, so that the cause must be
	// sent before: reading runs on its own and the cause is waited for here.
	ended := make(chan error, 1)
	k.wg.Go(func() {
		defer k.s.caught(ctx, "a websocket")
		ended <- k.read(ctx, first)
	})
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
		return context.Cause(ctx)
	}
}

func (k *socket) read(ctx context.Context, first *time.Timer) error {
	for {
		kind, b, err := k.conn.Read(context.WithoutCancel(ctx))
		if err != nil {
			return err
		}
		var m message
		if kind != websocket.MessageText || json.Unmarshal(b, &m) != nil {
			return &closing{closeInvalid, "Invalid message received"}
		}
		if m.Type == "connection_init" && !k.acked {
			first.Stop()
			if ctx, err = k.init(ctx, m.Payload); err != nil {
				return err
			}
			continue
		}
		if err := k.handle(ctx, m); err != nil {
			return err
		}
	}
}

// init takes a token from the first message, for callers who cannot set headers.
func (k *socket) init(ctx context.Context, payload json.RawMessage) (context.Context, error) {
	var fields map[string]any
	if len(payload) > 0 && json.Unmarshal(payload, &fields) != nil {
		return ctx, &closing{closeInvalid, "Invalid message received"}
	}
	for name, value := range fields {
		text, ok := value.(string)
		if !strings.EqualFold(name, "authorization") || !ok || k.s.cfg.FromToken == nil {
			continue
		}
		p := k.s.cfg.FromToken(ctx, text)
		if p == nil {
			return ctx, &closing{closeForbidden, "Forbidden"}
		}
		ctx = graph.WithPrincipal(ctx, p)
	}
	k.acked = true
	return ctx, k.send(ctx, message{Type: "connection_ack"})
}

func (k *socket) handle(ctx context.Context, m message) error {
	switch m.Type {
	case "connection_init":
		return &closing{closeManyInits, "Too many initialisation requests"}
	case "ping":
		return k.send(ctx, message{Type: "pong", Payload: m.Payload})
	case "pong":
		return nil
	case "subscribe":
		return k.subscribe(ctx, m)
	case "complete":
		k.mu.Lock()
		defer k.mu.Unlock()
		if stop := k.active[m.ID]; stop != nil {
			stop()
			delete(k.active, m.ID)
		}
		return nil
	}
	return &closing{closeInvalid, "Invalid message received"}
}

func (k *socket) subscribe(ctx context.Context, m message) error {
	if !k.acked {
		return &closing{closeUnauthorized, "Unauthorized"}
	}
	var b body
	if m.ID == "" || decode(strings.NewReader(string(m.Payload)), &b) != nil || b.Query == nil {
		return &closing{closeInvalid, "Invalid message received"}
	}
	op, stop := context.WithCancel(ctx)
	k.mu.Lock()
	_, there := k.active[m.ID]
	full := len(k.active) >= k.s.cfg.Streams.PerSocket
	if !there && !full {
		k.active[m.ID] = stop
	}
	k.mu.Unlock()
	switch {
	case there:
		stop()
		return &closing{closeDuplicate, "Subscriber for " + short(m.ID) + " already exists"}
	case full:
		stop()
		return k.send(ctx, message{ID: m.ID, Type: "error", Payload: json.RawMessage(`[{"message":"too many operations on one socket","extensions":{"code":"BUSY"}}]`)})
	}
	k.wg.Go(func() {
		defer k.s.caught(op, "a websocket operation")
		defer stop()
		k.run(op, m.ID, b.params())
	})
	return nil
}

// short keeps a close reason below the protocol's 123 bytes.
func short(id string) string {
	if len(id) > 80 {
		return strings.ToValidUTF8(id[:80], "")
	}
	return id
}

// run sends the answers of one operation, then complete, unless the client has
// ended it first.
func (k *socket) run(ctx context.Context, id string, params *graphql.RawParams) {
	o := k.s.start(ctx, params, false)
	if o.errors != nil {
		b, err := json.Marshal(o.errors[:min(len(o.errors), maxErrors)])
		if err == nil && k.finish(id) {
			_ = k.send(ctx, message{ID: id, Type: "error", Payload: b})
		}
		return
	}
	for resp := o.next(); resp != nil; resp = o.next() {
		if err := k.send(ctx, message{ID: id, Type: "next", Payload: wire(resp)}); err != nil {
			if ctx.Err() == nil {
				k.cancel(err) // it does not read: the socket is of no use
			}
			return
		}
	}
	if k.finish(id) {
		_ = k.send(ctx, message{ID: id, Type: "complete"})
	}
}

// finish takes an operation off the list; false when the client did before.
func (k *socket) finish(id string) bool {
	k.mu.Lock()
	defer k.mu.Unlock()
	_, there := k.active[id]
	delete(k.active, id)
	return there
}

func (k *socket) send(ctx context.Context, m message) error {
	b, err := json.Marshal(m)
	if err != nil {
		return err
	}
	// The library tears the connection down when a write's context ends, so an
	// operation's own context must not be used here.
	ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), k.s.cfg.Streams.Patience)
	defer cancel()
	return k.conn.Write(ctx, websocket.MessageText, b)
}

// keepAlive finds sockets whose other end is gone, and callers whose way in was
// taken back.
func (k *socket) keepAlive(ctx context.Context) {
	beat := k.s.cfg.Streams.Beat
	tick := time.NewTicker(beat)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
		ping, cancel := context.WithTimeout(ctx, beat)
		err := k.conn.Ping(ping)
		cancel()
		if err != nil {
			k.cancel(err)
			return
		}
		if !k.s.mayStay(ctx) {
			k.cancel(errRevoked)
			return
		}
	}
}
