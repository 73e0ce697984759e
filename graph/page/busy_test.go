package page_test

import (
	"net/http"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// slow lets every page that is asked for take its time while the switch is on.
func (s *shop) slow() *atomic.Bool {
	on, pages := new(atomic.Bool), s.Config.Handler
	s.Config.Handler = http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if on.Load() && !strings.HasPrefix(r.URL.Path, "/assets/") {
			time.Sleep(3 * time.Second)
		}
		pages.ServeHTTP(w, r)
	})
	return on
}

// TestSlowAnswersSaySo: a form to look something up, one that changes something and
// a link say that they are being worked on, mark what was pressed and move nothing.
func TestSlowAnswersSaySo(t *testing.T) {
	s := open(t)
	slow := s.slow()
	b := s.tab(t, browser(t), viewings[0])
	for _, c := range []struct{ name, path, press string }{
		{"form to look up", "/shortages/cover?family=bw76", `form[action="/shortages/cover"] button`},
		{"form that changes", "/jobs/7204?since=1", `form[action$="/seen"] button`},
		{"link", "/shortages", `nav a[href="/shortages/cover"]`},
	} {
		slow.Store(false)
		b.open(c.path)
		b.until(`!!document.querySelector('` + c.press + `')`)
		slow.Store(true)
		b.do(chromedp.Evaluate[chromedp.Void](`(() => {
		  const top = () => document.getElementById("main").getBoundingClientRect().top, was = top();
		  const button = document.querySelector('` + c.press + `'), say = document.getElementById("say");
		  sessionStorage.removeItem("seen");
		  new MutationObserver(() => { if (button.getAttribute("aria-busy") === "true") sessionStorage.setItem("seen", say.textContent + "|" + (top() - was)); })
		    .observe(button, {attributes: true});
		  button.click();
		})()`))
		b.until(`sessionStorage.getItem("seen") !== null`)
		if got, want := ask[string](b, `sessionStorage.getItem("seen")`), ask[string](b, `document.documentElement.dataset.busy + "|0"`); got != want {
			t.Errorf("%s: said and moved %q, want %q", c.name, got, want)
		}
		b.until(`document.getElementById("say")?.textContent === "" && !document.querySelector("[aria-busy=true]")`)
	}
}
