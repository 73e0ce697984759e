package server

import (
	"bytes"
	"context"
	"log/slog"
	"net/http"
	"time"

	"github.com/99designs/gqlgen/graphql/executor"
	"github.com/vektah/gqlparser/v2/formatter"

	"layshaft/graph"
)

// Config of a server.
type Config struct {
	Resolver *graph.Resolver
	Log      *slog.Logger
	// Principal of a request; nil when nobody is signed in.
	Principal func(*http.Request) *graph.Principal
	// OperationTime bounds one operation; 30 s when zero.
	OperationTime time.Duration
}

// Server answers the API.
type Server struct {
	cfg  Config
	exec *executor.Executor
	sdl  []byte
}

// New builds a server. It opens nothing.
func New(cfg Config) *Server {
	if cfg.OperationTime == 0 {
		cfg.OperationTime = 30 * time.Second
	}
	es := Schema(cfg.Resolver)
	var sdl bytes.Buffer
	formatter.NewFormatter(&sdl).FormatSchema(es.Schema())
	return &Server{cfg: cfg, exec: newExecutor(es, cfg.Log), sdl: sdl.Bytes()}
}

// Register puts the API's routes on a mux.
func (s *Server) Register(mux *http.ServeMux) {
	mux.Handle("/graphql", s.operation(transport{s.exec}))
	mux.HandleFunc("GET /schema.graphql", s.schema)
}

// WithPrincipal wraps a handler so that its requests carry their principal.
func (s *Server) WithPrincipal(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if p := s.cfg.Principal(r); p != nil {
			r = r.WithContext(graph.WithPrincipal(r.Context(), p))
		}
		next.ServeHTTP(w, r)
	})
}

// operation bounds a request's time and gives it its principal.
func (s *Server) operation(next http.Handler) http.Handler {
	return s.WithPrincipal(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		ctx, cancel := context.WithTimeout(r.Context(), s.cfg.OperationTime)
		defer cancel()
		next.ServeHTTP(w, r.WithContext(ctx))
	}))
}

func (s *Server) schema(w http.ResponseWriter, _ *http.Request) {
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	_, _ = w.Write(s.sdl)
}
