package page_test

import (
	"net/url"
	"strconv"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// TestKeysWalkLists: j and k walk the rows of every list as they walk the lines of a
// job, Enter opens one, and the switch turns the letters off.
func TestKeysWalkLists(t *testing.T) {
	s := open(t)
	for i, at := range []string{"pilot-rollers", "gear-2nd", "gear-3rd"} {
		s.send(t, "/jobs/7204/propose", 200, url.Values{"request": {"P" + strconv.Itoa(i)}, "asks": {"words"}, "position": {at}, "text": {"look at the " + at}})
	}
	b := s.tab(t, browser(t), viewings[0])
	const focused = `[...document.querySelectorAll("table.rows:not(.entry) > tbody > tr, :is(.hits, .findings, .plainrows) > li")].indexOf(document.activeElement)`
	for _, path := range []string{"/", "/shortages", "/shortages?by=part", "/catalogue/proposals", "/catalogue/parts", "/catalogue/search?q=6207", "/catalogue/families/bw76", "/jobs/7204/history?"} {
		b.open(path)
		b.until(`document.querySelector("#letters:not([hidden])") !== null`)
		if path == "/jobs/7204/history?" { // three proposals and the opening
			b.until(`document.querySelectorAll(".history tbody tr").length === 4`)
		}
		for _, step := range []struct {
			key  string
			want int
		}{{"j", 0}, {"j", 1}, {"j", 2}, {"k", 1}, {"k", 0}, {"k", 0}} {
			b.do(chromedp.KeyEvent(step.key))
			if got := ask[int](b, focused); got != step.want {
				t.Fatalf("%s: after %q row %d has the focus, want %d", path, step.key, got, step.want)
			}
		}
	}
	b.open("/catalogue/parts")
	b.until(`document.querySelector("#letters:not([hidden])") !== null`)
	to := ask[string](b, `document.querySelector("tbody a").getAttribute("href")`)
	b.do(chromedp.KeyEvent("j"), chromedp.KeyEvent(kb.Enter))
	b.until(`location.pathname === "` + to + `"`)

	b.open("/shortages")
	b.until(`document.querySelector("#letters:not([hidden])") !== null`)
	ask[bool](b, `(() => { document.getElementById("keys").open = true; document.querySelector("#letters input").click(); return true })()`)
	b.do(chromedp.KeyEvent("j"))
	if got := ask[int](b, focused); got != -1 {
		t.Errorf("letters are off, and row %d has the focus", got)
	}
}
