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

// TestServeLetsPeopleIn starts a new shop, follows the link that it prints, makes
// a token, pulls the feed with it, and ends with an open stream.
func TestServeLetsPeopleIn(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	out, in := io.Pipe()
	done := make(chan exitStatus, 1)
	var errs strings.Builder
	go func() {
		status := run(ctx, []string{"serve", "--listen", "127.0.0.1:0", "--data", t.TempDir(), "--log", "error"}, strings.NewReader(""), in, &errs, nil)
		_ = in.Close()
		done <- status
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
	browser := &http.Client{Jar: jar}
	fetch := func(method, path, body, token string) (int, string) {
		t.Helper()
		req, err := http.NewRequestWithContext(t.Context(), method, link[1]+path, strings.NewReader(body))
		if err != nil {
			t.Fatal(err)
		}
		c := browser
		if token != "" {
			c = http.DefaultClient
			req.Header.Set("Authorization", "Bearer "+token)
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
		defer resp.Body.Close()
		b, err := io.ReadAll(resp.Body)
		if err != nil {
			t.Fatal(err)
		}
		return resp.StatusCode, string(b)
	}
	if _, body := fetch("GET", "/", "", ""); !strings.Contains(body, "Code from an administrator") {
		t.Errorf("a stranger sees %.200s", body)
	}
	if status, _ := fetch("POST", "/sign-in", "code="+url.QueryEscape(link[2]), ""); status != http.StatusOK {
		t.Errorf("signing in: %d", status)
	}
	if _, body := fetch("GET", "/", "", ""); strings.Contains(body, "Code from an administrator") {
		t.Error("still a stranger after signing in")
	}
	_, body := fetch("POST", "/graphql", `{"query":"mutation{issueToken(input:{name:\"stock\",scopes:[SHORTAGES_READ]}){secret userErrors{message}}}"}`, "")
	token := regexp.MustCompile(`lay_[A-Za-z0-9_-]+`).FindString(body)
	if token == "" {
		t.Fatalf("no token in %s", body)
	}
	if status, body := fetch("POST", "/graphql", `{"query":"{shortages(changedSince:\"\"){pageInfo{endCursor}}}"}`, token); status != 200 || !strings.Contains(body, "endCursor") {
		t.Errorf("the feed: %d %s", status, body)
	}
	if status, _ := fetch("GET", "/metrics", "", token); status != http.StatusForbidden {
		t.Errorf("metrics for a stock system: %d", status)
	}
	for _, path := range []string{"/healthz", "/readyz", "/metrics"} {
		if status, _ := fetch("GET", path, "", ""); status != 200 {
			t.Errorf("%s: %d", path, status)
		}
	}
	req, err := http.NewRequestWithContext(t.Context(), "POST", link[1]+"/graphql", strings.NewReader(`{"query":"subscription{shortages{totalCount}}"}`))
	if err != nil {
		t.Fatal(err)
	}
	req.Header.Set("Content-Type", "application/json")
	req.Header.Set("Accept", "text/event-stream")
	req.Header.Set("Authorization", "Bearer "+token)
	stream, err := http.DefaultClient.Do(req)
	if err != nil {
		t.Fatal(err)
	}
	defer stream.Body.Close()
	stop()
	_, _ = io.ReadAll(stream.Body) // ends with the server
	select {
	case status := <-done:
		if status != exitOK {
			t.Errorf("status %d: %s", status, errs.String())
		}
	case <-time.After(shutdownTime / 2):
		t.Error("an open stream keeps the server from ending")
	}
	if strings.Contains(errs.String(), "lay_") {
		t.Error("a key is in the log")
	}
}
