package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// block of the README: the text between fences of a language in a section.
func block(t *testing.T, readme, section, language string) string {
	t.Helper()
	_, rest, ok := strings.Cut(readme, "\n## "+section+"\n")
	if !ok {
		t.Fatalf("the README has no section %q", section)
	}
	rest, _, _ = strings.Cut(rest, "\n## ")
	m := regexp.MustCompile("(?s)```" + language + "\n(.*?)```").FindStringSubmatch(rest)
	if m == nil {
		t.Fatalf("section %q has no block of %s", section, language)
	}
	return m[1]
}

// TestReadmeForOtherSystems runs what the README shows to integrators, against
// the demo.
func TestReadmeForOtherSystems(t *testing.T) {
	b, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	address := demoServer(t)
	dir := t.TempDir()
	run := func(name string, args ...string) string {
		t.Helper()
		cmd := exec.CommandContext(t.Context(), name, args...)
		cmd.Dir = dir
		cmd.Env = append(os.Environ(), "LAYSHAFT_TOKEN=")
		out, err := cmd.CombinedOutput()
		if err != nil {
			t.Fatalf("%s: %v\n%s", name, err, out)
		}
		return string(out)
	}
	here := func(language string) string {
		return strings.ReplaceAll(block(t, string(b), "For other systems", language), "http://127.0.0.1:8480", address)
	}
	if _, err := exec.LookPath("curl"); err != nil {
		if os.Getenv("LAYSHAFT_REQUIRE_TOOLS") == "1" {
			t.Fatal("curl is required")
		}
		t.Log("the shell example is left out: it needs curl")
	} else if out := run("sh", "-euc", here("sh")); strings.TrimSpace(out) != "304" {
		t.Errorf("the shell example prints %q", out)
	}
	program := filepath.Join(dir, "main.go")
	if err := os.WriteFile(program, []byte(here("go")), 0o666); err != nil {
		t.Fatal(err)
	}
	if out := run("go", "run", program); strings.Count(out, "\n") < 20 || !strings.Contains(out, " piece order-now") {
		t.Errorf("the Go example prints %.300s", out)
	}
}
