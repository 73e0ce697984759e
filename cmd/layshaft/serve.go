package main

import (
	"cmp"
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"os"
	"strconv"
	"strings"
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
	Listen  string `default:"127.0.0.1:8480" env:"LAYSHAFT_LISTEN" help:"Address to answer on. Beyond this machine use TLS, here or in front."`
	TLSCert string `name:"tls-cert" placeholder:"FILE" env:"LAYSHAFT_TLS_CERT" help:"Certificate chain (PEM); with it the server speaks TLS."`
	TLSKey  string `name:"tls-key" placeholder:"FILE" env:"LAYSHAFT_TLS_KEY" help:"Private key of the certificate (PEM)."`
	Public  string `placeholder:"URL" env:"LAYSHAFT_PUBLIC" help:"Address by which browsers reach the server when something stands in front of it: https://parts.example. Links name it; with https the sign-in cookie is for TLS alone."`
	Proxy   string `placeholder:"NET,..." env:"LAYSHAFT_PROXY" help:"Networks of proxies in front, whose X-Forwarded-For is believed: 10.0.0.5/32."`
	Invite  string `placeholder:"NAME" help:"Print a one-time sign-in link for an administrator of this name. The first start prints one by itself."`

	OperationTime time.Duration `default:"30s" env:"LAYSHAFT_OPERATION_TIME" help:"Longest time for one operation."`
	MaxCost       int           `default:"500000" env:"LAYSHAFT_MAX_COST" help:"Largest cost of one operation; the guide at /docs explains cost."`
	Rate          float64       `default:"200000" env:"LAYSHAFT_RATE" help:"Cost that one caller may ask for in a second; ten times as much at once, and one dearest operation always. 0: no bound."`
	Streams       int           `default:"10000" env:"LAYSHAFT_STREAMS" help:"Most streams open at once; one caller gets a twentieth."`
	Cache         int           `default:"64" env:"LAYSHAFT_CACHE" help:"Memory for whole answers, in MiB. 0: none are kept."`
	Shop          string        `default:"workshop" env:"LAYSHAFT_SHOP" help:"Name of the shop in requests for quotation."`
	Log           string        `default:"info" enum:"debug,info,warn,error" env:"LAYSHAFT_LOG" help:"Least level that is logged: debug, info, warn or error. Keys and what was sent are never logged."`
	LogJSON       bool          `name:"log-json" env:"LAYSHAFT_LOG_JSON" help:"Log as JSON lines."`
}

// Help shows the routes and what the signals do.
func (*serveCommand) Help() string {
	return `Everybody signs in: people by a one-time link, programs by a token. The first start prints the link of the first administrator.

Answers on /graphql (queries, mutations, subscriptions), /schema.graphql, /docs (guide), /feeds/shortages.csv, .json and .ndjson, /feeds/request-for-quotation.xml, /sign-in, /sign-out, /healthz (the process answers), /readyz (it can do its work), /metrics (Prometheus; for administrators).

SIGINT or SIGTERM: not ready any more, streams end, requests under way are finished (10 s at most), the store is closed.

A flag wins over its environment variable, shown as $NAME.`
}

// Run serves the shop in a data folder until it is interrupted.
func (c *serveCommand) Run(a *app) (err error) {
	if _, _, err := net.SplitHostPort(c.Listen); err != nil {
		return usageError(catalog.Invalid("--listen "+c.Listen, "Write host and port: 127.0.0.1:8480", "not an address"))
	}
	if (c.TLSCert == "") != (c.TLSKey == "") {
		return usageError(catalog.Invalid("--tls-cert", "Give both --tls-cert and --tls-key", "certificate and key belong together"))
	}
	proxies, err := c.proxies()
	if err != nil {
		return err
	}
	if u, err := url.Parse(c.Public); c.Public != "" && (err != nil || u.Host == "" || u.Scheme != "http" && u.Scheme != "https") {
		return usageError(catalog.Invalid("--public "+c.Public, "Write scheme and host: https://parts.example", "not an address of the web"))
	}
	s, err := c.open(a)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	h := &host{app: a, store: s, log: logger(a.errs.w, c.Log, c.LogJSON), guarded: true, cert: c.TLSCert, key: c.TLSKey, public: origin(c.Public)}
	h.config = server.Config{CacheBytes: c.Cache << 20, Shop: c.Shop, OperationTime: c.OperationTime, Limits: server.DefaultLimits,
		Rate:    server.Rate{PerSecond: c.Rate, Burst: int(10 * c.Rate)},
		Streams: server.Streams{Total: c.Streams, PerCaller: max(1, c.Streams/20), PerSocket: server.DefaultStreams.PerSocket}}
	h.config.Limits.Cost = c.MaxCost
	h.config.Proxies, h.config.Origin = proxies, h.public
	return h.serve(c.Listen, c.Invite)
}

