package server

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"hash/fnv"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"layshaft/catalog"
	"layshaft/graph"
	"layshaft/reconcile"
)

// The feed of shortages as plain files, for programs that do not speak GraphQL:
//
//	GET /feeds/shortages.json?since=&job=&state=&blocking=&part=
//
// also .ndjson and .csv. Without since: what there is now. The header
// Layshaft-Cursor holds what to send as since next time; then ended shortages
// come too, with gone true. ETag and If-None-Match answer 304 while nothing has
// changed.
const headerCursor = "Layshaft-Cursor"

// feedRow is a row of the plain feed. The order of its fields is that of
// feedColumns; new ones go to the end.
type feedRow struct {
	Key       string   `json:"key"`
	Gone      bool     `json:"gone"`
	Job       string   `json:"job"`
	Position  string   `json:"position"`
	Label     string   `json:"label"`
	State     string   `json:"state"`
	Quantity  int      `json:"quantity"`
	Unit      string   `json:"unit"`
	SetOf     int      `json:"setOf"`
	Blocking  bool     `json:"blocking"`
	Possible  bool     `json:"possible"`
	NeededBy  string   `json:"neededBy"`
	Accept    []string `json:"accept"`
	Wanted    []string `json:"wanted"`
	OnOrder   int      `json:"onOrder"`
	Causes    []string `json:"causes"`
	Because   string   `json:"because"`
	Supplier  string   `json:"supplier"`
	Number    string   `json:"supplierNumber"`
	PriceUnit int64    `json:"priceMinor"`
	Currency  string   `json:"currency"`
	JobRev    uint64   `json:"jobRevision"`
	Catalog   uint64   `json:"catalogueRevision"`
	Change    uint64   `json:"change"`
	Governs   bool     `json:"governs"`
	Computed  string   `json:"computedAt"` // RFC 3339
	// What suppliers ask, the least landed cost first; in CSV as "supplier landed
	// currency days", days being the worst lead time.
	Offers []feedOffer `json:"offers"`
}

type feedOffer struct {
	Supplier string `json:"supplier"`
	Number   string `json:"supplierNumber"`
	Units    int    `json:"units"`
	Price    int64  `json:"priceMinor"`
	Landed   int64  `json:"landedMinor"` // 0 when it can't be added up
	Currency string `json:"currency"`
	Best     int    `json:"leadBest"`
	Likely   int    `json:"leadLikely"`
	Worst    int    `json:"leadWorst"`
}

// feedColumns are the members of a row in JSON and the heading of the CSV; the
// guide lists them.
var feedColumns = []string{"key", "gone", "job", "position", "label", "state", "quantity", "unit", "setOf", "blocking", "possible",
	"neededBy", "accept", "wanted", "onOrder", "causes", "because", "supplier", "supplierNumber", "priceMinor", "currency",
	"jobRevision", "catalogueRevision", "change", "governs", "computedAt", "offers"}

func feedRowOf(p reconcile.Pulled) feedRow {
	s := p.Row
	r := feedRow{Key: s.Key, Gone: p.Gone, Job: string(s.Job), Position: string(s.Position), Change: p.No,
		Accept: []string{}, Wanted: []string{}, Causes: []string{}, Offers: []feedOffer{}, State: string(reconcile.Ended), Computed: p.At.UTC().Format(time.RFC3339)}
	if p.Gone {
		return r
	}
	r.Label, r.State, r.Quantity, r.Unit, r.SetOf = s.Label, string(s.State), s.Quantity, string(s.Unit), s.SetOf
	r.Blocking, r.Possible, r.OnOrder, r.Because = s.Blocking, s.Possible, s.OnOrder, s.Because
	r.Supplier, r.Number, r.PriceUnit, r.Currency = string(s.Supplier), s.Number, int64(s.Price.Minor), s.Price.Currency
	r.JobRev, r.Catalog = s.JobRev, s.CatalogRev
	if !s.NeededBy.IsZero() {
		r.NeededBy = s.NeededBy.String()
	}
	for _, id := range s.Accept {
		r.Accept = append(r.Accept, string(id))
	}
	for _, a := range s.Wanted {
		r.Wanted = append(r.Wanted, strings.TrimSuffix(string(a.Name)+" "+a.At, " ")+"="+a.Value.String())
	}
	r.Governs = s.Governs
	for _, o := range s.Offers {
		r.Offers = append(r.Offers, feedOffer{string(o.Supplier), o.Number, o.Units, o.Price.Minor, o.Landed.Minor, o.Price.Currency,
			o.Lead.Best, o.Lead.Likely, o.Lead.Worst})
	}
	for _, h := range s.Chain {
		r.Causes = append(r.Causes, h.Cause)
	}
	return r
}

