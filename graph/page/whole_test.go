package page_test

import (
	"fmt"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"layshaft/data/demo"
)

// stocked is a shop that has just taken in its catalogue, as the command for it
// does, and has no job yet.
func stocked(t *testing.T) *shop {
	t.Helper()
	s := empty(t)
	c, err := demo.Catalogue()
	if err != nil {
		t.Fatal(err)
	}
	if _, problems, err := s.curator.Import(t.Context(), c, "import", "Ada", "the first tables"); err != nil || len(problems) > 0 {
		t.Fatal(err, problems)
	}
	return s.shop
}

// person does a whole job at one page; every key and every tap counts.
type person struct {
	*tab
	acts int
}

func (p *person) key(k string, opts ...chromedp.KeyOption) {
	p.t.Helper()
	p.acts++
	p.do(chromedp.KeyEvent(k, opts...))
}

func (p *person) send() { p.t.Helper(); p.key(kb.Enter, chromedp.KeyModifiers(chromedp.ModifierCtrl)) }

// write types a text, a key a letter.
func (p *person) write(text string) {
	p.t.Helper()
	p.acts += len(text)
	p.do(chromedp.KeyEvent(text))
}

// put is the paste of the system's clipboard: into the field in hand, or onto the
// page when nothing is in hand.
func (p *person) put(text string) {
	p.t.Helper()
	p.acts++
	ask[bool](p.tab, `(() => { const text = `+strconv.Quote(text)+`, d = new DataTransfer(); d.setData("text/plain", text);
	  if (document.activeElement.matches("input, textarea")) return document.execCommand("insertText", false, text);
	  return document.activeElement.dispatchEvent(new ClipboardEvent("paste", {clipboardData: d, bubbles: true, cancelable: true})); })()`)
}

// tabTo goes to a control by the Tab key alone; what has the focus shows it.
func (p *person) tabTo(css string) {
	p.t.Helper()
	const way = `(() => { const all = [...document.querySelectorAll("a[href], button, input:not([type=hidden]), select, textarea, summary")]
	    .filter(e => e.tabIndex >= 0 && !e.disabled && e.checkVisibility({visibilityProperty: true, contentVisibilityAuto: true}));
	  const target = [...document.querySelectorAll(%q)].find(e => e.checkVisibility());
	  if (!target) return -1;
	  const from = document.activeElement, past = e => from === document.body || from === e || from.contains(e) || (from.compareDocumentPosition(e) & Node.DOCUMENT_POSITION_FOLLOWING);
	  return all.filter(e => e !== from && past(e) && (e === target || (e.compareDocumentPosition(target) & Node.DOCUMENT_POSITION_FOLLOWING))).length; })()`
	far := ask[int](p.tab, fmt.Sprintf(way, css))
	if far < 0 {
		p.t.Fatalf("no %s to go to\n%s", css, ask[string](p.tab, `document.getElementById("main").innerText.slice(0, 400)`))
	}
	there := fmt.Sprintf(`document.activeElement.matches(%q)`, css)
	for n := max(far, 1); ; n = 1 {
		p.do(chromedp.KeyEvent(strings.Repeat(kb.Tab, n)))
		p.acts += n
		if ask[bool](p.tab, there) {
			break
		}
		if far++; far > 400 || p.acts > 5000 {
			p.t.Fatalf("Tab does not come to %s; now at %s", css, ask[string](p.tab, `document.activeElement.outerHTML.slice(0, 120)`))
		}
	}
	if !ask[bool](p.tab, `(s => s.outlineStyle !== "none" && parseFloat(s.outlineWidth) >= 2)(getComputedStyle(document.activeElement))`) {
		p.t.Errorf("%s has the focus and does not show it", css)
	}
}

func (p *person) press(css string) { p.t.Helper(); p.tabTo(css); p.key(kb.Enter) }

func (p *person) tap(css string) {
	p.t.Helper()
	p.acts++
	var err error
	for range 5 { // a page that fills itself in may take the node away in between
		err = chromedp.Do(p.tab, chromedp.ScrollIntoView(chromedp.CSS(css)), chromedp.Tap(chromedp.CSS(css)))
		if err == nil || !strings.Contains(err.Error(), "Could not find node") {
			break
		}
	}
	if err != nil {
		p.t.Fatalf("%s: %v", css, err)
	}
}

