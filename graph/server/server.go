package server

import (
	"bytes"
	"context"
	"io"
	"log/slog"
	"net/http"
	"strings"
	"time"

	"github.com/99designs/gqlgen/graphql/executor"
	"github.com/klauspost/compress/gzhttp"
	"github.com/vektah/gqlparser/v2/ast"
	"github.com/vektah/gqlparser/v2/formatter"

	"layshaft/catalog"
	"layshaft/graph"
)

// Config of a server.
type Config struct {
	Resolver *graph.Resolver
	Log      *slog.Logger
	// Principal of a request; nil when nobody is signed in.
	Principal func(*http.Request) *graph.Principal
	// Shop is the name under which the shop asks for offers; "workshop" when empty.
	Shop string
	// OperationTime bounds one operation; 30 s when zero.
	OperationTime time.Duration
	// Ready says why the server cannot do its work; nil function for always ready.
	Ready func(context.Context) error
	// Limits of one operation; DefaultLimits when zero.
	Limits Limits
	// Rate bounds what one principal asks for; the zero value bounds nothing.
	Rate Rate
	// CacheBytes bounds the answers that are kept; 0 keeps none. It needs a keeper
	// in the resolver, which knows the revision.
	CacheBytes int
	// Streams bounds what stays open; what is zero is as in DefaultStreams.
	Streams Streams
	// FromToken finds the principal of a token that came in a websocket's first
	// message; nil when it lets nobody in. A nil function takes no such tokens.
	FromToken func(ctx context.Context, authorization string) *graph.Principal
	// Proxies in front of the server.
	Proxies Proxies
	// Origin by which browsers reach the server, as https://host, when a proxy
	// changes it; empty when it is the host that requests name.
	Origin string
	// Holds reports whether a grant still lets its bearer in; streams ask while they
	// are open. A nil function: always.
	Holds func(ctx context.Context, grant string) bool
}

// Server answers the API.
type Server struct {
	cfg     Config
	exec    *executor.Executor
	metrics *metrics
	streams *streams
	answers *answers
	charge  charge
	answer  http.Handler // one operation, one answer
	// guarded asks for scopes in its services; unguarded is for handlers that asked
	// themselves.
	guarded, unguarded *graph.Resolver
	schemaDoc          *ast.Schema
	sdl                []byte
}

// New builds a server. It opens nothing.
func New(cfg Config) *Server {
	if cfg.OperationTime == 0 {
		cfg.OperationTime = 30 * time.Second
	}
	if cfg.Limits == (Limits{}) {
		cfg.Limits = DefaultLimits
	}
	if cfg.Shop == "" {
		cfg.Shop = "workshop"
	}
	cfg.Streams = cfg.Streams.orDefault()
	s := &Server{cfg: cfg, metrics: newMetrics(), streams: newStreams(cfg.Streams),
		charge: newCharge(cfg.Rate, cfg.Limits.Cost)}
	s.guarded, s.unguarded = cfg.Resolver.Guarded(), cfg.Resolver
	es := Schema(s.guarded)
	var sdl bytes.Buffer
	formatter.NewFormatter(&sdl).FormatSchema(es.Schema())
	s.sdl = sdl.Bytes()
	if cfg.CacheBytes > 0 && cfg.Resolver.Keeper != nil {
		s.answers = newAnswers(s.unguarded.Revision, cfg.CacheBytes, s.metrics)
	}
	s.schemaDoc = es.Schema()
	s.exec = s.executor(es)
	s.answer = zipped(transport{s.exec})
	return s
}

// zipped compresses answers that are worth it. Streams never come here.
func zipped(next http.Handler) http.Handler {
	wrap, err := gzhttp.NewWrapper(gzhttp.MinSize(1024), gzhttp.CompressionLevel(1))
	if err != nil {
		panic(err) // options are constants
	}
	return wrap(next)
}

// CachedBytes is how much the kept answers take.
func (s *Server) CachedBytes() int {
	if s.answers == nil {
		return 0
	}
	s.answers.mu.Lock()
	defer s.answers.mu.Unlock()
	return s.answers.bytes
}

// CrossOrigin refuses what pages of other sites make a browser send.
func (s *Server) CrossOrigin() *http.CrossOriginProtection {
	cross := http.NewCrossOriginProtection()
	if s.cfg.Origin != "" {
		if err := cross.AddTrustedOrigin(s.cfg.Origin); err != nil {
			s.cfg.Log.Error("the server's own origin is not one", "origin", s.cfg.Origin, "error", err)
		}
	}
	return cross
}

// Register puts the API's routes on a mux.
func (s *Server) Register(mux *http.ServeMux) {
	cross := s.CrossOrigin()
	mux.Handle("/graphql", cross.Handler(s.WithPrincipal(http.HandlerFunc(s.graphql))))
	mux.HandleFunc("GET /schema.graphql", s.schema)
	s.docs(mux, s.schemaDoc)
	mux.Handle("GET /feeds/{file}", zipped(s.WithPrincipal(s.charged(http.HandlerFunc(s.shortageFeed)))))
	mux.Handle("GET /feeds/request-for-quotation.xml", s.WithPrincipal(s.charged(http.HandlerFunc(s.quotation))))
	mux.HandleFunc("GET /healthz", s.healthy)
	mux.HandleFunc("GET /readyz", s.ready)
	mux.Handle("GET /metrics", s.WithPrincipal(http.HandlerFunc(s.showMetrics)))
}

// healthy says that the process answers.
func (s *Server) healthy(w http.ResponseWriter, _ *http.Request) { _, _ = io.WriteString(w, "ok\n") }

// ready says whether the process can do its work and will go on doing it.
func (s *Server) ready(w http.ResponseWriter, r *http.Request) {
	if s.streams.stop.Err() != nil {
		http.Error(w, "stopping", http.StatusServiceUnavailable)
		return
	}
	if s.cfg.Ready != nil {
		if err := s.cfg.Ready(r.Context()); err != nil {
			s.cfg.Log.ErrorContext(r.Context(), "not ready", "error", err)
			http.Error(w, "not ready", http.StatusServiceUnavailable)
			return
		}
	}
	_, _ = io.WriteString(w, "ready\n")
}

// showMetrics is for administrators: names of operations tell what a shop does.
func (s *Server) showMetrics(w http.ResponseWriter, r *http.Request) {
	if err := graph.Gate(r.Context(), catalog.ScopeAdminister); err != nil {
		status := http.StatusForbidden
		if catalog.CodeOf(err) == catalog.CodeSignIn {
			status = http.StatusUnauthorized
		}
		http.Error(w, err.Error(), status)
		return
	}
	s.metrics.handler().ServeHTTP(w, r)
}

// graphql picks the transport: a websocket, server-sent events, or one answer
// in bounded time.
func (s *Server) graphql(w http.ResponseWriter, r *http.Request) {
	switch {
	case strings.EqualFold(r.Header.Get("Upgrade"), "websocket"):
		s.websockets(w, r)
	case wantsEvents(r):
		s.events(w, r)
	default:
		ctx, cancel := context.WithTimeout(r.Context(), s.cfg.OperationTime)
		defer cancel()
		s.answer.ServeHTTP(w, r.WithContext(ctx))
	}
}

func (s *Server) schema(w http.ResponseWriter, _ *http.Request) {
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	_, _ = w.Write(s.sdl)
}
