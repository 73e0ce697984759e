package page_test

import (
	"net/http/cookiejar"
	"net/url"
	"strconv"
	"strings"
	"testing"

	"layshaft/catalog"
	"layshaft/reconcile"
)

// TestSinceLastLook: somebody else's edit is news with its findings until it is
// marked as seen; an own edit is none; the address can name any revision.
func TestSinceLastLook(t *testing.T) {
	s := open(t)
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	s.Client().Jar = jar
	wants(t, s.get(t, "/jobs/7204", 200), "Nothing changed since you last looked")

	other(t, s, "7204", "pilot-rollers", "seen from across the bench")
	news := s.get(t, "/jobs/7204", 200)
	wants(t, news, "Since you last looked", "1 edit", "seen from across the bench", "Bo", "new since you last looked")
	if strings.Contains(s.get(t, "/jobs/7202", 200), "Since you last looked") {
		t.Error("what was seen at one job counts for another")
	}

	// An own edit on top of what was not seen leaves it unseen.
	s.send(t, "/jobs/7204/sign", 200, url.Values{"request": {"a"}, "finding": {"any"}, "by": {"Ada"}, "reason": {"looked"}})
	wants(t, s.get(t, "/jobs/7204", 200), "Since you last looked", "2 edits", "seen from across the bench")

	job, err := s.bench.Job(t.Context(), "7204")
	if err != nil {
		t.Fatal(err)
	}
	wants(t, s.send(t, "/jobs/7204/seen", 200, url.Values{"revision": {strconv.FormatUint(job.Rev, 10)}}), "Nothing changed since you last looked")
	wants(t, s.send(t, "/jobs/7204/sign", 200, url.Values{"request": {"b"}, "finding": {"other"}, "by": {"Ada"}, "reason": {"again"}}), "Nothing changed since you last looked")
	wants(t, s.get(t, "/jobs/7204?since="+strconv.FormatUint(job.Rev-2, 10), 200), `id="since" open`, "3 edits", "seen from across the bench")
	wants(t, s.get(t, "/jobs/7204?since=nonsense", 200), "Nothing changed since you last looked")
	s.send(t, "/jobs/7204/seen", 400, url.Values{"revision": {"-1"}})
}

// other makes somebody else's decision at a job.
func other(t *testing.T, s *shop, job reconcile.JobID, position catalog.PositionID, why string) {
	t.Helper()
	d := &reconcile.Decision{Job: job, Position: position, Choice: reconcile.Absent, Why: why}
	if _, err := s.bench.Change(t.Context(), job, catalog.Change{Request: why, Who: "Bo", Why: why, Put: []catalog.Record{d}}); err != nil {
		t.Fatal(err)
	}
}
