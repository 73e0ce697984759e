package page_test

import (
	"context"
	"net/url"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

const stackPath = "/jobs/7202/measure/counter-end-play"

// cut takes the network away from a page, or gives it back.
func (b *tab) cut(off bool) {
	b.t.Helper()
	b.do(chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
		_, err := chromedp.Call(ctx, network.EmulateNetworkConditionsByRule, network.EmulateNetworkConditionsByRuleParams{
			MatchedNetworkConditions: []*network.Conditions{{Offline: off, DownloadThroughput: -1, UploadThroughput: -1}}})
		return err
	}), chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
		_, err := chromedp.Call(ctx, network.OverrideNetworkState, network.OverrideNetworkStateParams{Offline: off, DownloadThroughput: -1, UploadThroughput: -1})
		return err
	}))
}

// typeInto types into a field as a person does, key by key, without leaving it.
func (b *tab) typeInto(id, text string) {
	b.t.Helper()
	b.do(chromedp.SendKeys(chromedp.CSS("#"+id), text))
}

// TestReadingToGrade: grades stand on the page while the last field still has
// the focus, and none of them was there before.
func TestReadingToGrade(t *testing.T) {
	s := open(t)
	b := s.tab(t, browser(t), viewings[0])
	b.open(stackPath)
	if ask[bool](b, `!!document.querySelector(".grades")`) {
		t.Fatal("grades before any reading")
	}
	b.typeInto("r-trial-shim-0", "0.90")
	b.typeInto("r-travel-0", "0,31")
	b.until(`!!document.querySelector(".grades .in, .grades li") && document.activeElement.id === "r-travel-0"`)
	if mode := ask[string](b, `document.getElementById("r-travel-0").inputMode`); mode != "decimal" {
		t.Errorf("keypad is %q", mode)
	}
	// The unit is the form's; the same figures in inches are another result.
	mm := ask[string](b, `document.querySelector(".wanted").innerText`)
	b.do(chromedp.Evaluate[chromedp.Void](`const u = document.querySelector("select[name=unit]"); u.value = "in"; u.dispatchEvent(new Event("input", {bubbles: true}))`))
	b.until(`document.querySelector("[data-unit]").textContent === "in" && document.getElementById("live").innerText.length > 0 && document.querySelector(".wanted")?.innerText !== ` + strconv.Quote(mm))
}

// TestSteps: a step is exact in the last place shown, below nought as well.
func TestSteps(t *testing.T) {
	s := open(t)
	b := s.tab(t, browser(t), viewings[2])
	b.open(stackPath + "?unit=mm")
	b.until(`document.getElementById("r-trial-shim-0") !== null`)
	for _, c := range []struct{ typed, button, want string }{
		{"0.09", "1", "0.10"}, {"0.1", "-1", "0.09"}, {"0.00", "-1", "-0.01"}, {"-0.01", "1", "0.00"}, {"0,095", "1", "0,105"},
		{"0.035 in", "1", "0.0355 in"}, {"24.99 mm", "1", "25.00 mm"}, {"x", "1", "x"},
	} {
		got := ask[string](b, `(() => { const f = document.getElementById("r-trial-shim-0"); f.value = `+strconv.Quote(c.typed)+
			`; f.parentElement.querySelector("[data-step='`+c.button+`']").click(); return f.value })()`)
		if got != c.want {
			t.Errorf("%q and a step of %s: %q, want %q", c.typed, c.button, got, c.want)
		}
	}
	if small := ask[int](b, `[...document.querySelectorAll("button[data-step]")].filter(x => { const r = x.getBoundingClientRect(); return r.width && (r.width < 47 || r.height < 47); }).length`); small > 0 {
		t.Errorf("%d steps are smaller than a thumb", small)
	}
}

// TestLostNetwork: readings typed and kept without a network are on the job once
// it is back, once, also after a reload.
func TestLostNetwork(t *testing.T) {
	s := open(t)
	b := s.tab(t, browser(t), viewings[2])
	b.excuse = "ERR_INTERNET_DISCONNECTED"
	b.open(stackPath)
	b.cut(true)
	b.typeInto("r-trial-shim-0", "0.90")
	b.typeInto("r-travel-0", "0.31")
	b.until(`document.getElementById("say").textContent.includes("kept on this device")`)
	b.do(chromedp.KeyEvent(kb.Enter, chromedp.KeyModifiers(chromedp.ModifierCtrl)))
	b.until(`!!JSON.parse(localStorage.getItem("measure/7202/counter-end-play"))?.sending`)
	if n := s.readings(t); n != 0 {
		t.Fatalf("%d readings arrived without a network", n)
	}
	b.cut(false)
	b.open(stackPath) // the page was thrown away before the server knew
	b.until(`location.pathname === "/jobs/7202/measure" && localStorage.getItem("measure/7202/counter-end-play") === null`)
	if n := s.readings(t); n != 1 {
		t.Errorf("%d readings on the job, want 1", n)
	}
}

// TestReadingsSurviveReload: what was typed and not kept comes back, and is left
// alone when somebody else has kept readings since.
func TestReadingsSurviveReload(t *testing.T) {
	s := open(t)
	b := s.tab(t, browser(t), viewings[0])
	b.open(stackPath)
	b.typeInto("r-trial-shim-0", "0.95")
	b.open(stackPath)
	b.until(`document.getElementById("r-trial-shim-0").value === "0.95"`)
	page := s.get(t, stackPath, 200)
	s.send(t, stackPath, 200, url.Values{"request": {request(t, page)}, "unit": {"mm"}, "r.trial-shim": {"0.80"}, "r.travel": {"0.40"}})
	b.open(stackPath)
	b.until(`!document.querySelector(".unsent").hidden`)
	if v := ask[string](b, `document.getElementById("r-trial-shim-0").value`); !strings.HasPrefix(v, "0.8") {
		t.Errorf("an old draft overwrote what was kept: %q", v)
	}
	b.do(chromedp.Click(chromedp.CSS("[data-put]")))
	b.until(`document.getElementById("r-trial-shim-0").value === "0.95"`)
}

// TestMeasureWithoutScript keeps readings and a grade by forms alone.
func TestMeasureWithoutScript(t *testing.T) {
	s := open(t)
	tried := s.get(t, stackPath+"?unit=mm&r.trial-shim=0.9&r.travel=0.31&r.travel=0.32&r.travel=0.31", 200)
	grade := regexp.MustCompile(`name="grades" value="([^"]+)"`).FindStringSubmatch(tried)
	if grade == nil {
		t.Fatal("no grade to choose")
	}
	kept := s.send(t, stackPath, 200, url.Values{"request": {request(t, tried)}, "unit": {"mm"}, "r.trial-shim": {"0.9"},
		"r.travel": {"0.31", "0.32", "0.31"}, "grades": {grade[1]}})
	wants(t, kept, "st-clear")
	if n := s.readings(t); n != 1 {
		t.Errorf("%d readings on the job, want 1", n)
	}
	bad := s.send(t, stackPath, 400, url.Values{"request": {"other"}, "unit": {"mm"}, "r.trial-shim": {"-90"}, "r.travel": {"zebra"}})
	wants(t, bad, `role="alert"`, `value="zebra"`)
}

// readings counts the measurements of the stack on the job.
func (s *shop) readings(t *testing.T) int {
	t.Helper()
	j, err := s.bench.Job(t.Context(), "7202")
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, m := range j.Measurements {
		if m.Stack == "counter-end-play" {
			n++
		}
	}
	return n
}
