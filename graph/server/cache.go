package server

import (
	"container/list"
	"context"
	"crypto/sha256"
	"encoding/json"
	"slices"
	"strings"
	"sync"

	"github.com/99designs/gqlgen/graphql"
	"github.com/vektah/gqlparser/v2/ast"

	"layshaft/graph"
)

// answers keeps whole answers of queries. An answer is a function of the
// operation, its variables, the revision of everything it can read, and the
// caller's scopes; that is its key. When the revision moves on all answers are
// dropped. Bounded by bytes, the least used goes first.
type answers struct {
	revision func() string
	metrics  *metrics
	most     int

	mu    sync.Mutex // guards what follows
	at    string
	bytes int
	byKey map[answerKey]*list.Element
	// byData finds an answer by its first byte: the slice that is handed out is the
	// one that is kept.
	byData map[*byte]*list.Element
	used   *list.List // front: used last
}

type answerKey [sha256.Size]byte

type kept struct {
	key  answerKey
	data []byte
	// value is the answer as its asker in this process decoded it; nil before.
	value any
}

// decodedWeight is what a decoded answer takes, in times of its text.
const decodedWeight = 2

func (k *kept) size() int {
	n := len(k.data) + len(k.key)
	if k.value != nil {
		n += decodedWeight * len(k.data)
	}
	return n
}

// largestAnswer may take a quarter of the cache.
const largestAnswer = 4

func newAnswers(revision func() string, most int, m *metrics) *answers {
	return &answers{revision: revision, metrics: m, most: most, byKey: map[answerKey]*list.Element{},
		byData: map[*byte]*list.Element{}, used: list.New()}
}

var _ interface {
	graphql.HandlerExtension
	graphql.OperationInterceptor
} = &answers{}

// ExtensionName implements graphql.HandlerExtension.
func (*answers) ExtensionName() string { return "Answers" }

// Validate implements graphql.HandlerExtension.
func (*answers) Validate(graphql.ExecutableSchema) error { return nil }

// unkept are root fields whose answers change without a revision.
var unkept = map[string]bool{"grants": true, "auditLog": true}

// InterceptOperation implements graphql.OperationInterceptor.
func (c *answers) InterceptOperation(ctx context.Context, next graphql.OperationHandler) graphql.ResponseHandler {
	oc := graphql.GetOperationContext(ctx)
	if oc.Operation.Operation != ast.Query || slices.ContainsFunc(graphql.CollectFields(oc, oc.Operation.SelectionSet, []string{"Query"}),
		func(f graphql.CollectedField) bool { return unkept[f.Name] }) {
		return next(ctx)
	}
	at := c.revision()
	key, ok := keyOf(ctx, oc, at)
	if !ok {
		return next(ctx)
	}
	if data := c.get(at, key); data != nil {
		askedOf(ctx).cached = true
		c.metrics.cache.WithLabelValues("cache").Inc()
		return graphql.OneShot(&graphql.Response{Data: data})
	}
	c.metrics.cache.WithLabelValues("resolvers").Inc()
	run := next(ctx)
	return func(ctx context.Context) *graphql.Response {
		resp := run(ctx)
		if resp != nil && len(resp.Errors) == 0 && len(resp.Extensions) == 0 {
			c.put(at, key, resp.Data)
		}
		return resp
	}
}

// keyOf an operation; false when its variables cannot be written down.
func keyOf(ctx context.Context, oc *graphql.OperationContext, at string) (answerKey, bool) {
	vars, err := json.Marshal(oc.Variables) // members sorted, numbers as they were sent
	if err != nil {
		return answerKey{}, false
	}
	var b strings.Builder
	for _, part := range []string{at, oc.Operation.Name, string(vars), oc.RawQuery} {
		b.WriteString(part)
		b.WriteByte(0)
	}
	if p := graph.PrincipalOf(ctx); p != nil {
		scopes := slices.Clone(p.Scopes)
		slices.Sort(scopes)
		for _, s := range scopes {
			b.WriteString(string(s))
			b.WriteByte(1)
		}
	}
	return sha256.Sum256([]byte(b.String())), true
}

func (c *answers) get(at string, key answerKey) []byte {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.at != at {
		return nil
	}
	e := c.byKey[key]
	if e == nil {
		return nil
	}
	c.used.MoveToFront(e)
	return e.Value.(*kept).data
}

func (c *answers) put(at string, key answerKey, data []byte) {
	if len(data) == 0 || len(data) > c.most/largestAnswer || c.revision() != at {
		return // the second look keeps an answer of a past revision from dropping newer ones
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.at != at {
		c.at, c.bytes = at, 0
		clear(c.byKey)
		clear(c.byData)
		c.used.Init()
	}
	if c.byKey[key] != nil {
		return
	}
	k := &kept{key: key, data: data}
	c.byKey[key] = c.used.PushFront(k)
	c.byData[&data[0]] = c.byKey[key]
	c.bytes += k.size()
	c.evict()
}

// evict drops what was least used until the rest fits. The caller holds the lock.
func (c *answers) evict() {
	for c.bytes > c.most {
		old := c.used.Remove(c.used.Back()).(*kept)
		delete(c.byKey, old.key)
		delete(c.byData, &old.data[0])
		c.bytes -= old.size()
	}
}

// decoded is the value that was kept with an answer; nil when there is none.
func (c *answers) decoded(data []byte) any {
	c.mu.Lock()
	defer c.mu.Unlock()
	if e := c.byData[&data[0]]; e != nil {
		return e.Value.(*kept).value
	}
	return nil
}

// keepDecoded keeps a value beside the answer that it was decoded from, if that is
// kept and has none.
func (c *answers) keepDecoded(data []byte, value any) {
	c.mu.Lock()
	defer c.mu.Unlock()
	e := c.byData[&data[0]]
	if e == nil || e.Value.(*kept).value != nil {
		return
	}
	k := e.Value.(*kept)
	c.bytes -= k.size()
	k.value = value
	c.bytes += k.size()
	c.evict()
}
