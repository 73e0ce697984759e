package notes

import (
	"os"
	"testing"
)

// TestEvaluate reads the labelled corpus, round by round, and holds the goals:
// 95 % of the decisions right, none invented. First sight, before anything was
// changed because of a round, is in testdata/first-sight.txt.
//
//	go test -run Evaluate -v ./reconcile/notes
func TestEvaluate(t *testing.T) {
	rd, err := shop()
	if err != nil {
		t.Fatal(err)
	}
	files, err := os.ReadDir("testdata/rounds")
	if err != nil {
		t.Fatal(err)
	}
	var all tally
	for _, f := range files {
		var round tally
		for _, l := range readRound(t, rd, f.Name()) {
			r := rd.Read(l.family, l.variant, l.text, day)
			if err := r.Check(); err != nil {
				t.Errorf("%s: %v", l.name, err)
			}
			n, faults := l.score(&r)
			round = round.plus(n)
			report(t, &l, &r, faults)
		}
		t.Logf("round %s: %s", f.Name(), round)
		all = all.plus(round)
	}
	t.Logf("all: %s", all)
	if all.right*100 < all.wanted*95 {
		t.Errorf("%d of %d decisions are right, want 95 %%", all.right, all.wanted)
	}
	if all.invented > 0 {
		t.Errorf("%d decisions are invented", all.invented)
	}
}

// TestBlind reads the rounds of testdata/blind, which are labelled but not mended for yet: their figures are shown as they
// are, and only what is invented fails.
func TestBlind(t *testing.T) {
	rd, err := shop()
	if err != nil {
		t.Fatal(err)
	}
	files, err := os.ReadDir("testdata/blind")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		var round tally
		for _, l := range readRound(t, rd, "../blind/"+f.Name()) {
			r := rd.Read(l.family, l.variant, l.text, day)
			if err := r.Check(); err != nil {
				t.Errorf("%s: %v", l.name, err)
			}
			n, faults := l.score(&r)
			round = round.plus(n)
			report(t, &l, &r, faults)
		}
		t.Logf("round %s: %s", f.Name(), round)
		if round.invented > 0 {
			t.Errorf("round %s: %d decisions are invented", f.Name(), round.invented)
		}
	}
}

// report shows what differs from the labels, with the questions that were asked instead.
func report(t *testing.T, l *labelled, r *Result, faults []string) {
	t.Helper()
	for _, x := range faults {
		t.Log(x)
	}
	for _, q := range r.Questions {
		if len(faults) > 0 {
			t.Logf("%s:   question %s %q: %s", l.name, q.Code, q.Text, q.Why)
		}
	}
}
