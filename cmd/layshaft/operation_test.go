package main

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/x509"
	"encoding/json"
	"encoding/pem"
	"fmt"
	"io"
	"maps"
	"math/big"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/coder/websocket"
)

// TestServeStops: a running server gets SIGTERM while a request is half sent, a
// stream and a websocket are open. It is not ready any more, answers the request
// in full, says goodbye to the streams, ends with 0, and its folder opens again.
func TestServeStops(t *testing.T) {
	dir := demoFolder(t)
	p := start(t, nil, "serve", "--listen", "127.0.0.1:0", "--data", dir)
	p.enter(t, p.client, p.code())
	token := p.token(t, "CATALOGUE_READ,SHORTAGES_READ")
	for _, path := range []string{"/healthz", "/readyz"} {
		if got := p.status(t.Context(), path); got != http.StatusOK {
			t.Errorf("%s: %d", path, got)
		}
	}
	stream, half := p.open(t, token), p.half(t, token)
	socket, _, err := websocket.Dial(t.Context(), "ws"+strings.TrimPrefix(p.base, "http")+"/graphql",
		&websocket.DialOptions{Subprotocols: []string{"graphql-transport-ws"}, HTTPHeader: http.Header{"Authorization": {"Bearer " + token}}})
	if err != nil {
		t.Fatal(err)
	}
	defer socket.CloseNow()
	if err := p.cmd.Process.Signal(syscall.SIGTERM); err != nil {
		t.Fatal(err)
	}
	if _, _, err := socket.Read(t.Context()); websocket.CloseStatus(err) != websocket.StatusGoingAway {
		t.Errorf("the websocket ends with %v", err)
	}
	if _, err := io.ReadAll(stream); err != nil {
		t.Errorf("the stream is torn: %v", err)
	}
	for p.status(t.Context(), "/readyz") == http.StatusOK { // ends: stopping, then nobody answers
		time.Sleep(10 * time.Millisecond)
	}
	if answer := half(); !strings.Contains(answer, `"parts":`) {
		t.Errorf("the request under way was answered %q", answer)
	}
	p.wait(t, true)
	start(t, nil, "serve", "--listen", "127.0.0.1:0", "--data", dir).signal(t, os.Interrupt)
}

// open subscribes over server-sent events and returns the stream after its first
// event.
func (p *process) open(t *testing.T, token string) io.Reader {
	t.Helper()
	req, err := http.NewRequestWithContext(t.Context(), http.MethodPost, p.base+"/graphql",
		strings.NewReader(`{"query":"subscription{shortages(changedSince:\"\"){totalCount}}"}`))
	if err != nil {
		t.Fatal(err)
	}
	req.Header.Set("Content-Type", "application/json")
	req.Header.Set("Accept", "text/event-stream")
	req.Header.Set("Authorization", "Bearer "+token)
	resp, err := http.DefaultClient.Do(req)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { resp.Body.Close() })
	if n, err := resp.Body.Read(make([]byte, 6)); n == 0 || err != nil {
		t.Fatal(n, err)
	}
	return resp.Body
}

