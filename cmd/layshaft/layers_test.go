package main

import (
	"encoding/json"
	"errors"
	"io"
	"os/exec"
	"slices"
	"strings"
	"testing"
)

// ban is an arrow that must not exist: packages under From may not depend on
// anything under To, except those under But.
type ban struct {
	from, to string
	but      []string
	reason   string
}

// bans are the house rules of DEVELOPERS.md, "Map".
var bans = []ban{
	{from: "layshaft/catalog", to: "layshaft/reconcile", reason: "the catalogue knows nothing of jobs"},
	{from: "layshaft/catalog", to: "layshaft/data", reason: "the catalogue does no I/O"},
	{from: "layshaft/catalog", to: "layshaft/graph", reason: "the domain does not know its API"},
	{from: "layshaft/catalog/quantity", to: "layshaft", but: []string{"layshaft/catalog/quantity"}, reason: "quantities stand at the bottom"},
	{from: "layshaft/catalog/gearing", to: "layshaft", but: []string{"layshaft/catalog/gearing", "layshaft/catalog/quantity"}, reason: "geometry knows no records"},
	{from: "layshaft/catalog/standard", to: "layshaft", but: []string{"layshaft/catalog/standard", "layshaft/catalog/quantity"}, reason: "standards know no records"},
	{from: "layshaft/reconcile", to: "layshaft/data", reason: "the engine does no I/O"},
	{from: "layshaft/reconcile", to: "layshaft/graph", reason: "the domain does not know its API"},
	{from: "layshaft/reconcile/kitlist", to: "layshaft/reconcile", but: []string{"layshaft/reconcile/kitlist"}, reason: "algorithms never import the engine"},
	{from: "layshaft/reconcile/match", to: "layshaft/reconcile", but: []string{"layshaft/reconcile/match", "layshaft/reconcile/kitlist"}, reason: "algorithms never import the engine"},
	{from: "layshaft/reconcile/notes", to: "layshaft/reconcile", but: []string{"layshaft/reconcile/notes", "layshaft/reconcile/match", "layshaft/reconcile/kitlist"}, reason: "algorithms never import the engine"},
	{from: "layshaft/reconcile/sheet", to: "layshaft/reconcile", but: []string{"layshaft/reconcile/sheet", "layshaft/reconcile/kitlist"}, reason: "algorithms never import the engine"},
	{from: "layshaft/reconcile/identify", to: "layshaft/reconcile", but: []string{"layshaft/reconcile/identify"}, reason: "algorithms never import the engine"},
	{from: "layshaft/reconcile/measure", to: "layshaft/reconcile", but: []string{"layshaft/reconcile/measure"}, reason: "algorithms never import the engine"},
	{from: "layshaft/reconcile/fit", to: "layshaft/reconcile", but: []string{"layshaft/reconcile/fit"}, reason: "algorithms never import the engine"},
	{from: "layshaft/reconcile/flow", to: "layshaft", but: []string{"layshaft/reconcile/flow"}, reason: "a flow is numbers only"},
	{from: "layshaft/graph", to: "layshaft/data", reason: "resolvers speak to services, never to a store"},
	{from: "layshaft/data/kv", to: "layshaft", but: []string{"layshaft/data/kv"}, reason: "the storage contract knows no records"},
	{from: "layshaft/data/store", to: "layshaft/data/kv/badgerkv", reason: "cmd alone picks the engine"},
	{from: "layshaft/data/store", to: "layshaft/graph", reason: "the store does not know the API"},

	{from: "layshaft", to: "github.com/dgraph-io/badger", but: []string{"layshaft/data/kv/badgerkv", "layshaft/cmd/layshaft"}, reason: "one package knows Badger"},
	{from: "layshaft/catalog", to: "github.com/99designs/gqlgen", reason: "the domain does not know its API"},
	{from: "layshaft/reconcile", to: "github.com/99designs/gqlgen", reason: "the domain does not know its API"},
	{from: "layshaft/catalog", to: "net/http", but: []string{"layshaft/catalog/exchange"}, reason: "the domain does no network I/O; the workbook library of exchange links it"},
	{from: "layshaft/reconcile", to: "net/http", but: []string{"layshaft/reconcile/sheet"}, reason: "the domain does no I/O; the workbook library of sheet links it"},
}

type listed struct {
	ImportPath string
	Deps       []string
}

// TestLayers reads the module's real imports. A ban whose packages no longer
// exist fails as well: it would guard nothing.
func TestLayers(t *testing.T) {
	packages := listPackages(t)
	for _, b := range bans {
		if !slices.ContainsFunc(packages, func(p listed) bool { return under(p.ImportPath, b.from) }) {
			t.Errorf("ban from %s guards nothing: no such package", b.from)
		}
		for _, p := range packages {
			if !under(p.ImportPath, b.from) || slices.ContainsFunc(b.but, func(x string) bool { return under(p.ImportPath, x) && !under(x, b.to) }) {
				continue
			}
			for _, d := range p.Deps {
				if under(d, b.to) && !slices.ContainsFunc(b.but, func(x string) bool { return under(d, x) }) {
					t.Errorf("%s depends on %s: %s", p.ImportPath, d, b.reason)
				}
			}
		}
	}
}

func under(path, root string) bool { return path == root || strings.HasPrefix(path, root+"/") }

func listPackages(t *testing.T) []listed {
	t.Helper()
	cmd := exec.Command("go", "list", "-deps=false", "-json=ImportPath,Deps", "layshaft/...")
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	var packages []listed
	dec := json.NewDecoder(strings.NewReader(string(out)))
	for {
		var p listed
		if err := dec.Decode(&p); errors.Is(err, io.EOF) {
			return packages
		} else if err != nil {
			t.Fatalf("go list: %v", err)
		}
		packages = append(packages, p)
	}
}
