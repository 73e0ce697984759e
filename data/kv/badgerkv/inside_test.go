package badgerkv

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/dgraph-io/badger/v4"

	"layshaft/data/kv"
)

func openInside(t *testing.T, dir string) *store {
	t.Helper()
	s, err := open(Options{Dir: dir, FreeFloor: 1, Ballast: -1}.withDefaults())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	return s
}

func commitSome(t *testing.T, s *store, n, size int) (rev kv.Rev) {
	t.Helper()
	for i := range n {
		var err error
		rev, err = s.Commit(context.Background(), nil, []kv.Op{{Key: fmt.Sprint(i), Value: bytes.Repeat([]byte{byte(i)}, size)}})
		if err != nil {
			t.Fatal(err)
		}
	}
	return rev
}

func logKeys(t *testing.T, s *store) (n int) {
	t.Helper()
	txn := s.db.NewTransaction(false)
	defer txn.Discard()
	it := txn.NewIterator(badger.IteratorOptions{Prefix: logPrefix})
	defer it.Close()
	for it.Rewind(); it.Valid(); it.Next() {
		n++
	}
	return n
}

// TestPurgeWaits: a trimmed change stays in the log until its data is in a
// table that the notes name, or its loss with a log file of Badger's would
// leave no trace.
func TestPurgeWaits(t *testing.T) {
	t.Parallel()
	s := openInside(t, t.TempDir())
	rev := commitSome(t, s, 20, 100)
	if err := s.Trim(context.Background(), rev); err != nil {
		t.Fatal(err)
	}
	if n := logKeys(t, s); n != 20 {
		t.Errorf("%d changes left in the log, want all 20: no table is written", n)
	}
	rev = commitSome(t, s, 50, kv.MaxValue)
	for deadline := time.Now().Add(time.Minute); s.tables.flushedTo() < 30; time.Sleep(20 * time.Millisecond) {
		if time.Now().After(deadline) {
			t.Fatal("no table was written and noted")
		}
	}
	before := s.tables.flushedTo()
	if err := s.Trim(context.Background(), rev); err != nil {
		t.Fatal(err)
	}
	oldest, last := logEnds(t, s)
	if oldest.Version() <= before {
		t.Errorf("the oldest change left has version %d, and all up to %d were in tables", oldest.Version(), before)
	}
	if got, _ := logKeyRev(last.Key()); got != rev {
		t.Errorf("the newest change left is %d, want %d: no table has it", got, rev)
	}
}

// logEnds returns the first and the last key of the change log.
func logEnds(t *testing.T, s *store) (first, last *badger.Item) {
	t.Helper()
	txn := s.db.NewTransaction(false)
	t.Cleanup(txn.Discard)
	for _, reverse := range []bool{false, true} {
		it := txn.NewIterator(badger.IteratorOptions{Reverse: reverse})
		at := logKey(0, 0)
		if reverse {
			at = logKey(1<<63, 0)
		}
		it.Seek(at)
		if !it.ValidForPrefix(logPrefix) {
			t.Fatal("the change log is empty")
		}
		item, err := txn.Get(it.Item().KeyCopy(nil))
		if err != nil {
			t.Fatal(err)
		}
		it.Close()
		if reverse {
			last = item
		} else {
			first = item
		}
	}
	return first, last
}

// TestStray: a table nobody named is what a crash while writing it leaves, and
// so is an import half way.
func TestStray(t *testing.T) {
	dir := t.TempDir()
	s := openInside(t, dir)
	rev := commitSome(t, s, 20, 100)
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	tables, err := tableFiles(badgerDir(dir))
	if err != nil || len(tables) == 0 {
		t.Fatalf("tables %v, %v", tables, err)
	}
	for _, path := range tables {
		raw, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(badgerDir(dir), "000777.sst"), raw[:len(raw)/2], 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.MkdirAll(filepath.Join(incomingDir(dir), "half"), 0o700); err != nil {
		t.Fatal(err)
	}
	again := openInside(t, dir)
	if again.meta.rev != rev {
		t.Errorf("at revision %d, want %d", again.meta.rev, rev)
	}
	for _, name := range []string{"aside", "incoming"} {
		if _, err := os.Stat(filepath.Join(dir, name)); !os.IsNotExist(err) {
			t.Errorf("%s is still there: %v", name, err)
		}
	}
}

// TestLogParts takes a change larger than a part through the log.
func TestLogParts(t *testing.T) {
	s := openInside(t, t.TempDir())
	ops := []kv.Op{
		{Key: "a", Value: bytes.Repeat([]byte{1}, kv.MaxValue)},
		{Key: "b", Value: bytes.Repeat([]byte{2}, kv.MaxValue-10)},
		{Key: "gone", Delete: true},
	}
	if _, err := s.Commit(context.Background(), nil, []kv.Op{{Key: "gone"}}); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Commit(context.Background(), nil, ops); err != nil {
		t.Fatal(err)
	}
	if n := logKeys(t, s); n != 1+3 {
		t.Errorf("%d log keys, want 4", n)
	}
	got, err := s.changesAfter(1)
	if err != nil || len(got) != 1 || len(got[0].Ops) != 3 || !bytes.Equal(got[0].Ops[1].Value, ops[1].Value) || !got[0].Ops[2].Delete {
		t.Errorf("the change came back otherwise: %v", err)
	}
}

// FuzzLogged decodes what may be in a log record; it must neither panic nor
// take what it would not write.
func FuzzLogged(f *testing.F) {
	l := logged{Change: kv.Change{Rev: 7, Ops: []kv.Op{{Key: "a", Value: []byte("v")}, {Key: "b", Delete: true}}}, prev: 6}
	f.Add(l.parts()[0][logHead:])
	f.Add([]byte{})
	f.Fuzz(func(t *testing.T, payload []byte) {
		got, err := decodeLogged(7, payload)
		if err != nil {
			return
		}
		again, err := decodeLogged(7, bytes.Join(got.parts(), nil)[logHead:])
		if err != nil || len(again.Ops) != len(got.Ops) || again.prev != got.prev {
			t.Errorf("decoded %v, encoded and decoded %v, %v", got, again, err)
		}
	})
}
