package server

import (
	"encoding/json"
	"strings"

	"github.com/99designs/gqlgen/graphql"
	"github.com/vektah/gqlparser/v2/ast"
)

// The cost of an operation is about the number of values in its answer plus the
// work behind them: a field costs 1 and what is selected inside it; a list costs
// its elements; a connection is paid for the page that is asked for, full or not.
const (
	costKey = "cost"
	// listLength is the guess for a list without paging that lengths does not name.
	listLength = 4
	// pageLength is a page whose size was left to the server.
	pageLength = 50
)

// work that a field does besides showing what is there, by "Type.field".
var work = map[string]int{
	"Query.identify":          500,
	"Query.readKitList":       500,
	"Query.reconcile":         1000,
	"Query.catalogueProblems": 2000,
	"Query.search":            200,
	"Query.history":           200,
	"Query.shortages":         500,
	"Job.report":              100, // kept from one request to the next
	"Query.__schema":          10_000,
	"Query.__type":            1000,
}

// lengths of lists that are longer than most, about as a shop with a few
// families has them.
var lengths = map[string]int{
	"Query.families":      8,
	"Query.attributeDefs": 40,
	"Query.suppliers":     10,
	"Family.positions":    60,
	"Family.mates":        60,
	"Family.variants":     6,
	"Variant.fitments":    150,
	"Part.fitments":       10,
	"Job.decisions":       30,
	"Report.lines":        25,
	"Report.demands":      30,
	"Report.build":        60,
	"Report.findings":     20,
	"Report.causes":       40,
	"__Schema.types":      150,
}

// mutationWork is what storing an edit costs, checks included.
const mutationWork = 500

// OperationCost is the cost of an operation that passed the limits.
func OperationCost(oc *graphql.OperationContext) int {
	c, _ := oc.Stats.GetExtension(costKey).(int)
	return c
}

func (m *measurer) fieldCost(f *ast.Field, inside int) int {
	own := 1
	if f.ObjectDefinition != nil {
		own += work[f.ObjectDefinition.Name+"."+f.Name]
		if f.ObjectDefinition.Name == "Mutation" {
			own += mutationWork
		}
	}
	if len(f.SelectionSet) == 0 || f.Definition == nil || f.Definition.Type == nil {
		return sum(own, inside)
	}
	return sum(own, product(m.elements(f), inside))
}

// elements is how often the selection inside a field is answered.
func (m *measurer) elements(f *ast.Field) int {
	args := f.Definition.Arguments
	switch {
	case args.ForName("first") != nil:
		return m.pageOf(f)
	case args.ForName("ids") != nil:
		if a := f.Arguments.ForName("ids"); a != nil {
			if v, err := a.Value.Value(m.vars); err == nil {
				if ids, ok := v.([]any); ok {
					return max(1, len(ids))
				}
			}
		}
		return 1
	case strings.HasPrefix(f.Definition.Type.String(), "["):
		return listOf(f.ObjectDefinition, f.Name)
	}
	return 1
}

func listOf(of *ast.Definition, field string) int {
	if of == nil {
		return listLength
	}
	if strings.HasSuffix(of.Name, "Connection") {
		return 1 // edges: the connection is paid for already
	}
	if n, ok := lengths[of.Name+"."+field]; ok {
		return n
	}
	return listLength
}

func (m *measurer) pageOf(f *ast.Field) int {
	a := f.Arguments.ForName("first")
	if a == nil {
		return pageLength
	}
	v, err := a.Value.Value(m.vars)
	if err != nil {
		return pageLength
	}
	switch n := v.(type) {
	case int64:
		return clampPage(n)
	case int:
		return clampPage(int64(n))
	case json.Number:
		if i, err := n.Int64(); err == nil {
			return clampPage(i)
		}
	}
	return pageLength
}

// clampPage keeps nonsense from being cheap; the resolver refuses it.
func clampPage(n int64) int { return int(min(max(n, 1), 1_000_000)) }
