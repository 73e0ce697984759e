package main

import (
	"context"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"
)

// newShop is a shop served for the first time.
type newShop struct {
	address, code string // of the link that it printed
	browser       *http.Client
	errs          *strings.Builder
	done          chan exitStatus
	stop          context.CancelFunc
}

func serveNewShop(t *testing.T) *newShop {
	t.Helper()
	ctx, stop := context.WithCancel(context.Background())
	out, in := io.Pipe()
	s := &newShop{errs: &strings.Builder{}, done: make(chan exitStatus, 1), stop: stop}
	go func() {
		status := run(ctx, []string{"serve", "--listen", "127.0.0.1:0", "--data", t.TempDir(), "--log", "error"}, strings.NewReader(""), in, s.errs, nil)
		_ = in.Close()
		s.done <- status
	}()
	said, buf := "", make([]byte, 4096)
	for !strings.Contains(said, "stop with") {
		n, err := out.Read(buf)
		said += string(buf[:n])
		if err != nil {
			t.Fatalf("serve said %q and ended", said)
		}
	}
	link := regexp.MustCompile(`sign in (http://[^/]+)/sign-in\?code=(\S+)`).FindStringSubmatch(said)
	if link == nil {
		t.Fatalf("no link in %q", said)
	}
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	s.address, s.code, s.browser = link[1], link[2], &http.Client{Jar: jar}
	return s
}

// send asks as the browser, or with a token as another system; JSON when the body
// is, else a form.
func (s *newShop) send(t *testing.T, method, path, body, token, accept string) *http.Response {
	t.Helper()
	req, err := http.NewRequestWithContext(t.Context(), method, s.address+path, strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	c := s.browser
	if token != "" {
		c = http.DefaultClient
		req.Header.Set("Authorization", "Bearer "+token)
	}
	if accept != "" {
		req.Header.Set("Accept", accept)
	}
	if strings.HasPrefix(body, "{") {
		req.Header.Set("Content-Type", "application/json")
	} else {
		req.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	resp, err := c.Do(req)
	if err != nil {
		t.Fatal(err)
	}
	return resp
}

func (s *newShop) fetch(t *testing.T, method, path, body, token string) (int, string) {
	t.Helper()
	resp := s.send(t, method, path, body, token, "")
	defer resp.Body.Close()
	b, err := io.ReadAll(resp.Body)
	if err != nil {
		t.Fatal(err)
	}
	return resp.StatusCode, string(b)
}

// signIn follows the link; a stranger is asked for a code, once signed in no more.
func (s *newShop) signIn(t *testing.T) {
	t.Helper()
	const ask = "Code from an administrator"
	if _, body := s.fetch(t, "GET", "/", "", ""); !strings.Contains(body, ask) {
		t.Errorf("a stranger sees %.200s", body)
	}
	if status, _ := s.fetch(t, "POST", "/sign-in", "code="+url.QueryEscape(s.code), ""); status != http.StatusOK {
		t.Errorf("signing in: %d", status)
	}
	if _, body := s.fetch(t, "GET", "/", "", ""); strings.Contains(body, ask) {
		t.Error("still a stranger after signing in")
	}
}

// TestServeLetsPeopleIn starts a new shop, follows the link that it prints, makes
// a token, pulls the feed with it, and ends with an open stream.
func TestServeLetsPeopleIn(t *testing.T) {
	s := serveNewShop(t)
	s.signIn(t)
	_, body := s.fetch(t, "POST", "/graphql", `{"query":"mutation{issueToken(input:{name:\"stock\",scopes:[SHORTAGES_READ]}){secret userErrors{message}}}"}`, "")
	token := regexp.MustCompile(`lay_[A-Za-z0-9_-]+`).FindString(body)
	if token == "" {
		t.Fatalf("no token in %s", body)
	}
	if status, body := s.fetch(t, "POST", "/graphql", `{"query":"{shortages(changedSince:\"\"){pageInfo{endCursor}}}"}`, token); status != 200 || !strings.Contains(body, "endCursor") {
		t.Errorf("the feed: %d %s", status, body)
	}
	if status, _ := s.fetch(t, "GET", "/metrics", "", token); status != http.StatusForbidden {
		t.Errorf("metrics for a stock system: %d", status)
	}
	for _, path := range []string{"/healthz", "/readyz", "/metrics"} {
		if status, _ := s.fetch(t, "GET", path, "", ""); status != 200 {
			t.Errorf("%s: %d", path, status)
		}
	}
	stream := s.send(t, "POST", "/graphql", `{"query":"subscription{shortages{totalCount}}"}`, token, "text/event-stream")
	defer stream.Body.Close()
	s.stop()
	_, _ = io.ReadAll(stream.Body) // ends with the server
	select {
	case status := <-s.done:
		if status != exitOK {
			t.Errorf("status %d: %s", status, s.errs.String())
		}
	case <-time.After(shutdownTime / 2):
		t.Error("an open stream keeps the server from ending")
	}
	if strings.Contains(s.errs.String(), "lay_") {
		t.Error("a key is in the log")
	}
}
