package page_test

import (
	"strconv"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

const (
	wholeVariant = "th92/th92-road"
	wholeNote    = "frt brg rough\n2nd synchro ring worn\n"
	wholeKit     = "2 x 6308 N\n1 off input seal 38x62x8\nsynchro ring\nwidget of unknown make\n"
)

// TestRebuilderWholeJobByKeyboard: from a shop without a job to the printed build
// sheet, by keys alone.
func TestRebuilderWholeJobByKeyboard(t *testing.T) {
	s := stocked(t)
	p := &person{tab: s.tab(t, browser(t), viewings[0])}
	p.open("/")
	p.look("none")
	p.opens("9100", "Whines in third", "red lorry")
	p.look("new")
	p.atMost("paste to findings", 2, func() {
		p.put(wholeKit)
		p.send()
		p.until(`document.activeElement.matches("section.list [data-line]")`)
	})
	p.look("list")
	open := ask[int](p.tab, `document.querySelectorAll("[data-line]").length`)
	p.atMost("a question", 1, func() {
		p.key("0")
		p.until(`document.querySelectorAll("[data-line]").length === ` + strconv.Itoa(open-1))
	})
	p.until(`document.activeElement.matches(document.querySelector("[data-line]") ? "[data-line]" : ".findings > li, main *")`) // the next is ready

	p.tabTo(`form[action$="/note"] textarea`)
	p.put(wholeNote)
	p.send()
	p.until(`!!document.querySelector("button[name=keep]")`)
	p.look("note")
	p.press(`button[name=keep]`)
	p.until(`!document.querySelector("button[name=keep]")`)
	p.at("/jobs/9100/decisions")
	p.do(chromedp.WaitReady(chromedp.CSS(".assembly")))
	p.look("decisions")
	p.key("j")
	first := ask[[]string](p.tab, `[...document.querySelectorAll("li[data-position]")].slice(0, 6).map(e => e.id)`)
	p.atMost("six decisions", 6, func() {
		for range first {
			p.key("1")
		}
		p.until(`[...document.querySelectorAll("li[data-position]")].slice(0, 6).every(e => e.classList.contains("is-reuse"))`)
	})
	p.press(`button[value="countershaft|REPLACE"]`)
	p.until(`!document.querySelector("button[value='countershaft|REPLACE']")`)
	p.until(`document.activeElement !== document.body`)
	p.measuresShim()
	p.prints()
	t.Logf("the whole job took %d keys, Tab among them", p.acts)
}

// opens makes a job from the list of jobs, by keys.
func (p *person) opens(key string, texts ...string) {
	p.t.Helper()
	p.key("/")
	p.until(`document.activeElement.name === "key"`)
	for _, text := range append([]string{key}, texts...) {
		p.write(text)
		p.key(kb.Tab)
	}
	p.choose("select[name=variant]", wholeVariant)
	p.send()
	p.at("/jobs/" + key)
}

// measuresShim goes from a sheet of the job to the shim of the countershaft, by keys.
func (p *person) measuresShim() {
	p.t.Helper()
	p.key("s") // hundreds of choices stand between, and need no Tab
	p.press(`.sheets a[href$="/measure"]`)
	p.do(chromedp.WaitReady(chromedp.CSS("#h-stacks")))
	p.look("stacks")
	p.press(`a[href$="/counter-end-play"]`)
	p.do(chromedp.WaitReady(chromedp.CSS("form.measure")))
	p.tabTo("#r-trial-shim-0")
	p.write("0.90")
	p.tabTo("#r-travel-0")
	p.gauges()
	p.press(".grades button")
	p.at("/jobs/9100/measure")
	p.until(`!!document.querySelector(".plainrows .st-clear")`)
}

// gauges types a reading into the field in hand, which answers with its grades.
func (p *person) gauges() {
	p.t.Helper()
	p.atMost("a reading to its grades", len("0.31"), func() {
		p.write("0.31")
		p.until(`!!document.querySelector(".grades button") && document.activeElement.id === "r-travel-0"`)
	})
	p.look("grades")
}

// prints goes from a sheet of the job to the build sheet's paper, by keys.
func (p *person) prints() {
	p.t.Helper()
	p.key("s")
	p.press(`.sheets a[href$="/decisions"]`)
	p.do(chromedp.WaitReady(chromedp.CSS(".assembly")))
	p.press(`main a[href="/jobs/9100/sheet"]`)
	p.do(chromedp.WaitReady(chromedp.CSS(".paper")))
	p.look("sheet")
	p.printed()
}
