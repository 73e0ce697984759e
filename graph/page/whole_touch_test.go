package page_test

import (
	"strconv"
	"testing"

	"github.com/chromedp/chromedp"
)

// TestRebuilderWholeJobByTouch: the same on a phone, by taps and its own keyboard.
func TestRebuilderWholeJobByTouch(t *testing.T) {
	s := stocked(t)
	p := &person{tab: s.tab(t, browser(t), viewings[2])}
	p.open("/")
	p.look("none")
	p.opensByTouch("9100", "Whines in third")
	p.look("new")

	p.tap(`.jump a[href="#h-paste"]`)
	p.tap(`form[action$="/lists"] textarea`)
	p.atMost("paste to findings", 2, func() {
		p.put(wholeKit)
		p.tap(`form[action$="/lists"] button`)
		p.until(`!!document.querySelector("section.list")`)
	})
	p.look("list")
	open := ask[int](p.tab, `document.querySelectorAll("[data-line]").length`)
	p.atMost("a question", 1, func() {
		p.tap(`[data-line] button[data-key="0"]`)
		p.until(`document.querySelectorAll("[data-line]").length === ` + strconv.Itoa(open-1))
	})
	p.tap(`form[action$="/note"] textarea`)
	p.put(wholeNote)
	p.tap(`form[action$="/note"] button`)
	p.until(`!!document.querySelector("button[name=keep]")`)
	p.look("note")
	p.tap(`button[name=keep]`)
	p.until(`!document.querySelector("button[name=keep]")`)
	p.at("/jobs/9100/decisions")
	p.do(chromedp.WaitReady(chromedp.CSS(".assembly")))
	p.tap(".drawn-narrow summary")
	p.look("decisions")
	p.atMost("a decision", 1, func() {
		p.tap("#p-oil-slinger .c-reuse")
		p.until(`document.querySelector("#p-oil-slinger").classList.contains("is-reuse")`)
	})
	p.tap(`button[value="countershaft|REPLACE"]`)
	p.until(`!document.querySelector("button[value='countershaft|REPLACE']")`)

	p.tap(`.sheets a[href$="/measure"]`)
	p.do(chromedp.WaitReady(chromedp.CSS("#h-stacks")))
	p.tap(`a[href$="/counter-end-play"]`)
	p.do(chromedp.WaitReady(chromedp.CSS("form.measure")))
	p.tap("#r-trial-shim-0")
	p.write("0.90")
	p.tap("#r-travel-0")
	p.gauges()
	p.tap(".grades li button")
	p.at("/jobs/9100/measure")
	p.tap(`.sheets a[href$="/decisions"]`)
	p.do(chromedp.WaitReady(chromedp.CSS(".assembly")))
	p.tap(`main a[href="/jobs/9100/sheet"]`)
	p.do(chromedp.WaitReady(chromedp.CSS(".paper")))
	p.look("sheet")
	p.printed()
	t.Logf("the whole job took %d taps and letters", p.acts)
}

// TestPartsManagerWholeJobByTouch: the parts manager's job on a phone, from a shop
// without a job to the file of what must be ordered.
func TestPartsManagerWholeJobByTouch(t *testing.T) {
	s := stocked(t)
	p := &person{tab: s.tab(t, browser(t), viewings[2])}
	file := p.downloads()
	p.open("/")
	p.opensByTouch("9200", "Full kit wanted")
	p.tap(`.sheets a[href$="/decisions"]`)
	p.at("/jobs/9200/decisions")
	p.atMost("a whole group", 1, func() {
		p.tap(`button[value="main shaft|REPLACE"]`)
		p.until(`!document.querySelector("button[value='main shaft|REPLACE']")`)
	})
	p.tap(`.sheets a:first-child`)
	p.at("/jobs/9200")

	p.tap(`.jump a[href="#h-paste"]`)
	p.tap(`form[action$="/lists"] textarea`)
	p.atMost("paste to findings", 2, func() {
		p.put(messyKit)
		p.tap(`form[action$="/lists"] button`)
		p.until(listHeld)
	})
	p.look("list")
	for left := ask[int](p.tab, `document.querySelectorAll("[data-line]").length`); left > 0; left-- {
		p.atMost("a question", 1, func() {
			p.tap(`[data-line] button[data-key="0"]`)
			p.until(`document.querySelectorAll("[data-line]").length === ` + strconv.Itoa(left-1))
		})
	}
	before := ask[int](p.tab, `document.querySelectorAll(".findings .finding").length`)
	p.atMost("a remedy", 1, func() {
		p.tap(`.findings > li > .said > .remedy button[value=order]`)
		p.until(`document.querySelectorAll(".findings .finding").length < ` + strconv.Itoa(before))
	})
	p.look("remedy")
	p.tap(`form[action$="/lists"] textarea`)
	p.put(rivalKit)
	p.tap(`form[action$="/lists"] input[name=title]`)
	p.write("Rival kit")
	p.tap(`form[action$="/lists"] button`)
	p.until(`document.querySelectorAll("section.list").length === 2`)
	p.tap(`section.list a[href^="/shortages/what-if"]`)
	p.comparesTwo()
	p.tap(`main a[href="/shortages"]`)
	p.at("/shortages")
	p.pick("select[name=by]", "part")
	p.tap(`main form button`)
	p.until(`!!document.querySelector(".bypart")`)
	p.look("by-part")
	p.atMost("the table as a file", 1, func() {
		p.tap(`.export[href*=".csv"]`)
		p.ordersAsShown(file())
	})
	t.Logf("the whole job took %d taps and letters", p.acts)
}

func (p *person) opensByTouch(key, title string) {
	p.t.Helper()
	p.tap("input[name=key]")
	p.write(key)
	p.tap("input[name=title]")
	p.write(title)
	p.pick("select[name=variant]", wholeVariant)
	p.tap(`form[action="/jobs"] button`)
	p.at("/jobs/" + key)
}
