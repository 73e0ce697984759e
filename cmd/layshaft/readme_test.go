package main

import (
	"bytes"
	"os"
	"strings"
	"testing"

	"github.com/alecthomas/kong"
)

// TestReadme: the worked example in README.md is what the command prints, folded
// and with parts left out where it says so, and the table names every command.
func TestReadme(t *testing.T) {
	raw, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	readme := string(raw)
	_, after, ok := strings.Cut(readme, "$ go run ./cmd/layshaft reconcile ")
	line, after, ok2 := strings.Cut(after, "\n```\n\n```\n")
	shown, _, ok3 := strings.Cut(after, "\n```\n")
	if !ok || !ok2 || !ok3 {
		t.Fatal("the worked example is not where it was")
	}
	t.Chdir("../..")
	var out, errs bytes.Buffer
	if status := run(t.Context(), append([]string{"reconcile"}, strings.Fields(line)...), nil, &out, &errs, nil); status != exitPerson {
		t.Fatalf("status %d: %s", status, errs.String())
	}
	rest := strings.Join(strings.Fields(out.String()), " ")
	for chunk := range strings.SplitSeq(shown, "  ...") {
		want := strings.Join(strings.Fields(chunk), " ")
		at := strings.Index(rest, want)
		if at < 0 {
			t.Fatalf("the command does not print, after what came before:\n%s", chunk)
		}
		rest = rest[at+len(want):]
	}
	parser, err := kong.New(&commands{})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range parser.Model.Children {
		if row := "| `" + c.Name + "` | " + c.Help + " |"; !strings.Contains(readme, row) {
			t.Errorf("the table of commands lacks: %s", row)
		}
	}
}
