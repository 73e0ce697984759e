package server

import (
	"bufio"
	"context"
	"crypto/rand"
	"errors"
	"log/slog"
	"net"
	"net/http"
	"net/netip"
	"slices"
	"strings"
	"time"

	"layshaft/graph"
)

// asked is what is known about a request; handlers inside fill it in.
type asked struct {
	id        string
	remote    string // address without port
	operation string
	kind      string // query, mutation, subscription
	cost      int
	wait      time.Duration // above zero: refused for asking too much
	who       string
	cached    bool
}

type askedKey struct{}

// askedOf a request; a fresh one when no middleware made it.
func askedOf(ctx context.Context) *asked {
	if a, ok := ctx.Value(askedKey{}).(*asked); ok {
		return a
	}
	return &asked{}
}

// RequestID of the HTTP request behind a context; empty when there is none.
func RequestID(ctx context.Context) string { return askedOf(ctx).id }

// headerRequest names the answer's header with the request's id.
const headerRequest = "X-Request-Id"

// Observed gives each request an id, recovers from panics of handlers and logs
// one line a request: no credentials, no variables, no addresses with secrets.
func (s *Server) Observed(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		a := &asked{id: rand.Text()[:16], remote: s.cfg.Proxies.remote(r)}
		start := time.Now()
		out := &watched{ResponseWriter: w}
		w.Header().Set(headerRequest, a.id)
		r = r.WithContext(context.WithValue(r.Context(), askedKey{}, a))
		defer func() {
			if p := recover(); p != nil && p != http.ErrAbortHandler { //nolint:errorlint // a panic's value
				s.cfg.Log.ErrorContext(r.Context(), "panic in a handler", "request", a.id, "path", r.URL.Path, "value", p)
				if out.status == 0 {
					http.Error(out, "internal error "+a.id, http.StatusInternalServerError)
				}
			}
			s.finish(r, a, out, time.Since(start))
		}()
		next.ServeHTTP(out, r)
	})
}

func (s *Server) finish(r *http.Request, a *asked, out *watched, took time.Duration) {
	s.metrics.request(r.Method, out.status)
	s.cfg.Log.LogAttrs(r.Context(), slog.LevelInfo, "request",
		slog.String("request", a.id), slog.String("method", r.Method), slog.String("path", r.URL.Path),
		slog.Int("status", out.status), slog.Int64("bytes", out.bytes), slog.Duration("took", took),
		slog.String("who", a.who), slog.String("operation", a.operation), slog.Int("cost", a.cost), slog.Bool("cached", a.cached))
}

// Proxies are the networks of proxies in front, whose X-Forwarded-For is believed.
type Proxies []netip.Prefix

func (p Proxies) trusts(address string) bool {
	a, err := netip.ParseAddr(address)
	return err == nil && slices.ContainsFunc(p, func(net netip.Prefix) bool { return net.Contains(a.Unmap()) })
}

// remote address of a request: of the last hop that is not one of ours. What a
// caller wrote into the header himself stands left of that and is not looked at.
func (p Proxies) remote(r *http.Request) string {
	at := remoteOf(r)
	hops := strings.Split(strings.Join(r.Header.Values("X-Forwarded-For"), ","), ",")
	for _, hop := range slices.Backward(hops) {
		if hop = strings.TrimSpace(hop); hop == "" || !p.trusts(at) {
			break
		}
		at = hop
	}
	return at
}

func remoteOf(r *http.Request) string {
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		return r.RemoteAddr
	}
	return host
}

// addressOf is where a request came from, proxies in front looked through.
func addressOf(r *http.Request) string {
	if a := askedOf(r.Context()); a.remote != "" {
		return a.remote
	}
	return remoteOf(r)
}

// watched remembers status and length of an answer.
type watched struct {
	http.ResponseWriter
	status int
	bytes  int64
}

func (w *watched) WriteHeader(status int) {
	if w.status == 0 {
		w.status = status
	}
	w.ResponseWriter.WriteHeader(status)
}

func (w *watched) Write(b []byte) (int, error) {
	if w.status == 0 {
		w.status = http.StatusOK
	}
	n, err := w.ResponseWriter.Write(b)
	w.bytes += int64(n)
	return n, err
}

// Unwrap lets http.ResponseController reach the connection.
func (w *watched) Unwrap() http.ResponseWriter { return w.ResponseWriter }

// Hijack is asked for by the websocket library.
func (w *watched) Hijack() (net.Conn, *bufio.ReadWriter, error) {
	h, ok := w.ResponseWriter.(http.Hijacker)
	if !ok {
		return nil, nil, errors.New("the connection cannot be taken over")
	}
	w.status = http.StatusSwitchingProtocols
	return h.Hijack()
}

// Flush is asked for by streams.
func (w *watched) Flush() {
	if w.status == 0 {
		w.status = http.StatusOK
	}
	_ = http.NewResponseController(w.ResponseWriter).Flush()
}

// WithPrincipal wraps a handler so that its requests carry their principal.
func (s *Server) WithPrincipal(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if p := s.cfg.Principal(r); p != nil {
			askedOf(r.Context()).who = p.Name
			r = r.WithContext(graph.WithPrincipal(r.Context(), p))
		}
		next.ServeHTTP(w, r)
	})
}
