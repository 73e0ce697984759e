package page_test

import (
	"context"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// viewing is how a person looks at a page.
type viewing struct {
	name          string
	width, height int64
	dark, touch   bool
}

var viewings = []viewing{
	{"light", 1360, 900, false, false},
	{"dark", 1360, 900, true, false},
	{"phone", 360, 760, false, true},
}

// chromium is one process for all tests, started by the first that needs it.
var chromium struct {
	once sync.Once
	ctx  context.Context
	stop func()
}

func TestMain(m *testing.M) {
	code := m.Run()
	if chromium.stop != nil {
		chromium.stop()
	}
	os.Exit(code)
}

func startChromium(path string) {
	// The profile is removed by hand: Chromium may still write while it stops.
	profile, err := os.MkdirTemp("", "layshaft-browser-")
	if err != nil {
		return // every test then says that there is no browser
	}
	ctx, end := chromedp.NewExecAllocator(context.Background(), chromedp.ExecPath(path), chromedp.Headless,
		chromedp.NoSandbox, chromedp.DisableGPU, chromedp.NoFirstRun, chromedp.UserDataDir(profile),
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true), chromedp.Flag("hide-scrollbars", true))
	ctx, closeTab := chromedp.NewContext(ctx)
	chromium.stop = func() { closeTab(); end(); os.RemoveAll(profile) }
	if chromedp.Do(ctx, chromedp.Navigate("about:blank")) == nil {
		chromium.ctx = ctx
	}
}

// browser is a browser without cookies or storage of other tests; the test is
// skipped where there is none, and fails where LAYSHAFT_REQUIRE_TOOLS says that
// there must be.
func browser(t *testing.T) context.Context {
	t.Helper()
	path, err := exec.LookPath("chromium")
	if err != nil {
		if os.Getenv("LAYSHAFT_REQUIRE_TOOLS") == "1" {
			t.Fatal("chromium is not installed")
		}
		t.Skip("chromium is not installed")
	}
	if testing.Short() {
		t.Skip("a browser takes its time")
	}
	t.Parallel()
	chromium.once.Do(func() { startChromium(path) })
	if chromium.ctx == nil {
		t.Fatal("chromium does not start")
	}
	ctx, closeTab := chromedp.NewContext(chromium.ctx, chromedp.WithNewBrowserContext())
	t.Cleanup(closeTab)
	do(t, ctx, chromedp.Navigate("about:blank"))
	return ctx
}

// tab is a page seen in one way; what it writes to the console fails the test.
type tab struct {
	context.Context
	t      *testing.T
	shop   *shop
	mu     sync.Mutex
	said   []string
	excuse string // a message that the test expects
}

func (s *shop) tab(t *testing.T, parent context.Context, v viewing) *tab {
	t.Helper()
	ctx, closeTab := chromedp.NewContext(parent)
	b := &tab{Context: ctx, t: t, shop: s}
	do(t, ctx, chromedp.Navigate("about:blank"), b.emulate(v))
	messages := chromedp.Console(ctx)
	done := make(chan struct{})
	go func() {
		defer close(done)
		for m, err := range messages {
			if err != nil {
				return
			}
			b.mu.Lock()
			if b.excuse == "" || !strings.Contains(m.Text, b.excuse) {
				b.said = append(b.said, string(m.Type)+": "+m.Text)
			}
			b.mu.Unlock()
		}
	}()
	t.Cleanup(func() {
		closeTab()
		<-done
		if len(b.said) > 0 {
			t.Errorf("the console is not silent: %s", strings.Join(b.said, "\n"))
		}
	})
	return b
}

func (b *tab) emulate(v viewing) chromedp.Action[chromedp.Void] {
	scheme := "light"
	if v.dark {
		scheme = "dark"
	}
	opts := []chromedp.EmulateViewportOption{}
	if v.touch {
		opts = append(opts, chromedp.EmulateMobile, chromedp.EmulateTouch)
	}
	return chromedp.Steps(chromedp.EmulateViewport(v.width, v.height, opts...),
		chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
			_, err := chromedp.Call(ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
				Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}})
			return err
		}))
}

func do(t *testing.T, ctx context.Context, steps ...chromedp.Action[chromedp.Void]) {
	t.Helper()
	if err := chromedp.Do(ctx, steps...); err != nil {
		t.Fatal(err)
	}
}

func (b *tab) do(steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b, 30*time.Second)
	defer cancel()
	do(b.t, ctx, steps...)
}

