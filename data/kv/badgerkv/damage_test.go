package badgerkv_test

import (
	"bytes"
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"layshaft/data/kv"
)

// damage is one way to spoil a data folder.
type damage struct {
	name   string
	file   string // pattern below the data folder; the first match is spoilt
	spoil  func(path string) error
	refuse bool // must be refused; else it may also open with nothing lost
	once   bool // the same in every state, so tried in one
}

func remove(path string) error { return os.RemoveAll(path) }

// cutTo leaves a part of what is in a file, cutBy takes bytes off its end.
func cutTo(part float64) func(string) error {
	return func(path string) error {
		size, err := used(path)
		if err != nil {
			return err
		}
		return os.Truncate(path, int64(part*float64(size)))
	}
}

func cutBy(n int64) func(string) error {
	return func(path string) error {
		info, err := os.Stat(path)
		if err != nil {
			return err
		}
		return os.Truncate(path, info.Size()-n)
	}
}

// flip inverts eight bytes at a part of what is in a file.
func flip(part float64) func(string) error {
	return func(path string) error {
		size, err := used(path)
		if err != nil {
			return err
		}
		raw, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		at := min(int(part*float64(size)), len(raw)-1)
		for i := at; i < min(at+8, len(raw)); i++ {
			raw[i] ^= 0xff
		}
		return os.WriteFile(path, raw, 0o600)
	}
}

// used is the size of a file without the zeros Badger makes its logs with.
func used(path string) (int, error) {
	raw, err := os.ReadFile(path)
	return len(bytes.TrimRight(raw, "\x00")), err
}

var damages = []damage{
	{"list of tables cut by 5 bytes", "badger/MANIFEST", cutBy(5), true, false},
	{"list of tables cut to its head", "badger/MANIFEST", cutTo(0.05), true, false},
	{"list of tables empty", "badger/MANIFEST", cutTo(0), true, false},
	{"list of tables deleted", "badger/MANIFEST", remove, true, false},
	{"list of tables flipped", "badger/MANIFEST", flip(0.5), true, false},
	{"table deleted", "badger/*.sst", remove, true, false},
	{"table cut to half", "badger/*.sst", cutTo(0.5), true, false},
	{"table empty", "badger/*.sst", cutTo(0), true, false},
	{"table cut by 1 byte", "badger/*.sst", cutBy(1), true, false},
	{"table data flipped", "badger/*.sst", flip(0.01), true, false},
	{"table middle flipped", "badger/*.sst", flip(0.5), true, false},
	{"table index flipped", "badger/*.sst", flip(0.98), true, false},
	{"log cut to half", "badger/*.mem", cutTo(0.5), false, false},
	{"log deleted", "badger/*.mem", remove, false, false},
	{"log flipped at 50 %", "badger/*.mem", flip(0.5), false, false},
	{"log flipped at 98 %", "badger/*.mem", flip(0.98), false, false},
	{"log head flipped", "badger/*.mem", flip(0), false, false},
	{"value log emptied", "badger/*.vlog", cutTo(0), false, true},
	{"value log deleted", "badger/*.vlog", remove, false, true},
	{"key registry deleted", "badger/KEYREGISTRY", remove, false, true},
	{"key registry flipped", "badger/KEYREGISTRY", flip(0.5), false, true},
	{"discard statistics deleted", "badger/DISCARD", remove, false, true},
	{"whole database deleted", "badger", remove, true, true},
	{"high-water mark deleted", "high-water", remove, true, true},
	{"high-water mark emptied", "high-water", cutTo(0), true, true},
	{"notes on tables deleted", "tables", remove, true, true},
	{"notes on tables flipped", "tables", flip(0.5), true, true},
}

// tried says whether a damage is worth trying in a state.
func (d damage) tried(state damageState) bool {
	hasLog := !state.closed // Badger's log goes into a table on closing
	return (hasLog || !strings.HasSuffix(d.file, ".mem")) && (!d.once || state.name == "crashed")
}

// TestDamage spoils a data folder in every way, as it is after closing, after
// a crash, and after a crash with a trimmed change log. Each must be refused
// or cost nothing.
func TestDamage(t *testing.T) {
	for _, state := range damageStates(t) {
		for _, d := range damages {
			if !d.tried(state) {
				continue
			}
			t.Run(state.name+"/"+d.name, func(t *testing.T) {
				t.Parallel()
				dir := t.TempDir()
				copyFolder(t, state.dir, dir)
				found, err := filepath.Glob(filepath.Join(dir, d.file))
				if err != nil || len(found) == 0 {
					t.Fatalf("no %s to spoil: %v", d.file, err)
				}
				if err := d.spoil(found[0]); err != nil {
					t.Fatal(err)
				}
				if refused(t, dir, state.want) {
					if again := refused(t, dir, state.want); d.refuse && !again {
						t.Error("refused once, then opened")
					}
				} else if d.refuse {
					t.Error("opened as if nothing were wrong")
				}
			})
		}
	}
}

