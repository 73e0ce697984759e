package badgerkv_test

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"layshaft/data/kv"
	"layshaft/data/kv/badgerkv"
)

// TestFloor raises the floor above what any disk has.
func TestFloor(t *testing.T) {
	dir := t.TempDir()
	s, err := openSmall(dir)
	if err != nil {
		t.Fatal(err)
	}
	ops := []kv.Op{{Key: "k", Value: []byte("v")}}
	if _, err := s.Commit(context.Background(), nil, ops); err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	opt := small(dir)
	opt.FreeFloor = 1 << 62
	s, err = badgerkv.Open(opt)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	_, err = s.Commit(context.Background(), nil, ops)
	var full *kv.FullError
	if !errors.Is(err, kv.ErrFull) || !errors.As(err, &full) || full.Floor != opt.FreeFloor {
		t.Errorf("commit: %v", err)
	}
	st, err := s.Status(context.Background())
	if err != nil || st.Healthy || st.Problem == "" || st.Rev != 1 {
		t.Errorf("status %+v, %v", st, err)
	}
	if n := entries(t, s); n != 1 {
		t.Errorf("%d entries can be read, want 1", n)
	}
}

func entries(t *testing.T, s kv.Store) (n int) {
	t.Helper()
	snap, err := s.Snapshot(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	defer snap.Close()
	if err := snap.Scan(context.Background(), "", "", func(kv.Entry) error { n++; return nil }); err != nil {
		t.Fatal(err)
	}
	return n
}

// TestFullDisk fills a small disk: first by commits, which must stop in time,
// then entirely, when opening must be refused until the ballast is deleted.
func TestFullDisk(t *testing.T) {
	if testing.Short() {
		t.Skip("writes half a gigabyte")
	}
	t.Parallel()
	dir := smallDisk(t, 480<<20)
	opt := badgerkv.Options{Dir: dir}
	s, err := badgerkv.Open(opt)
	if err != nil {
		t.Fatal(err)
	}
	written := fillStore(t, s)
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	filler := filepath.Join(dir, "filler")
	fillDisk(t, filler)
	_, err = badgerkv.Open(opt)
	if !errors.Is(err, kv.ErrFull) || !strings.Contains(err.Error(), "ballast") {
		t.Fatalf("open on a full disk: %v", err)
	}
	if err := os.Remove(filepath.Join(dir, "ballast")); err != nil {
		t.Fatal(err)
	}
	if s, err = badgerkv.Open(opt); err != nil {
		t.Fatalf("open with the ballast gone: %v", err)
	}
	defer s.Close()
	if n := entries(t, s); n != written {
		t.Errorf("%d entries, %d were written", n, written)
	}
	ops := []kv.Op{{Key: "after", Value: []byte("v")}}
	if _, err := s.Commit(context.Background(), nil, ops); !errors.Is(err, kv.ErrFull) {
		t.Errorf("commit on a full disk: %v", err)
	}
	if err := os.Remove(filler); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Commit(context.Background(), nil, ops); err != nil {
		t.Errorf("commit with room again: %v", err)
	}
}

// fillStore commits until the store is full and returns the number of entries.
func fillStore(t *testing.T, s kv.Store) int {
	t.Helper()
	rnd := rand.NewChaCha8([32]byte{})
	for n := range 2000 {
		value := make([]byte, 200<<10)
		_, _ = rnd.Read(value) // never fails
		_, err := s.Commit(context.Background(), nil, []kv.Op{{Key: fmt.Sprintf("k/%d", n), Value: value}})
		if errors.Is(err, kv.ErrFull) {
			return n
		}
		if err != nil {
			t.Fatalf("commit %d: %v", n, err)
		}
	}
	t.Fatal("400 MB went onto a disk that is smaller")
	return 0
}

// fillDisk takes what room is left, but for what the floor would see.
func fillDisk(t *testing.T, path string) {
	t.Helper()
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	block := make([]byte, 64<<10)
	for err == nil {
		_, err = f.Write(block)
	}
}
