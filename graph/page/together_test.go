package page_test

import (
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"layshaft/catalog"
	"layshaft/reconcile"
)

// pair opens a page for two people, each in a browser of their own; the second
// hears of nothing by itself, as behind a proxy that holds events back.
func pair(t *testing.T, path string) (s *shop, first, second *tab) {
	t.Helper()
	s = open(t)
	parent := browser(t)
	first, second = s.tab(t, parent, viewings[0]), s.tab(t, parent, viewings[0])
	second.excuse = "409 (Conflict)" // of the form that is refused
	for _, b := range []*tab{first, second} {
		b.open(path)
		b.do(chromedp.Evaluate[chromedp.Void](`document.querySelector("[data-job]")?.removeAttribute("data-job")`))
	}
	return s, first, second
}

func (s *shop) decided(t *testing.T, job, position string) *reconcile.Decision {
	t.Helper()
	j, err := s.bench.Job(t.Context(), reconcile.JobID(job))
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range j.Decisions {
		if string(d.Position) == position {
			return d
		}
	}
	return &reconcile.Decision{}
}

// alert is what a refused form says; it has the focus, in sight.
func (b *tab) alert() string {
	b.t.Helper()
	b.until(`document.activeElement.matches("[role=alert]")`)
	if !ask[bool](b, `(r => r.top >= 0 && r.bottom <= innerHeight)(document.activeElement.getBoundingClientRect())`) {
		b.t.Error("the refusal is out of sight")
	}
	return ask[string](b, `document.activeElement.innerText`)
}

// TestTwoDecideOnePosition: the later press is refused with both words, nothing is
// overwritten, the address stays one that can be loaded, and a second press stores it.
func TestTwoDecideOnePosition(t *testing.T) {
	s, first, second := pair(t, "/jobs/7202/decisions")
	first.do(chromedp.Click(chromedp.CSS(`#p-output-nut .c-reuse`)))
	first.until(`document.querySelector("#p-output-nut .c-reuse").getAttribute("aria-pressed") === "true"`)
	second.do(chromedp.Click(chromedp.CSS(`#p-output-nut .c-replace`)))
	if text := second.alert(); !strings.Contains(text, "you chose “Replace”") || !strings.Contains(text, "“Reuse”") {
		t.Errorf("said: %s", text)
	}
	if d := s.decided(t, "7202", "output-nut"); d.Choice != reconcile.Reuse {
		t.Errorf("stands: %s", d.Choice)
	}
	if at := ask[string](second, `location.pathname`); at != "/jobs/7202/decisions" {
		t.Errorf("the address is %s", at)
	}
	second.do(chromedp.Click(chromedp.CSS(`#p-output-nut .c-replace`)))
	second.until(`document.querySelector("#p-output-nut .c-replace").getAttribute("aria-pressed") === "true"`)
	if d := s.decided(t, "7202", "output-nut"); d.Choice != reconcile.Replace {
		t.Errorf("stands after the second press: %s", d.Choice)
	}
}

// TestTwoFormsOfOnePosition: what was typed into a form that came too late is still
// there, beside what stands.
func TestTwoFormsOfOnePosition(t *testing.T) {
	s, first, second := pair(t, "/jobs/7202/decisions/oil-slinger")
	fill := func(b *tab, choice, words string) {
		b.do(chromedp.SetValue(chromedp.CSS("select[name=choice]"), choice), chromedp.SendKeys(chromedp.CSS("input[name=reason]"), words),
			chromedp.KeyEvent(kb.Enter, chromedp.KeyModifiers(chromedp.ModifierCtrl)))
	}
	fill(first, "SEND_OUT", "worn bright")
	first.until(`location.pathname === "/jobs/7202/decisions" && document.activeElement.id === "p-oil-slinger"`)
	fill(second, "REUSE", "looks good to me")
	second.alert()
	page := ask[string](second, `document.getElementById("main").innerText`)
	wants(t, page, "Send out", "worn bright")
	if typed := ask[string](second, `document.querySelector("[name=choice]").value + " " + document.querySelector("[name=reason]").value`); typed != "REUSE looks good to me" {
		t.Errorf("typed was %q", typed)
	}
	if d := s.decided(t, "7202", "oil-slinger"); d.Choice != reconcile.SendOut || d.Why != "worn bright" {
		t.Errorf("stands: %s %q", d.Choice, d.Why)
	}
}

