package server_test

import (
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"testing"

	"layshaft/graph/server"
)

// measured are the answers that the ratios are stated for.
var measured = []struct{ name, query string }{
	{"small", `query Small{shop{catalogueRevision families parts}}`},
	{"page-of-50", `query Page{parts(first:50){edges{cursor node{id key kind name unit designation}} pageInfo{hasNextPage endCursor} totalCount}}`},
	{"report", `query Report{job(key:"7206"){key title report{blocking
		findings{key code severity position message blocking} shortages{key position quantity state blocking chain{position cause reason} because}
		demands{position quantity covered short chain{position cause reason}} lines{outcome pieces partKey place{list line text}}}}}`},
	{"variant", `query Variant{variant(key:"%VARIANT%"){key name ratios{speed decimal} fitments{positionName partKey standing part{key name offers{supplierKey leadLikely supplier{name} breaks{from price{minor currency}}}}}}}`},
}

// BenchmarkAnswers measures each answer over loopback: bare writes the same
// bytes with net/http alone, kept comes from the cache, made is resolved anew.
// The ratios are those of one run:
//
//	go test ./graph/server -run '^$' -bench Answers -benchtime 2s -cpu 2
func BenchmarkAnswers(b *testing.B) {
	made := openShop(b)
	kept := openShop(b, func(c *server.Config) { c.CacheBytes = 64 << 20 })
	variant := string(made.curator.Index().Variants()[0].ID)
	for _, m := range measured {
		query := string(bytes.ReplaceAll([]byte(m.query), []byte("%VARIANT%"), []byte(variant)))
		body, err := json.Marshal(map[string]string{"query": query})
		if err != nil {
			b.Fatal(err)
		}
		same := once(b, made.URL, body)
		bare := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
			_, _ = io.Copy(io.Discard, r.Body)
			w.Header().Set("Content-Type", "application/json; charset=utf-8")
			_, _ = w.Write(same)
		}))
		for _, way := range []struct{ name, url string }{{"bare", bare.URL}, {"kept", kept.URL}, {"made", made.URL}} {
			b.Run(m.name+"/"+way.name, func(b *testing.B) {
				b.ReportAllocs()
				b.SetBytes(int64(len(same)))
				for b.Loop() {
					once(b, way.url, body)
				}
			})
		}
		bare.Close()
	}
}

func once(b *testing.B, url string, body []byte) []byte {
	req, err := http.NewRequest(http.MethodPost, url+"/graphql", bytes.NewReader(body))
	if err != nil {
		b.Fatal(err)
	}
	req.Header.Set("Content-Type", "application/json")
	req.Header.Set("Accept-Encoding", "identity")
	resp, err := http.DefaultClient.Do(req)
	if err != nil {
		b.Fatal(err)
	}
	defer resp.Body.Close()
	text, err := io.ReadAll(resp.Body)
	if err != nil || resp.StatusCode != http.StatusOK || bytes.Contains(text, []byte(`"errors"`)) {
		b.Fatalf("%d %v %.300s", resp.StatusCode, err, text)
	}
	return text
}
