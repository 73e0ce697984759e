package catalog

import "context"

// Scope is something that a caller may be allowed to do. The words are those of
// the API.
type Scope string

// The scopes.
const (
	ScopeCatalogueRead Scope = "CATALOGUE_READ"
	ScopeJobsRead      Scope = "JOBS_READ"
	ScopeJobsWork      Scope = "JOBS_WORK"
	ScopeCurate        Scope = "CURATE"
	ScopePurchase      Scope = "PURCHASE"
	ScopeShortagesRead Scope = "SHORTAGES_READ"
	ScopeAdminister    Scope = "ADMINISTER"
)

// Scopes lists all of them.
func Scopes() []Scope {
	return []Scope{ScopeCatalogueRead, ScopeJobsRead, ScopeJobsWork, ScopeCurate, ScopePurchase,
		ScopeShortagesRead, ScopeAdminister}
}

// Gate asks whether the caller behind a context has one of the scopes; nil when
// so. A service without a gate serves whoever holds it: the command line, which
// owns the data folder.
type Gate func(ctx context.Context, anyOf ...Scope) error

// Check asks the gate; a nil gate lets everybody pass.
func (g Gate) Check(ctx context.Context, anyOf ...Scope) error {
	if g == nil {
		return nil
	}
	return g(ctx, anyOf...)
}
