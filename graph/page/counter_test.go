package page_test

import (
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// TestCountsByKeys: a pair of counts costs six keys at most, the step to the
// next field with it, and Enter asks.
func TestCountsByKeys(t *testing.T) {
	s := open(t)
	b := s.tab(t, browser(t), viewings[0])
	b.open("/counter?family=bw76")
	b.do(chromedp.Evaluate[chromedp.Void](`document.querySelector(".teeth").focus()`))
	for _, pair := range [][2]string{{"23", "37"}} {
		keys := 0
		for _, z := range pair {
			b.do(chromedp.KeyEvent(z), chromedp.KeyEvent(kb.Tab))
			keys += len(z) + 1
		}
		if keys > 6 {
			t.Errorf("%d keys for a pair", keys)
		}
	}
	if got := ask[string](b, `[...document.querySelectorAll(".teeth")].slice(0, 2).map(f => f.value).join(" ")`); got != "23 37" {
		t.Fatalf("the keys went to %q", got)
	}
	if !ask[bool](b, `document.activeElement === document.querySelectorAll(".teeth")[2]`) {
		t.Errorf("the next pair is not ready: %s", ask[string](b, `document.activeElement.outerHTML`))
	}
	b.do(chromedp.KeyEvent(kb.Enter))
	b.until(`document.querySelector(".ranked .plainlink") !== null`)
}

// TestCounterPicture: every wheel's number leads to a shape, and the shape to the
// wheel's field; no tooth count stands in the picture.
func TestCounterPicture(t *testing.T) {
	s := open(t)
	b := s.tab(t, browser(t), viewings[0])
	for _, family := range []string{"bw76", "th92"} {
		b.open("/counter?family=" + family)
		if lost := ask[[]string](b, `[...document.querySelectorAll(".counted a.to-sheet")].map(a => a.getAttribute("href")).filter(h => !document.querySelector(h))`); len(lost) > 0 {
			t.Errorf("%s: lead nowhere: %v", family, lost)
		}
		if n := ask[int](b, `document.querySelectorAll(".ly-sheet a[href^='#o-']").length`); n < 4 {
			t.Errorf("%s: %d shapes lead to a field", family, n)
		}
		if n := ask[string](b, `[...document.querySelectorAll(".ly-sheet .ly-z")].map(e => e.textContent).filter(x => /\d\d/.test(x)).join(" ")`); n != "" {
			t.Errorf("%s: the picture says what is to be counted: %s", family, n)
		}
	}
}

// TestWillItFit asks from the counter: yes, no with its reason, the part laid
// beside the usual one, a part of several, and words that name nothing.
func TestWillItFit(t *testing.T) {
	s := open(t)
	counter := s.get(t, "/counter?family=bw76&o.input=23&o.cs-drive=37", 200)
	wants(t, counter, "/counter/fit?variant=bw76-ew2", "/counter/needs/bw76-ew2")
	ask := "/counter/fit?variant=bw76-ew2&position=input-bearing&part="
	wants(t, s.get(t, ask+"bw-brg-6306n", 200), "It goes in")
	other := s.get(t, ask+"bw-brg-6207n", 200)
	wants(t, other, "Beside the usual part", `class="is-differs"`)
	if strings.Contains(other, ">\n\t\t\tIt goes in\n") {
		t.Error("a bearing of another bore goes in as it is")
	}
	seal := s.get(t, ask+"th-roller-6125", 200)
	wants(t, seal, "It does not go in", "What is against it")
	wants(t, s.get(t, ask+"bearing", 200), "Which one is meant?", "position=input-bearing&amp;part=")
	wants(t, s.get(t, ask+"qqqqqq", 200), "No part of the catalogue")
	s.get(t, "/counter/fit?variant=bw76-ew2&position=nowhere&part=x", 404)
	s.get(t, "/counter/fit?variant=none", 404)
	hostile := s.get(t, ask+"%3Cscript%3Ealert(1)%3C/script%3E", 200)
	if strings.Contains(hostile, "<script>alert") {
		t.Error("a hostile part became markup")
	}
}
