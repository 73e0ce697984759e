package main

import (
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/rogpeppe/go-internal/txtar"

	"layshaft/reconcile"
)

var update = flag.Bool("update", false, "rewrite testdata/classic.txtar")

// TestClassicChain pins what the demo's classic job reports: every finding with
// its cause chain, every shortage with its state.
func TestClassicChain(t *testing.T) {
	var r reconcile.Report
	if err := json.Unmarshal(reconcileJSON(t, sample(t), "7203", ""), &r); err != nil {
		t.Fatal(err)
	}
	var got strings.Builder
	for _, f := range r.Findings {
		mark := ""
		if f.Blocking {
			mark = "!"
		}
		fmt.Fprintf(&got, "%s%s %s %s", f.Severity, mark, f.Code, f.Position)
		if f.Expected != "" {
			fmt.Fprintf(&got, ", %s %s wanted, %s found", f.Attribute, f.Expected, f.Found)
		}
		for i, h := range f.Chain {
			fmt.Fprintf(&got, "%s%s %s", []string{": ", " > "}[min(i, 1)], h.Position, h.Cause)
		}
		got.WriteString("\n")
	}
	for _, s := range r.Shortages {
		fmt.Fprintf(&got, "short %d %s %s\n", s.Quantity, s.Position, s.State)
	}
	const file = "testdata/classic.txtar"
	golden, err := txtar.ParseFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if *update {
		golden.Files[0].Data = []byte(got.String())
		if err := os.WriteFile(file, txtar.Format(golden), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if d := cmp.Diff(string(golden.Files[0].Data), got.String()); d != "" {
		t.Errorf("report of the classic job (-want +got); look at each line before -update:\n%s", d)
	}
}
