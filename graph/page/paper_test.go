package page_test

import (
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// TestPaper prints both sheets: the job's number is on each page, and the PDF has
// the name of every position whole.
func TestPaper(t *testing.T) {
	s := open(t)
	b := s.tab(t, browser(t), viewings[0])
	dir := os.Getenv("LAYSHAFT_SHOTS")
	if dir == "" {
		dir = t.TempDir()
	}
	for _, name := range []string{"sheet", "bench-sheet"} {
		b.open("/jobs/7204/" + name)
		pdf, err := chromedp.Run(b, chromedp.PrintToPDF(chromedp.PDFPreferCSSPageSize()))
		if err != nil {
			t.Fatal(err)
		}
		pages := pagesOf(t, filepath.Join(dir, name+".pdf"), pdf)
		if len(pages) < 2 {
			t.Errorf("%s: %d page, too few to tell", name, len(pages))
		}
		for i, p := range pages {
			if !strings.Contains(p, "Job 7204") {
				t.Errorf("%s, page %d: the job's number is missing\n%.200s", name, i+1, p)
			}
		}
		flat := strings.Join(strings.Fields(strings.Join(pages, " ")), "")
		if boxes := ask[int](b, `[...document.querySelectorAll(".paperstack")].filter(e => / at (least|most) /.test(e.textContent) && e.querySelectorAll(".pen").length === 3).length`); boxes == 0 {
			t.Errorf("%s: no boxes for the readings of inspection limits", name)
		}
		for _, label := range ask[[]string](b, `[...document.querySelectorAll(".paperrow b")].map(e => e.textContent)`) {
			if !strings.Contains(flat, strings.Join(strings.Fields(label), "")) {
				t.Errorf("%s: %q is not whole on the paper", name, label)
			}
		}
	}
}

// TestDetail sends a part out with treatment and date; a second form of the same
// page is refused, and what it said is still there beside what stands.
func TestDetail(t *testing.T) {
	s := open(t)
	path := "/jobs/7202/decisions/oil-slinger"
	page := s.get(t, path, 200)
	seen := regexp.MustCompile(`name="seen" value="(\d+)"`).FindStringSubmatch(page)
	form := url.Values{"request": {request(t, page)}, "seen": {seen[1]}, "choice": {"SEND_OUT"}, "treatment": {"plate"}, "due": {"2026-04-02"}, "reason": {"worn bright"}}
	s.send(t, path, 200, form)
	wants(t, s.get(t, path, 200), `value="plate"`, `value="2026-04-02"`, `value="worn bright"`, `<option value="SEND_OUT" selected>`)
	form.Set("request", "second")
	form.Set("choice", "REUSE")
	form.Set("measured", "12.01 mm all round")
	wants(t, s.send(t, path, 409, form), `role="alert"`, "It stands now: Send out", "worn bright", "12.01 mm all round")
	s.get(t, "/jobs/7202/decisions/no-such", 404)
	form.Set("choice", "MAYBE")
	s.send(t, path, 400, form)
	for i, h := range hostile {
		for _, bad := range []string{h} {
			again := s.get(t, path, 200)
			seen = regexp.MustCompile(`name="seen" value="(\d+)"`).FindStringSubmatch(again)
			s.send(t, path, 200, url.Values{"request": {"h" + string(rune('a'+i))}, "seen": {seen[1]}, "choice": {"SEND_OUT"}, "treatment": {bad}, "measured": {bad}, "reason": {bad}})
			for _, p := range []string{s.get(t, path, 200), s.get(t, "/jobs/7202/sheet", 200)} {
				if m := regexp.MustCompile(`(?i)<script>alert|<img src=x|<[^>]* onmouseover='`).FindString(p); m != "" {
					t.Errorf("%.40q came through as %q", h, m)
				}
			}
		}
	}
}

// printed prints the sheet that is shown: the job and the page stand on every page,
// the shim that was chosen and boxes for a pen on one.
func (p *person) printed() {
	p.t.Helper()
	if n := ask[int](p.tab, `document.querySelectorAll(".paper .box").length`); n < 20 {
		p.t.Errorf("%d boxes to tick", n)
	}
	if n := ask[int](p.tab, `document.querySelectorAll(".paper .pen").length`); n == 0 {
		p.t.Error("no box for a pen")
	}
	pdf, err := chromedp.Run(p.tab, chromedp.PrintToPDF(chromedp.PDFPreferCSSPageSize()))
	if err != nil {
		p.t.Fatal(err)
	}
	pages := pagesOf(p.t, filepath.Join(p.t.TempDir(), "sheet.pdf"), pdf)
	for i, page := range pages {
		if number := fmt.Sprintf("%d / %d", i+1, len(pages)); !strings.Contains(page, "Job 9100") || !strings.Contains(page, number) {
			p.t.Errorf("page %d lacks the job or %q", i+1, number)
		}
	}
	wants(p.t, strings.Join(strings.Fields(strings.Join(pages, " ")), " "), "Whines in third", "Countershaft shim", "Grade fitted", "Built by")
}

// pagesOf keeps a PDF in a file and reads the text of its pages; the test is skipped
// where nothing reads it, and fails where LAYSHAFT_REQUIRE_TOOLS says that something must.
func pagesOf(t *testing.T, file string, pdf []byte) []string {
	t.Helper()
	reader, err := exec.LookPath("pdftotext")
	if err != nil {
		if os.Getenv("LAYSHAFT_REQUIRE_TOOLS") == "1" {
			t.Fatal("pdftotext is not installed")
		}
		t.Skip("pdftotext is not installed: the paper was not read")
	}
	if err := os.WriteFile(file, pdf, 0o666); err != nil {
		t.Fatal(err)
	}
	text, err := exec.CommandContext(t.Context(), reader, "-raw", file, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	return strings.Split(strings.TrimSuffix(string(text), "\f"), "\f")
}
