package store_test

import (
	"fmt"
	"testing"

	"layshaft/catalog"
	"layshaft/reconcile"
)

func shortage(no uint64, key string, quantity int) *reconcile.ShortageChange {
	return &reconcile.ShortageChange{No: no, At: clock(), Row: reconcile.ShortageRow{Key: key, Job: "j", Quantity: quantity}}
}

// TestFeedSurvivesRestarts: what was appended is there after a restart, at the
// same numbers, and nothing can be appended at a number that is taken.
func TestFeedSurvivesRestarts(t *testing.T) {
	dir := t.TempDir()
	s, err := openFolder(dir)
	if err != nil {
		t.Fatal(err)
	}
	for i := range 10 {
		no := uint64(2*i + 1)
		if err := s.Append(t.Context(), []*reconcile.ShortageChange{shortage(no, "j.a", i+1), shortage(no+1, fmt.Sprint("j.", i), 1)}); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.Append(t.Context(), []*reconcile.ShortageChange{shortage(20, "j.x", 1)}); catalog.CodeOf(err) != catalog.CodeConflict {
		t.Errorf("a number twice: %v", err)
	}
	before := s.Feed()
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	again, err := openFolder(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer again.Close()
	after := again.Feed()
	if before.Last() != 20 || after.Last() != 20 || len(after.After(0)) != 11 || after.Of("j.a").Row.Quantity != 10 {
		t.Errorf("before %d, after %d with %d changes", before.Last(), after.Last(), len(after.After(0)))
	}
	for i, c := range after.After(0) {
		if old := before.After(0)[i]; old.No != c.No || old.Row.Key != c.Row.Key {
			t.Errorf("change %d was %d %s, is %d %s", i, old.No, old.Row.Key, c.No, c.Row.Key)
		}
	}
}
