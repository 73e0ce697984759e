package notes

import (
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"layshaft/catalog"
)

// TestShuffled reads the words of the labelled notes in any order, with marks between them and some bytes broken:
// nothing panics, spans hold, and the answer is the same twice. (The fuzzer gets through few texts in its time.)
func TestShuffled(t *testing.T) {
	rd := reader(t)
	rng := rand.New(rand.NewPCG(7, 9))
	files, err := filepath.Glob("testdata/[br]*/*.txt")
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	var words []string
	for _, f := range files {
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		words = append(words, strings.Fields(string(data))...)
	}
	marks := []string{", ", ": ", "; ", ". ", " - ", " (", ") ", " / ", " + ", "\n", " except ", " both ", " all ", " not ", " only ", " no wait ", "? ", " its ", " rest ", " with ", " but "}
	variants := []catalog.VariantID{"bw76-lc2", "vm77-sport", "hk42-a", "tw50-a"}
	for n := range 1200 {
		var b strings.Builder
		for range 3 + rng.IntN(30) {
			b.WriteString(words[rng.IntN(len(words))])
			if rng.IntN(3) == 0 {
				b.WriteString(marks[rng.IntN(len(marks))])
			} else {
				b.WriteByte(' ')
			}
		}
		s := []byte(b.String())
		for range rng.IntN(4) {
			s[rng.IntN(len(s))] = byte(rng.IntN(256))
		}
		v, text := variants[n%len(variants)], string(s)
		r := rd.Read("", v, text, day)
		if err := r.Check(); err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		if again := rd.Read("", v, text, day); len(again.Proposals) != len(r.Proposals) || len(again.Questions) != len(r.Questions) {
			t.Fatalf("%q is read differently the second time", text)
		}
	}
}
