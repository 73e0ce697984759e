package store_test

import (
	"bufio"
	"fmt"
	"log/slog"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"layshaft/catalog"
	"layshaft/data/kv/badgerkv"
	"layshaft/data/store"
	"layshaft/reconcile"
)

// writerDir tells the re-executed test binary that it is the writer.
const writerDir = "LAYSHAFT_TEST_WRITER_DIR"

func TestMain(m *testing.M) {
	if dir := os.Getenv(writerDir); dir != "" {
		writeUntilKilled(dir)
	}
	os.Exit(m.Run())
}

func openFolder(dir string) (*store.Store, error) {
	engine, err := badgerkv.Open(badgerkv.Options{Dir: dir, FreeFloor: 1, Ballast: -1, Logger: slog.New(slog.DiscardHandler)})
	if err != nil {
		return nil, err
	}
	return store.Open(background(), engine, slog.New(slog.DiscardHandler))
}

// writeUntilKilled makes edits and prints each id once it is acknowledged.
func writeUntilKilled(dir string) {
	s, err := openFolder(dir)
	if err != nil {
		fmt.Println("error", err)
		os.Exit(1)
	}
	c, b := catalog.NewCurator(s, time.Now), reconcile.NewBench(s, time.Now)
	if _, ok := c.Index().Family("brook"); !ok {
		_, _, err = c.Change(background(), catalog.Change{Request: "family", Who: "writer", Put: []catalog.Record{family()}})
	}
	for i := 0; err == nil; i++ {
		job := reconcile.JobID(fmt.Sprintf("j%d-%d", os.Getpid(), i%7))
		var e *catalog.Edit
		e, err = b.Change(background(), job, catalog.Change{Request: fmt.Sprintf("%d-%d", os.Getpid(), i), Who: "writer",
			Put: []catalog.Record{
				&reconcile.Head{ID: job, Title: fmt.Sprint(i), Family: "brook", State: reconcile.StateWaiting},
				&reconcile.Decision{Job: job, Position: catalog.PositionID(fmt.Sprintf("p%d", i)), Choice: reconcile.Replace},
			}})
		if err == nil {
			fmt.Println(e.ID, job, fmt.Sprintf("p%d", i))
		}
	}
	fmt.Println("error", err)
	os.Exit(1)
}

// TestKilledWriterLosesNoAcknowledgedEdit kills a writing process with SIGKILL
// and looks for every edit that it had acknowledged, whole.
func TestKilledWriterLosesNoAcknowledgedEdit(t *testing.T) {
	dir := t.TempDir()
	acknowledged := 0
	for range 6 {
		lines := runWriter(t, dir, 300*time.Millisecond)
		s, err := openFolder(dir)
		if err != nil {
			t.Fatalf("open after a kill: %v", err)
		}
		for _, line := range lines {
			f := strings.Fields(line)
			if len(f) != 3 {
				t.Fatalf("writer said %q", line)
			}
			acknowledged++
			e, err := s.Edit(t.Context(), f[0])
			if err != nil {
				t.Fatalf("acknowledged edit %s: %v", f[0], err)
			}
			if len(e.Ops) != 2 || e.Ops[1].Key != f[1]+"/"+f[2] {
				t.Errorf("edit %s came back as %+v", f[0], e)
			}
			if _, err := s.Record(t.Context(), reconcile.TableDecision, f[1]+"/"+f[2]); err != nil {
				t.Errorf("record of edit %s: %v", f[0], err)
			}
		}
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
	}
	if acknowledged == 0 {
		t.Fatal("the writer acknowledged nothing: the test shows nothing")
	}
	t.Logf("%d acknowledged edits over 6 kills, all found", acknowledged)
}

func runWriter(t *testing.T, dir string, kill time.Duration) []string {
	t.Helper()
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), writerDir+"="+dir)
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	var lines []string
	scan := bufio.NewScanner(out)
	for scan.Scan() {
		if len(lines) == 0 {
			// The clock starts at the first acknowledged edit: a slow start shows nothing.
			time.AfterFunc(kill, func() { _ = cmd.Process.Kill() })
		}
		lines = append(lines, scan.Text())
	}
	_ = cmd.Wait()
	return lines
}