// pick chooses of a list, as the system's own chooser does after a tap.
func (p *person) pick(css, value string) {
	p.t.Helper()
	p.acts += 2
	if got := ask[string](p.tab, fmt.Sprintf(`(s => { s.focus(); s.value = %q; s.dispatchEvent(new Event("input", {bubbles: true})); s.dispatchEvent(new Event("change", {bubbles: true})); return s.value })(document.querySelector(%q))`, value, css)); got != value {
		p.t.Fatalf("%s has no %q", css, value)
	}
}

func (p *person) at(path string) {
	p.t.Helper()
	p.until(`location.pathname === ` + strconv.Quote(path))
}

// crowded lists words of the shown picture that lie on each other; a letter is
// lower than its box.
const crowded = `(() => {
  const words = [...document.querySelectorAll("svg.ly text")].filter(e => e.checkVisibility()).map(e => ({t: e.textContent, r: e.getBoundingClientRect()})).filter(w => w.r.width > 0);
  const out = [];
  words.forEach((a, i) => words.slice(i + 1).forEach(b => {
    const w = Math.min(a.r.right, b.r.right) - Math.max(a.r.left, b.r.left), h = Math.min(a.r.bottom, b.r.bottom) - Math.max(a.r.top, b.r.top);
    if (w > 1.5 && h > 0.3 * Math.min(a.r.height, b.r.height)) out.push("in the picture: " + a.t + " | " + b.t);
  }));
  return out.slice(0, 10);
})()`

// look asserts the layout where the person is now.
func (p *person) look(step string) {
	p.t.Helper()
	p.shoot(strings.ReplaceAll(p.t.Name(), "/", "-") + "-" + step)
	if bad := append(ask[[]string](p.tab, misplaced), ask[[]string](p.tab, crowded)...); len(bad) > 0 {
		p.t.Errorf("%s:\n%s", step, strings.Join(bad, "\n"))
	}
}

// atMost holds what a step costs against what it may.
func (p *person) atMost(what string, may int, step func()) {
	p.t.Helper()
	before := p.acts
	step()
	if did := p.acts - before; did > may {
		p.t.Errorf("%s: %d acts, want at most %d", what, did, may)
	}
}

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
	p.key("/")
	p.until(`document.activeElement.name === "key"`)
	p.do(chromedp.Evaluate[chromedp.Void](`document.activeElement.value = ""`)) // the driver types the letter, whatever the page says to the key
	for _, text := range []string{"9100", "Whines in third", "red lorry"} {
		p.write(text)
		p.key(kb.Tab)
	}
	for range 30 {
		if ask[string](p.tab, `document.activeElement.value`) == wholeVariant {
			break
		}
		p.key(kb.ArrowDown)
	}
	p.send()
	p.at("/jobs/9100")
	p.look("new")

	p.atMost("paste to findings", 2, func() {
		p.put(wholeKit)
		p.send()
		p.until(`document.activeElement.matches("section.list")`)
	})
	p.look("list")
	open := ask[int](p.tab, `document.querySelectorAll("[data-line]").length`)
	p.key("j")
	p.atMost("a question", 1, func() {
		p.key("0")
		p.until(`document.querySelectorAll("[data-line]").length === ` + strconv.Itoa(open-1))
	})
	p.until(`document.activeElement.matches(document.querySelector("[data-line]") ? "[data-line]" : "main *")`) // the next is ready

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

	p.key("s") // hundreds of choices stand between, and need no Tab
	p.press(`.sheets a[href$="/measure"]`)
	p.do(chromedp.WaitReady(chromedp.CSS("#h-stacks")))
	p.look("stacks")
	p.press(`a[href$="/counter-end-play"]`)
	p.do(chromedp.WaitReady(chromedp.CSS("form.measure")))
	p.tabTo("#r-trial-shim-0")
	p.write("0.90")
	p.tabTo("#r-travel-0")
	p.atMost("a reading to its grades", len("0.31"), func() {
		p.write("0.31")
		p.until(`!!document.querySelector(".grades button") && document.activeElement.id === "r-travel-0"`)
	})
	p.look("grades")
	p.press(".grades button")
	p.at("/jobs/9100/measure")
	p.until(`!!document.querySelector(".plainrows .st-clear")`)
	p.key("s")
	p.press(`.sheets a[href$="/decisions"]`)
	p.do(chromedp.WaitReady(chromedp.CSS(".assembly")))
	p.press(`main a[href="/jobs/9100/sheet"]`)
	p.do(chromedp.WaitReady(chromedp.CSS(".paper")))
	p.printed()
	t.Logf("the whole job took %d keys, Tab among them", p.acts)
}
