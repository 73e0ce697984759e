package page_test

import (
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// TestBackFromPreview: a note that was read but not kept is one step away from its
// job, which still has the text; once it is kept, the text is gone.
func TestBackFromPreview(t *testing.T) {
	s := open(t)
	p := &person{tab: s.tab(t, browser(t), viewings[0])}
	p.open("/")
	p.opensRow("/jobs/7203")
	read := func() {
		t.Helper()
		p.send()
		p.until(`!!document.querySelector("button[name=keep]")`)
	}
	p.tabTo(`form[action$="/note"] textarea`)
	p.write("input shaft ok")
	p.key(kb.Enter)
	p.write("oil slinger worn")
	read()
	p.do(chromedp.Evaluate[chromedp.Void](`history.back()`))
	p.until(`document.querySelectorAll(".sheets").length === 1 && !document.querySelector("button[name=keep]")`)
	p.at("/jobs/7203")
	if got := ask[string](p.tab, `document.querySelector("form[action$='/note'] textarea").value`); got != "input shaft ok\noil slinger worn" {
		t.Errorf("come back, the note is %q", got)
	}
	p.tabTo(`form[action$="/note"] textarea`)
	read()
	p.press("button[name=keep]")
	p.at("/jobs/7203/decisions")
	p.do(chromedp.Evaluate[chromedp.Void](`history.back()`))
	p.at("/jobs/7203")
	p.until(`!!document.querySelector("form[action$='/note'] textarea")`)
	if got := ask[string](p.tab, `document.querySelector("form[action$='/note'] textarea").value`); got != "" {
		t.Errorf("kept, the note is still %q", got)
	}
}
