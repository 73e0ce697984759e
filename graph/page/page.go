// Package page serves the web pages. Each page executes operations of the
// project's own API in this process, with the caller's principal, and renders
// their typed results: whatever a page shows or does, an integrator can do with
// the same operation. Pages work without script; page.js only makes them smoother.
//
// Map: page.go routes, client.go the operations, answer.go headers and errors,
// assets.go hashed files, words.json every word shown, sheet.templ the frame, and
// one .go and .templ file a page.
package page

//go:generate go tool genqlient genqlient.yaml
//go:generate go tool templ generate -log-level=error

import (
	"log/slog"
	"maps"
	"net/http"
	"strings"
	"time"

	"github.com/Khan/genqlient/graphql"
	"github.com/klauspost/compress/gzhttp"
)

// Config of the pages. All fields are needed.
type Config struct {
	// Server executes the API's operations; *server.Server does.
	Server Executor
	Log    *slog.Logger
	// Now is the clock: dates of today, names of new lists.
	Now func() time.Time
}

// Pages answers the routes of the web pages. It keeps no state of its own.
type Pages struct {
	exec   Executor
	api    graphql.Client
	log    *slog.Logger
	now    func() time.Time
	assets *assets
	cross  *http.CrossOriginProtection
}

// New builds the pages. It opens nothing.
func New(cfg Config) *Pages {
	return &Pages{exec: cfg.Server, api: client{cfg.Server}, log: cfg.Log, now: cfg.Now,
		assets: newAssets(), cross: http.NewCrossOriginProtection()}
}

// today is the date as ISO 8601 writes it.
func (p *Pages) today() string { return p.now().Format(time.DateOnly) }

// Register puts the pages' routes on a mux: the root, and what the routes below name.
func (p *Pages) Register(mux *http.ServeMux) {
	mux.Handle("GET /assets/{name}", zipped(p.assets))
	for pattern, h := range p.routes() {
		mux.Handle(pattern, zipped(p.guarded(h)))
	}
	mux.Handle("GET /jobs/{id}/events", p.guarded(p.events)) // a stream: every event goes out at once
}

// zipped compresses what is worth it for browsers that can read it.
func zipped(next http.Handler) http.Handler {
	wrap, err := gzhttp.NewWrapper(gzhttp.MinSize(1024), gzhttp.CompressionLevel(zipLevel))
	if err != nil {
		panic(err) // options are constants
	}
	return wrap(next)
}

// zipLevel is the one after which a page gets hardly smaller, only later.
const zipLevel = 5

// handler answers one request; an error becomes a page that says what to do.
type handler func(http.ResponseWriter, *http.Request) error

func (p *Pages) routes() map[string]handler {
	all := p.jobRoutes()
	maps.Copy(all, p.deskRoutes())
	maps.Copy(all, p.catalogueRoutes())
	maps.Copy(all, p.exportRoutes())
	for pattern, h := range all {
		if strings.HasPrefix(pattern, "POST /jobs/{id}/") {
			all[pattern] = p.ownEdits(h)
		}
	}
	all["POST /jobs/{id}/seen"] = p.seen // no edit
	return all
}

func (p *Pages) jobRoutes() map[string]handler {
	return map[string]handler{
		"GET /{$}":                             p.jobs,
		"POST /jobs":                           p.openJob,
		"POST /prefs":                          p.setPrefs,
		"GET /jobs/{id}":                       p.job,
		"GET /jobs/{id}/decisions":             p.decisions,
		"GET /jobs/{id}/history":               p.history,
		"GET /jobs/{id}/measure":               p.measureList,
		"GET /jobs/{id}/measure/{stack}":       p.measureStack,
		"POST /jobs/{id}/measure/{stack}":      p.keepStack,
		"GET /look-up":                         p.lookUp,
		"GET /jobs/{id}/edit":                  p.edited(p.headRecord()),
		"POST /jobs/{id}/edit":                 p.saved(p.headRecord()),
		"GET /jobs/{id}/find":                  p.find,
		"GET /jobs/{id}/shortages.csv":         p.jobShortagesCSV,
		"GET /jobs/{id}/surplus.csv":           p.surplusCSV,
		"GET /jobs/{id}/decisions.csv":         p.decisionsCSV,
		"GET /counter":                         p.counter,
		"GET /counter/fit":                     p.willItFit,
		"GET /counter/needs/{key}":             p.needs,
		"POST /jobs/{id}/lists":                p.keepList,
		"POST /jobs/{id}/file":                 p.readFile,
		"POST /jobs/{id}/note":                 p.note,
		"POST /jobs/{id}/answer":               p.answer,
		"POST /jobs/{id}/decide":               p.decide,
		"POST /jobs/{id}/take":                 p.take,
		"POST /jobs/{id}/have":                 p.have,
		"POST /jobs/{id}/sign":                 p.sign,
		"POST /jobs/{id}/remove":               p.remove,
		"POST /jobs/{id}/undo":                 p.undo,
		"GET /jobs/{id}/sheet":                 p.buildSheet,
		"GET /jobs/{id}/bench-sheet":           p.benchSheet,
		"GET /jobs/{id}/decisions/{position}":  p.detail,
		"POST /jobs/{id}/decisions/{position}": p.keepDetail,
	}
}
