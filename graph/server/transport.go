package server

import (
	"cmp"
	"encoding/json"
	"errors"
	"io"
	"mime"
	"net/http"
	"strconv"
	"strings"
	"sync"

	"github.com/99designs/gqlgen/graphql"
	"github.com/vektah/gqlparser/v2/ast"
	"github.com/vektah/gqlparser/v2/gqlerror"
)

const (
	mediaJSON = "application/json"
	// headerCost of an answer tells what the operation cost.
	headerCost   = "Layshaft-Cost"
	mediaGraphQL = "application/graphql-response+json"
	// maxBody bounds a request; a kit list of 256 KiB fits with its escapes.
	maxBody = 1 << 20

	tooLargeBody = "the request is larger than 1 MiB; send less at a time"
)

// transport answers GET and POST as the GraphQL over HTTP draft wants: request
// errors are 200 for application/json and 400 for the GraphQL media type, an
// answer without data has no data entry, and GET only queries.
type transport struct{ exec graphql.GraphExecutor }

func (t transport) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	media := acceptable(r.Header.Values("Accept"))
	if media == "" {
		refuse(w, mediaJSON, http.StatusNotAcceptable, "accept application/json or application/graphql-response+json")
		return
	}
	params, status, reason := readRequest(w, r)
	if reason != "" {
		refuse(w, media, status, reason)
		return
	}
	params.Headers = r.Header
	params.ReadTime = graphql.TraceTiming{Start: graphql.Now(), End: graphql.Now()}
	ctx := graphql.StartOperationTrace(r.Context())
	op, errs := t.exec.CreateOperationContext(ctx, params)
	if len(errs) > 0 {
		errs = t.exec.DispatchError(graphql.WithOperationContext(ctx, op), errs).Errors
		if wait := askedOf(ctx).wait; wait > 0 {
			w.Header().Set("Retry-After", strconv.Itoa(seconds(wait)))
			writeJSON(w, media, http.StatusTooManyRequests, errorBody(errs))
			return
		}
		writeErrors(w, media, errs)
		return
	}
	if r.Method == http.MethodGet && op.Operation.Operation != ast.Query {
		w.Header().Set("Allow", http.MethodPost)
		refuse(w, media, http.StatusMethodNotAllowed, "a GET may only query; send a POST")
		return
	}
	if op.Operation.Operation == ast.Subscription {
		refuse(w, media, http.StatusBadRequest, "subscribe over server-sent events or a websocket")
		return
	}
	w.Header().Set(headerCost, strconv.Itoa(OperationCost(op)))
	next, ctx := t.exec.DispatchOperation(ctx, op)
	writeResponse(w, media, next(ctx))
}

// acceptable picks the answer's media type; empty when none of ours will do.
func acceptable(accept []string) string {
	if len(accept) == 0 {
		return mediaJSON
	}
	for _, field := range strings.Split(strings.Join(accept, ","), ",") {
		media, params, err := mime.ParseMediaType(strings.TrimSpace(field))
		if err != nil || params["q"] == "0" {
			continue
		}
		if c := strings.ToLower(params["charset"]); c != "" && c != "utf-8" && c != "utf8" {
			continue
		}
		switch media {
		case mediaGraphQL:
			return mediaGraphQL
		case mediaJSON, "application/*", "*/*":
			return mediaJSON
		}
	}
	return ""
}

// readRequest takes the parameters of a request, or says why it cannot.
func readRequest(w http.ResponseWriter, r *http.Request) (*graphql.RawParams, int, string) {
	switch r.Method {
	case http.MethodGet:
		return readQuery(r)
	case http.MethodPost:
		return readBody(w, r)
	}
	w.Header().Set("Allow", "GET, POST")
	return nil, http.StatusMethodNotAllowed, "send a GET or a POST"
}

func readQuery(r *http.Request) (*graphql.RawParams, int, string) {
	q := r.URL.Query()
	p := &graphql.RawParams{Query: q.Get("query"), OperationName: q.Get("operationName")}
	for name, to := range map[string]*map[string]any{"variables": &p.Variables, "extensions": &p.Extensions} {
		if s := q.Get(name); s != "" {
			if err := decode(strings.NewReader(s), to); err != nil {
				return nil, http.StatusBadRequest, name + " must be a JSON object"
			}
		}
	}
	if p.Query == "" {
		return nil, http.StatusBadRequest, "no query; send the parameter query"
	}
	return p, 0, ""
}

// body is a request as it stands in JSON; pointers, since null is allowed for
// what may be left out.
type body struct {
	Query         *string         `json:"query"`
	OperationName *string         `json:"operationName"`
	Variables     *map[string]any `json:"variables"`
	Extensions    *map[string]any `json:"extensions"`
}

