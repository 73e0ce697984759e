package page_test

import (
	"net/http"
	"regexp"
	"testing"
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

// maxWeight of a job's page with its style sheet and module, as they are sent to a
// browser that can unpack.
const maxWeight = 150_000

var assetOf = regexp.MustCompile(`(?:href|src)="(/assets/[^"]+)"`)

func TestWeight(t *testing.T) {
	s := large(t)
	for _, path := range []string{"/jobs/7202", "/jobs/7202/decisions", "/jobs/" + largeJob, "/jobs/" + largeJob + "/decisions"} {
		page := s.get(t, path, 200)
		sent, assets := s.sent(t, path), assetOf.FindAllStringSubmatch(page, -1)
		if len(assets) < 2 {
			t.Fatalf("%s: %d files go with it", path, len(assets))
		}
		for _, a := range assets {
			sent += s.sent(t, a[1])
		}
		t.Logf("%s: %d bytes of HTML, %d sent with style sheet and module", path, len(page), sent)
		if sent > maxWeight {
			t.Errorf("%s weighs %d, want at most %d", path, sent, maxWeight)
		}
	}
}

// sent is how many bytes of a body go over the line to a browser.
func (s *shop) sent(t *testing.T, path string) int {
	t.Helper()
	req, err := http.NewRequestWithContext(t.Context(), http.MethodGet, s.URL+path, nil)
	if err != nil {
		t.Fatal(err)
	}
	req.Header.Set("Accept-Encoding", "gzip, br")
	resp, err := s.Client().Do(req)
	if err != nil {
		t.Fatal(err)
	}
	if got := resp.Header.Get("Content-Encoding"); got != "gzip" {
		t.Errorf("%s is sent as %q", path, got)
	}
	return len(body(t, resp, path, 200))
}
