package server_test

import (
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"fmt"
	"io"
	"maps"
	"math/rand/v2"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
)

// get fetches a file; header holds names and values in turn.
func (s *shop) get(t testing.TB, path string, header ...string) (int, string, http.Header) {
	t.Helper()
	req, err := http.NewRequestWithContext(t.Context(), http.MethodGet, s.URL+path, nil)
	if err != nil {
		t.Fatal(err)
	}
	for i := 0; i+1 < len(header); i += 2 {
		req.Header.Set(header[i], header[i+1])
	}
	resp, err := s.Client().Do(req)
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	b, err := io.ReadAll(resp.Body)
	if err != nil {
		t.Fatal(err)
	}
	return resp.StatusCode, string(b), resp.Header
}

type plainFeed struct {
	Cursor    string
	Shortages []struct {
		Key      string
		Gone     bool
		Quantity int
		State    string
	}
}

func (s *shop) plain(t testing.TB, path string) plainFeed {
	t.Helper()
	status, text, _ := s.get(t, path)
	var f plainFeed
	if err := json.Unmarshal([]byte(text), &f); status != 200 || err != nil {
		t.Fatalf("%s: %d %v %.200s", path, status, err, text)
	}
	return f
}

func TestPlainFeeds(t *testing.T) {
	s := openShop(t)
	if err := s.keeper.Step(t.Context()); err != nil {
		t.Fatal(err)
	}
	all := s.plain(t, "/feeds/shortages.json")
	var live struct{ Shortages struct{ TotalCount int } }
	s.ask(t, "{shortages{totalCount}}", nil, &live)
	if len(all.Shortages) != live.Shortages.TotalCount || len(all.Shortages) == 0 {
		t.Fatalf("%d rows, the reports have %d", len(all.Shortages), live.Shortages.TotalCount)
	}
	_, table, head := s.get(t, "/feeds/shortages.csv")
	_, lines, _ := s.get(t, "/feeds/shortages.ndjson")
	if n := sameRows(t, table, lines); n != len(all.Shortages) {
		t.Errorf("CSV and NDJSON have %d rows, JSON %d", n, len(all.Shortages))
	}
	if status, text, _ := s.get(t, "/feeds/shortages.csv", "If-None-Match", head.Get("ETag")); status != http.StatusNotModified || text != "" {
		t.Errorf("unchanged: %d %q", status, text)
	}
	part, key := s.shortPart(t, "7203")
	s.setGoods(t, "7203", part, 50, 1)
	if err := s.keeper.Step(t.Context()); err != nil {
		t.Fatal(err)
	}
	if status, _, _ := s.get(t, "/feeds/shortages.csv", "If-None-Match", head.Get("ETag")); status != http.StatusOK {
		t.Errorf("changed: %d", status)
	}
	since := s.plain(t, "/feeds/shortages.json?since="+all.Cursor)
	if !slices.ContainsFunc(since.Shortages, func(x struct {
		Key      string
		Gone     bool
		Quantity int
		State    string
	}) bool {
		return x.Key == key && x.Gone && x.State == "ended"
	}) {
		t.Errorf("no end of %s in %+v", key, since)
	}
	for path, want := range map[string]int{"/feeds/shortages.xml": 404, "/feeds/other.json": 404, "/feeds/shortages.json?since=x": 400,
		"/feeds/shortages.json?blocking=perhaps": 400, "/feeds/shortages.json?jobs=7203": 400, "/feeds/shortages.json?state=order-now": 200,
		"/feeds/shortages.json?job=7203&job=7204": 400, "/feeds/shortages.json?state=order": 400, "/feeds/shortages.json?state=order-now&state=question": 200} {
		if status, _, _ := s.get(t, path); status != want {
			t.Errorf("%s: %d, want %d", path, status, want)
		}
	}
}

// sameRows holds the CSV against the NDJSON, cell by cell, and counts the rows.
func sameRows(t *testing.T, table, lines string) int {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(table)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	heading, rows := rows[0], rows[1:]
	for i, line := range strings.Split(strings.TrimSuffix(lines, "\n"), "\n") {
		var members map[string]any
		d := json.NewDecoder(strings.NewReader(line))
		d.UseNumber()
		if err := d.Decode(&members); err != nil || len(members) != len(heading) || i >= len(rows) {
			t.Fatalf("line %d: %v, %d members, %d columns, %d rows", i+1, err, len(members), len(heading), len(rows))
		}
		for j, name := range heading {
			if want := cell(members[name]); rows[i][j] != want {
				t.Errorf("row %d has %s %q, want %q", i+1, name, rows[i][j], want)
			}
		}
	}
	return strings.Count(lines, "\n")
}

