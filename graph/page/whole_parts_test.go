package page_test

import (
	"context"
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	browserp "github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// Two offers as they come by mail: noise, a line of several meanings, one of two
// ways, one left out, one that nobody knows.
const (
	messyKit = "Hi, as discussed for the Torsholm 92:\n" +
		" - frt brg 6308 N, 1 off\n" +
		" - synchro ring, 1 off\n" +
		" - rear brg 6309 N or 6309 N C3, whichever is in\n" +
		" - 2 x taper brg 32207\n" +
		" - widget of unknown make\n" +
		" > not incl: rear seal 55x80x8\n" +
		"Cheers, parts desk\n"
	rivalKit = "BRG 6308 N x1\nBRG 6309 N x1\nTAPER BRG 32207 x1\nTAPER BRG 32208 x1\nSEAL 38x62x8 x1\nSEAL 55x80x8 x1\n"
)

// TestPartsManagerWholeJobByKeyboard: from a shop without a job to the file of what
// must be ordered, by keys alone.
func TestPartsManagerWholeJobByKeyboard(t *testing.T) {
	s := stocked(t)
	p := &person{tab: s.tab(t, browser(t), viewings[0])}
	file := p.downloads()
	p.open("/")
	p.opens("9200", "Full kit wanted", "red lorry")
	p.decidesAll()
	p.atMost("paste to findings", 2, func() {
		p.put(messyKit)
		p.send()
		p.until(listHeld)
	})
	p.look("list")
	p.answersAll("1", "1", "0") // the ring, the bearing of two, the widget
	p.takesRemedies()

	p.tabTo(`form[action$="/lists"] textarea`)
	p.put(rivalKit)
	p.key(kb.Tab)
	p.write("Rival kit")
	p.send()
	p.until(`document.querySelectorAll("section.list").length === 2 && !!document.activeElement.closest("section.list + section.list")`)
	p.press(`section.list a[href^="/shortages/what-if"]`)
	p.comparesTwo()

	p.press(`main a[href="/shortages"]`)
	p.at("/shortages")
	p.key("/")
	p.choose("select[name=by]", "part")
	p.send()
	p.until(`!!document.querySelector(".bypart")`)
	p.look("by-part")
	p.atMost("the table as a file", 1, func() {
		p.key("e")
		p.ordersAsShown(file())
	})
	t.Logf("the whole job took %d keys, Tab among them", p.acts)
}

// listHeld: the list is read and compared, and its first question is in hand.
const listHeld = `document.activeElement.matches("section.list [data-line]") && !!document.querySelector(".findings .finding")`

// answersAll answers each line that asks, a key a line; what blocks is in hand then.
func (p *person) answersAll(keys ...string) {
	p.t.Helper()
	const asks = `document.querySelectorAll("[data-line]").length`
	if n := ask[int](p.tab, asks); n != len(keys) {
		p.t.Fatalf("%d lines ask, want %d", n, len(keys))
	}
	p.atMost("questions", len(keys), func() {
		for i, k := range keys {
			p.key(k)
			p.until(asks + ` === ` + strconv.Itoa(len(keys)-i-1))
			p.until(`document.activeElement.matches("[data-line], .findings > li")`)
		}
	})
}

// takesRemedies ends one finding and then all of a row, a key each, and takes the
// last back.
func (p *person) takesRemedies() {
	p.t.Helper()
	const groups, singles = `.findings > li:has(> .said > .remedy button[value=order][data-key])`, `.findings > li:has(> .said[id] button[value=order])`
	for _, row := range []string{singles, groups} {
		p.keyTo("j", fmt.Sprintf(`document.activeElement.matches(%q)`, row))
		held := ask[string](p.tab, `document.activeElement.querySelector(".said p").textContent`)
		p.atMost("a remedy", 1, func() {
			p.key("2")
			p.until(fmt.Sprintf(`![...document.querySelectorAll(".findings .said p")].some(e => e.textContent === %q)`, held))
		})
		p.until(`document.activeElement.matches("[data-line], .findings > li, tr")`)
	}
	p.look("remedies")
	p.key("u")
	p.until(`document.querySelector(".last").textContent.includes("took back")`)
	p.until(fmt.Sprintf(`!!document.querySelector(%q)`, groups))
}

// comparesTwo reads the two kits side by side.
func (p *person) comparesTwo() {
	p.t.Helper()
	p.at("/shortages/what-if")
	p.until(`document.querySelectorAll("table.versus").length >= 2`)
	p.look("two-kits")
	heads := ask[[]string](p.tab, `[...document.querySelectorAll("table.versus")[0].querySelectorAll("thead th")].map(e => e.textContent)`)
	if len(heads) != 2 || !strings.Contains(heads[0], "List of") || !strings.Contains(heads[1], "Rival kit") {
		p.t.Errorf("the sides are %q", heads)
	}
	rows := ask[[][]string](p.tab, `[...document.querySelectorAll("table.versus")[0].querySelectorAll("tbody tr")].map(r => [...r.children].map(c => c.innerText))`)
	differ := 0
	for _, r := range rows {
		if len(r) == 3 && r[1] != r[2] {
			differ++
		}
	}
	if len(rows) < 7 || differ < 2 {
		p.t.Errorf("two kits side by side say %q", rows)
	}
}

// ordersAsShown holds the file against the page that groups it by part.
func (p *person) ordersAsShown(file [][]string) {
	p.t.Helper()
	col := map[string]int{}
	for i, name := range file[0] {
		col[name] = i
	}
	var inFile []string
	for _, r := range file[1:] {
		inFile = append(inFile, strings.Join([]string{r[col["number"]], r[col["job"]], r[col["place"]], r[col["pieces"]], r[col["state"]]}, "|"))
	}
	onPage := ask[[]string](p.tab, `[...document.querySelectorAll(".bypart")].flatMap(s => [...s.querySelectorAll("tbody tr")].map(r =>
	  [s.querySelector("h2 .numeral")?.textContent ?? "", r.querySelector(".short-job").textContent, r.querySelector("th bdi").textContent,
	   r.querySelector(".num").textContent, r.className.replace(/^.*edge-/, "")].join("|")))`)
	slices.Sort(inFile)
	slices.Sort(onPage)
	if len(onPage) < 20 || !slices.Equal(inFile, onPage) {
		p.t.Errorf("the file does not say what the page says:\n%s\n\n%s", strings.Join(inFile, "\n"), strings.Join(onPage, "\n"))
	}
	for _, head := range ask[[]string](p.tab, `[...document.querySelectorAll(".bypart")].filter(s => {
	  const sum = [...s.querySelectorAll("tbody .num")].reduce((n, e) => n + parseInt(e.textContent), 0);
	  return parseInt(s.querySelector(".count").textContent) !== sum; }).map(s => s.querySelector("h2").textContent)`) {
		p.t.Errorf("the pieces of %s do not add up", head)
	}
}

// decidesAll replaces what the job's shafts carry, by keys.
func (p *person) decidesAll() {
	p.t.Helper()
	p.key("s")
	p.press(`.sheets a[href$="/decisions"]`)
	p.do(chromedp.WaitReady(chromedp.CSS(".assembly")))
	for _, of := range []string{"input shaft", "main shaft", "countershaft"} {
		group := fmt.Sprintf("section.assembly:has(button[value='%s|REPLACE'])", of)
		p.keyTo("J", fmt.Sprintf(`document.activeElement.matches(%q)`, group))
		p.atMost("a whole group", 1, func() {
			p.key("2")
			p.until(fmt.Sprintf(`!document.querySelector(%q)`, group))
		})
	}
	p.key("s")
	p.press(`.sheets a:first-child`)
	p.do(chromedp.WaitReady(chromedp.CSS("#h-paste")))
}

// downloads lets the browser keep files, and returns what waits for the next one and
// reads it as a table.
func (p *person) downloads() func() [][]string {
	p.t.Helper()
	dir := p.t.TempDir()
	p.do(chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
		c := chromedp.FromContext(ctx)
		_, err := cdp.Call(ctx, c.Browser, browserp.SetDownloadBehavior, browserp.SetDownloadBehaviorParams{
			Behavior: browserp.SetDownloadBehaviorBehaviorAllow, BrowserContextID: c.BrowserContextID, DownloadPath: dir})
		return err
	}))
	return func() [][]string {
		p.t.Helper()
		for deadline := time.Now().Add(20 * time.Second); time.Now().Before(deadline); time.Sleep(50 * time.Millisecond) {
			files, err := filepath.Glob(filepath.Join(dir, "*.csv"))
			if err != nil {
				p.t.Fatal(err)
			}
			if len(files) == 0 {
				continue
			}
			text, err := os.ReadFile(files[0])
			if err != nil {
				p.t.Fatal(err)
			}
			rows, err := csv.NewReader(strings.NewReader(string(text))).ReadAll()
			if err != nil {
				p.t.Fatalf("%s: %v\n%s", files[0], err, text)
			}
			return rows
		}
		p.t.Fatal("no file came")
		return nil
	}
}
