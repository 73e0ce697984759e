package kvtest

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"maps"
	"testing"
	"time"

	"layshaft/data/kv"
)

// fill commits entries of all sorts: keys that are not text, empty and large
// values, deleted ones.
func fill(t tester, s kv.Store) {
	t.Helper()
	commit(t, s, put("text", "v"), put("é<&>\"\u2028\x00", "<&>"), put("\xff\xfe", "not text"), put("empty", ""), put("gone", "x"))
	commit(t, s, del("gone"), kv.Op{Key: "large", Value: bytes.Repeat([]byte{0, 255}, kv.MaxValue/2)})
	for i := range 5 {
		commit(t, s, put(fmt.Sprintf("k%d", i), "v"), put("text", fmt.Sprint(i)))
	}
}

func export(t tester, s kv.Store) []byte {
	t.Helper()
	var out bytes.Buffer
	rev, err := s.Export(context.Background(), &out)
	if err != nil {
		t.Fatalf("export: %v", err)
	}
	if _, now := content(t, s); rev != now {
		t.Fatalf("export says revision %d, the store is at %d", rev, now)
	}
	return out.Bytes()
}

// testExportImport goes to the memory engine and back.
func testExportImport(t *testing.T, e Engine) {
	ctx := context.Background()
	first := e.open(t)
	fill(t, first)
	want, rev := content(t, first)
	lines := export(t, first)
	other := kv.NewMemory()
	defer other.Close()
	back := e.open(t)
	for _, step := range []struct {
		from []byte
		to   kv.Store
	}{{lines, other}, {nil, back}} {
		if step.from == nil {
			step.from = export(t, other)
		}
		got, err := step.to.Import(ctx, bytes.NewReader(step.from))
		if err != nil {
			t.Fatal(err)
		}
		all, now := content(t, step.to)
		if !maps.Equal(all, want) || now != got || now < rev {
			t.Fatalf("imported %d entries of %d at revision %d, told %d, exported at %d", len(all), len(want), now, got, rev)
		}
	}
	if tail, again := lastLine(lines), lastLine(export(t, back)); entriesHash(tail) != entriesHash(again) {
		t.Errorf("tails differ: %s and %s", tail, again)
	}
	_, at := content(t, back)
	if entry, _ := get(t, back, "text"); entry.Rev == 0 || entry.Rev > at {
		t.Errorf("imported entry has revision %d", entry.Rev)
	}
	checkCompacted(t, back, 0, at)
	next := commit(t, back, put("more", "1"))
	if got := changes(t, back, at, next); next <= at || len(got) != 1 {
		t.Errorf("after an import at %d, revision %d brought %v", at, next, got)
	}
}

func lastLine(export []byte) []byte {
	lines := bytes.Split(bytes.TrimSpace(export), []byte("\n"))
	return lines[len(lines)-1]
}

func entriesHash(tail []byte) string {
	return string(tail[bytes.Index(tail, []byte("sha256")):])
}

func testImportEndsWatch(t *testing.T, e Engine) {
	source := kv.NewMemory()
	defer source.Close()
	fill(t, source)
	s := e.open(t)
	before := snapshot(t, s)
	defer before.Close()
	watch := background(t, func() error {
		return s.Watch(context.Background(), 0, func(c kv.Change) error { return fmt.Errorf("the feed carried %d", c.Rev) })
	})
	time.Sleep(10 * time.Millisecond) // let it begin to wait
	if _, err := s.Import(context.Background(), bytes.NewReader(export(t, source))); err != nil {
		t.Fatal(err)
	}
	if err := watch(); !errors.Is(err, kv.ErrCompacted) {
		t.Errorf("the watch ended with %v", err)
	}
	if n := len(scan(t, before, "", "")); n != 0 || before.Rev() != 0 {
		t.Errorf("the snapshot taken before shows %d entries at %d", n, before.Rev())
	}
}

func testImportUntouched(t *testing.T, e Engine) {
	source := kv.NewMemory()
	defer source.Close()
	empty := export(t, source)
	fill(t, source)
	lines := export(t, source)
	s := e.open(t)
	commit(t, s, put("mine", "1"))
	want, rev := content(t, s)
	if _, err := s.Import(context.Background(), bytes.NewReader(lines)); !errors.Is(err, kv.ErrInvalid) {
		t.Errorf("import into a store in use: %v", err)
	}
	if all, now := content(t, s); !maps.Equal(all, want) || now != rev {
		t.Errorf("the refused import changed the store to %d entries at %d", len(all), now)
	}
	fresh := e.open(t)
	if rev, err := fresh.Import(context.Background(), bytes.NewReader(empty)); err != nil || rev == 0 {
		t.Errorf("import of an empty export: revision %d, %v", rev, err)
	}
	if all, _ := content(t, fresh); len(all) != 0 {
		t.Errorf("an empty export brought %d entries", len(all))
	}
}

// testDamagedExport flips every byte in turn, and cuts at every place, of an
// export checked by the shared reader; the engine itself gets a few of them.
func testDamagedExport(t *testing.T, e Engine) {
	source := kv.NewMemory()
	defer source.Close()
	commit(t, source, put("a", "1"), put("\xff", "2"), put("c", "3"))
	lines := export(t, source)
	var bad [][]byte
	for i := range lines {
		for _, mask := range []byte{0x01, 0x20, 0x80} {
			flipped := bytes.Clone(lines)
			flipped[i] ^= mask
			bad = append(bad, flipped)
		}
		bad = append(bad, lines[:i])
	}
	bad = append(bad, append(bytes.Clone(lines), '\n'), append(bytes.Clone(lines), lines...), nil)
	drop := func(kv.Entry) error { return nil }
	for _, b := range bad {
		if _, err := kv.ReadExport(context.Background(), bytes.NewReader(b), drop); !errors.Is(err, kv.ErrCorrupt) {
			t.Fatalf("damage not noticed, error %v:\n%s", err, b)
		}
	}
	s := e.open(t)
	for i := 0; i < len(bad); i += 1 + len(bad)/12 {
		if _, err := s.Import(context.Background(), bytes.NewReader(bad[i])); !errors.Is(err, kv.ErrCorrupt) {
			t.Fatalf("damage not noticed, error %v:\n%s", err, bad[i])
		}
		if all, rev := content(t, s); len(all) != 0 || rev != 0 {
			t.Fatalf("the refused import left %d entries at %d", len(all), rev)
		}
	}
	if _, err := s.Import(context.Background(), bytes.NewReader(lines)); err != nil {
		t.Errorf("the undamaged export after damaged ones: %v", err)
	}
}
