package server

import (
	"context"
	"encoding/json"
	"errors"
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
}

// DefaultStreams fit a shop with many screens.
var DefaultStreams = Streams{Total: 10_000, PerCaller: 500, PerSocket: 20}

// Times of streams.
const (
	// beat is how often a quiet stream shows that it lives, and how often it is
	// asked whether its caller may still listen.
	beat = 15 * time.Second
	// writeTime is how long a caller may take to accept an event.
	writeTime = 20 * time.Second
)

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
	}, nil
}

// bound returns a context that also ends when the server stops.
func (s *streams) bound(ctx context.Context) (context.Context, context.CancelCauseFunc) {
	ctx, cancel := context.WithCancelCause(ctx)
	unhook := context.AfterFunc(s.stop, func() { cancel(errStopping) })
	return ctx, func(cause error) { unhook(); cancel(cause) }
}

// Stop ends all streams, so that the HTTP server can finish. The server answers
// other requests as before.
func (s *Server) Stop() { s.streams.halt(errStopping) }

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
		return outcome{errors: gqlerror.List{{Message: "a GET may only query and subscribe; send a POST"}}}
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
