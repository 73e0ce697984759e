package page_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// until waits for a condition of the page.
func (b *tab) until(script string) {
	b.t.Helper()
	deadline := time.Now().Add(20 * time.Second)
	for !ask[bool](b, script) {
		if time.Now().After(deadline) {
			b.t.Fatalf("never came true: %s\n%s", script, ask[string](b, `document.getElementById("main").innerText.slice(0, 600)`))
		}
		time.Sleep(50 * time.Millisecond)
	}
}

// TestRebuilderByKeyboard pastes a list, answers a question, decides a position
// and takes it back, without touching the pointer.
func TestRebuilderByKeyboard(t *testing.T) {
	s := open(t)
	b := s.tab(t, browser(t), viewings[0])
	b.open("/jobs/7203")

	// Paste to findings: one paste, one key.
	b.do(chromedp.KeyEvent("/"))
	b.until(`document.activeElement.name === "text"`)
	ask[bool](b, `document.execCommand("insertText", false, "2 x 6207 N\nsynchro ring\nwidget 77\n")`)
	b.do(chromedp.KeyEvent(kb.Enter, chromedp.KeyModifiers(chromedp.ModifierCtrl)))
	b.until(`[...document.querySelectorAll(".typed")].some(e => e.textContent.includes("synchro ring"))`)
	if n := ask[int](b, `document.querySelectorAll(".list").length`); n != 2 {
		t.Errorf("%d lists on the page, want 2", n)
	}

	// A question is answered by one key.
	open := ask[int](b, `document.querySelectorAll("[data-line]").length`)
	b.do(chromedp.KeyEvent("j"))
	b.until(`document.activeElement.matches("[data-line]")`)
	b.do(chromedp.KeyEvent("0"))
	b.until(`document.querySelectorAll("[data-line]").length < ` + strconv.Itoa(open))

	// A decision is one key, and the next position is ready.
	b.open("/jobs/7202/decisions")
	b.do(chromedp.KeyEvent("j"))
	b.until(`document.activeElement.id === "p-input-shaft"`)
	b.do(chromedp.KeyEvent("2"))
	b.until(`document.querySelector("#p-input-shaft .c-replace").getAttribute("aria-pressed") === "true"`)
	b.until(`document.activeElement.matches("[data-position]") && document.activeElement.id !== "p-input-shaft"`)
	b.open("/jobs/7202")
	b.do(chromedp.KeyEvent("u"))
	b.until(`document.querySelector(".last").textContent.includes("took back")`)
	b.open("/jobs/7202/decisions")
	b.until(`document.querySelector("#p-input-shaft .c-reuse").getAttribute("aria-pressed") === "true"`)
}

// TestClerkByTouch finds a variant from a pair of counts on a phone.
func TestClerkByTouch(t *testing.T) {
	s := open(t)
	b := s.tab(t, browser(t), viewings[2])
	b.open("/counter")
	b.do(chromedp.Tap(chromedp.CSS(`a[href="/counter?family=bw76"]`)))
	b.until(`document.querySelector("input[name='o.input']") !== null`)
	ask[bool](b, `document.querySelector("input[name='o.input']").focus() === undefined`)
	b.do(chromedp.KeyEvent("23" + kb.Enter))
	b.until(`document.querySelector(".ranked li") !== null`)
	if got := ask[string](b, `document.querySelector(".ranked .plainlink").textContent`); !strings.Contains(got, "Brantwick 76") {
		t.Errorf("best is %q", got)
	}
	small := ask[[]string](b, `[...document.querySelectorAll("main button, main input:not([type=hidden]), main select, nav a, main a.act")]
		.filter(e => e.checkVisibility() && !e.closest(".far")).filter(e => e.getBoundingClientRect().height < 47.5)
		.map(e => e.outerHTML.slice(0, 90) + " " + e.getBoundingClientRect().height)`)
	if len(small) > 0 {
		t.Errorf("too small for a thumb:\n%s", strings.Join(small, "\n"))
	}
}

// TestEditOfAnotherShowsLive: two people watch one job.
func TestEditOfAnotherShowsLive(t *testing.T) {
	s := open(t)
	parent := browser(t)
	first, second := s.tab(t, parent, viewings[0]), s.tab(t, parent, viewings[0])
	first.open("/jobs/7202/decisions")
	second.open("/jobs/7202/decisions")
	first.do(chromedp.Click(chromedp.CSS(`#p-oil-slinger .c-reuse`)))
	second.until(`document.querySelector("#p-oil-slinger .c-reuse").getAttribute("aria-pressed") === "true"`)
	second.until(`document.getElementById("say").textContent.includes("Somebody else")`)
}

// TestPrint makes a PDF of the build sheet's parts; controls stay off the paper.
func TestPrint(t *testing.T) {
	s := open(t)
	b := s.tab(t, browser(t), viewings[0])
	for _, path := range []string{"/jobs/7204", "/jobs/7202/decisions"} {
		b.open(path)
		pdf, err := chromedp.Run(b, chromedp.PrintToPDF())
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.HasPrefix(pdf, []byte("%PDF")) || len(pdf) < 10_000 {
			t.Errorf("%s: %d bytes of PDF", path, len(pdf))
		}
		if dir := os.Getenv("LAYSHAFT_SHOTS"); dir != "" {
			if err := os.WriteFile(filepath.Join(dir, filepath.Base(path)+".pdf"), pdf, 0o666); err != nil {
				t.Fatal(err)
			}
		}
	}
}