func (r feedRow) cells() []string {
	b, n := strconv.FormatBool, strconv.Itoa
	u := func(x uint64) string { return strconv.FormatUint(x, 10) }
	list := func(x []string) string { return strings.Join(x, " | ") }
	offers := make([]string, len(r.Offers))
	for i, o := range r.Offers {
		offers[i] = fmt.Sprintf("%s %d %s %d", o.Supplier, o.Landed, o.Currency, o.Worst)
	}
	return []string{r.Key, b(r.Gone), r.Job, r.Position, r.Label, r.State, n(r.Quantity), r.Unit, n(r.SetOf), b(r.Blocking), b(r.Possible),
		r.NeededBy, list(r.Accept), list(r.Wanted), n(r.OnOrder), list(r.Causes), r.Because, r.Supplier, r.Number,
		strconv.FormatInt(r.PriceUnit, 10), r.Currency, u(r.JobRev), u(r.Catalog), u(r.Change),
		b(r.Governs), r.Computed, list(offers)}
}

// feedFilter reads the filter of a request.
func feedFilter(q url.Values) (reconcile.ShortageFilter, error) {
	f := reconcile.ShortageFilter{Job: reconcile.JobID(q.Get("job")), Part: catalog.PartID(q.Get("part"))}
	if err := onlyParameters(q, "state", "job", "part", "blocking", "since"); err != nil {
		return f, err
	}
	for _, s := range q["state"] {
		state := reconcile.ShortageState(s)
		if !slices.Contains(reconcile.ShortageStates(), state) {
			return f, catalog.Invalid("state", fmt.Sprintf("Use one of %s; several as state=...&state=...", words(reconcile.ShortageStates())), "no state %q", s)
		}
		f.States = append(f.States, state)
	}
	if t := q.Get("blocking"); t != "" {
		b, err := strconv.ParseBool(t)
		if err != nil {
			return f, catalog.Invalid("blocking", "Write true or false", "not a yes or no")
		}
		f.Blocking = &b
	}
	return f, nil
}

// onlyParameters refuses a query with other parameters, which would widen the
// answer in silence, and one that gives any but the first twice.
func onlyParameters(q url.Values, many string, once ...string) error {
	for _, name := range slices.Sorted(maps.Keys(q)) {
		switch {
		case name == many:
		case !slices.Contains(once, name):
			return catalog.Invalid(name, "Use "+strings.Join(append(once, many), ", "), "no such parameter")
		case len(q[name]) > 1:
			return catalog.Invalid(name, "Give it once", "it is given %d times", len(q[name]))
		}
	}
	return nil
}

func words[T ~string](list []T) string {
	out := make([]string, len(list))
	for i, w := range list {
		out[i] = string(w)
	}
	return strings.Join(out, ", ")
}

// feedCost is what a plain feed costs, however long it is.
const feedCost = 1000

// charged lets a request of a plain feed in when its caller may ask for so much.
func (s *Server) charged(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		a := askedOf(r.Context())
		a.operation, a.kind, a.cost = strings.TrimPrefix(r.URL.Path, "/feeds/"), "feed", feedCost
		if a.wait = s.charge.take(caller(r.Context()), feedCost); a.wait > 0 {
			w.Header().Set("Retry-After", strconv.Itoa(seconds(a.wait)))
			http.Error(w, fmt.Sprintf(busyText, seconds(a.wait)), http.StatusTooManyRequests)
			return
		}
		next.ServeHTTP(w, r)
	})
}

