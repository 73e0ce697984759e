// Package graph answers the GraphQL API: thin resolvers over the domain's
// services. Conversions live in convert_*.go, paging in connection.go, errors
// in errors.go; files named *.resolvers.go are kept by the generator.
package graph

import (
	"time"

	"layshaft/catalog"
	"layshaft/catalog/access"
	"layshaft/graph/page/drawing"
	"layshaft/reconcile"
)

//go:generate sh -c "cd .. && go tool gqlgen generate && go run ./graph/inline/rewrite graph/generated"

// Resolver is the root of all resolvers.
type Resolver struct {
	Curator *catalog.Curator
	Bench   *reconcile.Bench
	// Access keeps who may come in; nil where nobody has to.
	Access *access.Register
	// Keeper keeps the feed of shortages; nil where none is kept.
	Keeper *reconcile.Keeper
	// Now is the clock.
	Now func() time.Time

	album *drawing.Album
}

// Guarded returns a resolver whose services ask the gate again. It keeps what it draws.
func (r *Resolver) Guarded() *Resolver {
	g := &Resolver{Curator: r.Curator.Guarded(Gate), Bench: r.Bench.Guarded(Gate), Now: r.Now, album: new(drawing.Album)}
	if r.Access != nil {
		g.Access = r.Access.Guarded(Gate)
	}
	if r.Keeper != nil {
		g.Keeper = r.Keeper.Guarded(Gate)
	}
	return g
}

// Revision names everything that a query can read: the newest edit served, the
// feed of shortages, and the day. The resolver must have a keeper.
func (r *Resolver) Revision() string {
	return r.Keeper.Revision() + " " + r.Now().Format(time.DateOnly)
}

func (r *Resolver) index() *catalog.Index { return r.Curator.Index() }
