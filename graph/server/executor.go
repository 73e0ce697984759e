// Package server puts the API on HTTP: transports, limits, the schema document
// and the pages. It holds no knowledge of gearboxes.
package server

import (
	"github.com/99designs/gqlgen/graphql"
	"github.com/99designs/gqlgen/graphql/executor"
	"github.com/99designs/gqlgen/graphql/handler/extension"
	"github.com/99designs/gqlgen/graphql/handler/lru"
	"github.com/vektah/gqlparser/v2/ast"

	"layshaft/graph"
	"layshaft/graph/generated"
)

const (
	// tokenLimit bounds a document before it is parsed into a tree: validation
	// alone is slow on hostile documents.
	tokenLimit = 1500
	// cachedDocuments bounds the parsed documents kept; the token limit bounds each.
	cachedDocuments = 1000
)

// Schema of the API with its resolvers.
func Schema(r *graph.Resolver) graphql.ExecutableSchema {
	return generated.NewExecutableSchema(generated.Config{
		Resolvers:  r,
		Directives: generated.DirectiveRoot{Needs: graph.Needs},
	})
}

// executor builds the one executor that HTTP, streams and pages share. Limits
// come first: what they refuse costs nothing more.
func (s *Server) executor(es graphql.ExecutableSchema) *executor.Executor {
	x := executor.New(es)
	x.SetQueryCache(lru.New[*ast.QueryDocument](cachedDocuments))
	x.SetParserTokenLimit(tokenLimit)
	x.SetErrorPresenter(graph.Present(s.cfg.Log))
	x.SetRecoverFunc(graph.Recover(s.cfg.Log))
	x.Use(extension.Introspection{})
	x.Use(s.cfg.Limits)
	x.Use(s.charge)
	x.Use(measure{s.metrics})
	if s.answers != nil {
		x.Use(s.answers)
	}
	if s.cfg.Resolver.Access != nil {
		x.Use(audit{s.cfg.Resolver.Access, s.cfg.Log})
	}
	return x
}
