package server

import (
	"context"
	"encoding/json"
	"log/slog"
	"time"

	"github.com/99designs/gqlgen/graphql"
	"github.com/vektah/gqlparser/v2/ast"

	"layshaft/catalog/access"
	"layshaft/graph"
)

// audit notes every mutation that was asked for, whether it was done or not.
// Nothing of what was sent is kept: variables may hold secrets.
type audit struct {
	register *access.Register
	log      *slog.Logger
}

var _ interface {
	graphql.HandlerExtension
	graphql.ResponseInterceptor
} = audit{}

// ExtensionName implements graphql.HandlerExtension.
func (audit) ExtensionName() string { return "Audit" }

// Validate implements graphql.HandlerExtension.
func (audit) Validate(graphql.ExecutableSchema) error { return nil }

// auditTime bounds a note; it is written even when the caller has gone.
const auditTime = 5 * time.Second

// InterceptResponse implements graphql.ResponseInterceptor.
func (a audit) InterceptResponse(ctx context.Context, next graphql.ResponseHandler) *graphql.Response {
	resp := next(ctx)
	oc := graphql.GetOperationContext(ctx)
	if oc.Operation == nil || oc.Operation.Operation != ast.Mutation { // nil: refused before it was one
		return resp
	}
	n := &access.Note{Operation: oc.Operation.Name, Fields: rootFields(oc), Codes: codesOf(resp), Request: RequestID(ctx)}
	if p := graph.PrincipalOf(ctx); p != nil {
		n.Who = p.Name
	}
	write, cancel := context.WithTimeout(context.WithoutCancel(ctx), auditTime)
	defer cancel()
	if err := a.register.Note(write, n); err != nil {
		a.log.ErrorContext(ctx, "audit log", "request", n.Request, "who", n.Who, "mutations", n.Fields, "error", err)
	}
	return resp
}

func rootFields(oc *graphql.OperationContext) []string {
	out := []string{}
	for _, f := range graphql.CollectFields(oc, oc.Operation.SelectionSet, []string{"Mutation"}) {
		out = append(out, f.Name)
	}
	return out
}

// codesOf an answer: of its errors, and of user errors where they were asked for.
func codesOf(resp *graphql.Response) []string {
	if resp == nil {
		return []string{"GIVEN_UP"}
	}
	var out []string
	for _, e := range resp.Errors {
		code, ok := e.Extensions["code"].(string)
		if !ok {
			code = "ERROR"
		}
		out = append(out, code)
	}
	var fields map[string]*struct {
		UserErrors []struct{ Code string }
	}
	if json.Unmarshal(resp.Data, &fields) != nil {
		return out // a mutation that answers something else
	}
	for _, f := range fields {
		if f == nil {
			continue
		}
		for _, e := range f.UserErrors {
			if e.Code == "" {
				e.Code = "USER_ERROR"
			}
			out = append(out, e.Code)
		}
	}
	return out
}
