package page_test

import (
	"context"
	"encoding/json"
	"sync"
	"testing"

	"layshaft/graph/page"
)

// witness notes every answer that the pages get.
type witness struct {
	page.Executor
	mu   sync.Mutex
	seen []noted
}

type noted struct {
	operation string
	data      any
	as        string // it came
}

func (w *witness) Execute(ctx context.Context, operation, query string, variables, data any) error {
	err := w.Executor.Execute(ctx, operation, query, variables, data)
	if b, fault := json.Marshal(data); fault == nil && err == nil {
		w.mu.Lock()
		defer w.mu.Unlock()
		w.seen = append(w.seen, noted{operation, data, string(b)})
	}
	return err
}

// TestAnswersStayAsTheyCame: answers are shared by all who ask the same, so no page
// may change what it was given.
func TestAnswersStayAsTheyCame(t *testing.T) {
	var w *witness
	s := serve(t, filled(t), func(cfg *page.Config) {
		w = &witness{Executor: cfg.Server}
		cfg.Server = w
	})
	for range 2 {
		for _, l := range looked {
			status := 200
			if l.name == "missing" {
				status = 404
			}
			s.get(t, l.path, status)
		}
	}
	if len(w.seen) < 2*len(looked) {
		t.Fatalf("%d answers were seen", len(w.seen))
	}
	for _, n := range w.seen {
		if b, err := json.Marshal(n.data); err != nil || string(b) != n.as {
			t.Errorf("an answer of %s was changed: %v", n.operation, err)
		}
	}
}
