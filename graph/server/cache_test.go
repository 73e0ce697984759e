package server_test

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"layshaft/catalog"
	"layshaft/graph"
	"layshaft/graph/server"
)

func cached(c *server.Config) { c.CacheBytes = 1 << 20 }

// TestCacheFollowsEdits: an answer from the cache is the answer of now.
func TestCacheFollowsEdits(t *testing.T) {
	s := openShop(t, cached)
	part, _ := s.shortPart(t, "7203")
	query := `{job(key:"7203"){goods{pieces} report{blocking shortages{key quantity}}} shortages{totalCount}}`
	plain := openShop(t)
	for i := range 6 {
		for _, x := range []*shop{s, plain} {
			x.setGoods(t, "7203", part, i+1, i)
		}
		want, _ := plain.post(t, query, nil)
		for range 2 {
			if got, _ := s.post(t, query, nil); string(got.Data) != string(want.Data) {
				t.Fatalf("after edit %d: %s\nwant %s", i, got.Data, want.Data)
			}
		}
	}
	if _, text, _ := s.get(t, "/metrics"); !strings.Contains(text, `layshaft_answers_total{from="cache"} 6`) {
		t.Error("the cache was not asked six times")
	}
}

// TestCacheKeepsScopesApart: what one may see is not handed to another.
func TestCacheKeepsScopesApart(t *testing.T) {
	var who switchable
	s := openShop(t, cached, func(c *server.Config) { c.Principal = who.of })
	query := `{search(text:"7203"){__typename}}`
	who.set(&graph.Principal{Name: "a", Scopes: catalog.Scopes()})
	all, _ := s.post(t, query, nil)
	who.set(&graph.Principal{Name: "b", Scopes: []catalog.Scope{catalog.ScopeCatalogueRead}})
	some, _ := s.post(t, query, nil)
	if !strings.Contains(string(all.Data), "Job") || strings.Contains(string(some.Data), "Job") {
		t.Errorf("all scopes: %s, one scope: %s", all.Data, some.Data)
	}
	who.set(nil)
	if a, _ := s.post(t, query, nil); a.code() != "SIGN_IN" {
		t.Errorf("nobody: %s", a.Data)
	}
}

// TestCacheIsBounded: many large answers do not pile up.
func TestCacheIsBounded(t *testing.T) {
	s := openShop(t, func(c *server.Config) { c.CacheBytes = 64 << 10 })
	for i := range 200 {
		s.post(t, fmt.Sprintf(`query($n:Int){parts(first:$n){edges{node{key name}}}} # %d`, i), map[string]any{"n": i%190 + 1})
	}
	if n := s.api.CachedBytes(); n > 64<<10 || n == 0 {
		t.Errorf("%d bytes are kept", n)
	}
}

func TestGzip(t *testing.T) {
	s := openShop(t)
	req, err := http.NewRequestWithContext(t.Context(), http.MethodGet, s.URL+"/graphql?query=%7Bparts%7Bedges%7Bnode%7Bkey+name%7D%7D%7D%7D", nil)
	if err != nil {
		t.Fatal(err)
	}
	req.Header.Set("Accept-Encoding", "gzip")
	resp, err := http.DefaultTransport.RoundTrip(req)
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	if resp.Header.Get("Content-Encoding") != "gzip" {
		t.Error("a long answer is not compressed")
	}
}

// TestDecodedFollowsEdits: what askers in this process share is the answer of now,
// whatever type they ask it in, and is counted with the rest.
func TestDecodedFollowsEdits(t *testing.T) {
	s := openShop(t, func(c *server.Config) { c.CacheBytes = 16 << 10 })
	part, _ := s.shortPart(t, "7203")
	type goods struct{ Pieces int }
	type answer struct{ Job struct{ Goods []goods } }
	ctx := graph.WithPrincipal(t.Context(), &graph.Principal{Name: "a", Scopes: catalog.Scopes()})
	for i := range 6 {
		s.setGoods(t, "7203", part, i+1, i)
		for n := range 300 {
			var typed answer
			var loose map[string]any
			query := fmt.Sprintf(`{job(key:"7203"){goods{pieces}}} # %d`, n%150)
			if err := s.api.Execute(ctx, "", query, nil, &typed); err != nil {
				t.Fatal(err)
			}
			if err := s.api.Execute(ctx, "", query, nil, &loose); err != nil {
				t.Fatal(err)
			}
			if g := typed.Job.Goods; g[len(g)-1].Pieces != i+1 || len(loose["job"].(map[string]any)["goods"].([]any)) != len(g) {
				t.Fatalf("edit %d, question %d: %+v and %+v", i, n, typed, loose)
			}
			if got := s.api.CachedBytes(); got > 16<<10 {
				t.Fatalf("%d bytes are kept", got)
			}
		}
	}
}