func (c *serveCommand) proxies() (server.Proxies, error) {
	var out server.Proxies
	for _, text := range strings.Split(c.Proxy, ",") {
		if text = strings.TrimSpace(text); text == "" {
			continue
		}
		net, err := netip.ParsePrefix(text)
		if err != nil {
			return nil, usageError(catalog.Invalid("--proxy "+text, "Write networks: 10.0.0.5/32", "not a network"))
		}
		out = append(out, net.Masked())
	}
	return out, nil
}

// origin of an address: scheme and host, without a path.
func origin(address string) string {
	u, err := url.Parse(address)
	if err != nil || u.Host == "" {
		return ""
	}
	return u.Scheme + "://" + u.Host
}

func logger(w io.Writer, level string, asJSON bool) *slog.Logger {
	var l slog.Level
	_ = l.UnmarshalText([]byte(level)) // the parser has checked it
	opt := &slog.HandlerOptions{Level: l}
	if asJSON {
		return slog.New(slog.NewJSONHandler(w, opt))
	}
	return slog.New(slog.NewTextHandler(w, opt))
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

// Time limits of the HTTP server. Answers have none here: feeds stay open and
// bound each of their writes.
const (
	headerTime   = 5 * time.Second
	requestTime  = 30 * time.Second
	idleTime     = 2 * time.Minute
	shutdownTime = 10 * time.Second
	// dayTime is how often the keeper looks whether the date has changed.
	dayTime = 10 * time.Minute
)

// host puts store, API and pages together and answers.
type host struct {
	app    *app
	store  *store.Store
	log    *slog.Logger
	config server.Config // of the API, completed by handler
	// guarded: everybody signs in; else whoever reaches the server may do all.
	guarded   bool
	cert, key string
	public    string // origin by which browsers reach it; empty: the listener's own

	register *access.Register
	api      *server.Server
	keeper   *reconcile.Keeper
}

// serve answers on addr until the context ends, then finishes what is under way.
func (h *host) serve(addr, invite string) error {
	a := h.app
	listener, err := new(net.ListenConfig).Listen(a.ctx, "tcp", addr)
	if err != nil {
		return &catalog.Error{Code: catalog.CodeUnavailable, Place: "--listen " + addr,
			Message: "the address cannot be used", Remedy: "Choose another port", Cause: err}
	}
	srv := &http.Server{Handler: h.handler(), ReadHeaderTimeout: headerTime, ReadTimeout: requestTime, IdleTimeout: idleTime,
		MaxHeaderBytes: 64 << 10, ErrorLog: slog.NewLogLogger(h.log.Handler(), slog.LevelWarn)}
	scheme := "http"
	if h.cert != "" {
		pair, err := tls.LoadX509KeyPair(h.cert, h.key)
		if err != nil {
			return errors.Join(catalog.Invalid("--tls-cert "+h.cert, "Give the PEM files of one pair", "%v", err), listener.Close())
		}
		srv.TLSConfig = &tls.Config{Certificates: []tls.Certificate{pair}, MinVersion: tls.VersionTLS12}
		scheme = "https"
	}
	base := cmp.Or(h.public, scheme+"://"+reachable(listener.Addr()))
	if err := h.welcome(base, invite); err != nil {
		return errors.Join(err, listener.Close())
	}
	if h.public != "" {
		a.out.linef("listening on %s://%s", scheme, reachable(listener.Addr()))
	}
	a.out.linef("pages   %s/", base)
	a.out.linef("API     %s/graphql, its schema %s/schema.graphql", base, base)
	a.out.linef("stop with Ctrl+C")
	return h.until(srv, listener)
}

// until runs the server and the keeper of the feed until the context ends.
func (h *host) until(srv *http.Server, listener net.Listener) error {
	ctx, stop := context.WithCancel(h.app.ctx)
	defer stop()
	kept := make(chan struct{})
	go func() {
		defer close(kept)
		day := time.NewTicker(dayTime)
		defer day.Stop()
		h.keeper.Run(ctx, day.C, func(err error) { h.log.Error("the feed of shortages was not brought up to date", "error", err) })
	}()
	ended := make(chan error, 1)
	go func() {
		if srv.TLSConfig != nil {
			ended <- srv.ServeTLS(listener, "", "")
			return
		}
		ended <- srv.Serve(listener)
	}()
	select {
	case err := <-ended:
		return fmt.Errorf("serve: %w", err)
	case <-ctx.Done():
	}
	<-kept
	h.log.Info("stopping")
	limit, cancel := context.WithTimeout(context.WithoutCancel(h.app.ctx), shutdownTime)
	defer cancel()
	h.api.Stop(limit)
	return srv.Shutdown(limit)
}

// reachable is an address that can be opened: a server on all addresses is at
// home on this machine's own name.
func reachable(a net.Addr) string {
	at, ok := a.(*net.TCPAddr)
	if !ok || !at.IP.IsUnspecified() {
		return a.String()
	}
	name, err := os.Hostname()
	if err != nil {
		name = "localhost"
	}
	return net.JoinHostPort(name, strconv.Itoa(at.Port))
}

// welcome prints a one-time link: when asked for, and when nobody can administer
// the shop yet.
func (h *host) welcome(base, invite string) error {
	if !h.guarded {
		return nil
	}
	ctx := h.app.ctx
	if invite == "" {
		has, err := h.register.Administered(ctx)
		if err != nil || has {
			return err
		}
		invite = "administrator"
	}
	_, code, err := h.register.Invite(ctx, access.Wanted{Name: invite, Scopes: catalog.Scopes(), By: "command line"})
	if err != nil {
		return err
	}
	h.app.out.linef("sign in %s%s?code=%s", base, graph.SignInPath, code)
	h.app.out.linef("        as %s; the link works once, within a day", invite)
	return nil
}

// handler puts API and pages together.
func (h *host) handler() http.Handler {
	a, s := h.app, h.store
	bench := reconcile.NewBench(s, a.now)
	h.register, h.keeper = access.NewRegister(s, a.now), reconcile.NewKeeper(s, bench, a.now)
	cfg := h.config
	cfg.Resolver = &graph.Resolver{Curator: catalog.NewCurator(s, a.now), Bench: bench,
		Access: h.register, Keeper: h.keeper, Now: a.now}
	cfg.Log = h.log
	cfg.Ready = func(ctx context.Context) error {
		st, err := s.Status(ctx)
		if err == nil && !st.Healthy {
			err = errors.New(st.Problem)
		}
		return err
	}
	local := &graph.Principal{Name: "bench", Scopes: catalog.Scopes()}
	cfg.Principal = func(*http.Request) *graph.Principal { return local }
	adm := server.NewAdmission(h.register, h.log)
	if h.guarded {
		adm.Secure = h.cert != "" || strings.HasPrefix(h.public, "https:")
		cfg.Principal, cfg.FromToken, cfg.Holds = adm.Principal, adm.FromToken, adm.Holds
	}
	h.api = server.New(cfg)
	mux := http.NewServeMux()
	h.api.Register(mux)
	pages := http.NewServeMux()
	page.New(page.Config{Server: h.api, Log: h.log, Now: a.now}).Register(pages)
	var rest http.Handler = h.api.WithPrincipal(pages)
	if h.guarded {
		adm.Register(mux)
		rest = adm.Required(rest)
	}
	mux.Handle("/", rest)
	if !h.guarded {
		return h.api.Observed(mux)
	}
	return h.api.Observed(adm.Wrap(h.api.CrossOrigin().Handler(mux)))
}
