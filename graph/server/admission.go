package server

import (
	"context"
	_ "embed"
	"html/template"
	"log/slog"
	"net/http"
	"strconv"
	"strings"
	"sync"
	"time"

	"golang.org/x/time/rate"

	"layshaft/catalog"
	"layshaft/catalog/access"
	"layshaft/graph"
)

const (
	cookieName = "layshaft-session"
	// failures that one address may make in a row, and how fast they are forgiven.
	failBurst = 10
	failEvery = 6 * time.Second
)

// Admission lets people and systems in: by bearer token, or by the cookie of a
// session that a one-time code opened.
type Admission struct {
	register *access.Register
	log      *slog.Logger
	failed   *limiters
	known    neighbours
	// Secure marks the cookie for TLS alone; set it when browsers speak TLS.
	Secure bool
}

// neighbours remembers which grants came from which address: a shop shares one,
// and must not be shut out because one of its programs sends an old token.
type neighbours struct {
	mu   sync.Mutex // guards pairs
	seen map[neighbour]bool
}

type neighbour struct{ address, grant string }

func (n *neighbours) knows(address, grant string) bool {
	n.mu.Lock()
	defer n.mu.Unlock()
	return n.seen[neighbour{address, grant}]
}

func (n *neighbours) meet(address, grant string) {
	n.mu.Lock()
	defer n.mu.Unlock()
	if n.seen == nil || len(n.seen) >= maxLimiters {
		n.seen = map[neighbour]bool{}
	}
	n.seen[neighbour{address, grant}] = true
}

// NewAdmission returns an admission over a register without a gate.
func NewAdmission(register *access.Register, log *slog.Logger) *Admission {
	return &Admission{register: register, log: log, failed: newLimiters(rate.Every(failEvery), failBurst)}
}

// Principal of a request that Wrap has looked at; nil when nobody is signed in.
func (a *Admission) Principal(r *http.Request) *graph.Principal {
	return graph.PrincipalOf(r.Context())
}

// Wrap finds the principal of each request. A key that does not hold answers
// 401 at once; an address that goes on guessing is made to wait, and learns
// nothing meanwhile. Whoever came in from there before is not kept waiting.
func (a *Admission) Wrap(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		key, bearer := bearerOf(r)
		if key == "" {
			if c, err := r.Cookie(cookieName); err == nil {
				key = c.Value
			}
		}
		if key == "" {
			next.ServeHTTP(w, r)
			return
		}
		from := addressOf(r)
		g, err := a.register.Check(r.Context(), key)
		switch {
		case a.guessing(from) && (err != nil || !a.known.knows(from, g.ID)):
			a.askToWait(w)
			return
		case catalog.CodeOf(err) == catalog.CodeSignIn && bearer:
			a.fail(r)
			w.Header().Set("WWW-Authenticate", `Bearer realm="layshaft"`)
			refuse(w, mediaJSON, http.StatusUnauthorized, "the token is unknown, taken back or over")
			return
		case catalog.CodeOf(err) == catalog.CodeSignIn:
			a.fail(r)
			a.setCookie(w, "", -1) // an old session: go on as nobody
		case err != nil:
			a.log.ErrorContext(r.Context(), "access", "request", RequestID(r.Context()), "error", err)
			refuse(w, mediaJSON, http.StatusServiceUnavailable, "who you are cannot be looked up now; try again")
			return
		default:
			a.known.meet(from, g.ID)
			r = r.WithContext(withGrant(r.Context(), g))
		}
		next.ServeHTTP(w, r)
	})
}

func withGrant(ctx context.Context, g *access.Grant) context.Context {
	return graph.WithPrincipal(ctx, &graph.Principal{Name: g.Name, Scopes: g.Scopes, Grant: g.ID})
}

// FromToken finds the principal of "Bearer <key>"; nil when it lets nobody in.
func (a *Admission) FromToken(ctx context.Context, authorization string) *graph.Principal {
	kind, key, _ := strings.Cut(authorization, " ")
	if !strings.EqualFold(kind, "Bearer") {
		return nil
	}
	g, err := a.register.Check(ctx, strings.TrimSpace(key))
	if err != nil {
		a.log.WarnContext(ctx, "a key does not hold", "request", RequestID(ctx), "remote", askedOf(ctx).remote)
		return nil
	}
	return graph.PrincipalOf(withGrant(ctx, g))
}

// Holds reports whether a grant still lets its bearer in. When that cannot be
// looked up, the answer stays what it was.
func (a *Admission) Holds(ctx context.Context, grant string) bool {
	held, err := a.register.Holds(ctx, grant)
	return held || err != nil
}

func bearerOf(r *http.Request) (string, bool) {
	kind, key, _ := strings.Cut(r.Header.Get("Authorization"), " ")
	if !strings.EqualFold(kind, "Bearer") {
		return "", false
	}
	return strings.TrimSpace(key), true
}

