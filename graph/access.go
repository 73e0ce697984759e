package graph

import (
	"context"
	"runtime/debug"
	"slices"

	"github.com/99designs/gqlgen/graphql"

	"layshaft/catalog"
)

// Principal is who makes a request and what they may do.
type Principal struct {
	// Name that edits carry.
	Name   string
	Scopes []catalog.Scope
	// Grant that let them in; empty for a principal of this machine.
	Grant string
}

// May reports whether the principal has a scope.
func (p *Principal) May(s catalog.Scope) bool { return p != nil && slices.Contains(p.Scopes, s) }

type principalKey struct{}

// WithPrincipal returns a context of a request made by p.
func WithPrincipal(ctx context.Context, p *Principal) context.Context {
	return context.WithValue(ctx, principalKey{}, p)
}

// PrincipalOf a request; nil when nobody is signed in.
func PrincipalOf(ctx context.Context) *Principal {
	p, _ := ctx.Value(principalKey{}).(*Principal)
	return p
}

// Needs enforces the directive @needs: the one place where the API checks scopes.
func Needs(ctx context.Context, _ any, next graphql.Resolver, scope catalog.Scope) (any, error) {
	if err := Gate(ctx, scope); err != nil {
		return nil, err
	}
	return next(ctx)
}

// Gate is the gate of the domain's services: they ask again, so that a resolver
// without its directive, or a way in beside the API, gives nothing away.
func Gate(ctx context.Context, anyOf ...catalog.Scope) error {
	p := PrincipalOf(ctx)
	switch {
	case p == nil:
		return &catalog.Error{Code: catalog.CodeSignIn, Message: "nobody is signed in", Remedy: "Sign in or send a token"}
	case !slices.ContainsFunc(anyOf, p.May):
		return &catalog.Error{Code: catalog.CodeForbidden, Message: p.Name + " may not do this",
			Remedy: "Ask an administrator for the scope " + string(anyOf[0])}
	}
	return nil
}

// allowed checks a scope inside a resolver, where one field can lead to records
// of another scope.
func (r *Resolver) allowed(ctx context.Context, scope catalog.Scope) error { return Gate(ctx, scope) }

// who names the caller in edits.
func who(ctx context.Context) string {
	if p := PrincipalOf(ctx); p != nil {
		return p.Name
	}
	return ""
}

func stack() string { return string(debug.Stack()) }
