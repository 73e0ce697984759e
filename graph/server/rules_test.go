package server_test

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/vektah/gqlparser/v2/ast"

	"layshaft/catalog"
	"layshaft/graph"
	"layshaft/graph/server"
)

// TestEveryRootFieldHasARule walks the schema: a field of Query, Mutation or
// Subscription without @needs fails, and so does a scope that no field asks for.
func TestEveryRootFieldHasARule(t *testing.T) {
	schema := server.Schema(&graph.Resolver{}).Schema()
	used := map[string]bool{string(catalog.ScopePurchase): true} // asked for by the request-for-quotation route
	for _, root := range []*ast.Definition{schema.Query, schema.Mutation, schema.Subscription} {
		if root == nil {
			continue
		}
		for _, f := range root.Fields {
			if strings.HasPrefix(f.Name, "__") {
				continue
			}
			d := f.Directives.ForName("needs")
			if d == nil {
				t.Errorf("%s.%s has no rule", root.Name, f.Name)
				continue
			}
			used[d.Arguments.ForName("scope").Value.Raw] = true
		}
	}
	var words []string
	for _, v := range schema.Types["Scope"].EnumValues {
		words = append(words, v.Name)
		if !used[v.Name] {
			t.Errorf("no field asks for %s", v.Name)
		}
	}
	var ours []string
	for _, s := range catalog.Scopes() {
		ours = append(ours, string(s))
	}
	slices.Sort(words)
	slices.Sort(ours)
	if !slices.Equal(words, ours) {
		t.Errorf("the schema has scopes %v, the domain %v", words, ours)
	}
}

// call writes a call of a root field: every required argument gets the least
// value of its type.
func call(schema *ast.Schema, root string, f *ast.FieldDefinition) string {
	var args []string
	for _, a := range f.Arguments {
		if a.Type.NonNull && a.DefaultValue == nil {
			args = append(args, a.Name+":"+least(schema, a.Type))
		}
	}
	text := f.Name
	if len(args) > 0 {
		text += "(" + strings.Join(args, ",") + ")"
	}
	switch schema.Types[f.Type.Name()].Kind {
	case ast.Object, ast.Interface, ast.Union:
		text += "{__typename}"
	}
	return strings.ToLower(root) + "{" + text + "}"
}

// least is a literal of a type, as small as it can be.
func least(schema *ast.Schema, typ *ast.Type) string {
	if typ.Elem != nil {
		return "[]"
	}
	def := schema.Types[typ.NamedType]
	switch def.Kind {
	case ast.Enum:
		return def.EnumValues[0].Name
	case ast.InputObject:
		var members []string
		for _, f := range def.Fields {
			if f.Type.NonNull && f.DefaultValue == nil {
				members = append(members, f.Name+":"+least(schema, f.Type))
			}
		}
		return "{" + strings.Join(members, ",") + "}"
	}
	switch typ.NamedType {
	case "Int", "Float":
		return "1"
	case "Boolean":
		return "false"
	case "Date":
		return `"2026-03-24"`
	}
	return `"1"`
}

// switchable is a principal that a test changes between requests.
type switchable struct {
	mu  sync.Mutex
	now *graph.Principal
}

func (s *switchable) set(p *graph.Principal) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.now = p
}

func (s *switchable) of(*http.Request) *graph.Principal {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.now
}

// code that an operation is refused with, by the transport that its kind wants.
func (s *shop) refusal(t *testing.T, root, query string) string {
	t.Helper()
	if root != "Subscription" {
		a, _ := s.post(t, query, nil)
		return a.code()
	}
	ctx, leave := context.WithTimeout(t.Context(), 100*time.Millisecond)
	defer leave()
	b, err := io.ReadAll(s.subscribe(t, ctx, query).Body)
	if err != nil {
		return "" // it stayed open
	}
	var a answer
	line, _, _ := strings.Cut(strings.TrimPrefix(string(b), "event: next\ndata: "), "\n")
	if err := json.Unmarshal([]byte(line), &a); err != nil {
		t.Fatalf("%v: %s", err, b)
	}
	return a.code()
}

