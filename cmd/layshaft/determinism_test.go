package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// reconcileJSON runs "layshaft reconcile --json" over the demo shop.
func reconcileJSON(t *testing.T, dir, job string, kit string) []byte {
	t.Helper()
	args := []string{"reconcile", "--json", "--package", filepath.Join(dir, "shop"), "--job", filepath.Join(dir, "jobs", job+".json")}
	if kit != "" {
		args = append(args, "--kit", kit)
	}
	var out, errs bytes.Buffer
	if status := run(context.Background(), args, strings.NewReader(""), &out, &errs, nil); status != exitOK && status != exitPerson {
		t.Fatalf("reconcile %s: status %d: %s", job, status, errs.String())
	}
	return out.Bytes()
}

func sample(t *testing.T) string {
	t.Helper()
	dir := t.TempDir() + "/demo"
	if status := run(context.Background(), []string{"sample", dir}, nil, &bytes.Buffer{}, &bytes.Buffer{}, nil); status != exitOK {
		t.Fatal("sample failed")
	}
	return dir
}

// TestSameInputSameBytes: the report is a pure function of its input.
func TestSameInputSameBytes(t *testing.T) {
	dir := sample(t)
	for _, job := range []string{"7201", "7202", "7203", "7204", "7205", "7206"} {
		if a, b := reconcileJSON(t, dir, job, ""), reconcileJSON(t, dir, job, ""); !bytes.Equal(a, b) {
			t.Errorf("job %s: two runs differ", job)
		}
	}
}

// TestOrderOfLinesChangesOnlyLineNumbers shuffles the lines below a table's head.
func TestOrderOfLinesChangesOnlyLineNumbers(t *testing.T) {
	dir := sample(t)
	text, err := os.ReadFile(filepath.Join(dir, "kits", "tarnbeck-early.txt"))
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(string(text)), "\n")
	// Notes and totals speak of the lines around them; items stand alone.
	items := slices.DeleteFunc(slices.Clone(lines[1:]), func(l string) bool { return !strings.HasPrefix(l, "TB-") })
	if len(items) < 10 {
		t.Fatalf("only %d items: the list is another one", len(items))
	}
	report := func(items []string) string {
		kit := filepath.Join(t.TempDir(), "kit.txt")
		if err := os.WriteFile(kit, []byte(lines[0]+"\n"+strings.Join(items, "\n")+"\n"), 0o600); err != nil {
			t.Fatal(err)
		}
		return withoutLineNumbers(t, reconcileJSON(t, dir, "7206", kit))
	}
	want := report(items)
	rng := rand.New(rand.NewPCG(1, 2))
	for range 5 {
		rng.Shuffle(len(items), func(i, j int) { items[i], items[j] = items[j], items[i] })
		if got := report(items); got != want {
			t.Fatalf("another order of lines gives another report:\n%s\n---\n%s", want, got)
		}
	}
}

var lineNumber = regexp.MustCompile(`(?i)\b(lines?) [0-9]+(( and |, )[0-9]+)*`)

// withoutLineNumbers writes what a report says, sorted, without where it stands
// in the text.
func withoutLineNumbers(t *testing.T, report []byte) string {
	t.Helper()
	var all map[string]any
	if err := json.Unmarshal(report, &all); err != nil {
		t.Fatal(err)
	}
	var said []string
	var walk func(path string, v any)
	walk = func(path string, v any) {
		switch v := v.(type) {
		case map[string]any:
			for k, x := range v {
				if !slices.Contains([]string{"line", "start", "end", "id", "uses"}, k) {
					walk(path+"."+k, x)
				}
			}
		case []any:
			for _, x := range v {
				walk(path, x)
			}
		default:
			said = append(said, path+"="+lineNumber.ReplaceAllString(fmt.Sprint(v), "$1"))
		}
	}
	walk("", all)
	slices.Sort(said)
	return strings.Join(said, "\n")
}
