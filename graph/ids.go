package graph

import (
	"context"
	"encoding/base64"
	"strings"

	"layshaft/catalog"
	"layshaft/graph/scalar"
	"layshaft/reconcile"
)

// GlobalID makes the opaque id of a record: its type and key.
func GlobalID(kind, key string) string {
	return base64.RawURLEncoding.EncodeToString([]byte(kind + ":" + key))
}

// node finds a record by its global id; nil when there is none.
func (r *Resolver) node(ctx context.Context, id string) (scalar.Node, error) {
	raw, err := base64.RawURLEncoding.DecodeString(id)
	kind, key, ok := strings.Cut(string(raw), ":")
	if err != nil || !ok {
		return nil, catalog.Invalid("id", "Send an id that an answer gave", "not a global id")
	}
	ix := r.index()
	switch kind {
	case "Family":
		return found(ix.Family(catalog.FamilyID(key)))
	case "Variant":
		return found(ix.Variant(catalog.VariantID(key)))
	case "Part":
		return found(ix.Part(catalog.PartID(key)))
	case "Supplier":
		return found(ix.Supplier(catalog.SupplierID(key)))
	case "Position":
		family, pos, _ := strings.Cut(key, "/")
		return found(ix.Position(catalog.FamilyID(family), catalog.PositionID(pos)))
	case "Job":
		if err := r.allowed(ctx, catalog.ScopeJobsRead); err != nil {
			return nil, err
		}
		return orNull(r.Bench.Job(ctx, reconcile.JobID(key)))
	case "Edit":
		return r.editNode(ctx, key)
	}
	return nil, catalog.Invalid("id", "Send an id that an answer gave", "not a global id")
}

// editNode shows an edit; one of a job is for those who may see jobs.
func (r *Resolver) editNode(ctx context.Context, key string) (scalar.Node, error) {
	e, err := r.Curator.Edit(ctx, key)
	if err == nil && e.Job != "" {
		if err := r.allowed(ctx, catalog.ScopeJobsRead); err != nil {
			return nil, err
		}
	}
	return orNull(e, err)
}

// found turns a look-up into a node; an untyped nil when there is none.
func found[T any](rec *T, ok bool) (scalar.Node, error) {
	if !ok {
		return nil, nil //nolint:nilnil // GraphQL's null is the answer here
	}
	return rec, nil
}

func orNull[T any](rec *T, err error) (scalar.Node, error) {
	if catalog.CodeOf(err) == catalog.CodeNotFound {
		return nil, nil //nolint:nilnil // GraphQL's null is the answer here
	}
	if err != nil {
		return nil, err
	}
	return rec, nil
}
