package page_test

import (
	"bytes"
	"compress/gzip"
	"testing"

	"layshaft/graph/page/drawing"
)

// TestEveryPage fetches every page over the demo shop without a browser.
func TestEveryPage(t *testing.T) {
	s := open(t)
	for _, l := range looked {
		status := 200
		if l.name == "missing" {
			status = 404
		}
		s.get(t, l.path, status)
	}
}

// maxWeight of a job's page with its style sheet and module, compressed.
const maxWeight = 150_000

func TestWeight(t *testing.T) {
	s := open(t)
	for _, path := range []string{"/jobs/7202", "/jobs/7202/decisions"} {
		page := s.get(t, path, 200)
		var packed bytes.Buffer
		z := gzip.NewWriter(&packed)
		for _, text := range []string{page, style(t), drawing.CSS, file(t, "picture.css"), file(t, "paper.css"), file(t, "measure.js"), file(t, "page.js")} {
			if _, err := z.Write([]byte(text)); err != nil {
				t.Fatal(err)
			}
		}
		if err := z.Close(); err != nil {
			t.Fatal(err)
		}
		t.Logf("%s: %d bytes of HTML, %d compressed with style sheet and module", path, len(page), packed.Len())
		if packed.Len() > maxWeight {
			t.Errorf("%s weighs %d, want at most %d", path, packed.Len(), maxWeight)
		}
	}
}

func BenchmarkJobPage(b *testing.B) {
	s := open(b)
	for b.Loop() {
		s.get(b, "/jobs/7202", 200)
	}
}

func BenchmarkDecisionPage(b *testing.B) {
	s := open(b)
	for b.Loop() {
		s.get(b, "/jobs/7202/decisions", 200)
	}
}
