package server

import (
	"context"
	"math"

	"github.com/99designs/gqlgen/graphql"
	"github.com/99designs/gqlgen/graphql/errcode"
	"github.com/vektah/gqlparser/v2/ast"
	"github.com/vektah/gqlparser/v2/gqlerror"
)

// Limits refuses documents that are too deep or too wide. It is linear in the
// document, since fragments are walked once each; the library's own complexity
// extension walks every spread afresh and takes exponential time on fragments
// that spread each other, so it must never run before this one.
type Limits struct {
	Depth    int // nested selections
	Expanded int // selections after fragments are put in place
	Roots    int // selections at the root
}

// DefaultLimits fit every operation of the pages with room to spare.
var DefaultLimits = Limits{Depth: 15, Expanded: 2000, Roots: 30}

const codeTooLarge = "OPERATION_TOO_LARGE"

var _ interface {
	graphql.HandlerExtension
	graphql.OperationContextMutator
} = Limits{}

// ExtensionName implements graphql.HandlerExtension.
func (Limits) ExtensionName() string { return "Limits" }

// Validate implements graphql.HandlerExtension.
func (Limits) Validate(graphql.ExecutableSchema) error { return nil }

// MutateOperationContext implements graphql.OperationContextMutator. It changes
// nothing; it runs after validation, which has refused fragment cycles.
func (l Limits) MutateOperationContext(_ context.Context, oc *graphql.OperationContext) *gqlerror.Error {
	c := measure(oc.Operation.SelectionSet, map[string]size{})
	if c.depth <= l.Depth && c.count <= l.Expanded && len(oc.Operation.SelectionSet) <= l.Roots {
		return nil
	}
	err := gqlerror.Errorf("the operation is too large: depth %d of %d, %d of %d selections. Ask for less at a time",
		c.depth, l.Depth, c.count, l.Expanded)
	errcode.Set(err, codeTooLarge)
	return err
}

// size of a selection set with its fragments put in place.
type size struct{ depth, count int }

func measure(set ast.SelectionSet, memo map[string]size) size {
	var total size
	for _, sel := range set {
		var s size
		switch sel := sel.(type) {
		case *ast.Field:
			s = measure(sel.SelectionSet, memo)
			s.depth++
			s.count = saturating(s.count, 1)
		case *ast.InlineFragment:
			s = measure(sel.SelectionSet, memo)
		case *ast.FragmentSpread:
			var walked bool
			if s, walked = memo[sel.Name]; !walked {
				s = measure(sel.Definition.SelectionSet, memo)
				memo[sel.Name] = s
			}
			s.count = saturating(s.count, 1)
		}
		total = size{max(total.depth, s.depth), saturating(total.count, s.count)}
	}
	return total
}

func saturating(a, b int) int {
	if a > math.MaxInt-b {
		return math.MaxInt
	}
	return a + b
}
