package page_test

import (
	"html"
	"net/url"
	"regexp"
	"strings"
	"testing"
)

var (
	inputField  = regexp.MustCompile(`<input (?:type="date" )?name="([^"]+)" value="([^"]*)"`)
	hiddenField = regexp.MustCompile(`<input type="hidden" name="([^"]+)" value="([^"]*)"`)
	tickField   = regexp.MustCompile(`<input type="checkbox" name="([^"]+)" value="yes" checked`)
	areaField   = regexp.MustCompile(`(?s)<textarea name="([^"]+)"[^>]*>(.*?)</textarea>`)
	selectField = regexp.MustCompile(`(?s)<select name="([^"]+)"[^>]*>(.*?)</select>`)
	chosen      = regexp.MustCompile(`<option value="([^"]*)" selected`)
	firstOption = regexp.MustCompile(`<option value="([^"]*)"`)
)

// form reads what a browser would send of the record's form.
func form(t *testing.T, page string) url.Values {
	t.Helper()
	_, page, ok := strings.Cut(page, `class="record"`)
	if !ok {
		t.Fatal("the page has no form of a record")
	}
	page, _, _ = strings.Cut(page, "</form>")
	out := url.Values{}
	set := func(re *regexp.Regexp, value func(m []string) string) {
		for _, m := range re.FindAllStringSubmatch(page, -1) {
			out.Set(html.UnescapeString(m[1]), html.UnescapeString(value(m)))
		}
	}
	second := func(m []string) string { return m[2] }
	set(inputField, second)
	set(hiddenField, second)
	set(areaField, second)
	set(tickField, func([]string) string { return "yes" })
	set(selectField, func(m []string) string {
		if c := chosen.FindStringSubmatch(m[2]); c != nil {
			return c[1]
		}
		return firstOption.FindStringSubmatch(m[2])[1]
	})
	return out
}

// records that pages edit, each with a field to change.
var editable = []struct{ path, field, to string }{
	{"/catalogue/parts/th-roller-6125", "name", "Pilot roller, marked"},
	{"/catalogue/variants/bw76-ew2", "note", "seen with the later lever"},
	{"/catalogue/positions/bw76/oil-slinger", "name", "Oil thrower"},
	{"/catalogue/rules/mates/bw76/coupling-splines", "reason", "The coupling slides on the output splines."},
	{"/catalogue/rules/bonds/bw76/hub-sleeve-12", "reason", "Hub and sleeve wear together."},
	{"/catalogue/rules/stacks/bw76/counter-end-play", "aim", "0.08"},
	{"/catalogue/rules/limits/bw76/case-input-bore", "wearMax", "72.05"},
	{"/catalogue/offers/grauwasser-ball-794", "leadLikely", "5"},
}

// TestEditRecord changes one field of each kind of record: nothing else of the
// record changes, the history says who and why, and taking it back restores it.
func TestEditRecord(t *testing.T) {
	s := open(t)
	for _, e := range editable {
		before := form(t, s.get(t, e.path+"/edit", 200))
		sent := form(t, s.get(t, e.path+"/edit", 200))
		sent.Set(e.field, e.to)
		sent.Set("why", "read on the bench")
		after := s.send(t, e.path+"/edit", 200, sent) // the history of the record
		wants(t, after, "Ada", "read on the bench", html.EscapeString(e.to))
		if n := strings.Count(after, "<del>"); n != 1 {
			t.Errorf("%s: %d fields changed, want 1", e.path, n)
		}
		if got := form(t, s.get(t, e.path+"/edit", 200)).Get(e.field); got != e.to {
			t.Errorf("%s: %s is %q", e.path, e.field, got)
		}
		undo := regexp.MustCompile(`name="edit" value="(e\d+)"`).FindStringSubmatch(after)
		if undo == nil {
			t.Fatal("nothing to take back")
		}
		key := regexp.MustCompile(`name="key" value="([^"]*)"`).FindStringSubmatch(after)
		table := regexp.MustCompile(`name="table" value="([^"]*)"`).FindStringSubmatch(after)
		again := s.send(t, "/catalogue/undo", 200, url.Values{"request": {"u" + e.path}, "edit": {undo[1]}, "key": {key[1]}, "table": {table[1]}})
		wants(t, again, "took back "+undo[1])
		now := form(t, s.get(t, e.path+"/edit", 200))
		for name := range before {
			if name != "request" && name != "seen" && before.Get(name) != now.Get(name) {
				t.Errorf("%s: %s was %q, is %q after undo", e.path, name, before.Get(name), now.Get(name))
			}
		}
		// Taking back an edit that was changed since is refused with words.
		wants(t, s.send(t, "/catalogue/undo", 409, url.Values{"request": {"v" + e.path}, "edit": {undo[1]}, "key": {key[1]}, "table": {table[1]}}), `role="alert"`)
	}
}

