package server_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"runtime"
	"strings"
	"testing"
)

// attack is a hostile request: a document, or a whole body when it is no JSON.
type attack struct {
	name, query string
	variables   string // JSON
	body        string // sent as it is when not empty
}

func (a attack) bytes() []byte {
	if a.body != "" {
		return []byte(a.body)
	}
	q, err := json.Marshal(a.query)
	if err != nil {
		panic(err) // a string always encodes
	}
	vars := a.variables
	if vars == "" {
		vars = "null"
	}
	return []byte(`{"query":` + string(q) + `,"variables":` + vars + `}`)
}

// many repeats what f writes for 0 to n-1.
func many(n int, f func(i int) string) string {
	var b strings.Builder
	for i := range n {
		b.WriteString(f(i))
	}
	return b.String()
}

func repeated(s string) func(int) string { return func(int) string { return s } }

// doubling makes n fragments, each of which spreads the next one twice.
func doubling(n int) string {
	return "query{...f0}" + many(n, func(i int) string {
		return fmt.Sprintf("fragment f%d on Query{...f%d ...f%d}", i, i+1, i+1)
	}) + fmt.Sprintf("fragment f%d on Query{shop{parts}}", n)
}

// attacks are documents known to hurt GraphQL servers. All of them are refused.
var attacks = []attack{
	{name: "50000 unknown directives", query: "{shop{parts" + many(50000, repeated(" @a")) + "}}"},
	{name: "500 unknown directives", query: "{shop{parts" + many(500, repeated(" @a")) + "}}"},
	{name: "the same field 3000 times", query: "{" + many(3000, repeated("shop{parts} ")) + "}"},
	{name: "the same field 600 times", query: "{" + many(600, repeated("shop{parts} ")) + "}"},
	{name: "80 by 40 inline fragments", query: "{" + many(80, repeated("...{"+many(40, repeated("...{shop{parts}}"))+"}")) + "}"},
	{name: "5000 aliases at the root", query: "{" + many(5000, func(i int) string { return fmt.Sprintf("a%d:shop{parts} ", i) }) + "}"},
	{name: "40 aliases at the root", query: "{" + many(40, func(i int) string { return fmt.Sprintf("a%d:shop{parts} ", i) }) + "}"},
	{name: "5000 nested selections", query: many(5000, repeated("{a")) + strings.Repeat("}", 5000)},
	{name: "600 nested selections", query: many(600, repeated("{node(id:\"a\")")) + strings.Repeat("}", 600)},
	{name: "20000 unknown fields", query: "{" + many(20000, func(i int) string { return fmt.Sprintf("x%d ", i) }) + "}"},
	{name: "1500 unknown fields", query: "{" + many(1500, func(i int) string { return fmt.Sprintf("x%d ", i) }) + "}"},
	{name: "20 doubling fragments", query: doubling(20)},
	{name: "30 doubling fragments", query: doubling(30)},
	{name: "150 doubling fragments", query: doubling(150)},
	{name: "fragments in a circle", query: "{...a} fragment a on Query{...b} fragment b on Query{...a}"},
	{name: "a fragment inside itself", query: "{...a} fragment a on Query{shop{parts} ...a}"},
	{name: "300 fragments in a chain and a circle", query: "{...f0}" + many(300, func(i int) string {
		return fmt.Sprintf("fragment f%d on Query{...f%d}", i, (i+1)%300)
	})},
	{name: "500 fields that may not merge", query: "{" + many(450, func(i int) string {
		return fmt.Sprintf("a:part(key:%d){key}", i)
	}) + "}"},
	{name: "fragments that overlap pairwise", query: "{" + many(90, func(i int) string { return fmt.Sprintf("...f%d ", i) }) + "}" +
		many(90, func(i int) string { return fmt.Sprintf("fragment f%d on Query{a:part(key:\"%d\"){key}}", i, i) })},
	{name: "a nest of unpaged lists", query: "{families{variants{family{variants{family{variants{fitments{part{fitments{part{offers{supplier{name}}}}}}}}}}}}}"},
	{name: "pages in pages", query: "{jobs(first:200){edges{node{report{demands{chain{reason}} lines{part{fitments{part{offers{supplier{name}}}}}}}}}}}"},
	{name: "a page of a million", query: "{parts(first:1000000){edges{node{key attributes{key}}}}}"},
	{name: "a page of a million by variable", query: "query($n:Int){parts(first:$n){edges{node{key attributes{key}}}}}", variables: `{"n":1000000}`},
	{name: "introspection that circles", query: "{__schema{types{fields{type{fields{type{fields{type{fields{name}}}}}}}}}}"},
	{name: "the whole schema 30 times", query: "{" + many(30, func(i int) string {
		return fmt.Sprintf("a%d:__schema{types{name description fields{name description args{name description type{name}} type{name}}}} ", i)
	}) + "}"},
	{name: "a text of a megabyte", query: `{part(key:"` + strings.Repeat("a", 1<<20) + `"){key}}`},
	{name: "a block text without an end", query: `{part(key:"""` + strings.Repeat("a\n", 200000) + `){key}}`},
	{name: "200 kB of comments and no end", query: strings.Repeat("#\n", 100000) + "{"},
	{name: "200 kB of commas and no end", query: strings.Repeat(",", 200000) + "{"},
	{name: "1000 operations without a name", query: many(500, repeated("{shop{parts}}"))},
	{name: "400 operations, none chosen", query: many(400, func(i int) string { return fmt.Sprintf("query q%d{__typename}", i) })},
	{name: "450 variables that nothing uses", query: "query(" + many(450, func(i int) string { return fmt.Sprintf("$v%d:Int ", i) }) + "){shop{parts}}"},
	{name: "a list literal 900 deep", query: "{nodes(ids:" + strings.Repeat("[", 900) + strings.Repeat("]", 900) + "){id}}"},
	{name: "an object literal 900 deep", query: "{identify(input:" + strings.Repeat("{a:", 600) + "1" + strings.Repeat("}", 600) + "){nonePermille}}"},
	{name: "a number of 100000 digits", query: "{parts(first:" + strings.Repeat("9", 100000) + "){totalCount}}"},
	{name: "a field name of 100 kB", query: "{" + strings.Repeat("shop", 25000) + "}"},
	{name: "a type name of 100 kB", query: "{... on " + strings.Repeat("Quer", 25000) + "{shop{parts}}}"},
	{name: "20 long names near known ones", query: "{" + many(20, func(i int) string { return strings.Repeat("shop", 2000) + fmt.Sprint(i) + " " }) + "}"},
	{name: "10000 ids", query: "query($i:[ID!]!){nodes(ids:$i){id}}", variables: "[" + "null]", body: `{"query":"query($i:[ID!]!){nodes(ids:$i){id}}","variables":{"i":[` + strings.TrimSuffix(strings.Repeat(`"a",`, 10000), ",") + `]}}`},
	{name: "variables 9000 deep", body: `{"query":"query($i:[ID!]!){nodes(ids:$i){id}}","variables":{"i":` + strings.Repeat("[", 9000) + strings.Repeat("]", 9000) + `}}`},
	{name: "a batch", body: "[" + strings.TrimSuffix(strings.Repeat(`{"query":"{shop{parts}}"},`, 1000), ",") + "]"},
	{name: "the same member 20000 times", body: `{"query":"{a}"` + strings.Repeat(`,"variables":{}`, 20000) + `}`},
	{name: "two megabytes", body: `{"query":"` + strings.Repeat("a", 2<<20) + `"}`},
	{name: "broken UTF-8", body: "{\"query\":\"{shop{parts \xff\xfe}}\"}"},
	{name: "a zero byte", query: "{shop\x00{parts}}"},
	{name: "a subscription over POST", query: "subscription{__typename}"},
	{name: "an enum that is none, 400 times", query: "{" + many(12, func(i int) string {
		return fmt.Sprintf("a%d:jobs(filter:{states:[%s]}){totalCount} ", i, strings.Repeat("OPEN ", 30))
	}) + "}"},
	{name: "a kit list of 900 kB", query: "query($t:String!){readKitList(input:{text:$t}){questions}}", variables: `{"t":"` + strings.Repeat("1x bolt ", 110000) + `"}`},
}

