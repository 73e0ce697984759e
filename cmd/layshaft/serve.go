package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"time"

	"layshaft/catalog"
	"layshaft/catalog/access"
	"layshaft/data/store"
	"layshaft/graph"
	"layshaft/graph/page"
	"layshaft/graph/server"
	"layshaft/reconcile"
)

type serveCommand struct {
	dataFlag
	Listen string `default:"127.0.0.1:8480" placeholder:"ADDR" help:"Address to answer on; for now one of this machine only."`
}

// Run serves the shop in a data folder until it is interrupted.
func (c *serveCommand) Run(a *app) (err error) {
	if err := loopbackOnly(c.Listen); err != nil {
		return err
	}
	s, err := c.open(a)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	return a.serve(s, c.Listen)
}

// loopbackOnly refuses an address that other machines can reach.
func loopbackOnly(addr string) error {
	host, _, err := net.SplitHostPort(addr)
	if err != nil {
		return usageError(catalog.Invalid("--listen "+addr, "Write host and port: 127.0.0.1:8480", "not an address"))
	}
	if ip := net.ParseIP(host); host != "localhost" && (ip == nil || !ip.IsLoopback()) {
		return usageError(catalog.Invalid("--listen "+addr, "Listen on 127.0.0.1 or [::1]",
			"other machines could reach it, and nobody has to sign in"))
	}
	return nil
}

// Time limits of the HTTP server. Answers have none here: feeds stay open.
const (
	headerTime   = 5 * time.Second
	requestTime  = 30 * time.Second
	idleTime     = 2 * time.Minute
	shutdownTime = 10 * time.Second
)

// serve answers on addr until the context ends, then finishes what is under way.
func (a *app) serve(s *store.Store, addr string) error {
	log := slog.New(slog.NewTextHandler(a.errs.w, &slog.HandlerOptions{Level: slog.LevelWarn}))
	listener, err := new(net.ListenConfig).Listen(a.ctx, "tcp", addr)
	if err != nil {
		return &catalog.Error{Code: catalog.CodeUnavailable, Place: "--listen " + addr,
			Message: "the address cannot be used", Remedy: "Choose another port", Cause: err}
	}
	srv := &http.Server{Handler: a.handler(s, log), ReadHeaderTimeout: headerTime, ReadTimeout: requestTime,
		IdleTimeout: idleTime, ErrorLog: slog.NewLogLogger(log.Handler(), slog.LevelWarn)}
	a.out.linef("pages   http://%s/", listener.Addr())
	a.out.linef("API     http://%s/graphql, its schema http://%s/schema.graphql", listener.Addr(), listener.Addr())
	a.out.linef("stop with Ctrl+C")
	ended := make(chan error, 1)
	go func() { ended <- srv.Serve(listener) }()
	select {
	case err := <-ended:
		return fmt.Errorf("serve: %w", err)
	case <-a.ctx.Done():
	}
	ctx, cancel := context.WithTimeout(context.WithoutCancel(a.ctx), shutdownTime)
	defer cancel()
	return srv.Shutdown(ctx)
}

// handler puts API and pages together over a store.
func (a *app) handler(s *store.Store, log *slog.Logger) http.Handler {
	local := &graph.Principal{Name: "bench", Scopes: catalog.Scopes()}
	api := server.New(server.Config{
		Resolver: &graph.Resolver{Curator: catalog.NewCurator(s, a.now), Bench: reconcile.NewBench(s, a.now),
			Access: access.NewRegister(s, a.now), Now: a.now},
		Log:      log,
		// Until access control is on only this machine can ask, and it may do all.
		Principal: func(*http.Request) *graph.Principal { return local },
	})
	mux := http.NewServeMux()
	api.Register(mux)
	pages := http.NewServeMux()
	page.New(page.Config{Server: api, Log: log, Now: a.now}).Register(pages)
	mux.Handle("/", api.WithPrincipal(pages))
	return mux
}