// TestStaleEditLosesNothing: two people edit one part. The second is refused,
// sees what the first stored, keeps what was typed, and may save again.
func TestStaleEditLosesNothing(t *testing.T) {
	s := open(t)
	const path = "/catalogue/parts/th-roller-6125/edit"
	first, second := form(t, s.get(t, path, 200)), form(t, s.get(t, path, 200))
	first.Set("note", "first was here")
	first.Set("why", "a")
	s.send(t, path, 200, first)
	second.Set("note", "second typed this")
	second.Set("numbers.0.issuer", "Another issuer")
	second.Set("why", "b")
	refused := s.send(t, path, 409, second)
	wants(t, refused, "nothing that you typed is lost", "second typed this", "Another issuer", "first was here")
	if strings.Contains(s.get(t, path, 200), "second typed this") {
		t.Fatal("the refused edit was stored")
	}
	again := form(t, refused)
	s.send(t, path, 200, again)
	now := form(t, s.get(t, path, 200))
	if now.Get("note") != "second typed this" || now.Get("numbers.0.issuer") != "Another issuer" {
		t.Errorf("stored: %v", now)
	}
}

// TestProblemStandsBesideItsField: what the check of the catalogue refuses is
// said at the field, and what was typed stays.
func TestProblemStandsBesideItsField(t *testing.T) {
	s := open(t)
	for _, c := range []struct{ path, field, value, near string }{
		{"/catalogue/parts/th-roller-6125/edit", "name", "", "k-long wrong"},
		{"/catalogue/parts/th-roller-6125/edit", "attributes.0.value", "6.125", `class="grid wrong"`},
		{"/catalogue/positions/bw76/oil-slinger/edit", "quantity", "0", "k-number wrong"},
		{"/catalogue/positions/bw76/oil-slinger/edit", "quantity", "two", `role="alert"`},
		{"/catalogue/variants/bw76-ew2/edit", "without", "no-such-place", "k-lines wrong"},
		{"/catalogue/variants/bw76-ew2/edit", "teeth input", "77", "wrong"},
		{"/catalogue/rules/bonds/bw76/hub-sleeve-12/edit", "positions", "hub-12", "k-lines wrong"},
		{"/catalogue/rules/limits/bw76/case-input-bore/edit", "newMax", "71", "k-length wrong"},
		{"/catalogue/rules/limits/bw76/case-input-bore/edit", "newMax", "seventy", "k-length wrong"},
		{"/catalogue/offers/grauwasser-ball-794/edit", "breaks.0.price", "cheap", `role="alert"`},
	} {
		sent := form(t, s.get(t, c.path, 200))
		if _, ok := sent[c.field]; !ok {
			t.Fatalf("%s has no field %s", c.path, c.field)
		}
		sent.Set(c.field, c.value)
		sent.Set("why", "kept words")
		page := s.send(t, c.path, 422, sent)
		wants(t, page, c.near, "kept words")
		if got := form(t, page).Get(c.field); got != c.value {
			t.Errorf("%s: typed %q, shown %q", c.field, c.value, got)
		}
	}
}

// TestHostileCatalogueText: what somebody writes into a record is shown only.
func TestHostileCatalogueText(t *testing.T) {
	s := open(t)
	raw := regexp.MustCompile(`(?i)<script>alert|<img src=x|<[^>]* onmouseover='|href="javascript:`)
	const path = "/catalogue/parts/th-roller-6125"
	for _, h := range hostile {
		sent := form(t, s.get(t, path+"/edit", 200))
		sent.Set("note", h)
		sent.Set("source", h)
		sent.Set("why", h)
		resp, err := s.Client().PostForm(s.URL+path+"/edit", sent)
		if err != nil {
			t.Fatal(err)
		}
		resp.Body.Close() // stored or refused: it must only be shown
		for _, p := range []string{path, path + "/edit", path + "/used", "/catalogue/history", "/catalogue/history?table=parts&key=" + url.QueryEscape(h),
			"/catalogue/compare?a=" + url.QueryEscape(h) + "&b=x", "/shortages/cover?family=" + url.QueryEscape(h[:min(200, len(h))]),
			"/shortages/what-if?job=7204&a=all&b=text&btext=" + url.QueryEscape(h[:min(2000, len(h))])} {
			if m := raw.FindString(s.get(t, p, 200)); m != "" {
				t.Errorf("%.40q came through at %s as %q", h, p, m)
			}
		}
	}
}
