package server

import (
	"context"
	"math"
	"sync"
	"time"

	"github.com/99designs/gqlgen/graphql"
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
	// Burst is the cost at once; raised to Limits.Cost, so that what is allowed at
	// all is allowed after a wait.
	Burst int
}

// DefaultRate lets a busy integration pull without a pause.
var DefaultRate = Rate{PerSecond: 200_000, Burst: 2_000_000}

// charge is the extension behind Rate. It runs after Limits.
type charge struct{ all *limiters }

func newCharge(r Rate, dearest int) charge {
	if r.PerSecond <= 0 {
		return charge{}
	}
	return charge{newLimiters(rate.Limit(r.PerSecond), max(r.Burst, dearest))}
}

// take charges a caller; a wait above zero refuses: nothing is charged then.
func (c charge) take(who string, cost int) (wait time.Duration) {
	if c.all == nil {
		return 0
	}
	now := graphql.Now()
	r := c.all.of(who).ReserveN(now, cost)
	if !r.OK() {
		return time.Minute // dearer than all that may be asked for at once
	}
	if wait = r.DelayFrom(now); wait > 0 {
		r.CancelAt(now)
	}
	return wait
}

// seconds of a wait as Retry-After wants them: whole, at least one.
func seconds(wait time.Duration) int { return max(1, int(math.Ceil(wait.Seconds()))) }

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
	if a.wait = c.take(caller(ctx), a.cost); a.wait == 0 {
		return nil
	}
	err := gqlerror.Errorf(busyText, seconds(a.wait))
	err.Extensions = map[string]any{"code": "BUSY", "retryAfter": seconds(a.wait)}
	return err
}

const busyText = "too much was asked for in a short time. Ask again in %d s"

func caller(ctx context.Context) string {
	if p := graph.PrincipalOf(ctx); p != nil {
		return "who " + p.Name
	}
	return "from " + askedOf(ctx).remote
}
