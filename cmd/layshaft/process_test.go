package main

import (
	"bufio"
	"bytes"
	"context"
	"crypto/tls"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"os/exec"
	"regexp"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"
)

// process is a running layshaft: a process of its own, ended by signals.
type process struct {
	cmd    *exec.Cmd
	base   string // address of the API as it was printed
	said   string // standard output up to the invitation to stop it
	mu     sync.Mutex
	errs   bytes.Buffer // standard error, complete after wait
	ended  chan error
	client *http.Client
}

func (p *process) Write(b []byte) (int, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.errs.Write(b)
}

// logged is what standard error says so far.
func (p *process) logged() string {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.errs.String()
}

// start runs layshaft with args and more environment until it answers.
func start(t *testing.T, env []string, args ...string) *process {
	t.Helper()
	p := &process{cmd: exec.Command("layshaft", args...), ended: make(chan error, 1)}
	p.cmd.Env = append(os.Environ(), env...)
	p.cmd.Stderr = p
	out, err := p.cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := p.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = p.cmd.Process.Kill() })
	lines := bufio.NewReader(out)
	for !strings.Contains(p.said, "stop with") {
		line, err := lines.ReadString('\n')
		p.said += line
		if err != nil {
			_ = p.cmd.Wait()
			t.Fatalf("layshaft said %q and ended: %s", p.said, p.logged())
		}
	}
	go func() {
		_, _ = io.Copy(io.Discard, lines)
		p.ended <- p.cmd.Wait()
	}()
	p.base = regexp.MustCompile(`pages\s+(\S+)/\n`).FindStringSubmatch(p.said)[1]
	p.client = person(t)
	return p
}

// person is a browser of its own; it follows no redirects and takes any certificate.
func person(t *testing.T) *http.Client {
	t.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	return &http.Client{Jar: jar, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
		Transport: &http.Transport{TLSClientConfig: &tls.Config{InsecureSkipVerify: true}}}
}

// signal sends one and waits for the end, which must be a clean one.
func (p *process) signal(t *testing.T, s os.Signal) {
	t.Helper()
	if err := p.cmd.Process.Signal(s); err != nil {
		t.Fatal(err)
	}
	p.wait(t, s != syscall.SIGKILL)
}

func (p *process) wait(t *testing.T, clean bool) {
	t.Helper()
	select {
	case err := <-p.ended:
		if clean && err != nil {
			t.Errorf("it ended with %v: %s", err, p.logged())
		}
	case <-time.After(2 * shutdownTime):
		t.Fatal("it does not end")
	}
}

// code of the printed sign-in link; empty when there is none.
func (p *process) code() string {
	m := regexp.MustCompile(`sign in \S+/sign-in\?code=(\S+)`).FindStringSubmatch(p.said)
	if m == nil {
		return ""
	}
	return m[1]
}

// enter signs a browser in with a code.
func (p *process) enter(t *testing.T, c *http.Client, code string) *http.Response {
	t.Helper()
	resp, err := c.PostForm(p.base+"/sign-in", url.Values{"code": {code}})
	if err != nil {
		t.Fatal(err)
	}
	resp.Body.Close()
	return resp
}

// ask sends an operation as a browser, or with a token when it is not empty.
func (p *process) ask(t *testing.T, c *http.Client, token, query string) (*http.Response, string) {
	t.Helper()
	body, err := json.Marshal(map[string]string{"query": query})
	if err != nil {
		t.Fatal(err)
	}
	return p.send(t, c, token, http.MethodPost, "/graphql", string(body))
}

func (p *process) send(t *testing.T, c *http.Client, token, method, path, body string) (*http.Response, string) {
	t.Helper()
	req, err := http.NewRequestWithContext(t.Context(), method, p.base+path, strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	if body != "" {
		req.Header.Set("Content-Type", "application/json")
	}
	if token != "" {
		req.Header.Set("Authorization", "Bearer "+token)
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
	return resp, string(b)
}

var keyText = regexp.MustCompile(`lay_[A-Za-z0-9_-]{20,}`)

// token issues one with some scopes, as the person who is signed in.
func (p *process) token(t *testing.T, scopes string) string {
	t.Helper()
	_, body := p.ask(t, p.client, "", `mutation{issueToken(input:{name:"stock",scopes:[`+scopes+`]}){secret userErrors{message}}}`)
	key := keyText.FindString(body)
	if key == "" {
		t.Fatal("no token in ", body)
	}
	return key
}

// demoFolder fills a data folder with the invented shop.
func demoFolder(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	start(t, nil, "demo", "--listen", "127.0.0.1:0", "--data", dir).signal(t, syscall.SIGTERM)
	return dir
}

// status asks for a path and gives the status, 0 when nobody answers.
func (p *process) status(ctx context.Context, path string) int {
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, p.base+path, nil)
	if err != nil {
		return 0
	}
	resp, err := p.client.Do(req)
	if err != nil {
		return 0
	}
	resp.Body.Close()
	return resp.StatusCode
}

// feedPage of the real server, with the rows as text.
type feedPage struct {
	Rows   map[string]string
	Gone   []string
	Cursor string
	More   bool
}

func (p *process) pull(t *testing.T, token, since string, first int) feedPage {
	t.Helper()
	_, body := p.ask(t, http.DefaultClient, token, fmt.Sprintf(`{shortages(changedSince:%q,first:%d){edges{node{key gone quantity state jobRevision}} pageInfo{endCursor hasNextPage}}}`, since, first))
	var a struct {
		Data struct {
			Shortages *struct {
				Edges []struct {
					Node struct {
						Key, State  string
						JobRevision any
						Gone        bool
						Quantity    int
					}
				}
				PageInfo struct {
					EndCursor   string
					HasNextPage bool
				}
			}
		}
	}
	if err := json.Unmarshal([]byte(body), &a); err != nil || a.Data.Shortages == nil {
		t.Fatal(err, body)
	}
	out := feedPage{Rows: map[string]string{}, Cursor: a.Data.Shortages.PageInfo.EndCursor, More: a.Data.Shortages.PageInfo.HasNextPage}
	for _, e := range a.Data.Shortages.Edges {
		if e.Node.Gone {
			out.Gone = append(out.Gone, e.Node.Key)
		} else {
			out.Rows[e.Node.Key] = fmt.Sprint(e.Node.Quantity, e.Node.State, e.Node.JobRevision)
		}
	}
	return out
}