// TestScopeMatrix asks every root field, subscriptions too, with nobody signed in
// and with each single scope: exactly the scope of its rule lets it through.
func TestScopeMatrix(t *testing.T) {
	var who switchable
	s := openShop(t, func(c *server.Config) { c.Principal = who.of })
	schema := server.Schema(&graph.Resolver{}).Schema()
	asked := 0
	for _, root := range []*ast.Definition{schema.Query, schema.Mutation, schema.Subscription} {
		for _, f := range root.Fields {
			if strings.HasPrefix(f.Name, "__") {
				continue
			}
			place, query := root.Name+"."+f.Name, call(schema, root.Name, f)
			rule := catalog.Scope(f.Directives.ForName("needs").Arguments.ForName("scope").Value.Raw)
			who.set(nil)
			if code := s.refusal(t, root.Name, query); code != "SIGN_IN" {
				t.Errorf("%s with nobody signed in: %q", place, code)
			}
			for _, scope := range catalog.Scopes() {
				who.set(&graph.Principal{Name: "one", Scopes: []catalog.Scope{scope}})
				code := s.refusal(t, root.Name, query)
				if refused := code == "FORBIDDEN"; refused == (scope == rule) {
					t.Errorf("%s with %s alone: %q", place, scope, code)
				}
				asked++
			}
		}
	}
	t.Logf("%d pairs of field and scope", asked)
}

// TestRouteMatrix does the same for what is not GraphQL. What describes the API
// and says that it lives is for everybody.
func TestRouteMatrix(t *testing.T) {
	var who switchable
	s := openShop(t, func(c *server.Config) { c.Principal = who.of })
	for path, rule := range map[string]catalog.Scope{
		"/feeds/shortages.json": catalog.ScopeShortagesRead, "/feeds/shortages.ndjson": catalog.ScopeShortagesRead,
		"/feeds/shortages.csv": catalog.ScopeShortagesRead, "/feeds/request-for-quotation.xml": catalog.ScopePurchase,
		"/metrics": catalog.ScopeAdminister, "/healthz": "", "/readyz": "", "/docs": "", "/schema.graphql": ""} {
		who.set(nil)
		if status, _, _ := s.get(t, path); (status == http.StatusUnauthorized) != (rule != "") {
			t.Errorf("%s as nobody: %d", path, status)
		}
		for _, scope := range catalog.Scopes() {
			who.set(&graph.Principal{Name: "one", Scopes: []catalog.Scope{scope}})
			if status, _, _ := s.get(t, path); (status == http.StatusForbidden) == (rule == "" || scope == rule) {
				t.Errorf("%s with %s alone: %d", path, scope, status)
			}
		}
	}
}