// refused opens a spoilt folder. What opens must have everything.
func refused(t *testing.T, dir string, want [sha256.Size]byte) bool {
	t.Helper()
	s, err := openSmall(dir)
	if err != nil {
		if !errors.Is(err, kv.ErrCorrupt) || !strings.Contains(err.Error(), "restore") {
			t.Errorf("refused with %v, want kv.ErrCorrupt and what to do", err)
		}
		return true
	}
	defer s.Close()
	if hashOf(t, s) != want {
		t.Error("opened without a word, and data is lost")
	}
	return false
}

func hashOf(t *testing.T, s kv.Store) (sum [sha256.Size]byte) {
	t.Helper()
	snap, err := s.Snapshot(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	defer snap.Close()
	h := sha256.New()
	err = snap.Scan(context.Background(), "", "", func(e kv.Entry) error {
		fmt.Fprintf(h, "%q %d %x\n", e.Key, e.Rev, e.Value)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return [sha256.Size]byte(h.Sum(nil))
}

type damageState struct {
	name   string
	dir    string
	closed bool
	want   [sha256.Size]byte
}

// damageStates makes one store and copies its folder as a crash would leave it.
func damageStates(t *testing.T) []damageState {
	t.Helper()
	live := t.TempDir()
	s, err := openSmall(live)
	if err != nil {
		t.Fatal(err)
	}
	rnd := rand.New(rand.NewPCG(1, 1))
	write := func(n, size int) (rev kv.Rev) {
		for range n {
			value := bytes.Repeat([]byte(fmt.Sprintf("%x", rnd.Uint64())), size/16)
			ops := []kv.Op{{Key: fmt.Sprintf("k/%04d", rnd.IntN(5000)), Value: value}, {Key: fmt.Sprintf("l/%04d", rnd.IntN(5000)), Value: value}}
			if rev, err = s.Commit(context.Background(), nil, ops); err != nil {
				t.Fatal(err)
			}
		}
		return rev
	}
	write(20, 256<<10) // more than a memtable, so that tables are written
	waitForTable(t, live)
	last := write(300, 100)
	states := []damageState{{name: "crashed", dir: t.TempDir(), want: hashOf(t, s)}}
	copyFolder(t, live, states[0].dir)
	if err := s.Trim(context.Background(), last-3); err != nil {
		t.Fatal(err)
	}
	states = append(states, damageState{name: "trimmed", dir: t.TempDir(), want: hashOf(t, s)})
	copyFolder(t, live, states[1].dir)
	closed := damageState{name: "closed", dir: live, closed: true, want: hashOf(t, s)}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	return append(states, closed)
}

// waitForTable waits until a table is written and noted.
func waitForTable(t *testing.T, dir string) {
	t.Helper()
	for deadline := time.Now().Add(time.Minute); ; time.Sleep(20 * time.Millisecond) {
		tables, err := filepath.Glob(filepath.Join(dir, "badger", "*.sst"))
		if err != nil {
			t.Fatal(err)
		}
		logs, err := filepath.Glob(filepath.Join(dir, "badger", "*.mem"))
		if err != nil {
			t.Fatal(err)
		}
		note, err := os.ReadFile(filepath.Join(dir, "tables"))
		if err == nil && len(tables) > 0 && len(logs) == 1 && !bytes.Contains(note, []byte(`"flushedTo":0`)) {
			return
		}
		if time.Now().After(deadline) {
			t.Fatalf("no table was written: %v %v %s", tables, logs, note)
		}
	}
}

// copyFolder copies a folder, leaving holes where files have them.
func copyFolder(t *testing.T, from, to string) {
	t.Helper()
	err := filepath.WalkDir(from, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(from, path)
		if err != nil {
			return err
		}
		target := filepath.Join(to, rel)
		if d.IsDir() {
			return os.MkdirAll(target, 0o700)
		}
		raw, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		content := bytes.TrimRight(raw, "\x00")
		if err := os.WriteFile(target, slices.Clip(content), 0o600); err != nil {
			return err
		}
		return os.Truncate(target, int64(len(raw)))
	})
	if err != nil {
		t.Fatal(err)
	}
}
