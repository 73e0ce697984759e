// Package inline is what the generated code uses instead of the library's own
// field sets and slices: every resolver here reads memory, so a goroutine an
// element costs far more than it saves. Answers are the same, byte for byte.
//
// The program in rewrite puts it into the generated code after each generation.
package inline

import (
	"context"
	"io"

	"github.com/99designs/gqlgen/graphql"
)

// NoDefers stands where an object's deferred fields would gather. Nothing is
// deferred: the specification lets a server answer such fields at once.
var NoDefers graphql.DeferredGroup

// FieldSet is one object of an answer. It has the methods of the library's type
// that generated code calls, and resolves each field when it is named.
type FieldSet struct {
	ctx      context.Context
	fields   []graphql.CollectedField
	Values   []graphql.Marshaler
	Invalids uint32
}

// NewFieldSet starts an object.
func NewFieldSet(ctx context.Context, fields []graphql.CollectedField) *FieldSet {
	return &FieldSet{ctx: ctx, fields: fields, Values: make([]graphql.Marshaler, len(fields))}
}

// ResolveConcurrently resolves field i now. With nonNull a null spoils the
// object; else only the library's mark for a null that must not be does.
func (s *FieldSet) ResolveConcurrently(oc *graphql.OperationContext, _ *graphql.DeferredGroup, i int, catch, nonNull bool,
	resolve func(context.Context) graphql.Marshaler) {
	s.keep(i, nonNull, resolved(s.ctx, oc, catch, resolve))
}

// ResolveRootConcurrently resolves field i of a root type now, under its own
// context.
func (s *FieldSet) ResolveRootConcurrently(ctx context.Context, oc *graphql.OperationContext, i int, catch, nonNull bool,
	resolve func(context.Context) graphql.Marshaler) {
	s.keep(i, nonNull, oc.RootResolverMiddleware(ctx, func(ctx context.Context) graphql.Marshaler {
		return resolved(ctx, oc, catch, resolve)
	}))
}

func (s *FieldSet) keep(i int, nonNull bool, v graphql.Marshaler) {
	s.Values[i] = v
	if nonNull && v == graphql.Null || !nonNull && v == graphql.RequiredNull {
		s.Invalids++
	}
}

func resolved(ctx context.Context, oc *graphql.OperationContext, catch bool, resolve func(context.Context) graphql.Marshaler) (v graphql.Marshaler) {
	if catch {
		defer func() {
			if p := recover(); p != nil {
				oc.Error(ctx, oc.Recover(ctx, p))
				v = graphql.Null
			}
		}()
	}
	return resolve(ctx)
}

// Dispatch has nothing left to do.
func (s *FieldSet) Dispatch(context.Context) {}

// MarshalGQL writes the object. A name that comes twice, from fragments on types
// that know nothing of each other, is written once.
func (s *FieldSet) MarshalGQL(w io.Writer) {
	text, ok := w.(io.StringWriter)
	if !ok {
		text = textWriter{w}
	}
	before := "{\""
	for i := range s.fields {
		name := s.fields[i].Alias
		if s.written(i, name) {
			continue
		}
		_, _ = text.WriteString(before)
		_, _ = text.WriteString(name) // a GraphQL name needs no escapes
		_, _ = text.WriteString("\":")
		s.Values[i].MarshalGQL(w)
		before = ",\""
	}
	if before[0] == '{' {
		_, _ = text.WriteString("{")
	}
	_, _ = text.WriteString("}")
}

// textWriter lets text be written to any writer.
type textWriter struct{ io.Writer }

// WriteString implements io.StringWriter.
func (t textWriter) WriteString(s string) (int, error) { return io.WriteString(t.Writer, s) }

func (s *FieldSet) written(before int, name string) bool {
	for i := range before {
		if s.fields[i].Alias == name {
			return true
		}
	}
	return false
}

// checkEvery is after how many elements a slice looks whether its caller has gone.
const checkEvery = 64

// Slice marshals elements one after the other. Each has a field context with its
// index; a panic makes its element null.
func Slice(ctx context.Context, n int, _ int64, letPanic bool, element func(context.Context, int) graphql.Marshaler) graphql.Array {
	out := make(graphql.Array, n)
	places, indexes := make([]graphql.FieldContext, n), make([]int, n)
	for i := range n {
		indexes[i] = i
		places[i].Index = &indexes[i]
		inner := graphql.WithFieldContext(ctx, &places[i])
		if i%checkEvery == checkEvery-1 && ctx.Err() != nil {
			graphql.AddError(inner, ctx.Err())
			for ; i < n; i++ {
				out[i] = graphql.Null
			}
			return out
		}
		out[i] = one(inner, i, letPanic, element)
	}
	return out
}

func one(ctx context.Context, i int, letPanic bool, element func(context.Context, int) graphql.Marshaler) (v graphql.Marshaler) {
	if !letPanic {
		defer func() {
			if p := recover(); p != nil {
				graphql.AddError(ctx, graphql.Recover(ctx, p))
				v = graphql.Null
			}
		}()
	}
	return element(ctx, i)
}