// refusalBytes bounds what refusing one request may allocate.
const refusalBytes = 10 << 20

// attackHandler serves the shop without a network between.
func attackHandler(t testing.TB) http.Handler {
	s := openShop(t)
	return s.Config.Handler
}

func send(h http.Handler, body []byte) *httptest.ResponseRecorder {
	req := httptest.NewRequest(http.MethodPost, "/graphql", bytes.NewReader(body))
	req.Header.Set("Content-Type", "application/json")
	w := httptest.NewRecorder()
	h.ServeHTTP(w, req)
	return w
}

// TestAttacks: each attack is refused with little memory and a short answer.
// BenchmarkAttacks shows the time.
func TestAttacks(t *testing.T) {
	h := attackHandler(t)
	if len(attacks) < 30 {
		t.Fatal("the corpus has shrunk")
	}
	for _, a := range attacks {
		t.Run(a.name, func(t *testing.T) {
			body := a.bytes()
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			w := send(h, body)
			runtime.ReadMemStats(&after)
			var got answer
			if err := json.Unmarshal(w.Body.Bytes(), &got); err != nil {
				t.Fatalf("status %d, no JSON: %.200s", w.Code, w.Body)
			}
			if len(got.Errors) == 0 || len(got.Data) > 0 && string(got.Data) != "null" {
				t.Errorf("not refused: %.200s", w.Body)
			}
			if n := after.TotalAlloc - before.TotalAlloc; n > refusalBytes {
				t.Errorf("%d bytes allocated to refuse %d", n, len(body))
			}
			if w.Body.Len() > 64<<10 {
				t.Errorf("the refusal is %d bytes long", w.Body.Len())
			}
		})
	}
}

// BenchmarkAttacks measures time and memory of each refusal.
func BenchmarkAttacks(b *testing.B) {
	h := attackHandler(b)
	for _, a := range attacks {
		body := a.bytes()
		b.Run(strings.ReplaceAll(a.name, " ", "-"), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				send(h, body)
			}
		})
	}
}
