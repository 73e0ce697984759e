package server

import (
	"bytes"
	"cmp"
	"embed"
	"html/template"
	"log/slog"
	"net/http"
	"slices"
	"strings"

	"github.com/vektah/gqlparser/v2/ast"

	"layshaft/graph"
)

//go:embed docs
var docsFiles embed.FS

var docsPage = template.Must(template.ParseFS(docsFiles, "docs/docs.html"))

// Example is an operation for one job of the API; the query desk offers it and a
// test runs it.
type Example struct{ Name, Query string }

// Examples for every job, the most wanted first. They run against the demo shop.
var Examples = []Example{
	{"What is short", "query Short {\n  shortages(first: 20) {\n    totalCount\n    edges { node { key quantity unit state blocking neededBy accept { key name } } }\n  }\n}"},
	{"Follow shortages", "query Pull {\n  shortages(changedSince: \"\", first: 50) {\n    edges { node { key gone quantity state } }\n    pageInfo { endCursor hasNextPage }\n  }\n}"},
	{"Jobs on the bench", "query Jobs {\n  jobs(first: 20) {\n    edges { node { key title state report { blocking findings { code severity message } } } }\n  }\n}"},
	{"Find a part", "query Find {\n  search(text: \"6207\") { __typename ... on Part { key name designation } }\n}"},
	{"Parts and offers", "query Parts {\n  parts(first: 10) {\n    edges { node { key name offers { supplierKey leadLikely breaks { from price { text } } } } }\n  }\n}"},
	{"Read a kit list", "query Read {\n  readKitList(input: {text: \"2x 6207 NR\\n1 main shaft nut\"}) {\n    lines { line text supply { outcome part { key } } }\n    questions\n  }\n}"},
	{"Name the variant", "query Name {\n  identify(input: {observations: [{text: \"cable-speedo=yes\"}]}) {\n    ranked { variant { key } permille }\n    next { label why }\n  }\n}"},
	{"Newest changes", "query History {\n  history(first: 10) { edges { node { who at why } } }\n}"},
	{"Check the catalogue", "query Check {\n  catalogueProblems { code table key reason repair }\n}"},
}

// docField, docType and docArgument are what the page shows of the schema.
type docField struct {
	Name, Type, Of, Description, Scope string
	Arguments                          []docField
}

type docType struct {
	Name, Kind, Description string
	Fields                  []docField
}

// docsHTML renders the page once; the schema does not change while the server runs.
func docsHTML(schema *ast.Schema, limits Limits, codes []string) ([]byte, error) {
	read := func(name string) (string, error) {
		b, err := docsFiles.ReadFile("docs/" + name)
		return string(b), err
	}
	inGo, err := read("pull.go")
	if err != nil {
		return nil, err
	}
	shell, err := read("pull.sh")
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	err = docsPage.Execute(&b, map[string]any{"Types": docTypes(schema), "Limits": limits, "Codes": codes, "Columns": feedColumns,
		"Examples": Examples, "Go": inGo, "Shell": shell})
	return b.Bytes(), err
}

func docTypes(schema *ast.Schema) []docType {
	roots := []string{"Query", "Mutation", "Subscription"}
	var out []docType
	for _, def := range schema.Types {
		if strings.HasPrefix(def.Name, "__") {
			continue
		}
		t := docType{Name: def.Name, Kind: strings.ReplaceAll(strings.ToLower(string(def.Kind)), "_", " "), Description: def.Description}
		for _, f := range def.Fields {
			if !strings.HasPrefix(f.Name, "__") {
				t.Fields = append(t.Fields, docFieldOf(f))
			}
		}
		for _, v := range def.EnumValues {
			t.Fields = append(t.Fields, docField{Name: v.Name, Description: v.Description})
		}
		for _, name := range def.Types { // members of a union
			t.Fields = append(t.Fields, docField{Name: "or", Type: name, Of: name})
		}
		out = append(out, t)
	}
	slices.SortFunc(out, func(a, b docType) int {
		rank := func(t docType) int {
			if i := slices.Index(roots, t.Name); i >= 0 {
				return i
			}
			return len(roots)
		}
		return cmp.Or(cmp.Compare(rank(a), rank(b)), cmp.Compare(a.Name, b.Name))
	})
	return out
}

func docFieldOf(f *ast.FieldDefinition) docField {
	d := docField{Name: f.Name, Type: f.Type.String(), Of: f.Type.Name(), Description: f.Description}
	if n := f.Directives.ForName("needs"); n != nil {
		d.Scope = n.Arguments.ForName("scope").Value.Raw
	}
	for _, a := range f.Arguments {
		d.Arguments = append(d.Arguments, docField{Name: a.Name, Type: a.Type.String(), Of: a.Type.Name(), Description: a.Description})
	}
	return d
}

// docsPolicy allows our own files and nothing else.
const docsPolicy = "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; base-uri 'none'; frame-ancestors 'none'"

// docs puts the page and its files on a mux. They describe the API and hold
// nothing of the shop.
func (s *Server) docs(mux *http.ServeMux, schema *ast.Schema) {
	page, err := docsHTML(schema, s.cfg.Limits, graph.ErrorCodes())
	if err != nil {
		s.cfg.Log.Error("the documentation cannot be shown", slog.Any("error", err))
		return
	}
	serve := func(media string, b []byte) http.Handler {
		return zipped(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
			h := w.Header()
			h.Set("Content-Type", media+"; charset=utf-8")
			h.Set("Content-Security-Policy", docsPolicy)
			h.Set("X-Content-Type-Options", "nosniff")
			h.Set("Referrer-Policy", "no-referrer")
			h.Set("Cache-Control", "no-cache")
			_, _ = w.Write(b)
		}))
	}
	mux.Handle("GET /docs", serve("text/html", page))
	for name, media := range map[string]string{"docs.css": "text/css", "desk.js": "text/javascript"} {
		b, err := docsFiles.ReadFile("docs/" + name)
		if err != nil {
			s.cfg.Log.Error("a file of the documentation is missing", slog.String("file", name), slog.Any("error", err))
			return
		}
		mux.Handle("GET /docs/"+name, serve(media, b))
	}
}
