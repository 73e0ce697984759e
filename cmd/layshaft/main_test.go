package main

import (
	"bytes"
	"context"
	"errors"
	"os"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"layshaft/catalog"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"layshaft": main})
}

// TestScripts runs testdata/script; each begins with the demo shop in $WORK/demo.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir: "testdata/script",
		Setup: func(e *testscript.Env) error {
			var out, errs bytes.Buffer
			if status := run(context.Background(), []string{"sample", e.WorkDir + "/demo"}, nil, &out, &errs, nil); status != exitOK {
				return errors.New(errs.String())
			}
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){"status": status},
	})
}

// status runs layshaft in the script's folder and compares the exit status:
// status 3 check shop. Its output is what stdout and stderr then look at.
func status(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: status n command...")
	}
	err := ts.Exec("layshaft", args[1:]...)
	got := "0"
	if err != nil {
		got = strings.TrimPrefix(err.Error(), "exit status ")
	}
	if got != args[0] {
		ts.Fatalf("exit status %s, want %s", got, args[0])
	}
}

func TestExitTable(t *testing.T) {
	seen := map[catalog.Code]bool{}
	for i, row := range exitTable {
		if int(row.status) != i {
			t.Errorf("row %d has status %d", i, row.status)
		}
		for _, code := range row.codes {
			if seen[code] {
				t.Errorf("code %s is in two rows", code)
			}
			seen[code] = true
			if got := statusOf(&catalog.Error{Code: code}); got != row.status {
				t.Errorf("%s ends with %d, want %d", code, got, row.status)
			}
		}
	}
	for _, code := range []catalog.Code{catalog.CodeInternal, catalog.CodeInvalid, catalog.CodeNotFound, catalog.CodeConflict, catalog.CodeReused,
		catalog.CodeForbidden, catalog.CodeSignIn, catalog.CodeTooLarge, catalog.CodeFull, catalog.CodeUnavailable, catalog.CodeUnknown,
		catalog.CodeCorrupt, catalog.CodeBusy} {
		if !seen[code] {
			t.Errorf("code %s has no exit status", code)
		}
	}
	if got := statusOf(errors.New("other")); got != exitInternal {
		t.Errorf("an unknown error ends with %d", got)
	}
}

// brokenPipe fails every write.
type brokenPipe struct{}

func (brokenPipe) Write([]byte) (int, error) { return 0, os.ErrClosed }

func TestFullOutputIsReported(t *testing.T) {
	dir := t.TempDir() + "/demo"
	if got := run(context.Background(), []string{"sample", dir}, nil, &bytes.Buffer{}, &bytes.Buffer{}, nil); got != exitOK {
		t.Fatal(got)
	}
	for _, args := range [][]string{{"check", dir + "/shop"}, {"check", "--json", dir + "/shop"}} {
		if got := run(context.Background(), args, nil, brokenPipe{}, &bytes.Buffer{}, nil); got == exitOK {
			t.Errorf("%v: nothing could be written, yet status 0", args)
		}
	}
}

func TestPlain(t *testing.T) {
	if got := plain("a\x1b[2J\u202eb\tc\nd"); got != "a\uFFFD[2J\uFFFDb\tc\nd" {
		t.Errorf("got %q", got)
	}
}

func TestListID(t *testing.T) {
	for name, want := range map[string]string{"Kit 7.txt": "kit-7", "-.csv": "list", "ä.txt": "list", "a.b.txt": "a.b"} {
		if got := listID(name); got != want {
			t.Errorf("%q becomes %q, want %q", name, got, want)
		}
	}
}