// half sends the first half of a request; the function sends the other and
// returns the whole answer.
func (p *process) half(t *testing.T, token string) func() string {
	t.Helper()
	c, err := net.Dial("tcp", strings.TrimPrefix(p.base, "http://"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { c.Close() })
	body := `{"query":"{shop{parts}}"}`
	if _, err := fmt.Fprintf(c, "POST /graphql HTTP/1.1\r\nHost: x\r\nAuthorization: Bearer %s\r\nContent-Type: application/json\r\nContent-Length: %d\r\n\r\n%s",
		token, len(body), body[:10]); err != nil {
		t.Fatal(err)
	}
	return func() string {
		if _, err := io.WriteString(c, body[10:]); err != nil {
			return err.Error()
		}
		b, err := io.ReadAll(c)
		return string(b) + fmt.Sprint(err)
	}
}

// TestServeSpeaksTLS on all addresses, with a certificate made here: the link
// names this machine, the cookie is for TLS and out of reach of scripts.
func TestServeSpeaksTLS(t *testing.T) {
	cert, key := selfSigned(t)
	p := start(t, nil, "serve", "--listen", "0.0.0.0:0", "--data", t.TempDir(), "--tls-cert", cert, "--tls-key", key)
	if !strings.HasPrefix(p.base, "https://") || strings.Contains(p.base, "0.0.0.0") || strings.Contains(p.base, "[::]") {
		t.Errorf("the printed address is %s", p.base)
	}
	p.base = "https://127.0.0.1:" + p.base[strings.LastIndexByte(p.base, ':')+1:]
	if resp, body := p.ask(t, p.client, "", "{shop{parts}}"); !strings.Contains(body, "SIGN_IN") {
		t.Errorf("a stranger gets %d %s", resp.StatusCode, body)
	}
	resp := p.enter(t, p.client, p.code())
	if len(resp.Cookies()) != 1 {
		t.Fatalf("cookies %v, status %d", resp.Cookies(), resp.StatusCode)
	}
	if c := resp.Cookies()[0]; !c.Secure || !c.HttpOnly || c.SameSite != http.SameSiteLaxMode || c.Path != "/" || c.Domain != "" {
		t.Errorf("cookie %+v", c)
	}
	if _, body := p.ask(t, p.client, "", "{shop{parts}}"); !strings.Contains(body, `"data"`) {
		t.Errorf("after signing in: %s", body)
	}
	p.signal(t, syscall.SIGTERM)
}

func selfSigned(t *testing.T) (cert, key string) {
	t.Helper()
	secret, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	form := &x509.Certificate{SerialNumber: big.NewInt(1), NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour),
		IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)}}
	der, err := x509.CreateCertificate(rand.Reader, form, form, &secret.PublicKey, secret)
	if err != nil {
		t.Fatal(err)
	}
	private, err := x509.MarshalPKCS8PrivateKey(secret)
	if err != nil {
		t.Fatal(err)
	}
	cert, key = filepath.Join(t.TempDir(), "cert.pem"), filepath.Join(t.TempDir(), "key.pem")
	for file, block := range map[string]*pem.Block{cert: {Type: "CERTIFICATE", Bytes: der}, key: {Type: "PRIVATE KEY", Bytes: private}} {
		if err := os.WriteFile(file, pem.EncodeToMemory(block), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return cert, key
}

// TestSignOutEverywhere: one person on two machines leaves both from one. A
// second start prints no link, --invite does.
func TestSignOutEverywhere(t *testing.T) {
	dir := t.TempDir()
	p := start(t, nil, "serve", "--listen", "127.0.0.1:0", "--data", dir, "--public", "https://parts.example/")
	if !strings.Contains(p.said, "sign in https://parts.example/sign-in?code=") {
		t.Errorf("the link is not the public one: %s", p.said)
	}
	p.base = regexp.MustCompile(`listening on (\S+)`).FindStringSubmatch(p.said)[1]
	resp := p.enter(t, p.client, p.code())
	cookie := resp.Cookies()[0] // for TLS alone, so that the jar does not send it here
	if !cookie.Secure {
		t.Error("behind TLS, but the cookie goes without")
	}
	in := func(c *http.Cookie) bool {
		req, err := http.NewRequestWithContext(t.Context(), http.MethodGet, p.base+"/graphql?query=%7Bshop%7Bparts%7D%7D", nil)
		if err != nil {
			t.Fatal(err)
		}
		req.AddCookie(c)
		resp, err := http.DefaultClient.Do(req)
		if err != nil {
			t.Fatal(err)
		}
		defer resp.Body.Close()
		b, err := io.ReadAll(resp.Body)
		if err != nil {
			t.Fatal(err)
		}
		return strings.Contains(string(b), `"data":{"shop"`)
	}
	p.signal(t, syscall.SIGTERM)
	p = start(t, nil, "serve", "--listen", "127.0.0.1:0", "--data", dir)
	if p.code() != "" {
		t.Error("a second start prints a link")
	}
	p.signal(t, syscall.SIGTERM)
	p = start(t, nil, "serve", "--listen", "127.0.0.1:0", "--data", dir, "--invite", "administrator")
	other := p.enter(t, p.client, p.code()).Cookies()[0]
	if !in(cookie) || !in(other) {
		t.Fatal("a session does not outlive a restart")
	}
	leave, err := http.NewRequestWithContext(t.Context(), http.MethodPost, p.base+"/sign-out", strings.NewReader("everywhere=yes"))
	if err != nil {
		t.Fatal(err)
	}
	leave.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	leave.Header.Set("Sec-Fetch-Site", "cross-site")
	leave.AddCookie(other)
	if resp, err := p.client.Do(leave); err != nil || resp.StatusCode != http.StatusForbidden || !in(other) {
		t.Errorf("another site signs people out: %v", err)
	}
	leave.Body, leave.Header["Sec-Fetch-Site"] = io.NopCloser(strings.NewReader("everywhere=yes")), []string{"same-origin"}
	if resp, err := p.client.Do(leave); err != nil || resp.StatusCode != http.StatusSeeOther {
		t.Errorf("signing out: %v", err)
	}
	if in(cookie) || in(other) {
		t.Error("signing out everywhere left a session")
	}
	p.signal(t, syscall.SIGTERM)
}

// TestNothingSecretIsLogged at the most talkative level: codes, session keys,
// tokens that hold and that do not, what was sent.
func TestNothingSecretIsLogged(t *testing.T) {
	p := start(t, []string{"LAYSHAFT_LOG=debug", "LAYSHAFT_LOG_JSON=true", "LAYSHAFT_LISTEN=127.0.0.1:0"}, "serve", "--data", t.TempDir())
	secrets := []string{p.code(), "lay_abcdefghijkl_" + strings.Repeat("w", 43), "words-of-a-customer"}
	p.send(t, p.client, "", http.MethodGet, "/sign-in?code="+p.code(), "")
	secrets = append(secrets, p.enter(t, p.client, p.code()).Cookies()[0].Value)
	secrets = append(secrets, p.token(t, "CATALOGUE_READ"))
	p.ask(t, person(t), secrets[1], "{shop{parts}}")
	p.ask(t, p.client, "", `{readKitList(input:{text:"words-of-a-customer"}){questions}}`)
	p.ask(t, p.client, "", `{nothing(a:"words-of-a-customer")}`)
	p.send(t, p.client, "", http.MethodGet, "/graphql?query=%7Bpart(key:%22words-of-a-customer%22)%7Bkey%7D%7D", "")
	p.send(t, p.client, "", http.MethodPost, "/graphql", "words-of-a-customer")
	p.signal(t, syscall.SIGTERM)
	log := p.logged()
	for _, s := range secrets {
		// The middle of a key: its first part names the grant and may be shown.
		if s == "" || strings.Contains(log, s[len(s)/2:]) {
			t.Errorf("the log holds the end of %.8q...", s)
		}
	}
	lines := strings.Split(strings.TrimSpace(log), "\n")
	for _, line := range lines {
		if !json.Valid([]byte(line)) {
			t.Errorf("no JSON: %s", line)
		}
	}
	if len(lines) < 8 || !strings.Contains(log, `"request":"`) {
		t.Errorf("%d lines of log", len(lines))
	}
}

// TestServeKeepsBounds: cost of one operation and rate of one caller, from flags
// and environment; a flag wins.
func TestServeKeepsBounds(t *testing.T) {
	p := start(t, []string{"LAYSHAFT_MAX_COST=3", "LAYSHAFT_RATE=100"}, "serve", "--listen", "127.0.0.1:0", "--data", t.TempDir(), "--max-cost", "2000")
	p.enter(t, p.client, p.code())
	a, b := p.token(t, "CATALOGUE_READ"), p.token(t, "CATALOGUE_READ,JOBS_READ")
	if _, body := p.ask(t, p.client, a, "{parts(first:200){edges{node{key name attributes{key text}}}}}"); !strings.Contains(body, "OPERATION_TOO_LARGE") {
		t.Errorf("a dear operation: %s", body)
	}
	refused := 0
	for range 20 {
		resp, body := p.ask(t, p.client, a, "{search(text:\"x\"){__typename}}")
		if resp.StatusCode == http.StatusTooManyRequests {
			refused++
			if resp.Header.Get("Retry-After") == "" || !strings.Contains(body, `"BUSY"`) {
				t.Errorf("refused without a time: %v %s", resp.Header, body)
			}
		}
	}
	if refused < 5 {
		t.Errorf("%d of 20 were refused", refused)
	}
	if resp, body := p.ask(t, p.client, "", "{shop{parts}}"); resp.StatusCode != http.StatusOK {
		t.Errorf("another caller waits too: %d %s", resp.StatusCode, body)
	}
	if resp, _ := p.ask(t, p.client, b, `{search(text:"x"){__typename}}`); resp.StatusCode != http.StatusTooManyRequests {
		t.Error("a second token of the same name has a bucket of its own")
	}
	p.signal(t, syscall.SIGTERM)
}

// TestCursorsSurviveRestarts: a client that stopped in the middle goes on after
// the server was killed, and ends with what a fresh pull gives.
func TestCursorsSurviveRestarts(t *testing.T) {
	dir := demoFolder(t)
	p := start(t, nil, "serve", "--listen", "127.0.0.1:0", "--data", dir)
	p.enter(t, p.client, p.code())
	token := p.token(t, "SHORTAGES_READ")
	has := p.pull(t, token, "", 7)
	for !has.More { // the feed is made in the background
		time.Sleep(20 * time.Millisecond)
		has = p.pull(t, token, "", 7)
	}
	gone := slices.Sorted(maps.Keys(has.Rows))[0]
	job, position, _ := strings.Cut(gone, ".")
	leave := fmt.Sprintf(`mutation{decide(edit:{requestId:"t1",job:%q},decisions:[{position:%q,choice:NOT_FITTED,why:"left out"}]){userErrors{message}}}`, job, position)
	if _, answer := p.ask(t, p.client, "", leave); strings.Contains(answer, "message") {
		t.Fatal(answer)
	}
	p.signal(t, syscall.SIGKILL)
	p = start(t, nil, "serve", "--listen", "127.0.0.1:0", "--data", dir)
	for first := 3; ; first++ {
		next := p.pull(t, token, has.Cursor, min(first, 200))
		maps.Copy(has.Rows, next.Rows)
		for _, key := range next.Gone {
			delete(has.Rows, key)
		}
		if has.Cursor = next.Cursor; next.More || has.Rows[gone] != "" {
			time.Sleep(10 * time.Millisecond)
			continue
		}
		break
	}
	if fresh := p.pull(t, token, "", 200); fresh.More || !maps.Equal(has.Rows, fresh.Rows) || len(fresh.Rows) < 20 {
		t.Errorf("it has %v\na fresh pull gives %v", has.Rows, fresh.Rows)
	}
	p.signal(t, syscall.SIGTERM)
}

// TestServeHelp: the help names every flag with its default and its variable.
func TestServeHelp(t *testing.T) {
	out, err := exec.Command("layshaft", "serve", "--help").CombinedOutput()
	if err != nil {
		t.Fatal(err)
	}
	help := regexp.MustCompile(`\s+`).ReplaceAllString(string(out), "")
	for _, kind := range []reflect.Type{reflect.TypeFor[serveCommand](), reflect.TypeFor[dataFlag]()} {
		for i := range kind.NumField() {
			f := kind.Field(i)
			if !f.IsExported() || f.Tag.Get("help") == "" {
				continue
			}
			env := f.Tag.Get("env")
			if env == "" && f.Name != "Invite" { // asked for once, not a setting
				t.Errorf("%s cannot be set by environment", f.Name)
			}
			for _, want := range []string{f.Tag.Get("help"), "$" + env, f.Tag.Get("default")} {
				if want = strings.ReplaceAll(want, " ", ""); !strings.Contains(help, strings.TrimSuffix(want, ".")) && want != "$" {
					t.Errorf("%s: the help does not say %q", f.Name, want)
				}
			}
		}
	}
	for _, route := range []string{"/graphql", "/docs", "/feeds/shortages.csv", "/healthz", "/readyz", "/metrics", "SIGTERM"} {
		if !strings.Contains(help, route) {
			t.Errorf("the help does not name %s", route)
		}
	}
}