// TestHandStaysThroughAnotherEdit: somebody else's edit renews the page under the
// keys of a person who walks it; the row in hand stays in hand.
func TestHandStaysThroughAnotherEdit(t *testing.T) {
	s := open(t)
	b := s.tab(t, browser(t), viewings[0])
	b.open("/jobs/7202/decisions")
	b.do(chromedp.KeyEvent("j"), chromedp.KeyEvent("j"), chromedp.KeyEvent("j"))
	held := ask[string](b, `document.activeElement.id`)
	before := ask[string](b, `document.querySelector("[data-job]").dataset.rev`)
	d := &reconcile.Decision{Job: "7202", Position: "oil-slinger", Choice: reconcile.Reuse}
	if _, err := s.bench.Change(t.Context(), "7202", catalog.Change{Request: "other", Who: "Bo", Put: []catalog.Record{d}}); err != nil {
		t.Fatal(err)
	}
	b.until(`document.querySelector("[data-job]").dataset.rev !== "` + before + `"`)
	if now := ask[string](b, `document.activeElement.id`); now != held || held == "" {
		t.Errorf("held %q, now %q", held, now)
	}
}

// TestKeysOnTheWay: keys that come quicker than the answers are not lost.
func TestKeysOnTheWay(t *testing.T) {
	s := open(t)
	b := s.tab(t, browser(t), viewings[0])
	b.open("/jobs/7202/decisions")
	b.do(chromedp.KeyEvent("j"))
	rows := ask[[]string](b, `[...document.querySelectorAll("li[data-position]")].slice(0, 4).map(e => e.id.slice(2))`)
	for range rows {
		b.do(chromedp.KeyEvent("2"))
	}
	b.until(`[...document.querySelectorAll("li[data-position]")].slice(0, 4).every(e => e.classList.contains("is-replace"))`)
	for _, position := range rows {
		if d := s.decided(t, "7202", position); d.Choice != reconcile.Replace {
			t.Errorf("%s: %q", position, d.Choice)
		}
	}
}

var seenField = regexp.MustCompile(`name="position" value="(pilot-rollers)"> <input type="hidden" name="seen" value="(\d+)"`)

// TestNobodyOverwrites: every other form that came too late is refused with both
// words; what stands is left.
func TestNobodyOverwrites(t *testing.T) {
	s := open(t)
	page := s.get(t, "/jobs/7204", 200)
	seen := seenField.FindStringSubmatch(page)
	if seen == nil {
		t.Fatal("no remedy to take")
	}
	d := &reconcile.Decision{Job: "7204", Position: "pilot-rollers", Choice: reconcile.Reuse, Why: "mine"}
	if _, err := s.bench.Change(t.Context(), "7204", catalog.Change{Request: "bo", Who: "Bo", Put: []catalog.Record{d}}); err != nil {
		t.Fatal(err)
	}
	wants(t, s.send(t, "/jobs/7204/take", 409, url.Values{"request": {"a"}, "position": {"pilot-rollers"}, "part": {"th-roller-6125"}, "seen": {seen[2]}}),
		`role="alert"`, "you chose “Replace: ", "“Reuse”")
	if got := s.decided(t, "7204", "pilot-rollers"); got.Why != "mine" {
		t.Errorf("stands: %+v", got)
	}

	sign := url.Values{"request": {"s1"}, "finding": {regexp.MustCompile(`name="finding" value="([^"]+)"`).FindStringSubmatch(page)[1]}, "by": {"B. Ames"}, "reason": {"measured twice"}}
	s.send(t, "/jobs/7204/sign", 200, sign)
	sign.Set("by", "C. Other")
	sign.Set("reason", "on my word")
	wants(t, s.send(t, "/jobs/7204/sign", 409, sign), "B. Ames", "measured twice", "C. Other", "on my word")

	have := url.Values{"request": {"h1"}, "position": {"main-locating-ring"}, "part": {"th-ring-100"}, "source": {"shelf"}}
	s.send(t, "/jobs/7204/have", 200, have)
	have.Set("request", "h2")
	wants(t, s.send(t, "/jobs/7204/have", 409, have), `role="alert"`, "not short any more")

	line := regexp.MustCompile(`name="list" value="([^"]+)"> <input type="hidden" name="line" value="(\d+)"> <input type="hidden" name="sub" value="(\d+)"> <input type="hidden" name="seen" value=""> <button name="part" value="(=[^"]+)"`).FindStringSubmatch(page)
	answer := url.Values{"request": {"l1"}, "list": {line[1]}, "line": {line[2]}, "sub": {line[3]}, "seen": {""}, "part": {line[4]}}
	s.send(t, "/jobs/7204/answer", 200, answer)
	answer.Set("part", "=")
	wants(t, s.send(t, "/jobs/7204/answer", 409, answer), `role="alert"`, "you answered “none of ours”", "and that stands")

	wants(t, s.send(t, "/jobs", 409, url.Values{"request": {"o"}, "key": {"7204"}, "title": {"another box"}, "variant": {"bw76/"}}), `role="alert"`, "7204", `value="another box"`)
	wants(t, s.get(t, "/jobs/7204", 200), "Haul box, input shaft out for plating")
}

