package page_test

import (
	"html"
	"net/url"
	"regexp"
	"strings"
	"testing"
)

// TestNewPartAndFitment: a part that is not there yet is written down, then where it
// fits; both are refused with words where they cannot be, and both can be taken back.
func TestNewPartAndFitment(t *testing.T) {
	s := open(t)
	wants(t, s.get(t, "/catalogue/parts", 200), `href="/catalogue/new/part"`)
	part := form(t, s.get(t, "/catalogue/new/part", 200))
	part.Set("why", "bought from the estate")
	wants(t, s.send(t, "/catalogue/new/part", 422, part), `class="fault"`) // no identifier, no name
	for name, value := range map[string]string{"id": "bw-brg-odd", "name": "Input bearing, odd maker", "kind": "bearing", "designation": "6207N",
		"numbers.0.text": "OM-17", "numbers.0.issuer": "odd-maker", "source": "the box it came in"} {
		part.Set(name, value)
	}
	wants(t, s.send(t, "/catalogue/new/part", 200, part), "bought from the estate", "bw-brg-odd", "Ada")
	again := form(t, s.get(t, "/catalogue/new/part", 200))
	for name := range part {
		if name != "request" {
			again[name] = part[name]
		}
	}
	wants(t, s.send(t, "/catalogue/new/part", 409, again), "odd maker", `role="alert"`) // there is one of that identifier

	sheet := s.get(t, "/catalogue/parts/bw-brg-odd", 200)
	wants(t, sheet, `href="/catalogue/new/fitment?part=bw-brg-odd"`, "No position of any variant names it")
	wants(t, s.get(t, "/catalogue/new/fitment?part=bw-brg-odd", 200), `href="/catalogue/new/fitment?variant=bw76-ew2&amp;part=bw-brg-odd"`)
	fit := form(t, s.get(t, "/catalogue/new/fitment?variant=bw76-ew2&part=bw-brg-odd", 200))
	fit.Set("why", "tried on the bench")
	wants(t, s.send(t, "/catalogue/new/fitment", 422, fit), `class="fault"`) // no position
	fit.Set("position", "input-bearing")
	fit.Set("standing", "CONFIRMED")
	fit.Set("source", "Ada")
	wants(t, s.send(t, "/catalogue/new/fitment", 200, fit), "tried on the bench", "bw76-ew2/input-bearing/bw-brg-odd")
	wants(t, s.get(t, "/catalogue/parts/bw-brg-odd", 200), "bw76-ew2", "/catalogue/fitments/bw76-ew2/input-bearing/bw-brg-odd/edit")

	const path = "/catalogue/fitments/bw76-ew2/input-bearing/bw-brg-odd/edit"
	changed := form(t, s.get(t, path, 200))
	if changed.Get("standing") != "CONFIRMED" || changed.Get("part") != "bw-brg-odd" {
		t.Errorf("the form shows %v", changed)
	}
	changed.Set("standing", "DOUBTED")
	changed.Set("why", "it ran hot")
	after := s.send(t, path, 200, changed)
	wants(t, after, "it ran hot")
	undo := regexp.MustCompile(`name="edit" value="(e\d+)" data-undo`).FindStringSubmatch(after)
	s.send(t, "/catalogue/undo", 200, url.Values{"request": {"u"}, "edit": {undo[1]}})
	if got := form(t, s.get(t, path, 200)).Get("standing"); got != "CONFIRMED" {
		t.Errorf("taken back, the fitment is %s", got)
	}
	s.get(t, "/catalogue/fitments/bw76-ew2/input-bearing/none/edit", 404)
	s.get(t, "/catalogue/new/fitment?variant=none", 404)
}

// TestProblemsLeadToTheirForm: every problem of a place without a fitting part leads
// to the form that says what fits, with the place filled in and what fits there now.
func TestProblemsLeadToTheirForm(t *testing.T) {
	s := open(t)
	const path = "/catalogue/fitments/bw76-ew2/input-bearing/bw-brg-6306n/edit"
	unmarked := form(t, s.get(t, path, 200))
	if unmarked.Get("standard") != "yes" {
		t.Fatal("the demo's bearing is not the standard one")
	}
	unmarked.Del("standard")
	unmarked.Set("why", "to have a problem")
	s.send(t, path, 200, unmarked)
	problems := s.get(t, "/catalogue/problems", 200)
	links := regexp.MustCompile(`class="act" href="([^"]+)"`).FindAllStringSubmatch(problems, -1)
	fitting := 0
	for _, l := range links {
		to := html.UnescapeString(l[1])
		wants(t, s.get(t, to, 200), `class="record"`)
		if strings.HasPrefix(to, "/catalogue/new/fitment?") {
			fitting++
			wants(t, s.get(t, to, 200), "What is said to fit there now", path)
		}
	}
	t.Logf("%d problems lead to a form, %d of them to a new fitment", len(links), fitting)
	if fitting == 0 {
		t.Error("no problem leads to the form of a fitment")
	}
}

// TestProblemsOfRulesLeadToTheirForm: what the check says of a mate, a stack, a limit
// or an offer leads to its form, where it stands.
func TestProblemsOfRulesLeadToTheirForm(t *testing.T) {
	s := open(t)
	for _, x := range []struct{ path, field, to string }{
		{"/catalogue/rules/mates/bw76/coupling-splines/edit", "a at", "nowhere"},
		{"/catalogue/rules/stacks/bw76/counter-end-play/edit", "min", "0.069"},
		{"/catalogue/rules/limits/bw76/case-input-bore/edit", "wearMax", ""},
		{"/catalogue/offers/grauwasser-ball-794/edit", "breaks.1.price", "999.00 EUR"},
	} {
		sent := form(t, s.get(t, x.path, 200))
		if _, ok := sent[x.field]; !ok {
			t.Fatalf("%s has no field %s", x.path, x.field)
		}
		sent.Set(x.field, x.to)
		if x.field == "wearMax" {
			sent.Set("wearMin", "")
		}
		if x.field == "min" {
			sent.Set("max", "0.071")
		}
		sent.Set("why", "to have a problem")
		s.send(t, x.path, 200, sent)
		wants(t, s.get(t, "/catalogue/problems", 200), `class="act" href="`+x.path+`"`)
		if told := s.get(t, x.path, 200); !strings.Contains(told, `class="fault"`) && !strings.Contains(told, `role="alert"`) {
			t.Errorf("%s does not say what is wrong", x.path)
		}
	}
	s.get(t, "/catalogue/rules/mates/bw76/none/edit", 404)
	s.get(t, "/catalogue/rules/families/bw76/bw76/edit", 404)
	s.get(t, "/catalogue/offers/none/edit", 404)
}
