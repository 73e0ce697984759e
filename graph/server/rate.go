package server

import (
	"context"
	"sync"

	"github.com/99designs/gqlgen/graphql"
	"github.com/99designs/gqlgen/graphql/errcode"
	"github.com/vektah/gqlparser/v2/gqlerror"
	"golang.org/x/time/rate"

	"layshaft/graph"
)

// maxLimiters bounds how many callers are remembered; beyond it all start anew.
const maxLimiters = 10_000

// limiters keeps one limiter a caller.
type limiters struct {
	every rate.Limit
	burst int

	mu sync.Mutex // guards by
	by map[string]*rate.Limiter
}

func newLimiters(every rate.Limit, burst int) *limiters {
	return &limiters{every: every, burst: burst, by: map[string]*rate.Limiter{}}
}

func (l *limiters) of(who string) *rate.Limiter {
	l.mu.Lock()
	defer l.mu.Unlock()
	lim := l.by[who]
	if lim == nil {
		if len(l.by) >= maxLimiters {
			clear(l.by)
		}
		lim = rate.NewLimiter(l.every, l.burst)
		l.by[who] = lim
	}
	return lim
}

// Rate bounds what one principal may ask for in a time, by the cost of the
// operations; nobody's requests are counted by address.
type Rate struct {
	PerSecond float64 // cost a second; 0 for no bound
	Burst     int     // cost at once; at least one dearest operation
}

// DefaultRate lets a busy integration pull without a pause.
var DefaultRate = Rate{PerSecond: 200_000, Burst: 2_000_000}

// charge is the extension behind Rate. It runs after Limits.
type charge struct{ all *limiters }

var _ interface {
	graphql.HandlerExtension
	graphql.OperationContextMutator
} = charge{}

// ExtensionName implements graphql.HandlerExtension.
func (charge) ExtensionName() string { return "Rate" }

// Validate implements graphql.HandlerExtension.
func (charge) Validate(graphql.ExecutableSchema) error { return nil }

// MutateOperationContext implements graphql.OperationContextMutator.
func (c charge) MutateOperationContext(ctx context.Context, oc *graphql.OperationContext) *gqlerror.Error {
	a := askedOf(ctx)
	a.operation, a.kind, a.cost = oc.Operation.Name, string(oc.Operation.Operation), OperationCost(oc)
	if c.all == nil || c.all.of(caller(ctx)).AllowN(graphql.Now(), a.cost) {
		return nil
	}
	err := gqlerror.Errorf("too much was asked for in a short time. Wait a few seconds and ask again")
	errcode.Set(err, "BUSY")
	return err
}

func caller(ctx context.Context) string {
	if p := graph.PrincipalOf(ctx); p != nil {
		return "who " + p.Name
	}
	return "from " + askedOf(ctx).remote
}
