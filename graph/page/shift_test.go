package page_test

import (
	"context"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
)

// shifted lists what moved by itself since the page came, with its share as the
// Layout Instability draft of the WICG counts it, when that is a thousandth or
// more: a button of the strip may come in two pieces; what a person's own key or finger moved
// within half a second is left out there, and nothing here presses any.
const shifted = `new Promise(done => {
  const out = [];
  let sum = 0;
  const name = e => !e ? "?" : (e.nodeType === 3 ? e.parentElement : e).outerHTML.slice(0, 90);
  const note = list => { for (const e of list) if ((sum += e.value) > 0) out.push(e.value.toFixed(4) + ": " + e.sources.slice(0, 3).map(s => name(s.node) +
    " " + [s.previousRect, s.currentRect].map(r => Math.round(r.x) + "," + Math.round(r.y) + " " + Math.round(r.width) + "x" + Math.round(r.height)).join(" -> ")).join(" | ")); };
  const o = new PerformanceObserver(l => note(l.getEntries()));
  o.observe({type: "layout-shift", buffered: true});
  setTimeout(() => { note(o.takeRecords()); o.disconnect(); done(sum < 0.001 ? [] : out); }, 80);
})`

// late holds the module of the pages back until a page was painted, as a slow
// line does; open then shows pages so.
func (s *shop) late(b *tab) (open func(path string)) {
	b.do(chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
		_, err := chromedp.Call(ctx, network.SetCacheDisabled, network.SetCacheDisabledParams{CacheDisabled: true})
		return err
	}))
	gate, whole := make(chan bool), s.Config.Handler
	s.Config.Handler = http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if strings.HasSuffix(r.URL.Path, ".js") {
			select {
			case <-gate:
			case <-r.Context().Done():
			}
		}
		if strings.HasPrefix(r.URL.Path, "/assets/") {
			whole.ServeHTTP(w, r)
			return
		}
		r.Header.Del("Accept-Encoding") // what is not packed can be painted piece by piece
		whole.ServeHTTP(slowly{w}, r)
	})
	return func(path string) {
		b.t.Helper()
		b.do(chromedp.Evaluate[chromedp.Void](`location.assign(` + strconv.Quote(s.URL+path) + `)`))
		b.arrives(`location.href.endsWith(` + strconv.Quote(path) + `) && performance.getEntriesByType("paint").length > 0 && document.readyState !== "loading"`)
		gate <- true
		b.until(`document.readyState === "complete"`)
	}
}

// arrives waits for a page on its way: while one goes and the next comes there is at
// times nobody to ask.
func (b *tab) arrives(script string) {
	b.t.Helper()
	deadline := time.Now().Add(20 * time.Second)
	for {
		there, err := chromedp.Run(b, chromedp.Evaluate[bool](script))
		if there && err == nil {
			return
		}
		if time.Now().After(deadline) {
			b.t.Fatalf("never came: %s: %v", script, err)
		}
		time.Sleep(50 * time.Millisecond)
	}
}

// slowly sends a page in pieces, each of which may be painted before the next comes.
type slowly struct{ http.ResponseWriter }

func (w slowly) Write(b []byte) (int, error) {
	for part := range slices.Chunk(b, max(8<<10, len(b)/24)) {
		if _, err := w.ResponseWriter.Write(part); err != nil {
			return 0, err
		}
		w.ResponseWriter.(http.Flusher).Flush()
		time.Sleep(20 * time.Millisecond)
	}
	return len(b), nil
}

func (w slowly) Unwrap() http.ResponseWriter { return w.ResponseWriter }

// steady are pages of every kind, those with long tables among them.
var steady = []string{
	"/", "/jobs/7204", "/jobs/7202/decisions", stackPath + "?unit=mm&r.trial-shim=0.9&r.travel=0.31", "/counter?family=bw76&o.input=23",
	"/shortages", "/shortages/what-if?job=7204&a=all&b=none", "/catalogue/families/bw76", "/catalogue/variants/bw76-ew2", "/catalogue/parts/th-roller-6125",
	"/catalogue/new/part", "/counter/needs/bw76-ew2",
}

// TestNothingShifts: what is painted of a page stays where it is while the rest
// comes, also when its module comes late and prepares it.
func TestNothingShifts(t *testing.T) {
	parent := browser(t)
	for _, v := range []viewing{viewings[0], viewings[2]} {
		t.Run(v.name, func(t *testing.T) {
			s := open(t)
			b := s.tab(t, parent, v)
			show := s.late(b)
			for _, path := range steady {
				show(path)
				if moved := ask[[]string](b, shifted); len(moved) > 0 {
					t.Errorf("%s:\n%s", path, strings.Join(moved, "\n"))
				}
			}
		})
	}
}

// TestShiftedSees: what moves by itself is found.
func TestShiftedSees(t *testing.T) {
	s := open(t)
	b := s.tab(t, browser(t), viewings[2])
	b.open("/")
	b.do(chromedp.Evaluate[chromedp.Void](`document.querySelector("h1").insertAdjacentElement("beforebegin", document.createElement("p")).style.height = "5rem"`))
	if moved := strings.Join(ask[[]string](b, shifted), "\n"); !strings.Contains(moved, "<h1>") {
		t.Errorf("a line that came later was not seen: %q", moved)
	}
}
