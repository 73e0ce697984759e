package page_test

import (
	"bytes"
	"mime/multipart"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"layshaft/reconcile"
)

// upload posts a file as a browser does.
func (s *shop) upload(t *testing.T, path, name, content string) string {
	t.Helper()
	var b bytes.Buffer
	m := multipart.NewWriter(&b)
	part, err := m.CreateFormFile("file", name)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := part.Write([]byte(content)); err != nil {
		t.Fatal(err)
	}
	if err := m.Close(); err != nil {
		t.Fatal(err)
	}
	resp, err := s.Client().Post(s.URL+path, m.FormDataContentType(), &b)
	if err != nil {
		t.Fatal(err)
	}
	return body(t, resp, "upload "+name, 200)
}

var contentField = regexp.MustCompile(`name="content" value="([^"]*)"`)

// TestFileIsShownBeforeItIsKept: the guessed columns are shown, one is put right,
// and only then is the list kept.
func TestFileIsShownBeforeItIsKept(t *testing.T) {
	s := open(t)
	lists := func() int {
		job, err := s.bench.Job(t.Context(), "7203")
		if err != nil {
			t.Fatal(err)
		}
		return len(job.KitLists)
	}
	before := lists()
	page := s.upload(t, "/jobs/7203/lists", "kit.csv", "Part;Description;Qty;Shelf\n6207 N;ball bearing;2;9\n6308;ball bearing;1;8\n")
	wants(t, page, `name="col.C"`, `<option value="qty" selected>`, "bearing", "Keep and compare")
	if lists() != before {
		t.Fatal("the file was kept before anybody looked at it")
	}
	form := url.Values{"request": {request(t, page)}, "name": {"kit.csv"}, "title": {"Counter slip"}, "content": {contentField.FindStringSubmatch(page)[1]},
		"head": {"1"}, "col.C": {"skip"}, "col.D": {"qty"}}
	again := s.send(t, "/jobs/7203/file", 200, form)
	wants(t, again, `<b class="numeral">9 ×</b>`)
	form.Set("keep", "yes")
	wants(t, s.send(t, "/jobs/7203/file", 200, form), "Counter slip", `<b class="numeral">9 ×</b>`)
	if lists() != before+1 {
		t.Errorf("%d lists, want %d", lists(), before+1)
	}
	s.send(t, "/jobs/7203/file", 400, url.Values{"request": {"x"}, "name": {"kit.csv"}, "content": {"?"}})
}

// TestAnswerIsRemembered: with the box ticked, the next list is read by the answer.
func TestAnswerIsRemembered(t *testing.T) {
	s := open(t)
	s.send(t, "/jobs/7203/lists", 200, url.Values{"request": {"l"}, "text": {"the usual widget\n"}, "title": {"First"}})
	job, err := s.bench.Job(t.Context(), "7203")
	if err != nil {
		t.Fatal(err)
	}
	name := ""
	for _, k := range job.KitLists {
		if k.Name == "First" {
			name = string(k.ID)
		}
	}
	if name == "" {
		t.Fatal("the list was not kept")
	}
	got := s.send(t, "/jobs/7203/answer", 200, url.Values{"request": {"a"}, "list": {name}, "line": {"1"}, "sub": {"0"}, "part": {"=th-ring-100"}, "remember": {"yes"}})
	wants(t, got, "remembered", "usual widget", "/catalogue/parts/th-ring-100")
}

func TestNoteIsReadThenKeptAsOneEdit(t *testing.T) {
	s := open(t)
	text := "frt brg rough\nm/s shim ok\nthe thingummy is odd\n"
	page := s.send(t, "/jobs/7203/note", 200, url.Values{"request": {"n"}, "text": {text}})
	ticked := regexp.MustCompile(`name="position" value="([^"]+)" checked`).FindAllStringSubmatch(page, -1)
	if len(ticked) == 0 {
		t.Fatal("nothing was read from the note")
	}
	wants(t, page, "frt brg rough", "the thingummy is odd")
	before, err := s.bench.Job(t.Context(), "7203")
	if err != nil {
		t.Fatal(err)
	}
	form := url.Values{"request": {request(t, page)}, "text": {text}, "keep": {"yes"}}
	for _, m := range ticked {
		form.Add("position", m[1])
		form.Set("seen."+m[1], regexp.MustCompile(`name="seen\.` + m[1] + `" value="(\d+)"`).FindStringSubmatch(page)[1])
	}
	s.send(t, "/jobs/7203/note", 200, form)
	after, err := s.bench.Job(t.Context(), "7203")
	if err != nil {
		t.Fatal(err)
	}
	if after.Rev == before.Rev {
		t.Error("nothing was stored")
	}
	for _, m := range ticked {
		if !decidedBy(after, m[1], after.Rev) {
			t.Errorf("%s is not decided by the one edit", m[1])
		}
	}
	// What the first page showed is stale now: nobody's word is overwritten.
	form.Set("request", "other")
	wants(t, s.send(t, "/jobs/7203/note", 409, form), `role="alert"`, "the thingummy is odd")
	form.Del("position")
	s.send(t, "/jobs/7203/note", 422, form)
}

func decidedBy(j *reconcile.Job, position string, rev uint64) bool {
	for _, d := range j.Decisions {
		if string(d.Position) == position {
			return d.Rev == rev
		}
	}
	return false
}

func TestHostileArrivals(t *testing.T) {
	s := open(t)
	raw := regexp.MustCompile(`(?i)<script>alert|<img src=x|<[^>]* onmouseover='|href="javascript:`)
	for _, h := range hostile {
		cell := `"` + strings.ReplaceAll(h, `"`, `""`) + `"`
		for _, p := range []string{
			s.upload(t, "/jobs/7203/lists", "kit.csv", "Part;"+cell+";Qty\n6207;"+cell+";2\n"),
			s.send(t, "/jobs/7203/note", 200, url.Values{"request": {"n"}, "text": {h + "\nfrt brg rough " + h}}),
		} {
			if m := raw.FindString(p); m != "" {
				t.Errorf("%.40q came through as %q", h, m)
			}
		}
	}
}
