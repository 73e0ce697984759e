package page_test

import (
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// looked are the pages that a person must be able to look at in every way.
var looked = []struct{ name, path string }{
	{"jobs", "/"},
	{"job-7204", "/jobs/7204"},
	{"job-7202", "/jobs/7202"},
	{"decisions-7202", "/jobs/7202/decisions"},
	{"sheet-7204", "/jobs/7204/sheet"},
	{"bench-sheet-7204", "/jobs/7204/bench-sheet"},
	{"head-7202", "/jobs/7202/edit"},
	{"detail-7202", "/jobs/7202/decisions/oil-slinger"},
	{"counter", "/counter"},
	{"counter-bw76", "/counter?family=bw76&o.input=23&o.cs-drive=37&o.gear-3rd=28&o.cs-3rd=26&o.clutch-splines=26"},
	{"fit-which", "/counter/fit"},
	{"fit-ask", "/counter/fit?variant=bw76-ew2"},
	{"fit", "/counter/fit?variant=bw76-ew2&position=input-bearing&part=bw-brg-6207n"},
	{"measure-7202", "/jobs/7202/measure"},
	{"stack-empty", "/jobs/7202/measure/main-end-play"},
	{"stack", "/jobs/7202/measure/counter-end-play?unit=mm&r.trial-shim=0.9&r.travel=0.31&r.travel=0.32&r.travel=0.31"},
	{"look-up", "/look-up?q=6207-2RS+C3+NR"},
	{"look-up-seat", "/look-up?seat=35+k6&bearing=6207"},
	{"look-up-pair", "/look-up?driving=23&driven=37&module=2.75"},
	{"since-7204", "/jobs/7204?since=1"},
	{"one-shaft", "/jobs/7202?shaft=main#picture"},
	{"needs", "/counter/needs/bw76-ew2"},
	{"catalogue", "/catalogue"},
	{"family", "/catalogue/families/bw76"},
	{"variant", "/catalogue/variants/bw76-ew2"},
	{"parts", "/catalogue/parts?kind=ball+bearing"},
	{"part", "/catalogue/parts/th-roller-6125"},
	{"compare", "/catalogue/compare?a=bw-brg-6207n&b=bw-brg-6306n"},
	{"compare-none", "/catalogue/compare?a=th-roller-6125&b=none"},
	{"used", "/catalogue/parts/bw-brg-6207n/used"},
	{"search", "/catalogue/search?q=6207"},
	{"problems", "/catalogue/problems"},
	{"shortages", "/shortages"},
	{"shortages-by-part", "/shortages?by=part"},
	{"ordered", "/shortages/ordered"},
	{"what-if", "/shortages/what-if?job=7204&a=all&b=none"},
	{"what-if-choose", "/shortages/what-if?job=7206"},
	{"cover", "/shortages/cover?family=bw76"},
	{"edit-part", "/catalogue/parts/th-roller-6125/edit"},
	{"edit-position", "/catalogue/positions/bw76/oil-slinger/edit"},
	{"edit-variant", "/catalogue/variants/bw76-ew2/edit"},
	{"new-part", "/catalogue/new/part"},
	{"new-fitment", "/catalogue/new/fitment?variant=bw76-ew2&position=input-bearing"},
	{"new-fitment-for", "/catalogue/new/fitment?part=bw-brg-6207n"},
	{"edit-fitment", "/catalogue/fitments/bw76-ew2/input-bearing/bw-brg-6207n/edit"},
	{"edit-mate", "/catalogue/rules/mates/bw76/coupling-splines/edit"},
	{"edit-stack", "/catalogue/rules/stacks/bw76/counter-end-play/edit"},
	{"edit-limit", "/catalogue/rules/limits/bw76/case-input-bore/edit"},
	{"edit-offer", "/catalogue/offers/grauwasser-ball-794/edit"},
	{"catalogue-history", "/catalogue/history"},
	{"proposals", "/catalogue/proposals"},
	{"propose-7204", "/jobs/7204/propose?position=pilot-rollers"},
	{"missing", "/jobs/none"},
	{"history-7204", "/jobs/7204/history"},
}

// TestLooks opens every page in every way: nothing clipped, nothing overlapping,
// no sideways scroll, no accessibility rule broken, a silent console.
func TestLooks(t *testing.T) {
	s := open(t)
	parent := browser(t)
	for _, v := range viewings {
		t.Run(v.name, func(t *testing.T) {
			b := s.tab(t, parent, v)
			b.excuse = "404 (Not Found)" // of the page that is not there
			for _, l := range looked {
				if !asked(l.name) {
					continue
				}
				b.open(l.path)
				b.shoot(l.name + "-" + v.name)
				if bad := ask[[]string](b, misplaced); len(bad) > 0 {
					t.Errorf("%s:\n%s", l.path, strings.Join(bad, "\n"))
				}
				if bad := b.axe(); len(bad) > 0 {
					t.Errorf("%s:\n%s", l.path, strings.Join(bad, "\n"))
				}
			}
		})
	}
}

// asked tells whether a page is to be looked at: LAYSHAFT_LOOK picks some while they
// are worked on.
func asked(name string) bool {
	only := os.Getenv("LAYSHAFT_LOOK")
	return only == "" || regexp.MustCompile(only).MatchString(name)
}

// TestMisplacedSees: the assertions on layout find what they are for.
func TestMisplacedSees(t *testing.T) {
	s := open(t)
	b := s.tab(t, browser(t), viewings[2])
	for fault, script := range map[string]string{
		"page scrolls sideways": `document.querySelector("h1").insertAdjacentElement("afterend", Object.assign(document.createElement("p"), {textContent: "W".repeat(300), className: "wide"})).style.whiteSpace = "nowrap"`,
		"overlap":               `document.querySelector("h1").style.marginBottom = "-2rem"`,
		"clipped":               `Object.assign(document.querySelector("h1").style, {overflow: "hidden", width: "4rem", whiteSpace: "nowrap"})`,
	} {
		b.open("/")
		b.do(chromedp.Evaluate[chromedp.Void](script))
		if bad := strings.Join(ask[[]string](b, misplaced), "\n"); !strings.Contains(bad, fault) {
			t.Errorf("%s was not seen: %q", fault, bad)
		}
	}
}