// guessing reports whether too many keys that do not hold came from an address.
func (a *Admission) guessing(address string) bool { return a.failed.of(address).Tokens() < 1 }

func (a *Admission) askToWait(w http.ResponseWriter) {
	w.Header().Set("Retry-After", strconv.Itoa(int(failEvery/time.Second)))
	refuse(w, mediaJSON, http.StatusTooManyRequests, "too many keys that do not hold came from this address; wait")
}

func (a *Admission) fail(r *http.Request) {
	from := addressOf(r)
	a.failed.of(from).Allow()
	a.log.WarnContext(r.Context(), "a key does not hold", "request", RequestID(r.Context()), "remote", from)
}

func (a *Admission) setCookie(w http.ResponseWriter, value string, age int) {
	http.SetCookie(w, &http.Cookie{Name: cookieName, Value: value, Path: "/", MaxAge: age,
		HttpOnly: true, Secure: a.Secure, SameSite: http.SameSiteLaxMode})
}

// Required sends a browser that is not signed in to the sign-in page; files and
// forms are for those who are.
func (a *Admission) Required(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if graph.PrincipalOf(r.Context()) == nil && !strings.HasPrefix(r.URL.Path, "/assets/") {
			http.Redirect(w, r, graph.SignInPath, http.StatusSeeOther)
			return
		}
		next.ServeHTTP(w, r)
	})
}

// Register puts signing in and out on a mux.
func (a *Admission) Register(mux *http.ServeMux) {
	mux.HandleFunc("GET "+graph.SignInPath, a.form)
	mux.HandleFunc("POST "+graph.SignInPath, a.enter)
	mux.HandleFunc("POST /sign-out", a.leave)
}

//go:embed signin.html
var signInPage string

var signIn = template.Must(template.New("sign-in").Parse(signInPage))

// form shows the code with a button: opening a link must not use it up, since
// mail programs open links too. Whoever is signed in finds the way out here.
func (a *Admission) form(w http.ResponseWriter, r *http.Request) {
	a.show(w, r, http.StatusOK, r.URL.Query().Get("code"), "")
}

func (a *Admission) show(w http.ResponseWriter, r *http.Request, status int, code, problem string) {
	h := w.Header()
	h.Set("Content-Type", "text/html; charset=utf-8")
	h.Set("Content-Security-Policy", "default-src 'none'; style-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("Cache-Control", "no-store")
	h.Set("X-Content-Type-Options", "nosniff")
	w.WriteHeader(status)
	who := ""
	if p := graph.PrincipalOf(r.Context()); p != nil {
		who = p.Name
	}
	if err := signIn.Execute(w, struct{ Code, Problem, Who string }{code, problem, who}); err != nil {
		a.log.WarnContext(r.Context(), "sign-in page", "error", err)
	}
}

func (a *Admission) enter(w http.ResponseWriter, r *http.Request) {
	if a.guessing(addressOf(r)) {
		a.askToWait(w)
		return
	}
	r.Body = http.MaxBytesReader(w, r.Body, 4096)
	session, key, err := a.register.Enter(r.Context(), strings.TrimSpace(r.PostFormValue("code")))
	switch {
	case catalog.CodeOf(err) == catalog.CodeSignIn:
		a.fail(r)
		a.show(w, r, http.StatusForbidden, "", "This code is unknown, used already or over. Ask an administrator for a new one.")
		return
	case err != nil:
		a.log.ErrorContext(r.Context(), "sign-in", "request", RequestID(r.Context()), "error", err)
		a.show(w, r, http.StatusServiceUnavailable, "", "Signing in is not possible now. Try again.")
		return
	}
	a.log.InfoContext(r.Context(), "signed in", "request", RequestID(r.Context()), "who", session.Name, "grant", session.ID)
	a.setCookie(w, key, int(access.SessionTime/time.Second))
	http.Redirect(w, r, "/", http.StatusSeeOther)
}

func (a *Admission) leave(w http.ResponseWriter, r *http.Request) {
	if c, err := r.Cookie(cookieName); err == nil {
		if err := a.register.Leave(r.Context(), c.Value); err != nil {
			a.log.ErrorContext(r.Context(), "sign-out", "request", RequestID(r.Context()), "error", err)
		}
	}
	if p := graph.PrincipalOf(r.Context()); p != nil && r.PostFormValue("everywhere") != "" {
		if _, err := a.register.SignOut(r.Context(), p.Name, p.Name); err != nil {
			a.log.ErrorContext(r.Context(), "sign-out everywhere", "request", RequestID(r.Context()), "error", err)
		}
	}
	a.setCookie(w, "", -1)
	http.Redirect(w, r, graph.SignInPath, http.StatusSeeOther)
}
