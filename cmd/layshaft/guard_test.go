package main

import (
	"net/http"
	"strings"
	"syscall"
	"testing"
)

// TestServeLetsPeopleIn starts a new shop, follows the link that it prints, makes
// a token and pulls the feed with it.
func TestServeLetsPeopleIn(t *testing.T) {
	p := start(t, nil, "serve", "--listen", "127.0.0.1:0", "--data", t.TempDir())
	if resp, _ := p.send(t, p.client, "", http.MethodGet, "/", ""); resp.Header.Get("Location") != "/sign-in" {
		t.Errorf("a stranger gets %d and is sent to %q", resp.StatusCode, resp.Header.Get("Location"))
	}
	if _, body := p.send(t, p.client, "", http.MethodGet, "/sign-in", ""); !strings.Contains(body, "Code from an administrator") {
		t.Errorf("a stranger sees %.200s", body)
	}
	p.enter(t, p.client, p.code())
	for _, path := range []string{"/", "/metrics"} {
		if status := p.status(t.Context(), path); status != http.StatusOK {
			t.Errorf("%s for who has signed in: %d", path, status)
		}
	}
	token := p.token(t, "SHORTAGES_READ")
	if page := p.pull(t, token, "", 10); page.Cursor == "" || len(page.Rows) != 0 {
		t.Errorf("the feed of an empty shop: %+v", page)
	}
	if resp, _ := p.send(t, person(t), token, http.MethodGet, "/metrics", ""); resp.StatusCode != http.StatusForbidden {
		t.Errorf("metrics for a stock system: %d", resp.StatusCode)
	}
	p.signal(t, syscall.SIGTERM)
}
