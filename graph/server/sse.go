package server

import (
	"context"
	"errors"
	"net/http"
	"strings"
	"time"

	"github.com/vektah/gqlparser/v2/gqlerror"
)

const mediaEvents = "text/event-stream"

// wantsEvents tells server-sent events from plain requests of the same kind.
func wantsEvents(r *http.Request) bool {
	return strings.Contains(r.Header.Get("Accept"), mediaEvents)
}

// events answers one operation as server-sent events, in the "distinct
// connections" mode of the GraphQL over SSE protocol: event next for each
// answer, event complete at the end.
func (s *Server) events(w http.ResponseWriter, r *http.Request) {
	params, status, reason := readRequest(w, r)
	if reason != "" {
		refuse(w, mediaJSON, status, reason)
		return
	}
	leave, err := s.streams.enter(caller(r.Context()))
	if err != nil {
		refuseStream(w, err)
		return
	}
	defer leave()
	gauge := s.metrics.streams.WithLabelValues("events")
	gauge.Inc()
	defer gauge.Dec()
	ctx, cancel := s.streams.bound(r.Context())
	defer cancel(nil)
	out := newEventWriter(w, s.cfg.Streams.Patience)
	params.Headers = r.Header
	o := s.start(ctx, params, r.Method == http.MethodGet)
	if o.errors != nil {
		if out.send("next", errorBody(o.errors)) == nil {
			_ = out.send("complete", nil)
		}
		return
	}
	s.pump(ctx, cancel, o, out)
}

// pump sends answers as they come and a beat while none come.
func (s *Server) pump(ctx context.Context, cancel context.CancelCauseFunc, o outcome, out *eventWriter) {
	answers := make(chan []byte)
	go func() {
		defer close(answers)
		defer s.caught(ctx, "a stream")
		for {
			resp := o.next()
			if resp == nil {
				return
			}
			select {
			case answers <- wire(resp):
			case <-ctx.Done():
				return
			}
		}
	}()
	tick := time.NewTicker(s.cfg.Streams.Beat)
	defer tick.Stop()
	for {
		var err error
		select {
		case b, more := <-answers:
			if !more {
				if context.Cause(ctx) == nil {
					_ = out.send("complete", nil)
				}
				return
			}
			err = out.send("next", b)
		case <-tick.C:
			if err = out.comment(); err == nil && !s.mayStay(ctx) {
				err = errRevoked
				_ = out.send("next", errorBody(gqlerror.List{{Message: err.Error(), Extensions: map[string]any{"code": "SIGN_IN"}}}))
				_ = out.send("complete", nil)
			}
		case <-ctx.Done():
			err = context.Cause(ctx)
		}
		if err != nil {
			cancel(err)
			return // whoever made the answers sees the context end
		}
	}
}

// caught keeps a panic in a goroutine of ours from ending the process.
func (s *Server) caught(ctx context.Context, where string) {
	if p := recover(); p != nil {
		s.cfg.Log.ErrorContext(ctx, "panic in "+where, "request", RequestID(ctx), "value", p)
	}
}

// eventWriter writes events and gives a caller who does not read a limited time.
type eventWriter struct {
	w        http.ResponseWriter
	control  *http.ResponseController
	patience time.Duration
}

func newEventWriter(w http.ResponseWriter, patience time.Duration) *eventWriter {
	h := w.Header()
	h.Set("Content-Type", mediaEvents+"; charset=utf-8")
	h.Set("Cache-Control", "no-cache")
	h.Set("X-Accel-Buffering", "no")
	e := &eventWriter{w, http.NewResponseController(w), patience}
	// The server's time for reading a request must not end a stream.
	_ = e.control.SetReadDeadline(time.Time{})
	w.WriteHeader(http.StatusOK)
	_ = e.control.Flush() // a quiet stream is open before its first event
	return e
}

func (e *eventWriter) send(event string, data []byte) error {
	b := make([]byte, 0, len(event)+len(data)+16)
	b = append(append(b, "event: "...), event...)
	b = append(append(b, "\ndata: "...), data...) // JSON of ours has no line breaks
	return e.write(append(b, "\n\n"...))
}

func (e *eventWriter) comment() error { return e.write([]byte(":\n\n")) }

func (e *eventWriter) write(b []byte) error {
	if err := e.control.SetWriteDeadline(time.Now().Add(e.patience)); err != nil && !errors.Is(err, http.ErrNotSupported) {
		return err
	}
	if _, err := e.w.Write(b); err != nil {
		return err
	}
	return e.control.Flush()
}
