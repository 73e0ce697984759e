package catalog

import (
	"context"
	"errors"
	"slices"
	"time"
)

// Repository is what the Curator needs of a store.
type Repository interface {
	// Index is the newest index this server holds. It never waits.
	Index() *Index
	// Tables are the rows behind Index. They must not be changed.
	Tables() *Catalogue
	// Record reads one record of the catalogue; CodeNotFound when absent.
	Record(ctx context.Context, t Table, key string) (Record, error)
	// Commit stores an edit with its records in one batch and returns it as
	// stored, after Index has reached its revision. Each op holds only while the
	// stored record still has Before's revision (CodeConflict). When e.Request was
	// used before with the same digest, the first outcome is returned; with another
	// digest the answer is CodeReused.
	Commit(ctx context.Context, e *Edit) (*Edit, error)
	// Done returns the edit that a request made, or nil with no error when the
	// request is new; CodeReused when its digest is another.
	Done(ctx context.Context, request, digest string) (*Edit, error)
	// Replace makes c the whole catalogue, all or nothing, with a single edit.
	Replace(ctx context.Context, c *Catalogue, e *Edit) (*Edit, error)
	// Edit by id; CodeNotFound when absent.
	Edit(ctx context.Context, id string) (*Edit, error)
	// Edits newest first, before a revision (0: from the newest), n at most.
	Edits(ctx context.Context, q EditQuery) ([]*Edit, error)
}

// EditQuery narrows a history.
type EditQuery struct {
	// Table and Key of a record; both empty for all.
	Table Table
	Key   string
	// Job whose edits are wanted; empty for the catalogue's.
	Job string
	// Before a revision; 0 from the newest.
	Before uint64
	// After a revision; 0 down to the first.
	After uint64
	Limit int
}

// Change is what a person wants changed.
type Change struct {
	Request string // caller's id, repeat-safe; required
	Who     string // required
	Why     string
	Put     []Record
	Delete  []Ref
	// Expect holds the revision that the caller saw for a record, by "table key";
	// without an entry the newest is taken.
	Expect map[Ref]uint64
}

// Ref names a record.
type Ref struct {
	Table Table
	Key   string
}

// Curator makes edits to the catalogue.
type Curator struct {
	repo Repository
	now  func() time.Time
	gate Gate
}

// NewCurator returns a curator over a store; now is the clock.
func NewCurator(repo Repository, now func() time.Time) *Curator {
	return &Curator{repo: repo, now: now}
}

// Guarded returns the same curator for callers who must pass a gate.
func (c *Curator) Guarded(gate Gate) *Curator {
	guarded := *c
	guarded.gate = gate
	return &guarded
}

// Index is the newest index.
func (c *Curator) Index() *Index { return c.repo.Index() }

// Tables are the rows behind the index; they must not be changed.
func (c *Curator) Tables() *Catalogue { return c.repo.Tables() }

// Change applies a change. Problems that the change would bring in are returned
// instead of an edit, and nothing is stored.
func (c *Curator) Change(ctx context.Context, ch Change) (*Edit, []Problem, error) {
	if err := c.gate.Check(ctx, ScopeCurate); err != nil {
		return nil, nil, err
	}
	if err := ch.valid(); err != nil {
		return nil, nil, err
	}
	digest, err := ch.Digest("")
	if err != nil {
		return nil, nil, err
	}
	if done, err := c.repo.Done(ctx, ch.Request, digest); done != nil || err != nil {
		return done, nil, err
	}
	ops, err := c.ops(ctx, ch)
	if err != nil {
		return nil, nil, err
	}
	return c.commit(ctx, &Edit{Request: ch.Request, Who: ch.Who, Why: ch.Why, At: c.now(), Ops: ops, Digest: digest})
}

// Undo takes an edit back with a new one. It conflicts when a record of the
// edit was changed since.
func (c *Curator) Undo(ctx context.Context, id, request, who, why string) (*Edit, []Problem, error) {
	if err := c.gate.Check(ctx, ScopeCurate); err != nil {
		return nil, nil, err
	}
	if err := (Change{Request: request, Who: who}).Signed(); err != nil {
		return nil, nil, err
	}
	digest := UndoDigest(id)
	if done, err := c.repo.Done(ctx, request, digest); done != nil || err != nil {
		return done, nil, err
	}
	e, err := c.repo.Edit(ctx, id)
	if err != nil {
		return nil, nil, err
	}
	if e.Bulk {
		return nil, nil, Invalid("edit "+id, "Import the package that was there before", "a bulk import cannot be undone")
	}
	if e.Job != "" {
		return nil, nil, Invalid("edit "+id, "Undo it at the job", "the edit belongs to job %s", e.Job)
	}
	ops, err := UndoOps(ctx, e, c.repo.Record)
	if err != nil {
		return nil, nil, err
	}
	return c.commit(ctx, &Edit{Request: request, Who: who, Why: why, At: c.now(), Ops: ops, Undoes: e.ID, Digest: digest})
}

// Import makes rows the whole catalogue. Severe problems refuse it.
func (c *Curator) Import(ctx context.Context, rows *Catalogue, request, who, why string) (*Edit, []Problem, error) {
	if err := c.gate.Check(ctx, ScopeCurate); err != nil {
		return nil, nil, err
	}
	if err := (Change{Request: request, Who: who}).Signed(); err != nil {
		return nil, nil, err
	}
	if severe := onlySevere(Check(rows)); len(severe) > 0 {
		return nil, severe, nil
	}
	e, err := c.repo.Replace(ctx, rows, &Edit{Request: request, Who: who, Why: why,
		At: c.now(), Bulk: true, Digest: "import"})
	return e, nil, err
}

