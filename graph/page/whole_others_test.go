package page_test

import (
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// TestClerkWholeJobByKeyboard: from the counts of a pair to the variant, to what it
// will need and whether a part fits, by keys alone.
func TestClerkWholeJobByKeyboard(t *testing.T) {
	s := stocked(t)
	p := &person{tab: s.tab(t, browser(t), viewings[0])}
	p.open("/")
	p.sheet("/counter")
	p.press(`a[href="/counter?family=bw76"]`)
	p.do(chromedp.WaitReady(chromedp.CSS(".evidence")))
	p.look("counting")
	p.tabTo(".teeth")
	p.atMost("counts to a variant", 6, func() {
		p.write("23")
		p.key(kb.Tab)
		p.write("37")
		p.key(kb.Enter)
		p.until(`document.querySelector(".ranked .plainlink") !== null`)
	})
	p.look("ranked")
	p.press(`.ranked a[href="/counter/needs/bw76-ew2"]`)
	p.at("/counter/needs/bw76-ew2")
	p.look("needs")
	p.press(`main a[href="/counter/fit?variant=bw76-ew2"]`)
	p.at("/counter/fit")
	p.tabTo("input[name=part]")
	p.write("bw-brg-6306n")
	p.choose("select[name=position]", "input-bearing")
	p.send()
	p.until(`!!document.body?.innerText.includes("It goes in")`)
	p.look("fits")
}

// TestCuratorWholeJobByKeyboard: a part is changed and put back, one proposal is
// accepted and one refused with a reason, by keys alone.
func TestCuratorWholeJobByKeyboard(t *testing.T) {
	s := open(t)
	p := &person{tab: s.tab(t, browser(t), viewings[0])}
	const part = "/catalogue/parts/th-roller-6125"
	p.open("/")
	p.sheet("/catalogue")
	p.key("/")
	p.write("roller 6.125")
	p.key(kb.Enter)
	p.at("/catalogue/search")
	p.opensRow(part)
	was := ask[string](p.tab, `document.querySelector("h1").textContent`)
	p.press(`main a[href="` + part + `/edit"]`)
	p.at(part + "/edit")
	p.tabTo("[name=name]")
	p.write(", marked")
	p.tabTo("[name=why]")
	p.write("read on the bench")
	p.send()
	p.at("/catalogue/history")
	p.look("changed")
	p.key("u")
	p.until(`!!document.body?.innerText.includes("took back")`)
	p.press(`main a[href="` + part + `"]`)
	p.at(part)
	if now := ask[string](p.tab, `document.querySelector("h1").textContent`); now != was {
		t.Errorf("taken back, the part is %q", now)
	}
	for _, answer := range []string{"accept", "refuse"} {
		p.sheet("/")
		p.opensRow("/jobs/7204")
		p.press(`main a[href="/jobs/7204/propose?position=pilot-rollers"]`)
		p.at("/jobs/7204/propose")
		p.tabTo("input[name=part]")
		p.write("th-roller")
		p.tabTo("textarea[name=text]")
		p.write("wrong for that shaft, says " + answer)
		p.send()
		p.until(`!!document.body?.innerText.includes("says ` + answer + `")`)
		p.sheet("/catalogue")
		p.press(`main a[href="/catalogue/proposals"]`)
		p.at("/catalogue/proposals")
		p.tabTo("input[name=reason]")
		p.write("seen")
		p.press(`button[name=settle][value=` + answer + `]`)
		p.until(`!!document.body?.innerText.includes("No proposal here")`)
		p.look(answer)
	}
}
