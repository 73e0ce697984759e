package server

import (
	"context"
	"math"

	"github.com/99designs/gqlgen/graphql"
	"github.com/99designs/gqlgen/graphql/errcode"
	"github.com/vektah/gqlparser/v2/ast"
	"github.com/vektah/gqlparser/v2/gqlerror"
)

// Limits refuses documents that are too deep, too wide or too dear. It is linear
// in the document, since fragments are walked once each; the library's own
// complexity extension walks every spread afresh and takes exponential time on
// fragments that spread each other, which is why cost is reckoned here.
type Limits struct {
	Depth    int // nested selections
	Expanded int // selections after fragments are put in place
	Roots    int // selections at the root
	Cost     int // see cost.go
	Word     int // letters, digits and underscores in a row
}

// DefaultLimits fit every operation of the pages with room to spare.
var DefaultLimits = Limits{Depth: 15, Expanded: 2000, Roots: 30, Cost: 500_000, Word: 1000}

const codeTooLarge = "OPERATION_TOO_LARGE"

var _ interface {
	graphql.HandlerExtension
	graphql.OperationParameterMutator
	graphql.OperationContextMutator
} = Limits{}

// ExtensionName implements graphql.HandlerExtension.
func (Limits) ExtensionName() string { return "Limits" }

// Validate implements graphql.HandlerExtension.
func (Limits) Validate(graphql.ExecutableSchema) error { return nil }

// MutateOperationParameters implements graphql.OperationParameterMutator. It
// refuses endless words before the parser compares them with every known name.
func (l Limits) MutateOperationParameters(_ context.Context, p *graphql.RawParams) *gqlerror.Error {
	run := 0
	for i := range len(p.Query) {
		c := p.Query[i]
		if c == '_' || '0' <= c && c <= '9' || 'a' <= c|0x20 && c|0x20 <= 'z' {
			if run++; run > l.Word {
				return tooLarge("it has a word of more than %d letters", l.Word)
			}
			continue
		}
		run = 0
	}
	return nil
}

// MutateOperationContext implements graphql.OperationContextMutator. It leaves
// the cost with the operation; it runs after validation, which has refused
// fragment cycles.
func (l Limits) MutateOperationContext(_ context.Context, oc *graphql.OperationContext) *gqlerror.Error {
	m := &measurer{vars: oc.Variables, memo: map[string]size{}}
	c := m.set(oc.Operation.SelectionSet)
	if m.defers {
		err := gqlerror.Errorf("@defer is not supported. Leave it out, or ask twice")
		errcode.Set(err, "BAD_REQUEST")
		return err
	}
	oc.Stats.SetExtension(costKey, c.cost)
	switch {
	case c.depth > l.Depth:
		return tooLarge("it is %d levels deep, %d are allowed", c.depth, l.Depth)
	case c.count > l.Expanded:
		return tooLarge("it selects %d fields, %d are allowed", c.count, l.Expanded)
	case len(oc.Operation.SelectionSet) > l.Roots:
		return tooLarge("it starts with %d fields, %d are allowed", len(oc.Operation.SelectionSet), l.Roots)
	case c.cost > l.Cost:
		return tooLarge("its cost is %d, %d is allowed", c.cost, l.Cost)
	}
	return nil
}

func tooLarge(format string, args ...any) *gqlerror.Error {
	err := gqlerror.Errorf("the operation is too large: "+format+". Ask for less at a time", args...)
	errcode.Set(err, codeTooLarge)
	return err
}

// size of a selection set with its fragments put in place.
type size struct{ depth, count, cost int }

// measurer walks an operation once; variables are the same wherever a fragment
// is spread, so each fragment has one size.
type measurer struct {
	vars   map[string]any
	memo   map[string]size
	defers bool // something asks to be answered later
}

func (m *measurer) set(set ast.SelectionSet) size {
	var total size
	for _, sel := range set {
		s := m.selection(sel)
		total = size{max(total.depth, s.depth), sum(total.count, s.count), sum(total.cost, s.cost)}
	}
	return total
}

func (m *measurer) selection(sel ast.Selection) size {
	switch sel := sel.(type) {
	case *ast.Field:
		s := m.set(sel.SelectionSet)
		return size{s.depth + 1, sum(s.count, 1), m.fieldCost(sel, s.cost)}
	case *ast.InlineFragment:
		m.defers = m.defers || sel.Directives.ForName("defer") != nil
		return m.set(sel.SelectionSet)
	case *ast.FragmentSpread:
		m.defers = m.defers || sel.Directives.ForName("defer") != nil
		s, walked := m.memo[sel.Name]
		if !walked {
			s = m.set(sel.Definition.SelectionSet)
			m.memo[sel.Name] = s
		}
		s.count = sum(s.count, 1)
		return s
	}
	return size{}
}

// sum and product stay at the largest number instead of running over it.
func sum(a, b int) int {
	if a > math.MaxInt-b {
		return math.MaxInt
	}
	return a + b
}

func product(a, b int) int {
	if a != 0 && b > math.MaxInt/a {
		return math.MaxInt
	}
	return a * b
}
