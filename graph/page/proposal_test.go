package page_test

import (
	"net/url"
	"regexp"
	"strings"
	"testing"
)

var proposalForm = regexp.MustCompile(`name="job" value="([^"]+)"> <input type="hidden" name="name" value="([^"]+)"> <input type="hidden" name="seen" value="([^"]+)"`)

// settling reads the form of the only open proposal.
func settling(t *testing.T, page, answer, reason string) url.Values {
	t.Helper()
	m := proposalForm.FindStringSubmatch(page)
	if m == nil {
		t.Fatal("no open proposal")
	}
	return url.Values{"request": {answer + reason}, "job": {m[1]}, "name": {m[2]}, "seen": {m[3]}, "settle": {answer}, "reason": {reason}}
}

// TestProposalAccepted: a bench says that a part was wrong at a place; accepted,
// the fitment is doubted by an edit of the curator that names the job and that
// can be taken back.
func TestProposalAccepted(t *testing.T) {
	s := open(t)
	wants(t, s.get(t, "/catalogue/proposals", 200), "No proposal here")
	const text = "this pilot roller was wrong for that shaft"
	made := s.send(t, "/jobs/7204/propose", 200, url.Values{"request": {"p1"}, "asks": {"not-here"}, "position": {"pilot-rollers"}, "part": {"th-roller"}, "text": {text}})
	wants(t, made, text, `class="st st-proposal-open"`, "Ada", "2026-03-24")
	list := s.get(t, "/catalogue/proposals", 200)
	wants(t, list, text, "Accept: doubt the fitment")
	// Sent twice, it is stored once and answered alike.
	accept := settling(t, list, "accept", "seen it too")
	s.send(t, "/catalogue/settle", 200, accept)
	s.send(t, "/catalogue/settle", 200, accept)
	wants(t, s.get(t, "/catalogue/proposals", 200), "No proposal here")
	done := s.get(t, "/catalogue/proposals?state=accepted", 200)
	wants(t, done, "seen it too", "Became edit")
	history := s.get(t, "/catalogue/history", 200)
	wants(t, history, "proposed at job 7204: "+text, "th92-haul/pilot-rollers/th-roller")
	if n := strings.Count(history, "proposed at job 7204"); n != 1 {
		t.Errorf("%d edits became of one proposal", n)
	}
	fits := func() string {
		for _, r := range s.csv(t, "/catalogue/parts/th-roller/used.csv") {
			if r[1] == "stated" && r[2] == "th92-haul" && r[3] == "pilot-rollers" {
				return r[4]
			}
		}
		return "no fitment"
	}
	if got := fits(); got != "doubted" {
		t.Errorf("the fitment is %s", got)
	}
	undo := regexp.MustCompile(`name="edit" value="(e\d+)" data-undo`).FindStringSubmatch(history)
	s.send(t, "/catalogue/undo", 200, url.Values{"request": {"back"}, "edit": {undo[1]}})
	if got := fits(); got == "doubted" {
		t.Error("taken back, the fitment is still doubted")
	}
}

// TestProposalOfASize becomes the property of the part, confirmed here.
func TestProposalOfASize(t *testing.T) {
	s := open(t)
	s.send(t, "/jobs/7203/propose", 200, url.Values{"request": {"p"}, "asks": {"size"}, "part": {"th-ring-100"}, "attribute": {"width"}, "value": {"3.25 mm"}, "text": {"measured three times"}})
	s.send(t, "/catalogue/settle", 200, settling(t, s.get(t, "/catalogue/proposals", 200), "accept", ""))
	wants(t, s.get(t, "/catalogue/parts/th-ring-100", 200), "3.25 mm", "job 7203: measured three times")
}

// TestProposalRefused needs a reason; what was typed stays, and another answer
// to a settled proposal is a conflict.
func TestProposalRefused(t *testing.T) {
	s := open(t)
	for _, bad := range []url.Values{
		{"asks": {"not-here"}, "position": {"pilot-rollers"}, "part": {"none"}, "text": {"words kept"}},
		{"asks": {"size"}, "part": {"th-ring-100"}, "attribute": {"width"}, "value": {"3.25"}, "text": {"words kept"}},
		{"asks": {"fits-here"}, "position": {"none"}, "part": {"th-ring-100"}, "text": {"words kept"}},
	} {
		wants(t, s.send(t, "/jobs/7204/propose", 422, bad), `role="alert"`, "words kept")
	}
	s.send(t, "/jobs/7204/propose", 200, url.Values{"request": {"p"}, "asks": {"words"}, "text": {"the drawing shows it the wrong way round"}})
	list := s.get(t, "/catalogue/proposals", 200)
	wants(t, s.send(t, "/catalogue/settle", 422, settling(t, list, "refuse", "")), `role="alert"`, "the wrong way round")
	refuse := settling(t, list, "refuse", "it is drawn from the other side")
	s.send(t, "/catalogue/settle", 200, refuse)
	wants(t, s.get(t, "/jobs/7204/propose", 200), `class="st st-proposal-refused"`, "it is drawn from the other side")
	refuse.Set("settle", "accept")
	wants(t, s.send(t, "/catalogue/settle", 409, refuse), `role="alert"`)
	if strings.Contains(s.get(t, "/catalogue/history", 200), "the wrong way round") {
		t.Error("a refused proposal changed the catalogue")
	}
	s.send(t, "/catalogue/settle", 400, url.Values{"job": {"7204"}})
}
