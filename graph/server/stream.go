package server

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"net/http"
	"sync"
	"time"

	"github.com/99designs/gqlgen/graphql"
	"github.com/vektah/gqlparser/v2/ast"
	"github.com/vektah/gqlparser/v2/gqlerror"

	"layshaft/graph"
)

// Streams bounds what stays open.
type Streams struct {
	Total     int // connections of all callers
	PerCaller int // connections of one principal, or of one address
	PerSocket int // operations on one websocket
	// Beat is how often a quiet stream shows that it lives, and how often it is
	// asked whether its caller may still listen.
	Beat time.Duration
	// Patience is how long a caller may take to accept an event, before the stream
	// is ended.
	Patience time.Duration
	// Greeting is how long a websocket may stay open without its first message.
	Greeting time.Duration
}

// DefaultStreams fit a shop with many screens.
var DefaultStreams = Streams{Total: 10_000, PerCaller: 500, PerSocket: 20,
	Beat: 15 * time.Second, Patience: 20 * time.Second, Greeting: 5 * time.Second}

// orDefault fills what was left at zero.
func (s Streams) orDefault() Streams {
	d := DefaultStreams
	return Streams{cmp.Or(s.Total, d.Total), cmp.Or(s.PerCaller, d.PerCaller), cmp.Or(s.PerSocket, d.PerSocket),
		cmp.Or(s.Beat, d.Beat), cmp.Or(s.Patience, d.Patience), cmp.Or(s.Greeting, d.Greeting)}
}

var (
	errStopping = errors.New("the server is stopping")
	errRevoked  = errors.New("the way in was taken back or is over")
	errCrowded  = errors.New("too many streams are open; close some")
)

// streams counts what is open and ends it when the server stops.
type streams struct {
	limits Streams
	stop   context.Context
	halt   context.CancelCauseFunc

	mu sync.Mutex // guards what follows
	n  int
	by map[string]int
	// empty is closed when the last stream has left; nil while nobody waits for it.
	empty chan struct{}
}

func newStreams(limits Streams) *streams {
	s := &streams{limits: limits, by: map[string]int{}}
	s.stop, s.halt = context.WithCancelCause(context.Background())
	return s
}

// enter counts a connection in; leave must be called when err is nil.
func (s *streams) enter(who string) (leave func(), err error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.stop.Err() != nil {
		return nil, errStopping
	}
	if s.n >= s.limits.Total || s.by[who] >= s.limits.PerCaller {
		return nil, errCrowded
	}
	s.n++
	s.by[who]++
	return func() {
		s.mu.Lock()
		defer s.mu.Unlock()
		s.n--
		if s.by[who]--; s.by[who] == 0 {
			delete(s.by, who)
		}
		if s.n == 0 && s.empty != nil {
			close(s.empty)
			s.empty = nil
		}
	}, nil
}

// refuseStream says why no stream was opened.
func refuseStream(w http.ResponseWriter, err error) {
	status := http.StatusTooManyRequests
	if errors.Is(err, errStopping) {
		status = http.StatusServiceUnavailable
	}
	w.Header().Set("Retry-After", "10")
	refuse(w, mediaJSON, status, err.Error())
}

// bound returns a context that also ends when the server stops.
func (s *streams) bound(ctx context.Context) (context.Context, context.CancelCauseFunc) {
	ctx, cancel := context.WithCancelCause(ctx)
	unhook := context.AfterFunc(s.stop, func() { cancel(errStopping) })
	return ctx, func(cause error) { unhook(); cancel(cause) }
}

// left waits until no stream is open or ctx ends.
func (s *streams) left(ctx context.Context) {
	s.mu.Lock()
	if s.n == 0 {
		s.mu.Unlock()
		return
	}
	if s.empty == nil {
		s.empty = make(chan struct{})
	}
	empty := s.empty
	s.mu.Unlock()
	select {
	case <-empty:
	case <-ctx.Done():
	}
}

// Stop ends all streams and lets no new ones in, so that the HTTP server can
// finish; it returns when they have said goodbye or ctx ends. From then on the
// server is not ready. It answers other requests as before.
func (s *Server) Stop(ctx context.Context) {
	s.streams.halt(errStopping)
	s.streams.left(ctx)
}

// mayStay asks whether a stream's caller still has a way in.
func (s *Server) mayStay(ctx context.Context) bool {
	p := graph.PrincipalOf(ctx)
	return p == nil || p.Grant == "" || s.cfg.Holds == nil || s.cfg.Holds(ctx, p.Grant)
}

// outcome of starting an operation: its answers one by one, or errors.
type outcome struct {
	next   func() *graphql.Response
	errors gqlerror.List
}

// start begins an operation on a stream; with readOnly a mutation is refused.
func (s *Server) start(ctx context.Context, params *graphql.RawParams, readOnly bool) outcome {
	params.ReadTime = graphql.TraceTiming{Start: graphql.Now(), End: graphql.Now()}
	ctx = graphql.StartOperationTrace(ctx)
	op, errs := s.exec.CreateOperationContext(ctx, params)
	if len(errs) > 0 {
		return outcome{errors: s.exec.DispatchError(graphql.WithOperationContext(ctx, op), errs).Errors}
	}
	if readOnly && op.Operation.Operation == ast.Mutation {
		return outcome{errors: gqlerror.List{{Message: "a GET may only query and subscribe; send a POST",
			Extensions: map[string]any{"code": "BAD_REQUEST"}}}}
	}
	next, ctx := s.exec.DispatchOperation(ctx, op)
	return outcome{next: func() *graphql.Response { return next(ctx) }}
}

// wire encodes an answer for a stream.
func wire(resp *graphql.Response) []byte {
	if resp.Data == nil && len(resp.Errors) > 0 {
		return errorBody(resp.Errors)
	}
	b, err := json.Marshal(resp)
	if err != nil {
		return errorBody(gqlerror.List{{Message: "internal error"}})
	}
	return b
}