// cell is a member of a row as the CSV writes it.
func cell(v any) string {
	switch v := v.(type) {
	case []any:
		all := make([]string, len(v))
		for i, x := range v {
			all[i] = cell(x)
		}
		return strings.Join(all, " | ")
	case map[string]any: // an offer
		return fmt.Sprint(v["supplier"], " ", v["landedMinor"], " ", v["currency"], " ", v["leadWorst"])
	}
	return fmt.Sprint(v)
}

// TestFeedRefusals name the parameter as the caller wrote it, and the remedy.
func TestFeedRefusals(t *testing.T) {
	s := openShop(t)
	if err := s.keeper.Step(t.Context()); err != nil {
		t.Fatal(err)
	}
	for path, want := range map[string]string{
		"/feeds/shortages.json?since=x":                                 "since: not a cursor of the feed. Send a cursor",
		"/feeds/shortages.csv?jobs=7203":                                "jobs: no such parameter. Use job, part, blocking, since, state",
		"/feeds/shortages.csv?state=order":                              "Use one of order-now, after-measuring",
		"/feeds/shortages.xml":                                          "no such feed. Ask for shortages.json",
		"/feeds/request-for-quotation.xml?supplier=a&supplier=b":        "supplier: it is given 2 times. Give it once",
		"/feeds/request-for-quotation.xml?supplier=tarnbeck&shortages=": "shortages: no such parameter. Use supplier, shortage",
	} {
		if _, text, _ := s.get(t, path); !strings.Contains(text, want) {
			t.Errorf("%s answers %q, want %q", path, text, want)
		}
	}
}

// TestPullUnderEdits: clients pull with random page sizes while jobs are edited
// and the feed is kept; once all is quiet each has what a fresh pull has.
func TestPullUnderEdits(t *testing.T) {
	s := openShop(t)
	kept := make(chan struct{})
	go func() {
		defer close(kept)
		s.keeper.Run(t.Context(), nil, func(err error) { t.Error(err) })
	}()
	t.Cleanup(func() { <-kept })
	pull := func(has map[string]int, since *string, first int) (more bool) {
		var a struct{ Shortages feedPage }
		s.ask(t, `query($s:String!,$n:Int!){shortages(changedSince:$s,first:$n){edges{node{key quantity gone} cursor} pageInfo{endCursor hasNextPage}}}`,
			map[string]any{"s": *since, "n": first}, &a)
		take := len(a.Shortages.Edges)
		if take > 0 && rand.IntN(4) == 0 {
			take = rand.IntN(take) + 1 // stopped in the middle of a page
			more, *since = true, a.Shortages.Edges[take-1].Cursor
		} else {
			more, *since = a.Shortages.PageInfo.HasNextPage, a.Shortages.PageInfo.EndCursor
		}
		for _, e := range a.Shortages.Edges[:take] {
			if e.Node.Gone {
				delete(has, e.Node.Key)
			} else {
				has[e.Node.Key] = e.Node.Quantity
			}
		}
		return more
	}
	var editing atomic.Bool
	editing.Store(true)
	results := make([]map[string]int, 3)
	cursors := make([]string, 3)
	done := make(chan int)
	for i := range results {
		results[i] = map[string]int{}
		go func() {
			for editing.Load() {
				pull(results[i], &cursors[i], rand.IntN(9)+1)
			}
			done <- i
		}()
	}
	part, _ := s.shortPart(t, "7203")
	other, _ := s.shortPart(t, "7204")
	for i := range 40 {
		if i%2 == 0 {
			s.setGoods(t, "7203", part, i%7+1, 2*i)
			s.setGoods(t, "7204", other, 50, 2*i+1)
		} else {
			s.dropGoods(t, "7203", part, 2*i)
			s.dropGoods(t, "7204", other, 2*i+1)
		}
	}
	editing.Store(false)
	for range results {
		<-done
	}
	if err := s.keeper.Step(t.Context()); err != nil {
		t.Fatal(err)
	}
	want := map[string]int{}
	for since := ""; pull(want, &since, 200); {
	}
	live, err := s.bench.Shortages(t.Context())
	if err != nil || len(live) != len(want) {
		t.Fatalf("a fresh pull has %d, the reports %d: %v", len(want), len(live), err)
	}
	for i := range results {
		for pull(results[i], &cursors[i], rand.IntN(5)+1) {
		}
		if !maps.Equal(results[i], want) {
			t.Errorf("client %d has %v, want %v", i, results[i], want)
		}
	}
}

