package page_test

import (
	"html"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"layshaft/catalog"
	"layshaft/reconcile"
)

// send posts a form as a browser does and follows the redirect.
func (s *shop) send(t *testing.T, path string, status int, form url.Values) string {
	t.Helper()
	resp, err := s.Client().PostForm(s.URL+path, form)
	if err != nil {
		t.Fatal(err)
	}
	return body(t, resp, "POST "+path, status)
}

var requestField = regexp.MustCompile(`name="request" value="([A-Z0-9]+)"`)

func request(t *testing.T, page string) string {
	t.Helper()
	m := requestField.FindStringSubmatch(page)
	if m == nil {
		t.Fatal("the page has no form that changes a job")
	}
	return m[1]
}

func TestOpenJobAndPaste(t *testing.T) {
	s := open(t)
	front := s.get(t, "/", 200)
	job := s.send(t, "/jobs", 200, url.Values{"request": {request(t, front)}, "key": {"9001"}, "title": {"Early box"}, "variant": {"bw76/bw76-ew2"}})
	wants(t, job, "Early box", "Brantwick 76, early, wide, two-wheel")
	kit := s.send(t, "/jobs/9001/lists", 200, url.Values{"request": {request(t, job)}, "text": {"2 x 6207 N\nnot incl: rear seal\nwidget of unknown origin 77\n"}, "title": {"Box of bits"}})
	wants(t, kit, "Box of bits", "6207", "widget of unknown origin 77", "r-designation", "r-count")
}

func TestDecideTakeSignUndo(t *testing.T) {
	s := open(t)
	sheet := s.get(t, "/jobs/7202/decisions", 200)
	one := regexp.MustCompile(`value="(oil-slinger REUSE \d+)"`).FindStringSubmatch(sheet)
	if one == nil {
		t.Fatal("no button to reuse the oil slinger")
	}
	after := s.send(t, "/jobs/7202/decide", 200, url.Values{"request": {request(t, sheet)}, "one": {one[1]}})
	wants(t, after, `id="p-oil-slinger" class="position is-reuse"`)
	// The first page still shows the old revision: it must not overwrite.
	stale := s.send(t, "/jobs/7202/decide", 409, url.Values{"request": {"another"}, "one": {strings.Replace(one[1], "REUSE", "REPLACE", 1)}})
	wants(t, stale, `role="alert"`, `id="p-oil-slinger" class="position is-reuse"`)

	bench := s.get(t, "/jobs/7202", 200)
	undo := regexp.MustCompile(`name="edit" value="(e\d+)"`).FindStringSubmatch(bench)
	if undo == nil {
		t.Fatal("no button to take the edit back")
	}
	s.send(t, "/jobs/7202/undo", 200, url.Values{"request": {request(t, bench)}, "edit": {undo[1]}})
	wants(t, s.get(t, "/jobs/7202/decisions", 200), `id="p-oil-slinger" class="position is-undecided"`)

	whole := s.send(t, "/jobs/7202/decide", 200, url.Values{"request": {"group"}, "all": {"input shaft|REUSE"}})
	wants(t, whole, `id="p-oil-slinger" class="position is-reuse"`)
	s.send(t, "/jobs/7202/decide", 409, url.Values{"request": {"group2"}, "all": {"input shaft|REUSE"}})
	wants(t, s.send(t, "/jobs/7202/decide", 200, url.Values{"request": {"group4"}, "all": {"main shaft|SEND_OUT"}}), `id="p-gear-2nd" class="position is-send-out"`)
	s.send(t, "/jobs/7202/decide", 400, url.Values{"request": {"group3"}, "all": {"input shaft|UNDECIDED"}})
	s.send(t, "/jobs/7202/decide", 400, url.Values{"request": {"x"}, "one": {"nonsense"}})
}

