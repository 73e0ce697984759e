package server_test

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/vektah/gqlparser/v2/formatter"

	"layshaft/graph"
	"layshaft/graph/server"
)

// released is the SDL of the last release. It is replaced when a release is made:
// LAYSHAFT_RELEASE=1 go test ./graph/server -run TestSchema
const released = "testdata/released.graphqls"

// TestSchema: the schema keeps its own rules, and breaks nothing that the last
// release promised.
func TestSchema(t *testing.T) {
	var sdl bytes.Buffer
	formatter.NewFormatter(&sdl).FormatSchema(server.Schema(&graph.Resolver{}).Schema())
	if os.Getenv("LAYSHAFT_RELEASE") == "1" {
		if err := os.WriteFile(released, sdl.Bytes(), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	tools := npm(t)
	now := filepath.Join(t.TempDir(), "now.graphqls")
	if err := os.WriteFile(now, sdl.Bytes(), 0o666); err != nil {
		t.Fatal(err)
	}
	old, err := filepath.Abs(released)
	if err != nil {
		t.Fatal(err)
	}
	var got struct{ Lint, Breaking []string }
	if err := json.Unmarshal(tools.run(t, "schema.cjs", now, old), &got); err != nil {
		t.Fatal(err)
	}
	for _, l := range got.Lint {
		t.Error("lint:", l)
	}
	for _, b := range got.Breaking {
		t.Error("breaks what was released:", b)
	}
}

// TestSchemaBreaksAreSeen: the comparison is not blind.
func TestSchemaBreaksAreSeen(t *testing.T) {
	tools := npm(t)
	dir := t.TempDir()
	write := func(name, sdl string) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(sdl), 0o666); err != nil {
			t.Fatal(err)
		}
		return path
	}
	var got struct{ Lint, Breaking []string }
	out := tools.run(t, "schema.cjs", write("now.graphqls", "type Query {\n  \"A.\"\n  a(x: Int): Int\n}\n"),
		write("old.graphqls", "\"Q.\"\ntype Query {\n  \"A.\"\n  a: Int\n  \"B.\"\n  b: Int\n}\n"))
	if err := json.Unmarshal(out, &got); err != nil {
		t.Fatal(err)
	}
	if len(got.Breaking) != 1 || len(got.Lint) != 3 {
		t.Errorf("breaking %v, lint %v", got.Breaking, got.Lint)
	}
}
