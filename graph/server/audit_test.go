package server_test

import (
	"encoding/json"
	"net/http"
	"net/url"
	"strings"
	"testing"
)

// TestAudit: every audit of the npm package graphql-http passes, none with a
// warning or a notice.
func TestAudit(t *testing.T) {
	tools := npm(t)
	s := emptyShop(t)
	var audits []struct{ ID, Name, Status, Reason string }
	if err := json.Unmarshal(tools.run(t, "audit.cjs", s.URL+"/graphql"), &audits); err != nil {
		t.Fatal(err)
	}
	if len(audits) != 61 {
		t.Errorf("%d audits ran, want 61", len(audits))
	}
	for _, a := range audits {
		if a.Status != "ok" {
			t.Errorf("%s %s: %s: %s", a.ID, a.Name, a.Status, a.Reason)
		}
	}
}

// TestTransport holds what the audits do not look at.
func TestTransport(t *testing.T) {
	s := emptyShop(t)
	get := "/graphql?query=" + url.QueryEscape("{shop{parts}}")
	mutation := "/graphql?query=" + url.QueryEscape(`mutation{undoEdit(input:{requestId:"a",edit:"e1"}){userErrors{code}}}`)
	large := `{"query":"{shop{parts}}","variables":{"x":"` + strings.Repeat("a", 1<<20) + `"}}`
	for _, c := range []struct {
		name, method, path, body, media string
		status                          int
	}{
		{"query over GET", "GET", get, "", "", 200},
		{"mutation over GET", "GET", mutation, "", "", 405},
		{"another method", "PUT", get, "", "", 405},
		{"no query", "GET", "/graphql", "", "", 400},
		{"form", "POST", "/graphql", "query=1", "application/x-www-form-urlencoded", 415},
		{"multipart", "POST", "/graphql", "x", "multipart/form-data; boundary=a", 415},
		{"plain text", "POST", "/graphql", `{"query":"{shop{parts}}"}`, "text/plain", 415},
		{"too large", "POST", "/graphql", large, "application/json", 413},
		{"array", "POST", "/graphql", `[{"query":"{shop{parts}}"}]`, "application/json", 400},
		{"two values", "POST", "/graphql", `{"query":"{shop{parts}}"}{}`, "application/json", 400},
		{"not JSON", "POST", "/graphql", `<secret>`, "application/json", 400},
	} {
		req, err := http.NewRequestWithContext(t.Context(), c.method, s.URL+c.path, strings.NewReader(c.body))
		if err != nil {
			t.Fatal(err)
		}
		if c.media != "" {
			req.Header.Set("Content-Type", c.media)
		}
		resp, err := s.Client().Do(req)
		if err != nil {
			t.Fatal(err)
		}
		var a answer
		if err := json.NewDecoder(resp.Body).Decode(&a); err != nil {
			t.Errorf("%s: not JSON: %v", c.name, err)
		}
		resp.Body.Close()
		if resp.StatusCode != c.status {
			t.Errorf("%s: status %d, want %d", c.name, resp.StatusCode, c.status)
		}
		if len(a.Errors) > 0 && strings.Contains(a.Errors[0].Message, "secret") {
			t.Errorf("%s: the body is echoed", c.name)
		}
	}
}

// TestDefer: what cannot be answered in parts is refused, and refused at once.
func TestDefer(t *testing.T) {
	s := openShop(t)
	a, _ := s.post(t, `{job(key:"7203"){key ... @defer{report{blocking}}}}`, nil)
	if len(a.Errors) == 0 || len(a.Data) > 0 && string(a.Data) != "null" {
		t.Errorf("data %.100s, errors %v", a.Data, a.Errors)
	}
}