func TestTakeKeepsWhatWasFound(t *testing.T) {
	s := open(t)
	page := s.get(t, "/jobs/7204", 200)
	wants(t, page, `value="th-roller-6125"`)
	s.send(t, "/jobs/7204/take", 200, url.Values{"request": {request(t, page)}, "position": {"pilot-rollers"}, "part": {"th-roller-6125"}})
	job, err := s.bench.Job(t.Context(), "7204")
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range job.Decisions {
		if d.Position == "pilot-rollers" && (d.Part != "th-roller-6125" || d.Choice != "replace") {
			t.Errorf("decision is %+v", d)
		}
		if d.Position == "main-shaft" && len(d.Sizes) == 0 {
			t.Errorf("the main shaft lost its sizes")
		}
	}
}

func TestHaveEndsShortage(t *testing.T) {
	s := open(t)
	before := s.get(t, "/jobs/7204/shortages.csv", 200)
	if !strings.Contains(before, "main-locating-ring") {
		t.Fatal("the ring is not short to begin with")
	}
	s.send(t, "/jobs/7204/have", 200, url.Values{"request": {"r"}, "position": {"main-locating-ring"}, "part": {"th-ring-100"}, "source": {"shelf"}})
	if after := s.get(t, "/jobs/7204/shortages.csv", 200); strings.Contains(after, "main-locating-ring") {
		t.Error("the ring is on the shelf and still short")
	}
}

func TestSignAgainst(t *testing.T) {
	s := open(t)
	page := s.get(t, "/jobs/7204", 200)
	finding := regexp.MustCompile(`name="finding" value="(size-mismatch[^"]+)"`).FindStringSubmatch(page)
	if finding == nil {
		t.Fatal("no finding to sign against")
	}
	signed := s.send(t, "/jobs/7204/sign", 200, url.Values{"request": {request(t, page)}, "finding": {finding[1]}, "by": {"B. Ames"}, "reason": {"measured twice"}})
	wants(t, signed, "B. Ames", "measured twice")
}

func TestAnswerAndFind(t *testing.T) {
	s := open(t)
	page := s.get(t, "/jobs/7204", 200)
	form := regexp.MustCompile(`name="list" value="([^"]+)"> <input type="hidden" name="line" value="(\d+)"> <input type="hidden" name="sub" value="(\d+)"> <input type="hidden" name="seen" value=""> <button name="part" value="(=[^"]+)"`).FindStringSubmatch(page)
	if form == nil {
		t.Fatal("no line to answer")
	}
	got := s.send(t, "/jobs/7204/answer", 200, url.Values{"request": {request(t, page)}, "list": {form[1]}, "line": {form[2]}, "sub": {form[3]}, "part": {form[4]}})
	wants(t, got, "answered by a person")
	found := s.get(t, "/jobs/7204/find?q=6308&list="+url.QueryEscape(form[1])+"&line="+form[2]+"&sub="+form[3], 200)
	wants(t, found, `name="part" value="=`)
	s.send(t, "/jobs/7204/answer", 400, url.Values{"request": {"n"}, "list": {form[1]}, "line": {"two"}, "part": {"="}})
}

func TestRepeatedFormIsStoredOnce(t *testing.T) {
	s := open(t)
	form := url.Values{"request": {"S"}, "finding": {"any"}, "by": {"a"}, "reason": {"b"}}
	rev := func() uint64 {
		s.send(t, "/jobs/7203/sign", 200, form)
		job, err := s.bench.Job(t.Context(), "7203")
		if err != nil {
			t.Fatal(err)
		}
		return job.Rev
	}
	first := rev()
	if again := rev(); again != first {
		t.Errorf("the same form again moved the job from %d to %d", first, again)
	}
	form.Set("finding", "another")
	if other := rev(); other == first {
		t.Error("another form of the same page was taken for the first")
	}
}

func TestRefusedFormSaysWhy(t *testing.T) {
	s := open(t)
	wants(t, s.send(t, "/jobs/7203/remove", 422, url.Values{"request": {"x"}, "list": {"no such"}}), `role="alert"`)
	wants(t, s.send(t, "/jobs", 422, url.Values{"request": {"x"}, "key": {""}, "title": {"no number"}, "variant": {"bw76/"}}), `role="alert"`, "no number")
}

