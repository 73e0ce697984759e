package page

import (
	"bytes"
	"errors"
	"net/http"
	"net/url"
	"strings"
	"sync"

	"github.com/a-h/templ"
	"github.com/vektah/gqlparser/v2/gqlerror"
)

// policy allows our own files and nothing else; no script may turn text into
// markup.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; " +
	"form-action 'self'; base-uri 'none'; frame-ancestors 'none'; require-trusted-types-for 'script'; trusted-types 'none'"

// maxForm bounds a form; the API bounds the text of a list on its own.
const maxForm = 1 << 20

// guarded gives a handler the caller's principal, the security headers, a bound
// body, its form read, protection against other sites' forms, and an error page.
func (p *Pages) guarded(h handler) http.Handler {
	return p.exec.WithPrincipal(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		head := w.Header()
		head.Set("Content-Security-Policy", policy)
		head.Set("X-Content-Type-Options", "nosniff")
		head.Set("Referrer-Policy", "no-referrer")
		head.Set("Cross-Origin-Opener-Policy", "same-origin")
		head.Set("Cache-Control", "no-cache")
		if err := p.cross.Check(r); err != nil {
			p.fail(w, r, &refusal{http.StatusForbidden, say("error.cross"), say("error.cross.remedy")})
			return
		}
		r.Body = http.MaxBytesReader(w, r.Body, maxForm)
		if err := r.ParseForm(); err != nil && r.Method == http.MethodPost {
			p.fail(w, r, unreadableForm(err))
			return
		}
		if err := h(w, r); err != nil {
			p.fail(w, r, err)
		}
	}))
}

// refusal is an error with its status and words for people.
type refusal struct {
	status       int
	what, remedy string
}

func (e *refusal) Error() string { return e.what }

func notFound(what string) error {
	return &refusal{http.StatusNotFound, what, say("error.missing.remedy")}
}

// statusOf maps the API's codes to HTTP.
var statusOf = map[string]int{
	"INVALID": http.StatusBadRequest, "NOT_FOUND": http.StatusNotFound, "CONFLICT": http.StatusConflict,
	"FORBIDDEN": http.StatusForbidden, "SIGN_IN": http.StatusUnauthorized,
	"TOO_LARGE": http.StatusRequestEntityTooLarge, "UNAVAILABLE": http.StatusServiceUnavailable,
	"BUSY": http.StatusServiceUnavailable, "FULL": http.StatusInsufficientStorage,
}

// asRefusal words an error. What the API words already is kept; its internal
// errors carry an id and no detail.
func asRefusal(err error) *refusal {
	var ours *refusal
	if errors.As(err, &ours) {
		return ours
	}
	var tooLarge *http.MaxBytesError
	if errors.As(err, &tooLarge) {
		return &refusal{http.StatusRequestEntityTooLarge, say("error.large"), say("error.large.remedy")}
	}
	var list gqlerror.List
	if errors.As(err, &list) && len(list) > 0 {
		code, _ := list[0].Extensions["code"].(string)
		remedy, _ := list[0].Extensions["remedy"].(string)
		status, known := statusOf[code]
		if !known {
			status = http.StatusInternalServerError
		}
		return &refusal{status, list[0].Message, remedy}
	}
	return &refusal{http.StatusInternalServerError, say("error.internal"), say("error.internal.remedy")}
}

// unreadableForm: a form that is too large says so; of any other the sender is told.
func unreadableForm(err error) error {
	var tooLarge *http.MaxBytesError
	if errors.As(err, &tooLarge) {
		return err
	}
	return &refusal{http.StatusBadRequest, say("error.choice"), say("error.choice.remedy")}
}

func (p *Pages) fail(w http.ResponseWriter, r *http.Request, err error) {
	e := asRefusal(err)
	if e.status >= http.StatusInternalServerError {
		p.log.ErrorContext(r.Context(), "page", "path", r.URL.Path, "error", err)
	}
	v := p.view(r, say("error.title"), "", "")
	if err := p.render(w, r, e.status, v, errorPage(e)); err != nil {
		p.log.ErrorContext(r.Context(), "error page", "error", err)
	}
}

// buffers are of pages that were sent.
var buffers = sync.Pool{New: func() any { return new(bytes.Buffer) }}

// render writes a whole page: nothing is sent when a component fails.
func (p *Pages) render(w http.ResponseWriter, r *http.Request, status int, v *view, body templ.Component) error {
	b := buffers.Get().(*bytes.Buffer)
	defer buffers.Put(b)
	b.Reset()
	ctx := templ.WithChildren(withRequest(r.Context()), body)
	if err := sheet(v).Render(ctx, b); err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(status)
	_, err := w.Write(b.Bytes())
	return err
}

// back sends the browser on after a form: nothing is sent twice by a reload.
func back(w http.ResponseWriter, r *http.Request, to string) error {
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}

// local keeps a path of ours and replaces every other address by the root.
func local(to string) string {
	u, err := url.Parse(to)
	if err != nil || u.Scheme != "" || u.Host != "" || !strings.HasPrefix(u.Path, "/") ||
		strings.HasPrefix(to, "//") || strings.ContainsAny(to, "\\\r\n") {
		return "/"
	}
	return to
}
