package graph

import (
	"context"
	"time"

	"layshaft/catalog"
	"layshaft/catalog/access"
	"layshaft/graph/model"
)

// SignInPath is where a code is opened; the server answers there.
const SignInPath = "/sign-in"

func (r *Resolver) grant(g *access.Grant) *model.Grant {
	return &model.Grant{Key: g.ID, Kind: string(g.Kind), Name: g.Name, Scopes: g.Scopes, By: g.By, Made: g.Made, Ends: g.Ends,
		Revoked: moment(g.Revoked), Used: moment(g.Used), Holds: g.Holds(r.Now())}
}

func moment(t time.Time) *time.Time {
	if t.IsZero() {
		return nil
	}
	return &t
}

// made answers with a grant and, this once, its key.
func (r *Resolver) made(g *access.Grant, key string, err error) (*model.GrantPayload, error) {
	errs, err := userErrors(err, nil)
	if err != nil {
		return nil, err
	}
	out := &model.GrantPayload{UserErrors: errs}
	if g == nil {
		return out, nil
	}
	out.Grant = r.grant(g)
	if key != "" {
		out.Secret = &key
	}
	if g.Kind == access.Code {
		out.Path = ptr(SignInPath + "?code=" + key)
	}
	return out, nil
}

func (r *Resolver) auditLog(ctx context.Context, first *int, after *string) (*model.AuditConnection, error) {
	n, err := pageSize(first)
	if err != nil {
		return nil, err
	}
	start := ""
	if after != nil {
		if start, err = readCursor(*after); err != nil {
			return nil, err
		}
	}
	notes, err := r.Access.Notes(ctx, start, n+1)
	if err != nil {
		return nil, err
	}
	info := &model.PageInfo{HasNextPage: len(notes) > n, HasPreviousPage: after != nil}
	notes = notes[:min(n, len(notes))]
	out := &model.AuditConnection{PageInfo: info, Edges: make([]*model.AuditEdge, len(notes))}
	for i, note := range notes {
		out.Edges[i] = &model.AuditEdge{Cursor: cursor(note.Key), Node: &model.AuditEntry{At: note.At, Who: note.Who,
			Operation: note.Operation, Mutations: note.Fields, Codes: orEmpty(note.Codes), Request: note.Request}}
	}
	if len(notes) > 0 {
		info.StartCursor, info.EndCursor = &out.Edges[0].Cursor, &out.Edges[len(notes)-1].Cursor
	}
	return out, nil
}

// issue makes a token.
func (r *Resolver) issue(ctx context.Context, in model.TokenInput) (*model.GrantPayload, error) {
	if in.Days < 1 || in.Days > 5*366 {
		return r.made(nil, "", catalog.Invalid("days", "Use 1 to 1830", "%d days", in.Days))
	}
	g, key, err := r.Access.Issue(ctx, access.Wanted{Name: in.Name, Scopes: in.Scopes, By: who(ctx),
		Life: time.Duration(in.Days) * 24 * time.Hour})
	return r.made(g, key, err)
}