// TestServicesAskAgain calls the services behind the resolvers without the
// directive in front.
func TestServicesAskAgain(t *testing.T) {
	s := openShop(t)
	bench, curator := s.bench.Guarded(graph.Gate), s.curator.Guarded(graph.Gate)
	register := s.register.Guarded(graph.Gate)
	with := func(scopes ...catalog.Scope) *graph.Principal { return &graph.Principal{Name: "one", Scopes: scopes} }
	ch := catalog.Change{Request: "r", Who: "one"}
	for _, c := range []struct {
		name string
		may  catalog.Scope
		call func(p *graph.Principal) error
	}{
		{"read a job", catalog.ScopeJobsRead, func(p *graph.Principal) error {
			_, err := bench.Job(graph.WithPrincipal(t.Context(), p), "7203")
			return err
		}},
		{"list jobs", catalog.ScopeJobsRead, func(p *graph.Principal) error {
			_, err := bench.Jobs(graph.WithPrincipal(t.Context(), p))
			return err
		}},
		{"report", catalog.ScopeJobsRead, func(p *graph.Principal) error {
			_, err := bench.Report(graph.WithPrincipal(t.Context(), p), "7203")
			return err
		}},
		{"job history", catalog.ScopeJobsRead, func(p *graph.Principal) error {
			_, err := bench.History(graph.WithPrincipal(t.Context(), p), "7203", 0, 1)
			return err
		}},
		{"change a job", catalog.ScopeJobsWork, func(p *graph.Principal) error {
			_, err := bench.Change(graph.WithPrincipal(t.Context(), p), "7203", ch)
			return err
		}},
		{"undo at a job", catalog.ScopeJobsWork, func(p *graph.Principal) error {
			_, err := bench.Undo(graph.WithPrincipal(t.Context(), p), "7203", "e999", "u", "one", "")
			return err
		}},
		{"shortages", catalog.ScopeShortagesRead, func(p *graph.Principal) error {
			_, err := bench.Shortages(graph.WithPrincipal(t.Context(), p))
			return err
		}},
		{"change the catalogue", catalog.ScopeCurate, func(p *graph.Principal) error {
			_, _, err := curator.Change(graph.WithPrincipal(t.Context(), p), ch)
			return err
		}},
		{"undo in the catalogue", catalog.ScopeCurate, func(p *graph.Principal) error {
			_, _, err := curator.Undo(graph.WithPrincipal(t.Context(), p), "e999", "u", "one", "")
			return err
		}},
		{"import", catalog.ScopeCurate, func(p *graph.Principal) error {
			_, _, err := curator.Import(graph.WithPrincipal(t.Context(), p), &catalog.Catalogue{}, "", "", "")
			return err
		}},
		{"list grants", catalog.ScopeAdminister, func(p *graph.Principal) error {
			_, err := register.List(graph.WithPrincipal(t.Context(), p))
			return err
		}},
		{"audit log", catalog.ScopeAdminister, func(p *graph.Principal) error {
			_, err := register.Notes(graph.WithPrincipal(t.Context(), p), "", 1)
			return err
		}},
	} {
		if err := c.call(nil); catalog.CodeOf(err) != catalog.CodeSignIn {
			t.Errorf("%s as nobody: %v", c.name, err)
		}
		others := slices.DeleteFunc(catalog.Scopes(), func(s catalog.Scope) bool {
			return s == c.may || s == catalog.ScopeJobsWork && c.name == "read a job" || s == catalog.ScopeJobsWork && c.name == "report"
		})
		if err := c.call(with(others...)); catalog.CodeOf(err) != catalog.CodeForbidden {
			t.Errorf("%s with all other scopes: %v", c.name, err)
		}
		if code := catalog.CodeOf(c.call(with(c.may))); code == catalog.CodeForbidden || code == catalog.CodeSignIn {
			t.Errorf("%s with %s: %s", c.name, c.may, code)
		}
	}
}

// TestEditsOfJobsAreForThoseWhoSeeJobs: an edit is reached by its id as well.
func TestEditsOfJobsAreForThoseWhoSeeJobs(t *testing.T) {
	var who switchable
	s := openShop(t, func(c *server.Config) { c.Principal = who.of })
	who.set(&graph.Principal{Name: "reader", Scopes: []catalog.Scope{catalog.ScopeCatalogueRead}})
	query := func(n int) string {
		return fmt.Sprintf(`{node(id:%q){... on Edit{who}}}`, graph.GlobalID("Edit", fmt.Sprintf("e%d", n)))
	}
	if a, _ := s.post(t, query(1), nil); a.code() != "" {
		t.Errorf("an edit of the catalogue: %+v", a.Errors)
	}
	if a, _ := s.post(t, query(2), nil); a.code() != "FORBIDDEN" {
		t.Errorf("an edit of a job: %s %+v", a.Data, a.Errors)
	}
}