func readBody(w http.ResponseWriter, r *http.Request) (*graphql.RawParams, int, string) {
	media, params, err := mime.ParseMediaType(r.Header.Get("Content-Type"))
	if err != nil || media != mediaJSON {
		return nil, http.StatusUnsupportedMediaType, "send Content-Type application/json"
	}
	if c := strings.ToLower(params["charset"]); c != "" && c != "utf-8" && c != "utf8" {
		return nil, http.StatusUnsupportedMediaType, "send JSON in UTF-8"
	}
	if r.ContentLength > maxBody {
		return nil, http.StatusRequestEntityTooLarge, tooLargeBody
	}
	var b body
	if err := decode(http.MaxBytesReader(w, r.Body, maxBody), &b); err != nil {
		var tooLarge *http.MaxBytesError
		if errors.As(err, &tooLarge) {
			return nil, http.StatusRequestEntityTooLarge, tooLargeBody
		}
		return nil, http.StatusBadRequest, "the body must be one JSON object with query, operationName, variables, extensions"
	}
	if b.Query == nil || *b.Query == "" {
		return nil, http.StatusBadRequest, "no query; send the member query"
	}
	return b.params(), 0, ""
}

func (b *body) params() *graphql.RawParams {
	p := &graphql.RawParams{Query: *b.Query}
	if b.OperationName != nil {
		p.OperationName = *b.OperationName
	}
	if b.Variables != nil {
		p.Variables = *b.Variables
	}
	if b.Extensions != nil {
		p.Extensions = *b.Extensions
	}
	return p
}

// decode reads exactly one JSON value and keeps numbers as they are written.
func decode(r io.Reader, to any) error {
	d := json.NewDecoder(r)
	d.UseNumber()
	if err := d.Decode(to); err != nil {
		return err
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return errors.Join(errors.New("more than one value"), err)
	}
	return nil
}

// refusals are the codes of what is refused before it is an operation.
var refusals = map[int]string{
	http.StatusUnauthorized:          "SIGN_IN",
	http.StatusForbidden:             "FORBIDDEN",
	http.StatusRequestEntityTooLarge: "TOO_LARGE",
	http.StatusTooManyRequests:       "BUSY",
	http.StatusInternalServerError:   "INTERNAL",
	http.StatusServiceUnavailable:    "UNAVAILABLE",
}

func refuse(w http.ResponseWriter, media string, status int, reason string) {
	writeJSON(w, media, status, errorBody(gqlerror.List{{Message: reason,
		Extensions: map[string]any{"code": cmp.Or(refusals[status], "BAD_REQUEST")}}}))
}

func writeErrors(w http.ResponseWriter, media string, errs gqlerror.List) {
	status := http.StatusOK
	if media == mediaGraphQL {
		status = http.StatusBadRequest
	}
	writeJSON(w, media, status, errorBody(errs))
}

// Bounds of an answer that is all errors: validation can find thousands, and
// quotes what it refuses.
const (
	maxErrors  = 20
	maxMessage = 400
)

func errorBody(errs gqlerror.List) []byte {
	errs = errs[:min(len(errs), maxErrors)]
	for i, e := range errs {
		if len(e.Message) > maxMessage {
			short := *e
			short.Message = strings.ToValidUTF8(e.Message[:maxMessage], "") + " ..."
			errs[i] = &short
		}
	}
	b, err := json.Marshal(struct {
		Errors gqlerror.List `json:"errors"`
	}{errs})
	if err != nil {
		return []byte(`{"errors":[{"message":"internal error"}]}`)
	}
	return b
}

// bodies are written and used again: one write is quicker than three, and a
// large buffer a request is most of what a kept answer costs.
var bodies = sync.Pool{New: func() any { return new([]byte) }}

// writeResponse passes finished data through: encoding it again would cost as
// much as answering.
func writeResponse(w http.ResponseWriter, media string, resp *graphql.Response) {
	switch {
	case resp == nil:
		refuse(w, media, http.StatusServiceUnavailable, "the request was given up")
	case len(resp.Errors) == 0 && len(resp.Extensions) == 0:
		b := bodies.Get().(*[]byte)
		*b = append(append(append((*b)[:0], `{"data":`...), resp.Data...), '}')
		writeJSON(w, media, http.StatusOK, *b)
		if cap(*b) <= maxBody {
			bodies.Put(b)
		}
	case resp.Data == nil:
		writeErrors(w, media, resp.Errors)
	default:
		b, err := json.Marshal(resp)
		if err != nil {
			refuse(w, media, http.StatusInternalServerError, "internal error")
			return
		}
		writeJSON(w, media, http.StatusOK, b)
	}
}

func writeJSON(w http.ResponseWriter, media string, status int, b []byte) {
	h := w.Header()
	h.Set("Content-Type", media+"; charset=utf-8")
	h.Set("Content-Length", strconv.Itoa(len(b)))
	w.WriteHeader(status)
	_, _ = w.Write(b)
}
