package access

import (
	"context"
	"errors"
	"slices"
	"strings"
	"time"

	"layshaft/catalog"
)

// Repository is what the Register needs of a store.
type Repository interface {
	// Grant by id; CodeNotFound when absent.
	Grant(ctx context.Context, id string) (*Grant, error)
	// Grants lists all of them by id.
	Grants(ctx context.Context) ([]*Grant, error)
	// PutGrants stores grants in one batch while each still has the revision that
	// it was seen at, else CodeConflict.
	PutGrants(ctx context.Context, gs ...*Grant) error
	// Note adds an entry to the audit log.
	Note(ctx context.Context, n *Note) error
	// Notes lists the audit log newest first: n at most, after a key.
	Notes(ctx context.Context, after string, n int) ([]*Note, error)
}

// Note is an entry of the audit log: one mutation that was asked for. It never
// holds what was sent.
type Note struct {
	// Key orders notes newest first; set by the store.
	Key       string    `cbor:"-"`
	At        time.Time `cbor:"1,keyasint"`
	Who       string    `cbor:"2,keyasint"`
	Operation string    `cbor:"3,keyasint"` // name that the caller gave
	Fields    []string  `cbor:"4,keyasint"` // mutations asked for
	// Codes are the errors' codes; empty when all went well.
	Codes []string `cbor:"5,keyasint,omitempty"`
	// Request is the id of the HTTP request in the log.
	Request string `cbor:"6,keyasint,omitempty"`
}

// Lengths of time.
const (
	// CodeTime is how long a sign-in code holds.
	CodeTime = 24 * time.Hour
	// SessionTime is how long a browser stays signed in.
	SessionTime = 30 * 24 * time.Hour
	// LongestToken is the longest life of a token.
	LongestToken = 5 * 366 * 24 * time.Hour
)

// Register makes, checks and takes back grants. Making, listing and taking back
// are for those with ScopeAdminister when there is a gate.
type Register struct {
	repo Repository
	now  func() time.Time
	gate catalog.Gate
}

// NewRegister returns a register over a store; now is the clock.
func NewRegister(repo Repository, now func() time.Time) *Register {
	return &Register{repo: repo, now: now}
}

// Guarded returns the same register for callers who must pass a gate.
func (r *Register) Guarded(gate catalog.Gate) *Register {
	guarded := *r
	guarded.gate = gate
	return &guarded
}

// Wanted describes a grant to be made.
type Wanted struct {
	Name   string
	Scopes []catalog.Scope
	Life   time.Duration
	By     string
}

func (w Wanted) valid() error {
	switch {
	case strings.TrimSpace(w.Name) == "" || len(w.Name) > 100:
		return catalog.Invalid("name", "Name the person or system in 1 to 100 characters", "not a name")
	case len(w.Scopes) == 0:
		return catalog.Invalid("scopes", "Name at least one", "nothing would be allowed")
	case w.Life <= 0 || w.Life > LongestToken:
		return catalog.Invalid("days", "Let it end within five years", "it would hold too long or not at all")
	}
	for _, s := range w.Scopes {
		if !slices.Contains(catalog.Scopes(), s) {
			return catalog.Invalid("scopes", "Use a scope of the API", "no scope %q", s)
		}
	}
	return nil
}

// Issue makes a token. The key is returned this once and kept nowhere.
func (r *Register) Issue(ctx context.Context, w Wanted) (*Grant, string, error) {
	return r.make(ctx, Token, w)
}

// Invite makes a one-time sign-in code for a person.
func (r *Register) Invite(ctx context.Context, w Wanted) (*Grant, string, error) {
	w.Life = CodeTime
	return r.make(ctx, Code, w)
}

func (r *Register) make(ctx context.Context, kind Kind, w Wanted) (*Grant, string, error) {
	if err := r.gate.Check(ctx, catalog.ScopeAdminister); err != nil {
		return nil, "", err
	}
	if err := w.valid(); err != nil {
		return nil, "", err
	}
	g, key := r.fresh(kind, w)
	if err := r.repo.PutGrants(ctx, g); err != nil {
		return nil, "", err
	}
	return g, key, nil
}

func (r *Register) fresh(kind Kind, w Wanted) (*Grant, string) {
	id, key, hash := newKey()
	now := r.now().UTC().Truncate(time.Second)
	return &Grant{ID: id, Kind: kind, Name: strings.TrimSpace(w.Name), Scopes: slices.Clone(w.Scopes), Hash: hash, By: w.By,
		Made: now, Ends: now.Add(w.Life)}, key
}

// errKey is all that a caller learns about a key that does not hold.
func errKey() error {
	return &catalog.Error{Code: catalog.CodeSignIn, Message: "the key is unknown, used up, taken back or over",
		Remedy: "Ask an administrator for a new one"}
}

