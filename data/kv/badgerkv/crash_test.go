package badgerkv_test

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"
	"time"

	"layshaft/data/kv"
)

// childDir names, in the environment, the data folder a re-executed test
// binary writes to until it is killed.
const childDir = "LAYSHAFT_KV_CHILD"

func TestMain(m *testing.M) {
	if dir := os.Getenv(childDir); dir != "" {
		fmt.Fprintln(os.Stderr, writeUntilKilled(dir))
		os.Exit(1)
	}
	os.Exit(m.Run())
}

const (
	crashWriters = 4
	crashParts   = 5
)

func crashKey(writer string, n, part int) string { return fmt.Sprintf("%s/%06d/%d", writer, n, part) }

// crashValue is large enough for tables to be written all the time.
func crashValue(n int) []byte { return bytes.Repeat([]byte(strconv.Itoa(n)), 2000) }

// writeUntilKilled commits batches and prints each one acknowledged.
func writeUntilKilled(dir string) error {
	s, err := openSmall(dir)
	if err != nil {
		return err
	}
	fmt.Println("open")
	failed := make(chan error)
	for w := range crashWriters {
		go func() {
			writer := fmt.Sprintf("%d-%d", os.Getpid(), w)
			for n := 0; ; n++ {
				var ops []kv.Op
				for part := range crashParts {
					ops = append(ops, kv.Op{Key: crashKey(writer, n, part), Value: crashValue(n)})
				}
				rev, err := s.Commit(context.Background(), nil, ops)
				if err == nil && n%10 == 9 {
					err = s.Trim(context.Background(), rev)
				}
				if err != nil {
					failed <- err
					return
				}
				fmt.Printf("%s %d\n", writer, n)
			}
		}()
	}
	return <-failed
}

// TestKilled kills a writing process time and again; every batch it had
// acknowledged must be there, and every batch that is there must be whole.
func TestKilled(t *testing.T) {
	t.Parallel()
	const rounds = 6
	dir := t.TempDir()
	acked := map[string]int{} // writer to its last batch
	for round := range rounds {
		killWriter(t, dir, acked, time.Duration(150+70*round)*time.Millisecond)
		checkAcked(t, dir, acked)
	}
	total := 0
	for _, n := range acked {
		total += n + 1
	}
	if total < rounds*crashWriters {
		t.Errorf("only %d batches were acknowledged, too few to prove anything", total)
	}
	t.Logf("%d batches acknowledged in %d rounds, all found whole", total, rounds)
}

// killWriter runs a writer for a while and adds what it acknowledged.
func killWriter(t *testing.T, dir string, acked map[string]int, after time.Duration) {
	t.Helper()
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), childDir+"="+dir)
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewScanner(out)
	if !lines.Scan() || lines.Text() != "open" {
		t.Fatalf("the writer did not open its store: %v: %s", cmd.Wait(), stderr.String())
	}
	if s, err := openSmall(dir); !errors.Is(err, kv.ErrUnavailable) || !strings.Contains(err.Error(), "another Layshaft is using this data folder") {
		t.Errorf("opened beside another process: %v, %v", s, err)
	}
	time.AfterFunc(after, func() { _ = cmd.Process.Kill() })
	for lines.Scan() {
		writer, n, _ := strings.Cut(lines.Text(), " ")
		if acked[writer], err = strconv.Atoi(n); err != nil {
			break // the last line may be cut off
		}
	}
	if err := cmd.Wait(); err == nil || !strings.Contains(err.Error(), "killed") {
		t.Fatalf("the writer ended with %v: %s", err, stderr.String())
	}
}

func checkAcked(t *testing.T, dir string, acked map[string]int) {
	t.Helper()
	s, err := openSmall(dir)
	if err != nil {
		t.Fatalf("open after a kill: %v", err)
	}
	defer s.Close()
	snap, err := s.Snapshot(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	defer snap.Close()
	parts := map[string]int{} // batch to the number of its parts
	err = snap.Scan(context.Background(), "", "", func(e kv.Entry) error {
		batch := e.Key[:strings.LastIndex(e.Key, "/")]
		n, err := strconv.Atoi(batch[strings.LastIndex(batch, "/")+1:])
		if err != nil || !bytes.Equal(e.Value, crashValue(n)) {
			return fmt.Errorf("entry %q is not what was written, %v", e.Key, err)
		}
		parts[batch]++
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for batch, n := range parts {
		if n != crashParts {
			t.Errorf("batch %s is torn: %d parts", batch, n)
		}
	}
	for writer, last := range acked {
		for n := range last + 1 {
			if parts[fmt.Sprintf("%s/%06d", writer, n)] == 0 {
				t.Fatalf("batch %d of %s was acknowledged (up to %d) and is lost", n, writer, last)
			}
		}
	}
}
