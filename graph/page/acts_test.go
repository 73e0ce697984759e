package page_test

import (
	"context"
	"fmt"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/runtime"
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

// key presses one key as a keyboard does: the page hears it first, and a letter is
// typed only where the page has not taken the key for itself.
func (p *person) key(k string, mods ...chromedp.Modifier) {
	p.t.Helper()
	p.acts++
	p.do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		all := kb.Encode([]rune(k)[0])
		down, up := all[0], all[len(all)-1]
		for _, m := range mods {
			down.Modifiers |= int64(m)
			up.Modifiers |= int64(m)
		}
		if len(all) == 3 && len(mods) == 0 {
			down.Text, down.UnmodifiedText = all[1].Text, all[1].UnmodifiedText
		}
		for _, e := range []*input.DispatchKeyEventParams{down, up} {
			if _, err := cdp.Call(ctx, t, input.DispatchKeyEvent, *e); err != nil {
				return err
			}
		}
		return nil
	}))
}

func (p *person) send() { p.t.Helper(); p.key(kb.Enter, chromedp.ModifierCtrl) }

// write types a text, a key a letter.
func (p *person) write(text string) {
	p.t.Helper()
	p.acts += len(text)
	p.do(chromedp.KeyEvent(text))
}

// clipboard is one for all browsers of the process.
var clipboard sync.Mutex

// put pastes what another program copied, with the keys of the system: into the field
// in hand, or onto the page when nothing is in hand.
func (p *person) put(text string) {
	p.t.Helper()
	p.acts++
	clipboard.Lock()
	defer clipboard.Unlock()
	p.do(chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
		_, err := chromedp.Call(ctx, emulation.SetFocusEmulationEnabled, emulation.SetFocusEmulationEnabledParams{Enabled: true})
		return err
	}), chromedp.Evaluate[chromedp.Void](`navigator.clipboard.writeText(`+strconv.Quote(text)+`)`, chromedp.EvalAwaitPromise, func(e *runtime.EvaluateParams) { e.UserGesture = new(true) }))
	p.do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		for _, e := range []input.DispatchKeyEventParams{
			{Type: input.DispatchKeyEventTypeKeyDown, Key: "v", Code: "KeyV", WindowsVirtualKeyCode: 'V', Modifiers: int64(chromedp.ModifierCtrl), Commands: []string{"paste"}},
			{Type: input.DispatchKeyEventTypeKeyUp, Key: "v", Code: "KeyV", WindowsVirtualKeyCode: 'V', Modifiers: int64(chromedp.ModifierCtrl)}} {
			if _, err := cdp.Call(ctx, t, input.DispatchKeyEvent, e); err != nil {
				return err
			}
		}
		return nil
	}))
}

// tabTo goes to a control by the Tab key alone, back where it lies behind; what has
// the focus shows it.
func (p *person) tabTo(css string) {
	p.t.Helper()
	const way = `(() => { const all = [...document.querySelectorAll("a[href], button, input:not([type=hidden]), select, textarea, summary")]
	    .filter(e => e.tabIndex >= 0 && !e.disabled && e.checkVisibility({visibilityProperty: true, contentVisibilityAuto: true}));
	  const target = [...document.querySelectorAll(%q)].find(e => e.checkVisibility());
	  if (!target) return 0;
	  const from = document.activeElement, after = (a, b) => a === document.body || a.contains(b) || !!(a.compareDocumentPosition(b) & Node.DOCUMENT_POSITION_FOLLOWING);
	  const between = (a, b) => all.filter(e => e !== a && after(a, e) && (e === b || after(e, b))).length;
	  return from === target || after(from, target) ? Math.max(1, between(from, target)) : -Math.max(1, between(target, from)); })()`
	p.until(`document.readyState === "complete" && !!document.body && ` + fmt.Sprintf(way, css) + ` !== 0`)
	there := fmt.Sprintf(`document.activeElement.matches(%q)`, css)
	for tries := 0; !ask[bool](p.tab, there); tries++ {
		far, mods := ask[int](p.tab, fmt.Sprintf(way, css)), []chromedp.KeyOption{}
		if far < 0 {
			mods = append(mods, chromedp.KeyModifiers(chromedp.ModifierShift))
		}
		p.do(chromedp.KeyEvent(strings.Repeat(kb.Tab, max(far, -far)), mods...))
		p.acts += max(far, -far)
		if tries > 20 || p.acts > 5000 {
			p.t.Fatalf("Tab does not come to %s; now at %s", css, ask[string](p.tab, `document.activeElement.outerHTML.slice(0, 120)`))
		}
	}
	if !ask[bool](p.tab, `(s => s.outlineStyle !== "none" && parseFloat(s.outlineWidth) >= 2)(getComputedStyle(document.activeElement))`) {
		p.t.Errorf("%s has the focus and does not show it", css)
	}
}

// keyTo presses a key again and again until it has come to something.
func (p *person) keyTo(key, there string) {
	p.t.Helper()
	for n := 0; !ask[bool](p.tab, there); n++ {
		if n > 200 {
			p.t.Fatalf("%s does not come to %s; now at %s", key, there, ask[string](p.tab, `document.activeElement.outerHTML.slice(0, 120)`))
		}
		p.key(key)
	}
}

// sheet goes to one of the shop's sheets by its name in the strip.
func (p *person) sheet(path string) {
	p.t.Helper()
	p.until(`document.readyState === "complete" && !!document.body`)
	if ask[bool](p.tab, `document.activeElement.matches("input, textarea, select")`) {
		p.key(kb.Escape)
	}
	p.keyTo("s", `!!document.activeElement.closest(".strip nav")`)
	p.press(fmt.Sprintf(".strip nav a[href=%q]", path))
	p.at(path)
}

// opensRow walks to the row that leads there and opens it.
func (p *person) opensRow(path string) {
	p.t.Helper()
	p.until(fmt.Sprintf(`document.readyState === "complete" && !!document.querySelector('main :is(tr, li) a[href=%q]')`, path))
	p.keyTo("j", fmt.Sprintf(`document.activeElement.matches(":is(tr, li)") && document.activeElement.querySelector("a[href]")?.getAttribute("href") === %q`, path))
	p.key(kb.Enter)
	p.at(path)
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

// choose walks to an entry of a list of choices by the arrows.
func (p *person) choose(css, value string) {
	p.t.Helper()
	p.tabTo(css)
	way := ask[int](p.tab, fmt.Sprintf(`(all => all.findIndex(o => o.value === %q) - document.activeElement.selectedIndex)([...document.activeElement.options])`, value))
	for range max(way, -way) {
		p.key(map[bool]string{true: kb.ArrowDown, false: kb.ArrowUp}[way > 0])
	}
	if got := ask[string](p.tab, `document.activeElement.value`); got != value {
		p.t.Fatalf("%s has no %q; the arrows came to %q", css, value, got)
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
	p.until(`location.pathname === ` + strconv.Quote(path) + ` && document.readyState === "complete"`)
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
	p.until(`document.readyState === "complete" && !!document.body && innerWidth > 0`)
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