// shortageFeed answers one of the plain feeds.
func (s *Server) shortageFeed(w http.ResponseWriter, r *http.Request) {
	format := strings.TrimPrefix(r.PathValue("file"), "shortages.")
	encode, known := map[string]func([]feedRow, string, uint64) ([]byte, string, error){
		"json": feedJSON, "ndjson": feedLines, "csv": feedCSV}[format]
	if !known || !strings.HasPrefix(r.PathValue("file"), "shortages.") {
		s.refuseFeed(w, r, &catalog.Error{Code: catalog.CodeNotFound, Place: r.URL.Path, Message: "no such feed",
			Remedy: "Ask for shortages.json, shortages.ndjson or shortages.csv"})
		return
	}
	rows, next, upTo, err := s.pullFeed(r)
	if err != nil {
		s.refuseFeed(w, r, err)
		return
	}
	h := w.Header()
	tag := fmt.Sprintf(`W/"%s.%s.%x"`, format, next, hashOf(r.URL.RawQuery))
	h.Set("ETag", tag)
	h.Set("Cache-Control", "private, no-cache")
	h.Set("Vary", "Authorization, Cookie")
	h.Set(headerCursor, next)
	if matchesTag(r.Header.Get("If-None-Match"), tag) {
		w.WriteHeader(http.StatusNotModified)
		return
	}
	body, media, err := encode(rows, next, upTo)
	if err != nil {
		s.refuseFeed(w, r, err)
		return
	}
	h.Set("Content-Type", media)
	h.Set("Content-Length", strconv.Itoa(len(body)))
	if r.Method != http.MethodHead {
		_, _ = w.Write(body)
	}
}

func (s *Server) pullFeed(r *http.Request) (rows []feedRow, next string, upTo uint64, err error) {
	q := r.URL.Query()
	filter, err := feedFilter(q)
	if err != nil {
		return nil, "", 0, err
	}
	feed, upTo, err := s.guarded.Feed(r.Context())
	if err != nil {
		return nil, "", 0, err
	}
	from, err := graph.FeedPlace(feed, "since", q.Get("since"))
	if err != nil {
		return nil, "", 0, err
	}
	page, to, _ := feed.Pull(from, len(feed.After(0))+1, filter)
	rows = make([]feedRow, len(page))
	for i, p := range page {
		rows[i] = feedRowOf(p)
	}
	return rows, graph.FeedText(to), upTo, nil
}

func hashOf(text string) uint64 {
	h := fnv.New64a()
	_, _ = h.Write([]byte(text))
	return h.Sum64()
}

// matchesTag compares weakly, as conditional requests want.
func matchesTag(header, tag string) bool {
	for _, t := range strings.Split(header, ",") {
		if t = strings.TrimSpace(t); t == "*" || strings.TrimPrefix(t, "W/") == strings.TrimPrefix(tag, "W/") {
			return true
		}
	}
	return false
}

func feedJSON(rows []feedRow, cursor string, upTo uint64) ([]byte, string, error) {
	b, err := json.Marshal(struct {
		Cursor    string    `json:"cursor"`
		UpTo      uint64    `json:"upTo"`
		Shortages []feedRow `json:"shortages"`
	}{cursor, upTo, rows})
	return append(b, '\n'), "application/json; charset=utf-8", err
}

func feedLines(rows []feedRow, _ string, _ uint64) ([]byte, string, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	for _, r := range rows {
		if err := enc.Encode(r); err != nil {
			return nil, "", err
		}
	}
	return b.Bytes(), "application/x-ndjson; charset=utf-8", nil
}

func feedCSV(rows []feedRow, _ string, _ uint64) ([]byte, string, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.UseCRLF = true // as RFC 4180 wants
	_ = w.Write(feedColumns)
	for _, r := range rows {
		_ = w.Write(r.cells())
	}
	w.Flush()
	return b.Bytes(), "text/csv; charset=utf-8; header=present", w.Error()
}

// refuseFeed answers an error in plain words with its status.
func (s *Server) refuseFeed(w http.ResponseWriter, r *http.Request, err error) {
	status, known := map[catalog.Code]int{catalog.CodeInvalid: http.StatusBadRequest, catalog.CodeNotFound: http.StatusNotFound,
		catalog.CodeForbidden: http.StatusForbidden, catalog.CodeSignIn: http.StatusUnauthorized,
		catalog.CodeUnavailable: http.StatusServiceUnavailable}[catalog.CodeOf(err)]
	text := err.Error()
	if !known {
		s.cfg.Log.ErrorContext(r.Context(), "feed", "request", RequestID(r.Context()), "error", err)
		status, text = http.StatusInternalServerError, "internal error "+RequestID(r.Context())
	}
	http.Error(w, text, status)
}