// Enter uses a code up and opens a session in one step.
func (r *Register) Enter(ctx context.Context, key string) (*Grant, string, error) {
	code, err := r.check(ctx, key, Code)
	if err != nil {
		return nil, "", err
	}
	code.Revoked = r.now().UTC().Truncate(time.Second)
	code.Used = code.Revoked
	session, secret := r.fresh(Session, Wanted{Name: code.Name, Scopes: code.Scopes, Life: SessionTime, By: code.Name})
	err = r.repo.PutGrants(ctx, code, session)
	if catalog.CodeOf(err) == catalog.CodeConflict {
		return nil, "", errKey() // somebody else was faster with the same code
	}
	if err != nil {
		return nil, "", err
	}
	return session, secret, nil
}

// Check finds the grant of a token or session key.
func (r *Register) Check(ctx context.Context, key string) (*Grant, error) {
	g, err := r.check(ctx, key, Token, Session)
	if err != nil {
		return nil, err
	}
	if now := r.now().UTC().Truncate(time.Minute); g.Used.Before(now) {
		g.Used = now
		// Another request may have written it; who is let in does not depend on it.
		if err := r.repo.PutGrants(ctx, g); err != nil && catalog.CodeOf(err) == catalog.CodeCorrupt {
			return nil, err
		}
	}
	return g, nil
}

func (r *Register) check(ctx context.Context, key string, kinds ...Kind) (*Grant, error) {
	id, secret, ok := splitKey(key)
	if !ok {
		return nil, errKey()
	}
	g, err := r.repo.Grant(ctx, id)
	switch {
	case catalog.CodeOf(err) == catalog.CodeNotFound:
		return nil, errKey()
	case err != nil:
		return nil, err
	case !g.matches(secret) || !g.Holds(r.now()) || !slices.Contains(kinds, g.Kind):
		return nil, errKey()
	}
	return g, nil
}

// List shows all grants, newest first; their hashes stay inside.
func (r *Register) List(ctx context.Context) ([]*Grant, error) {
	if err := r.gate.Check(ctx, catalog.ScopeAdminister); err != nil {
		return nil, err
	}
	gs, err := r.repo.Grants(ctx)
	if err != nil {
		return nil, err
	}
	slices.SortStableFunc(gs, func(a, b *Grant) int { return b.Made.Compare(a.Made) })
	return gs, nil
}

// Revoke takes a grant back.
func (r *Register) Revoke(ctx context.Context, id string) (*Grant, error) {
	if err := r.gate.Check(ctx, catalog.ScopeAdminister); err != nil {
		return nil, err
	}
	return r.revoke(ctx, id)
}

func (r *Register) revoke(ctx context.Context, id string) (*Grant, error) {
	for {
		g, err := r.repo.Grant(ctx, id)
		if err != nil || !g.Revoked.IsZero() {
			return g, err
		}
		g.Revoked = r.now().UTC().Truncate(time.Second)
		if err = r.repo.PutGrants(ctx, g); catalog.CodeOf(err) != catalog.CodeConflict {
			return g, err
		}
	}
}

// Leave ends the session of a key; an unknown key is no error.
func (r *Register) Leave(ctx context.Context, key string) error {
	g, err := r.check(ctx, key, Session)
	if catalog.CodeOf(err) == catalog.CodeSignIn {
		return nil
	}
	if err != nil {
		return err
	}
	_, err = r.revoke(ctx, g.ID)
	return err
}

// SignOut ends every session of a person and takes back their unused codes; it
// tells how many. A person may do it for themselves.
func (r *Register) SignOut(ctx context.Context, name, by string) (int, error) {
	if name != by {
		if err := r.gate.Check(ctx, catalog.ScopeAdminister); err != nil {
			return 0, err
		}
	}
	gs, err := r.repo.Grants(ctx)
	if err != nil {
		return 0, err
	}
	n := 0
	var failed error
	for _, g := range gs {
		if g.Name != name || g.Kind == Token || !g.Holds(r.now()) {
			continue
		}
		if _, err := r.revoke(ctx, g.ID); err != nil {
			failed = errors.Join(failed, err)
			continue
		}
		n++
	}
	return n, failed
}

// Holds reports whether a grant lets its bearer in now.
func (r *Register) Holds(ctx context.Context, id string) (bool, error) {
	g, err := r.repo.Grant(ctx, id)
	if catalog.CodeOf(err) == catalog.CodeNotFound {
		return false, nil
	}
	return err == nil && g.Holds(r.now()), err
}

// Administered reports whether somebody can administer the shop, or holds a code
// with which they could.
func (r *Register) Administered(ctx context.Context) (bool, error) {
	gs, err := r.repo.Grants(ctx)
	return slices.ContainsFunc(gs, func(g *Grant) bool {
		return g.Holds(r.now()) && slices.Contains(g.Scopes, catalog.ScopeAdminister)
	}), err
}

// Note adds an entry to the audit log.
func (r *Register) Note(ctx context.Context, n *Note) error {
	n.At = r.now().UTC()
	return r.repo.Note(ctx, n)
}

// Notes shows the audit log, newest first.
func (r *Register) Notes(ctx context.Context, after string, n int) ([]*Note, error) {
	if err := r.gate.Check(ctx, catalog.ScopeAdminister); err != nil {
		return nil, err
	}
	return r.repo.Notes(ctx, after, n)
}