// TestAnswersJoin: answers to several lines of one list that come at once are all
// kept.
func TestAnswersJoin(t *testing.T) {
	s := open(t)
	text := strings.Repeat("widget of unknown make\n", 6)
	s.send(t, "/jobs/7203/lists", 200, url.Values{"request": {"l"}, "text": {text}, "title": {"Bits"}})
	j, err := s.bench.Job(t.Context(), "7203")
	if err != nil {
		t.Fatal(err)
	}
	list := j.KitLists[slices.IndexFunc(j.KitLists, func(k *reconcile.KitList) bool { return k.Name == "Bits" })].ID
	var all sync.WaitGroup
	for n := range 6 {
		all.Go(func() {
			resp, err := s.Client().PostForm(s.URL+"/jobs/7203/answer", url.Values{"request": {"a"}, "list": {list}, "line": {strconv.Itoa(n + 1)}, "sub": {"0"}, "seen": {""}, "part": {"="}})
			if err != nil {
				t.Error(err)
				return
			}
			resp.Body.Close()
			if resp.StatusCode != 200 {
				t.Errorf("line %d: %s", n+1, resp.Status)
			}
		})
	}
	all.Wait()
	if j, err = s.bench.Job(t.Context(), "7203"); err != nil {
		t.Fatal(err)
	}
	for _, k := range j.KitLists {
		if k.ID == list && len(k.Answers) != 6 {
			t.Errorf("%d answers kept of 6", len(k.Answers))
		}
	}
}

// TestReadingsOfAnother: readings that somebody kept meanwhile are shown, and those
// typed stay in the form; sent again they are kept beside them.
func TestReadingsOfAnother(t *testing.T) {
	s := open(t)
	base := regexp.MustCompile(`name="base" value="([^"]*)"`)
	page := s.get(t, stackPath, 200)
	form := func(base, shim string) url.Values {
		return url.Values{"request": {request(t, page)}, "base": {base}, "unit": {"mm"}, "r.trial-shim": {shim}, "r.travel": {"0.40"}}
	}
	old := base.FindStringSubmatch(page)[1]
	s.send(t, stackPath, 200, form(old, "0.80"))
	s.send(t, stackPath, 200, form(old, "0.80")) // the same again is no news
	refused := s.send(t, stackPath, 409, form(old, "0.95"))
	wants(t, refused, `role="alert"`, "0.80 mm", `value="0.95"`)
	if n := s.readings(t); n != 1 {
		t.Errorf("%d readings kept, want 1", n)
	}
	s.send(t, stackPath, 200, form(base.FindStringSubmatch(refused)[1], "0.95"))
}