func TestHeaders(t *testing.T) {
	s := open(t)
	for _, path := range []string{"/", "/jobs/none", "/jobs/7204/surplus.csv", "/counter"} {
		resp, err := s.Client().Get(s.URL + path)
		if err != nil {
			t.Fatal(err)
		}
		resp.Body.Close()
		for name, want := range map[string]string{
			"Content-Security-Policy":    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'; require-trusted-types-for 'script'; trusted-types 'none'",
			"X-Content-Type-Options":     "nosniff",
			"Referrer-Policy":            "no-referrer",
			"Cross-Origin-Opener-Policy": "same-origin",
			"Cache-Control":              "no-cache",
		} {
			if got := resp.Header.Get(name); got != want {
				t.Errorf("%s %s: %q, want %q", path, name, got, want)
			}
		}
	}
	page := s.get(t, "/", 200)
	for _, m := range regexp.MustCompile(`(?:href|src)="(/assets/[^"]+)"`).FindAllStringSubmatch(page, -1) {
		resp, err := s.Client().Get(s.URL + m[1])
		if err != nil {
			t.Fatal(err)
		}
		resp.Body.Close()
		if c := resp.Header.Get("Cache-Control"); resp.StatusCode != 200 || !strings.Contains(c, "immutable") {
			t.Errorf("%s: %d, %q", m[1], resp.StatusCode, c)
		}
	}
}

func TestCrossOriginFormIsRefused(t *testing.T) {
	s := open(t)
	req, err := http.NewRequest(http.MethodPost, s.URL+"/jobs/7204/undo", strings.NewReader("edit=e1"))
	if err != nil {
		t.Fatal(err)
	}
	req.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	req.Header.Set("Sec-Fetch-Site", "cross-site")
	resp, err := s.Client().Do(req)
	if err != nil {
		t.Fatal(err)
	}
	body(t, resp, "cross-site form", 403)
}

func TestLookIsKeptAndStaysLocal(t *testing.T) {
	s := open(t)
	s.Client().CheckRedirect = func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }
	for back, want := range map[string]string{"/jobs/7204": "/jobs/7204", "https://elsewhere.example/": "/", "//elsewhere.example": "/", `/\elsewhere`: "/"} {
		resp, err := s.Client().PostForm(s.URL+"/prefs", url.Values{"ink": {"blueprint"}, "back": {back}})
		if err != nil {
			t.Fatal(err)
		}
		resp.Body.Close()
		if got := resp.Header.Get("Location"); got != want {
			t.Errorf("back to %q went to %q, want %q", back, got, want)
		}
		if c := resp.Header.Get("Set-Cookie"); !strings.Contains(c, "blueprint.roomy") {
			t.Errorf("cookie is %q", c)
		}
	}
}

// hostile texts that must be shown and never obeyed.
var hostile = []string{
	`<script>alert(1)</script>`, `"><img src=x onerror=alert(1)>`, `' onmouseover='alert(1)`, `javascript:alert(1)`,
	"\u202Eevil\u202C bidi", "\u2066x\u2069", "🦺🔩 spanner", strings.Repeat("W", 10_000), `{{.}} ${x} %s%d`, "=1+1",
}

func TestHostileTextIsShownOnly(t *testing.T) {
	s := open(t)
	raw := regexp.MustCompile(`(?i)<script>alert|<img src=x|<[^>]* onmouseover='|href="javascript:`)
	for i, h := range hostile {
		key := "h" + string(rune('a'+i))
		page := s.send(t, "/jobs", 200, url.Values{"request": {key}, "key": {key}, "title": {h}, "owner": {h}, "note": {h}, "variant": {"bw76/bw76-ew2"}})
		if !strings.Contains(page, html.EscapeString(h)) && !strings.Contains(page, h) {
			t.Errorf("%.40q is not shown as it was typed", h)
		}
		pages := []string{page,
			s.send(t, "/jobs/"+key+"/lists", 200, url.Values{"request": {key + "l"}, "text": {h + "\n2 x 6207 " + h}, "title": {h}}),
			s.send(t, "/jobs/"+key+"/sign", 200, url.Values{"request": {key + "s"}, "finding": {"size-mismatch.x.y"}, "by": {h}, "reason": {h}}),
			s.get(t, "/jobs/"+key+"/history", 200), s.get(t, "/", 200), s.get(t, "/catalogue/search?q="+url.QueryEscape(h[:min(200, len(h))]), 200),
			s.get(t, "/counter?family=bw76&o.input="+url.QueryEscape(h[:min(90, len(h))]), 200)}
		for _, p := range pages {
			if m := raw.FindString(p); m != "" {
				t.Errorf("%.40q came through as %q", h, m)
			}
		}
	}
}