// History lists edits newest first.
func (c *Curator) History(ctx context.Context, q EditQuery) ([]*Edit, error) {
	return c.repo.Edits(ctx, q)
}

// Edit by id, of the catalogue or of a job; CodeNotFound when absent.
func (c *Curator) Edit(ctx context.Context, id string) (*Edit, error) { return c.repo.Edit(ctx, id) }

func (c *Curator) commit(ctx context.Context, e *Edit) (*Edit, []Problem, error) {
	before := c.repo.Tables()
	if fresh := NewProblems(Check(before), Check(before.With(e.Ops))); len(fresh) > 0 {
		return nil, fresh, nil
	}
	stored, err := c.repo.Commit(ctx, e)
	return stored, nil, err
}

// ops pairs each wanted record with what is stored now.
func (c *Curator) ops(ctx context.Context, ch Change) ([]Op, error) {
	var ops []Op
	for _, r := range ch.Put {
		op, err := Pair(ctx, Ref{r.Table(), r.Key()}, r, ch.Expect, c.repo.Record)
		if err != nil {
			return nil, err
		}
		ops = append(ops, op)
	}
	for _, ref := range ch.Delete {
		op, err := Pair(ctx, ref, nil, ch.Expect, c.repo.Record)
		if err != nil {
			return nil, err
		}
		if op.Before == nil {
			return nil, NotFound(ref.Table, ref.Key)
		}
		ops = append(ops, op)
	}
	return ops, nil
}

// Reader reads one stored record; CodeNotFound when absent.
type Reader func(ctx context.Context, t Table, key string) (Record, error)

// Pair makes the operation that puts after (nil: deletes) in place of what read
// finds now, and refuses when the caller had seen another revision.
func Pair(ctx context.Context, ref Ref, after Record, expect map[Ref]uint64, read Reader) (Op, error) {
	before, err := read(ctx, ref.Table, ref.Key)
	switch {
	case CodeOf(err) == CodeNotFound:
		before = nil
	case err != nil:
		return Op{}, err
	}
	if want, ok := expect[ref]; ok && want != revOf(before) {
		return Op{}, Conflict(ref)
	}
	return Op{Table: ref.Table, Key: ref.Key, Before: before, After: after}, nil
}

// UndoOps are the inverse of an edit's operations, refused when a record was
// changed since.
func UndoOps(ctx context.Context, e *Edit, read Reader) ([]Op, error) {
	ops := Inverse(e.Ops)
	for i, op := range ops {
		now, err := read(ctx, op.Table, op.Key)
		if CodeOf(err) == CodeNotFound {
			now, err = nil, nil
		}
		if err != nil {
			return nil, err
		}
		if op.Before == nil != (now == nil) || now != nil && now.StampRef().Rev != e.Rev {
			return nil, Conflict(Ref{op.Table, op.Key})
		}
		ops[i].Before = now
	}
	return ops, nil
}

func revOf(r Record) uint64 {
	if r == nil {
		return 0
	}
	return r.StampRef().Rev
}

// Conflict says that a record was changed by somebody else meanwhile.
func Conflict(ref Ref) *Error {
	return &Error{Code: CodeConflict, Place: string(ref.Table) + " " + ref.Key,
		Message: "it was changed meanwhile", Remedy: "Look at the newest state and try again"}
}

// NewProblems returns the severe problems that an edit brings in. A problem's
// place is its code, table, key and field; its reason may change with the
// records around it, so an edit that leaves a place with no more problems than
// before brings in none there.
func NewProblems(before, after []Problem) []Problem {
	place := func(p Problem) Problem {
		p.Reason, p.Repair = "", ""
		return p
	}
	had := make(map[Problem]bool, len(before))
	more := map[Problem]int{}
	for _, p := range before {
		had[p] = true
		more[place(p)]--
	}
	severe := onlySevere(after)
	for _, p := range severe {
		more[place(p)]++
	}
	return slices.DeleteFunc(severe, func(p Problem) bool { return had[p] || more[place(p)] <= 0 })
}

func onlySevere(ps []Problem) []Problem {
	return slices.DeleteFunc(slices.Clone(ps), func(p Problem) bool { return !p.Severe })
}

// Signed reports whether the change names its request and its person.
func (ch Change) Signed() error {
	switch {
	case ch.Request == "":
		return Invalid("request", "Send an id of your own for this change", "no request id")
	case len(ch.Request) > 128:
		return Invalid("request", "Use at most 128 characters", "the request id is too long")
	case ch.Who == "":
		return Invalid("who", "Say who makes the change", "nobody signed the change")
	}
	return nil
}

func (ch Change) valid() error {
	if err := ch.Signed(); err != nil {
		return err
	}
	if len(ch.Put)+len(ch.Delete) == 0 {
		return Invalid("change", "Name a record to put or delete", "the change is empty")
	}
	seen := map[Ref]bool{}
	for _, r := range ch.Put {
		if _, ok := NewRecord(r.Table()); !ok {
			return Invalid(string(r.Table()), "Use a table of the catalogue", "not a catalogue table")
		}
		if seen[Ref{r.Table(), r.Key()}] {
			return Invalid(string(r.Table())+" "+r.Key(), "Name each record once", "named twice")
		}
		seen[Ref{r.Table(), r.Key()}] = true
	}
	for _, ref := range ch.Delete {
		if seen[ref] {
			return Invalid(string(ref.Table)+" "+ref.Key, "Name each record once", "named twice")
		}
		seen[ref] = true
	}
	return nil
}

// ErrClosed is returned by a repository after it was closed.
var ErrClosed = errors.New("the store is closed")
