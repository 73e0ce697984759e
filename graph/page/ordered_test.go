package page_test

import (
	"net/url"
	"regexp"
	"strings"
	"testing"

	"layshaft/catalog"
	"layshaft/reconcile"
)

// TestOrderedArrives: what is ordered is on the list until it has arrived; what is
// ordered anew for the same place does not make the first unarrived.
func TestOrderedArrives(t *testing.T) {
	s := open(t)
	const list = "/shortages/ordered"
	arrive := regexp.MustCompile(`name="seen" value="(\d+)"> <button name="name" value="(have-main-locating-ring-[^"]*)"`)
	order := func(request string) {
		t.Helper()
		s.send(t, "/jobs/7204/have", 200, url.Values{"request": {request}, "position": {"main-locating-ring"}, "part": {"th-ring-100"}, "source": {"order"}})
	}
	if arrive.MatchString(s.get(t, list, 200)) {
		t.Fatal("the ring is ordered to begin with")
	}
	order("a")
	m := arrive.FindStringSubmatch(s.get(t, list, 200))
	if m == nil {
		t.Fatal("the ring was ordered and is not on the list")
	}
	if csv := s.get(t, list+".csv", 200); !strings.Contains(csv, "7204,th-ring-100,") {
		t.Errorf("the file lacks it:\n%s", csv)
	}
	form := url.Values{"request": {"b"}, "seen": {m[1]}, "name": {m[2]}, "back": {list}}
	if after := s.send(t, "/jobs/7204/arrived", 200, form); arrive.MatchString(after) {
		t.Error("the ring arrived and is still on order")
	}
	form.Set("request", "c")
	wants(t, s.send(t, "/jobs/7204/arrived", 409, form), `role="alert"`, "not on order any more")
	job, err := s.bench.Job(t.Context(), "7204")
	if err != nil {
		t.Fatal(err)
	}
	came := 0
	for _, g := range job.Goods {
		if g.ID == m[2] && g.Source == reconcile.FromReceived {
			came = g.Pieces
		}
	}
	if came != 1 {
		t.Errorf("%d rings received, want 1", came)
	}
	if csv := s.get(t, "/jobs/7204/shortages.csv", 200); strings.Contains(csv, "main-locating-ring") {
		t.Error("the ring arrived and is short")
	}
	wants(t, s.send(t, "/jobs/7204/have", 409, url.Values{"request": {"d"}, "position": {"main-locating-ring"}, "part": {"th-ring-100"}, "source": {"order"}}), `role="alert"`)

	// Another part came in its name: the ring is short again, and ordered as a record of its own.
	other := &reconcile.Goods{Job: "7204", ID: m[2], Part: "th-roller-6125", Pieces: 1, Source: reconcile.FromReceived}
	if _, err := s.bench.Change(t.Context(), "7204", catalog.Change{Request: "other", Who: "t", Put: []catalog.Record{other}}); err != nil {
		t.Fatal(err)
	}
	order("e")
	if again := arrive.FindStringSubmatch(s.get(t, list, 200)); again == nil || again[2] == m[2] {
		t.Errorf("ordered anew, the list has %q", again)
	}
}

// TestHaveSeveral: one press says of several places that their parts are ordered;
// none is stored where one of them is not short any more.
func TestHaveSeveral(t *testing.T) {
	s := open(t)
	page := s.get(t, "/jobs/7204", 200)
	form := regexp.MustCompile(`(?s)<div class="remedy"><form[^>]*/have"[^>]*>(.*?)</form>`)
	pair := regexp.MustCompile(`name="position" value="([^"]+)"> <input type="hidden" name="part" value="([^"]+)"`)
	for _, f := range form.FindAllStringSubmatch(page, -1) {
		all := pair.FindAllStringSubmatch(f[1], -1)
		if len(all) < 2 {
			continue
		}
		sent := url.Values{"request": {request(t, page)}, "source": {"order"}}
		for _, m := range all {
			sent.Add("position", m[1])
			sent.Add("part", m[2])
		}
		s.send(t, "/jobs/7204/have", 200, sent)
		short := s.get(t, "/jobs/7204/shortages.csv", 200)
		for _, m := range all {
			if strings.Contains(short, "7204,"+m[1]+",") {
				t.Errorf("%s is ordered and short", m[1])
			}
		}
		sent.Set("request", "again")
		s.send(t, "/jobs/7204/have", 409, sent)
		return
	}
	t.Fatal("no row with several places")
}