func TestExports(t *testing.T) {
	s := open(t)
	for path, head := range map[string]string{
		"/jobs/7204/shortages.csv": "job,position,place,pieces,state",
		"/jobs/7204/surplus.csv":   "job,part,name,pieces,reason",
		"/jobs/7204/decisions.csv": "job,assembly,position",
		"/shortages.csv":           "job,position,place,pieces,unit",
		"/catalogue/parts.csv":     "part,name,kind,number",
		"/catalogue/problems.csv":  "code,table,key",
	} {
		text := s.get(t, path, 200)
		if !strings.HasPrefix(text, head) {
			t.Errorf("%s starts with %.80q", path, text)
		}
		if path != "/catalogue/problems.csv" && strings.Count(text, "\n") < 3 {
			t.Errorf("%s has no rows", path)
		}
	}
}

// TestFormulaIsText: a cell that a spreadsheet would compute is shown as text.
func TestFormulaIsText(t *testing.T) {
	s := open(t)
	d := &reconcile.Decision{Job: "7202", Position: "oil-slinger", Choice: reconcile.Reuse, Why: "=HYPERLINK(1)"}
	if _, err := s.bench.Change(t.Context(), "7202", catalog.Change{Request: "why", Who: "t", Put: []catalog.Record{d}}); err != nil {
		t.Fatal(err)
	}
	wants(t, s.get(t, "/jobs/7202/decisions.csv", 200), ",'=HYPERLINK(1)")
}

func TestEmptyShop(t *testing.T) {
	s := empty(t).shop
	for _, path := range []string{"/", "/counter", "/counter/fit", "/catalogue"} {
		wants(t, s.get(t, path, 200), "layshaft import tables/shop --data DIR --apply", "layshaft demo", `href="/look-up"`)
	}
}

// TestHead changes what a job says of itself; a form that is out of date is refused
// with both words in sight, and what the API refuses stands in the form.
func TestHead(t *testing.T) {
	s := open(t)
	path := "/jobs/7202/edit"
	page := s.get(t, path, 200)
	seen := regexp.MustCompile(`name="seen" value="(\d+)"`).FindStringSubmatch(page)
	form := url.Values{"request": {"one"}, "seen": {seen[1]}, "title": {"Road box, noisy in third"}, "owner": {"lorry, blue"},
		"state": {"WAITING"}, "serial": {"A 17"}, "neededBy": {"2026-05-06"}, "note": {"ring first"}}
	form.Set("variant", regexp.MustCompile(`<option value="([^"]+)" selected>`).FindStringSubmatch(page)[1])
	s.send(t, path, 200, form)
	wants(t, s.get(t, "/jobs/7202", 200), "Road box, noisy in third", "lorry, blue", "needed by 2026-05-06", "Waiting", "ring first")
	again := s.get(t, path, 200)
	wants(t, again, `value="A 17"`, `<option value="WAITING" selected>`)
	form.Set("request", "two")
	form.Set("owner", "somebody else")
	wants(t, s.send(t, path, 409, form), `role="alert"`, "somebody else", "lorry, blue")
	form.Set("seen", regexp.MustCompile(`name="seen" value="(\d+)"`).FindStringSubmatch(again)[1])
	form.Set("title", " ")
	wants(t, s.send(t, path, 422, form), "no title", "somebody else")
	s.get(t, "/jobs/none/edit", 404)
}
