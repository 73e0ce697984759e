package server

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"reflect"

	"github.com/99designs/gqlgen/graphql"
	"github.com/vektah/gqlparser/v2/gqlerror"
)

// Execute runs an operation in this process with the caller's principal taken
// from ctx, as over HTTP: same limits, same checks. Variables are any value that
// encodes to a JSON object; data points to a value that the answer is decoded into.
// What that value points to may be shared with later callers: nobody may change it. Errors of the answer come
// back as a gqlerror.List.
func (s *Server) Execute(ctx context.Context, operation, query string, variables, data any) error {
	params := &graphql.RawParams{Query: query, OperationName: operation}
	if variables != nil {
		b, err := json.Marshal(variables)
		if err != nil {
			return fmt.Errorf("encode variables of %s: %w", operation, err)
		}
		if err := decode(bytes.NewReader(b), &params.Variables); err != nil {
			return fmt.Errorf("variables of %s: %w", operation, err)
		}
	}
	ctx = graphql.StartOperationTrace(ctx)
	op, errs := s.exec.CreateOperationContext(ctx, params)
	if len(errs) > 0 {
		return s.exec.DispatchError(graphql.WithOperationContext(ctx, op), errs).Errors
	}
	next, ctx := s.exec.DispatchOperation(ctx, op)
	resp := next(ctx)
	if resp == nil {
		return context.Cause(ctx)
	}
	if resp.Data != nil {
		if err := s.decodeAnswer(resp.Data, data); err != nil {
			return fmt.Errorf("decode answer of %s: %w", operation, err)
		}
	}
	if len(resp.Errors) > 0 {
		return gqlerror.List(resp.Errors)
	}
	return nil
}

// decodeAnswer decodes an answer, or takes it as it was decoded before.
func (s *Server) decodeAnswer(answer []byte, data any) error {
	to := reflect.ValueOf(data)
	if s.answers == nil || len(answer) == 0 || to.Kind() != reflect.Pointer {
		return json.Unmarshal(answer, data)
	}
	if had := reflect.ValueOf(s.answers.decoded(answer)); had.IsValid() && had.Type() == to.Type() {
		to.Elem().Set(had.Elem())
		return nil
	}
	if err := json.Unmarshal(answer, data); err != nil {
		return err
	}
	copied := reflect.New(to.Type().Elem())
	copied.Elem().Set(to.Elem())
	s.answers.keepDecoded(answer, copied.Interface())
	return nil
}