func (b *tab) open(path string) { b.t.Helper(); b.do(chromedp.Navigate(b.shop.URL + path)) }

func ask[T any](b *tab, script string) T {
	b.t.Helper()
	v, err := chromedp.Run(b, chromedp.Evaluate[T](script, chromedp.EvalAwaitPromise))
	if err != nil {
		b.t.Fatal(err)
	}
	return v
}

// shoot keeps a picture of the whole page where LAYSHAFT_SHOTS says.
func (b *tab) shoot(name string) {
	b.t.Helper()
	dir := os.Getenv("LAYSHAFT_SHOTS")
	if dir == "" {
		return
	}
	png, err := chromedp.Run(b, chromedp.FullScreenshot(100))
	if err != nil {
		b.t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, name+".png"), png, 0o666); err != nil {
		b.t.Fatal(err)
	}
}

// misplaced lists elements that stick out of the page or of a box that hides
// what sticks out, and texts that lie on each other.
const misplaced = `(() => {
  const out = [], wide = document.documentElement.clientWidth;
  if (document.documentElement.scrollWidth > wide) out.push("page scrolls sideways: " + document.documentElement.scrollWidth + " > " + wide);
  const shown = e => e.checkVisibility() && !e.closest(".far, .skip, .sprite");
  const name = e => e.tagName + "." + (e.getAttribute("class") || "") + " " + (e.textContent || "").trim().slice(0, 40);
  for (const e of document.querySelectorAll("body *")) {
    if (!shown(e) || e instanceof SVGElement) continue;
    const r = e.getBoundingClientRect();
    if (r.width && (r.right > wide + 1 || r.left < -1)) out.push("outside the page: " + name(e));
    if (e.scrollWidth > e.clientWidth + 1 && e.clientWidth && getComputedStyle(e).overflowX !== "visible") out.push("clipped: " + name(e));
  }
  const leaves = [...document.querySelectorAll("main *")].filter(e => shown(e) && !(e instanceof SVGElement) &&
    [...e.childNodes].some(n => n.nodeType === 3 && n.data.trim()));
  const boxes = leaves.flatMap(e => { const range = document.createRange(); return [...e.childNodes].filter(n => n.nodeType === 3 && n.data.trim())
    .flatMap(n => { range.selectNodeContents(n); return [...range.getClientRects()].map(r => ({e, r})); }); })
    .filter(b => b.r.width > 1).sort((a, b) => a.r.top - b.r.top);
  for (let i = 0; i < boxes.length && out.length < 20; i++) for (let j = i + 1; j < boxes.length && boxes[j].r.top < boxes[i].r.bottom; j++) {
    const a = boxes[i], b = boxes[j];
    const w = Math.min(a.r.right, b.r.right) - Math.max(a.r.left, b.r.left), h = Math.min(a.r.bottom, b.r.bottom) - b.r.top;
    if (a.e !== b.e && w > 2 && h > 0.45 * Math.min(a.r.height, b.r.height)) out.push("overlap: " + name(a.e) + " | " + name(b.e));
  }
  return out.slice(0, 20);
})()`

// axe runs the accessibility rules; the file comes from the test tools.
func (b *tab) axe() []string {
	b.t.Helper()
	src := axeSource(b.t)
	if src == "" {
		return nil
	}
	b.do(chromedp.Evaluate[chromedp.Void](src))
	text := ask[string](b, `axe.run(document, {resultTypes: ["violations"]}).then(r => JSON.stringify(r.violations.map(v =>
	  v.id + ": " + v.help + " — " + v.nodes.slice(0, 4).map(n => n.html.slice(0, 160) + " " + (n.any[0]?.message || "")).join(" | "))))`)
	var out []string
	if err := json.Unmarshal([]byte(text), &out); err != nil {
		b.t.Fatal(err)
	}
	return out
}

func axeSource(t *testing.T) string {
	t.Helper()
	dir := os.Getenv("LAYSHAFT_TOOLS")
	src, err := os.ReadFile(filepath.Join(dir, "node_modules", "axe-core", "axe.min.js"))
	if dir == "" || err != nil {
		if os.Getenv("LAYSHAFT_REQUIRE_TOOLS") == "1" {
			t.Fatal("axe-core is not in LAYSHAFT_TOOLS")
		}
		t.Log("axe-core is not in LAYSHAFT_TOOLS: accessibility rules not run")
		return ""
	}
	return string(src)
}
