// Command rewrite makes generated resolver code work in place: no goroutine an
// element, no bookkeeping for deferred fields, and plain struct fields written
// without a context of their own. It runs after the generator and refuses code
// whose shape it does not know.
//
// Usage: rewrite folder
package main

import (
	"bytes"
	"fmt"
	"go/format"
	"go/parser"
	"go/token"
	"log"
	"os"
	"path/filepath"
	"regexp"
	"strings"

	"golang.org/x/tools/go/ast/astutil"
)

// leaf is a scalar field that is nothing but a field of a struct, without
// directives: "return obj.X, nil", no middleware, a scalar's context. A named type
// has its package in the marshaler's name (ᚋ, ᚐ); pointers and lists (ᚖ, ᚕ) can be
// null and keep their context.
var leaf = regexp.MustCompile(`(?s)(func \(ec \*executionContext\) (_\w+)\(ctx context\.Context, field graphql\.CollectedField, obj [^)]+\)) \(ret graphql\.Marshaler\) \{
	return graphql\.ResolveField\(
		ctx,
		ec\.OperationContext,
		field,
		func\(ctx context\.Context, field graphql\.CollectedField\) \(\*graphql\.FieldContext, error\) \{
			return ec\.(fieldContext_\w+)\(ctx, field\)
		\},
		func\(ctx context\.Context\) \(any, error\) \{
			return (obj(?:\.\w+)+), nil
		\},
		nil,
		func\(ctx context\.Context, selections ast\.SelectionSet, v [^)]+\) graphql\.Marshaler \{
			return (ec\.marshal[\wᚋᚐ]+)\(ctx, selections, v\)
		\},
		true,
		(?:true|false),
	\)
\}
`)

// replacements of single calls, each with what it becomes.
var replacements = [][2]string{
	{"graphql.NewFieldSet(fields)", "inline.NewFieldSet(ctx, fields)"},
	{"graphql.NewDeferredGroup(ctx)", "inline.NoDefers"},
	{"graphql.MarshalSliceConcurrently(", "inline.Slice("},
}

const (
	imported = `	"github.com/99designs/gqlgen/graphql"` + "\n"
	ours     = `	"layshaft/graph/inline"` + "\n"
)

func main() {
	log.SetFlags(0)
	if len(os.Args) != 2 {
		log.Fatal("usage: rewrite folder")
	}
	if err := folder(os.Args[1]); err != nil {
		log.Fatal("rewrite: ", err)
	}
}

// folder rewrites all generated files. The numbers must fit together: each object
// has one field set and one group of deferred fields.
func folder(dir string) error {
	files, err := filepath.Glob(filepath.Join(dir, "*.generated.go"))
	if err != nil {
		return err
	}
	total := make([]int, len(replacements))
	leaves, dispatches := 0, 0
	after := map[string][]byte{}
	for _, file := range files {
		b, err := os.ReadFile(file)
		if err != nil {
			return err
		}
		text := string(b)
		if strings.Contains(text, ours) {
			return fmt.Errorf("%s is rewritten already: generate first", file)
		}
		dispatches += strings.Count(text, "out.Dispatch(ctx)")
		for i, r := range replacements {
			total[i] += strings.Count(text, r[0])
			text = strings.ReplaceAll(text, r[0], r[1])
		}
		text, n := leavesOf(text)
		leaves += n
		if text != string(b) && strings.Contains(text, "inline.") {
			text = strings.Replace(text, imported, imported+ours, 1)
		}
		if after[file], err = tidy(file, text); err != nil {
			return err
		}
	}
	if total[0] == 0 || total[0] != total[1] || total[0] != dispatches || total[2] == 0 || leaves < total[0] {
		return fmt.Errorf("the generator's templates have changed shape: %d field sets, %d deferred groups, %d dispatches, %d slices, %d leaves",
			total[0], total[1], dispatches, total[2], leaves)
	}
	for file, text := range after {
		if bytes.Contains(text, []byte("graphql.NewFieldSet(")) || bytes.Contains(text, []byte("graphql.NewDeferredGroup(")) {
			return fmt.Errorf("%s builds a field set in a way that is not known", file)
		}
		if err := os.WriteFile(file, text, 0o666); err != nil {
			return err
		}
	}
	return nil
}

// tidy drops the imports that nothing needs once leaves are rewritten.
func tidy(file, text string) ([]byte, error) {
	set := token.NewFileSet()
	tree, err := parser.ParseFile(set, file, text, parser.ParseComments)
	if err != nil {
		return nil, err
	}
	for _, group := range astutil.Imports(set, tree) {
		for _, i := range group {
			if path := strings.Trim(i.Path.Value, `"`); i.Name == nil && !astutil.UsesImport(tree, path) {
				astutil.DeleteImport(set, tree, path)
			}
		}
	}
	var out bytes.Buffer
	err = format.Node(&out, set, tree)
	return out.Bytes(), err
}

// leavesOf rewrites the leaves of a file whose context is a scalar's, and tells
// how many there are.
func leavesOf(text string) (string, int) {
	n := 0
	text = leaf.ReplaceAllStringFunc(text, func(whole string) string {
		m := leaf.FindStringSubmatch(whole)
		scalar := "func (ec *executionContext) " + m[3] + "(_ context.Context, field graphql.CollectedField) (fc *graphql.FieldContext, err error) {\n\treturn graphql.NewScalarFieldContext("
		if !strings.Contains(text, scalar) {
			return whole
		}
		n++
		return m[1] + " graphql.Marshaler {\n\treturn " + m[5] + "(ctx, field.Selections, " + m[4] + ")\n}\n"
	})
	return text, n
}
