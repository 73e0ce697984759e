package page_test

import (
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// TestArrivalsLook reads a note and a file in every way of looking: by Ctrl+Enter
// alone, with nothing clipped, nothing overlapping and a silent console.
func TestArrivalsLook(t *testing.T) {
	s := open(t)
	parent := browser(t)
	for _, v := range viewings {
		t.Run(v.name, func(t *testing.T) {
			b := s.tab(t, parent, v)
			look := func(name string) {
				b.shoot(name + "-" + v.name)
				if bad := append(ask[[]string](b, misplaced), b.axe()...); len(bad) > 0 {
					t.Errorf("%s:\n%s", name, strings.Join(bad, "\n"))
				}
			}
			b.open("/jobs/7203")
			b.do(chromedp.Focus(chromedp.CSS(`form[action$="/note"] textarea`)))
			ask[bool](b, `document.execCommand("insertText", false, "frt brg rough\nthe thingummy is odd\nm/s to the grinder, back thurs\n")`)
			b.do(chromedp.KeyEvent(kb.Enter, chromedp.KeyModifiers(chromedp.ModifierCtrl)))
			b.until(`document.querySelector("input[name=position]") !== null`)
			look("note")

			b.open("/jobs/7203")
			ask[bool](b, `(() => { const d = new DataTransfer(); d.items.add(new File(["Part;Description;Qty;Shelf\n6207 N;ball bearing;2;9\n6308;ball bearing;1;8\n"], "kit.csv"));
				document.querySelector("input[type=file]").files = d.files; document.querySelector("input[type=file]").form.requestSubmit(); return true })()`)
			b.until(`document.querySelector("select[name='col.C']") !== null`)
			look("file")
		})
	}
}
