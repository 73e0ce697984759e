// Package graph answers the GraphQL API: thin resolvers over the domain's
// services. Conversions live in convert_*.go, paging in connection.go, errors
// in errors.go; files named *.resolvers.go are kept by the generator.
package graph

import (
	"layshaft/catalog"
	"layshaft/reconcile"
)

//go:generate sh -c "cd .. && go tool gqlgen generate"

// Resolver is the root of all resolvers.
type Resolver struct {
	Curator *catalog.Curator
	Bench   *reconcile.Bench
}

func (r *Resolver) index() *catalog.Index { return r.Curator.Index() }