// ublOrder is the order of the elements that we use, from OASIS UBL 2.1.
var ublOrder = map[string]string{
	"RequestForQuotation":       "UBLVersionID ID IssueDate IssueTime Note PricingCurrencyCode LineCountNumeric SellerSupplierParty BuyerCustomerParty RequestForQuotationLine",
	"SellerSupplierParty":       "Party",
	"BuyerCustomerParty":        "Party",
	"Party":                     "PartyIdentification PartyName",
	"PartyIdentification":       "ID",
	"PartyName":                 "Name",
	"RequestForQuotationLine":   "ID Note LineItem",
	"LineItem":                  "ID Quantity Delivery Item",
	"Delivery":                  "RequestedDeliveryPeriod",
	"RequestedDeliveryPeriod":   "EndDate",
	"Item":                      "Description Name BuyersItemIdentification SellersItemIdentification AdditionalItemProperty",
	"BuyersItemIdentification":  "ID",
	"SellersItemIdentification": "ID",
	"AdditionalItemProperty":    "Name Value",
}

// inOrder holds a document against ublOrder: every aggregate has members, known
// ones, in order, in the aggregates' name space; all else has text.
func inOrder(t *testing.T, text string) {
	t.Helper()
	type open struct {
		name, last string
		members    int
		text       string
	}
	var stack []open
	for d := xml.NewDecoder(strings.NewReader(text)); ; {
		token, err := d.Token()
		if err == io.EOF {
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		switch x := token.(type) {
		case xml.StartElement:
			_, aggregate := ublOrder[x.Name.Local]
			space := "urn:oasis:names:specification:ubl:schema:xsd:CommonBasicComponents-2"
			switch {
			case len(stack) == 0:
				space = "urn:oasis:names:specification:ubl:schema:xsd:RequestForQuotation-2"
			case aggregate:
				space = "urn:oasis:names:specification:ubl:schema:xsd:CommonAggregateComponents-2"
			}
			if x.Name.Space != space {
				t.Errorf("%s in %s", x.Name.Local, x.Name.Space)
			}
			if len(stack) > 0 {
				in := &stack[len(stack)-1]
				order := strings.Fields(ublOrder[in.name])
				at := slices.Index(order, x.Name.Local)
				if at < 0 || at < slices.Index(order, in.last) {
					t.Errorf("%s after %q in %s", x.Name.Local, in.last, in.name)
				}
				in.last, in.members = x.Name.Local, in.members+1
			}
			stack = append(stack, open{name: x.Name.Local})
		case xml.CharData:
			if len(stack) > 0 {
				stack[len(stack)-1].text += strings.TrimSpace(string(x))
			}
		case xml.EndElement:
			at := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			if _, aggregate := ublOrder[at.name]; aggregate != (at.members > 0) || aggregate != (at.text == "") {
				t.Errorf("%s has %d members and the text %q", at.name, at.members, at.text)
			}
		}
	}
}

func TestQuotation(t *testing.T) {
	s := openShop(t)
	if err := s.keeper.Step(t.Context()); err != nil {
		t.Fatal(err)
	}
	_, key := s.shortPart(t, "7203")
	supplier := s.curator.Index().Suppliers()[0].ID
	q := url.Values{"supplier": {string(supplier)}, "shortage": {key}}
	for _, x := range s.plain(t, "/feeds/shortages.json").Shortages { // every kind of line
		if x.Key != key {
			q.Add("shortage", x.Key)
		}
	}
	status, text, _ := s.get(t, "/feeds/request-for-quotation.xml?"+q.Encode())
	if status != 200 {
		t.Fatal(status, text)
	}
	inOrder(t, text)
	for _, part := range []string{`<cbc:Quantity unitCode="`, "our reference " + key, "<cac:Item>"} {
		if !strings.Contains(text, part) {
			t.Errorf("no %q in\n%s", part, text)
		}
	}
	for _, bad := range []url.Values{{}, {"supplier": {"nobody"}, "shortage": {key}}, {"supplier": {string(supplier)}},
		{"supplier": {string(supplier)}, "shortage": {key, key}}, {"supplier": {string(supplier)}, "shortage": {"none"}}} {
		if status, _, _ := s.get(t, "/feeds/request-for-quotation.xml?"+bad.Encode()); status != http.StatusBadRequest {
			t.Errorf("%v: %d", bad, status)
		}
	}
}
