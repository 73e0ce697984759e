package page

import (
	"context"
	"net/http"

	"github.com/Khan/genqlient/graphql"
)

// Executor runs an operation of the API in this process. It takes the caller's
// principal from the context and decodes the answer into data.
type Executor interface {
	Execute(ctx context.Context, operation, query string, variables, data any) error
	WithPrincipal(next http.Handler) http.Handler
}

// client lets the generated operations run in this process.
type client struct{ exec Executor }

// MakeRequest implements graphql.Client.
func (c client) MakeRequest(ctx context.Context, req *graphql.Request, resp *graphql.Response) error {
	return c.exec.Execute(ctx, req.OpName, req.Query, req.Variables, resp.Data)
}
