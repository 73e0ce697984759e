package graph

import (
	"context"
	"crypto/rand"
	"errors"
	"log/slog"
	"slices"

	"github.com/99designs/gqlgen/graphql"
	"github.com/vektah/gqlparser/v2/gqlerror"

	"layshaft/catalog"
	"layshaft/graph/model"
)

// graphCodes is the one table from error codes to what the API shows as
// extensions.code. Codes that are missing here are shown as INTERNAL.
var graphCodes = map[catalog.Code]string{
	catalog.CodeInvalid:     "INVALID",
	catalog.CodeNotFound:    "NOT_FOUND",
	catalog.CodeConflict:    "CONFLICT",
	catalog.CodeReused:      "REQUEST_REUSED",
	catalog.CodeForbidden:   "FORBIDDEN",
	catalog.CodeSignIn:      "SIGN_IN",
	catalog.CodeTooLarge:    "TOO_LARGE",
	catalog.CodeFull:        "FULL",
	catalog.CodeUnavailable: "UNAVAILABLE",
	catalog.CodeUnknown:     "UNKNOWN_OUTCOME",
	catalog.CodeCorrupt:     "CORRUPT",
	catalog.CodeBusy:        "BUSY",
}

// codeInternal is shown for every fault that a caller can do nothing about.
const codeInternal = "INTERNAL"

// codeTimeout is shown for what was under way when its time was over.
const codeTimeout = "TIMEOUT"

// ErrorCodes lists what extensions.code can be, in order.
func ErrorCodes() []string {
	out := []string{codeInternal, codeTimeout, "BAD_REQUEST", "GRAPHQL_PARSE_FAILED", "GRAPHQL_VALIDATION_FAILED", "OPERATION_TOO_LARGE"}
	for _, c := range graphCodes {
		out = append(out, c)
	}
	slices.Sort(out)
	return out
}

// Present turns any error into what a caller may see. Errors of ours keep code,
// place and remedy; the library's own errors about the document pass; everything
// else is logged with an id and shown as that id.
func Present(log *slog.Logger) graphql.ErrorPresenterFunc {
	return func(ctx context.Context, err error) *gqlerror.Error {
		shown := graphql.DefaultErrorPresenter(ctx, err)
		var ours *catalog.Error
		switch {
		case errors.As(err, &ours) && graphCodes[ours.Code] != "":
			if ours.Cause != nil {
				log.ErrorContext(ctx, "fault", "code", ours.Code, "place", ours.Place, "cause", ours.Cause)
			}
			shown.Message = ours.Error()
			shown.Extensions = map[string]any{"code": graphCodes[ours.Code], "place": ours.Place, "remedy": ours.Remedy}
		case errors.Is(err, context.DeadlineExceeded), errors.Is(err, context.Canceled):
			// Every field under way fails alike: one line of log would be thousands.
			shown.Message = "the operation took too long and was given up"
			shown.Extensions = map[string]any{"code": codeTimeout, "remedy": "Ask for less at a time"}
		case fromDocument(err):
		default:
			id := rand.Text()[:12]
			log.ErrorContext(ctx, "internal error", "id", id, "error", err, "path", shown.Path.String())
			shown.Message = "internal error " + id
			shown.Extensions = map[string]any{"code": codeInternal, "id": id}
		}
		shown.Err = nil
		return shown
	}
}

// fromDocument reports whether the error speaks of the caller's own document or
// variables: such errors carry no cause of ours.
func fromDocument(err error) bool {
	var g *gqlerror.Error
	return errors.As(err, &g) && g.Err == nil
}

// Recover turns a panic into an internal error; its value and stack go to the log.
func Recover(log *slog.Logger) graphql.RecoverFunc {
	return func(ctx context.Context, p any) error {
		log.ErrorContext(ctx, "panic in a resolver", "value", p, "stack", stack())
		return errors.New("panic in a resolver")
	}
}

// userErrors sorts what a caller can put right from faults: the first comes back
// as values, the second as the error itself.
func userErrors(err error, problems []catalog.Problem) ([]model.UserError, error) {
	if err == nil && len(problems) == 0 {
		return []model.UserError{}, nil
	}
	var out []model.UserError
	for i := range problems {
		p := &problems[i]
		out = append(out, &model.CatalogueError{Code: p.Code, Message: p.Reason,
			Place: string(p.Table) + " " + p.Key, Remedy: p.Repair, Problem: p})
	}
	var ours *catalog.Error
	switch {
	case err == nil:
	case !errors.As(err, &ours):
		return nil, err
	case ours.Code == catalog.CodeConflict:
		out = append(out, &model.ConflictError{Code: graphCodes[ours.Code], Message: ours.Message, Place: ours.Place, Remedy: ours.Remedy})
	case ours.Code == catalog.CodeInvalid, ours.Code == catalog.CodeNotFound,
		ours.Code == catalog.CodeReused, ours.Code == catalog.CodeTooLarge:
		out = append(out, &model.InputError{Code: graphCodes[ours.Code], Message: ours.Message, Place: ours.Place, Remedy: ours.Remedy})
	default:
		return nil, err
	}
	return out, nil
}
