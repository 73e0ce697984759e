package page_test

import (
	"encoding/csv"
	"net/url"
	"strings"
	"testing"

	"layshaft/catalog"
	"layshaft/reconcile"
)

// TestWhatIf puts the list of a job against no list: what the list covered is
// short on the other side, and the export says the same.
func TestWhatIf(t *testing.T) {
	s := open(t)
	wants(t, s.get(t, "/shortages/what-if", 200), `name="job"`)
	wants(t, s.get(t, "/shortages/what-if?job=7204", 200), `<fieldset class="side">`, "Grauwasser Überholsatz")
	sides := "job=7204&a=all&b=none"
	wants(t, s.get(t, "/shortages/what-if?"+sides, 200), "Side by side", "Short, where the sides differ", `class="st st-covered"`)
	rows, err := csv.NewReader(strings.NewReader(s.get(t, "/shortages/what-if.csv?"+sides, 200))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	covered := 0
	for _, r := range rows {
		if r[0] == "short" && r[3] == "covered" && r[4] != "covered" {
			covered++
		}
		if r[0] == "short" && r[4] == "covered" {
			t.Errorf("no list at all covers %s", r[2])
		}
	}
	if covered == 0 {
		t.Error("the list covers nothing that would be short without it")
	}
	// A side against itself differs in nothing.
	wants(t, s.get(t, "/shortages/what-if?job=7204&a=all&b=7204/k1", 200), "The same is short on both sides.", "The same is left over on both sides.")
}

// TestWhatIfKeepsAnswers: a line that a person answered stays answered when its
// list is tried.
func TestWhatIfKeepsAnswers(t *testing.T) {
	s := open(t)
	job, err := s.bench.Job(t.Context(), "7204")
	if err != nil {
		t.Fatal(err)
	}
	list, err := job.KitListCopy("k1")
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range s.bench.ReportOn(job).Lines {
		if l.Place == nil || l.Outcome != reconcile.Certain {
			continue
		}
		answer, err := list.AnswerFor(l.Place.Line, l.Place.Sub)
		if err != nil {
			t.Fatal(err)
		}
		answer.Part = "" // none of ours, though it was read with certainty
		list.SetAnswer(answer)
	}
	if _, err := s.bench.Change(t.Context(), "7204", catalog.Change{Request: "answers", Who: "t", Put: []catalog.Record{list}}); err != nil {
		t.Fatal(err)
	}
	wants(t, s.get(t, "/shortages/what-if?job=7204&a=all&b=7204/k1", 200), "The same is short on both sides.")
	unanswered := s.get(t, "/shortages/what-if?job=7204&a=all&b=text&btext="+url.QueryEscape(list.Text), 200)
	wants(t, unanswered, `class="st st-covered"`)
	typed := s.get(t, "/shortages/what-if?job=7204&a=all&b=text&btext="+url.QueryEscape("1 x 6308 N"), 200)
	wants(t, typed, "Only on side B: the text typed here", "1 x 6308 N")
}

func TestWhatIfRefuses(t *testing.T) {
	s := open(t)
	s.get(t, "/shortages/what-if?job=none&a=all&b=none", 404)
	s.get(t, "/shortages/what-if?job=7204&a=all&b=7204/none", 404)
	s.get(t, "/shortages/what-if?job=7204&a=all&b=none/k1", 404)
	s.get(t, "/shortages/what-if?job=7204&a=all&b=text&btext="+strings.Repeat("W", 4001), 413)
	s.get(t, "/shortages/what-if.csv?job=7204", 400)
}

// TestCover: every kit list of the family meets every job, in picture and table
// alike, and a kit tried on its own job covers what the job's report says.
func TestCover(t *testing.T) {
	s := open(t)
	page := s.get(t, "/shortages/cover?family=th92", 200)
	rows, err := csv.NewReader(strings.NewReader(s.get(t, "/shortages/cover.csv?family=th92", 200))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) != 1+2*2 {
		t.Fatalf("%d rows, want two kits by two jobs and a head", len(rows))
	}
	for _, r := range rows[1:] {
		if want := r[7] + "/" + r[6] + "</text>"; !strings.Contains(page, want) {
			t.Errorf("the picture lacks %q", want)
		}
	}
	if n := strings.Count(page, `class="cell `); n != 4 {
		t.Errorf("%d cells in the picture, want 4", n)
	}
	wants(t, s.get(t, "/shortages/cover", 200), `class="matrix"`)
	wants(t, s.get(t, "/shortages/cover?family=none", 200), "No kit list lies")
}

func TestCompareParts(t *testing.T) {
	s := open(t)
	page := s.get(t, "/catalogue/compare?a=bw-brg-6207n&b=bw-brg-6306n", 200)
	wants(t, page, `class="is-differs"`, "mm</td>", "/catalogue/compare.csv?a=bw-brg-6207n&amp;b=bw-brg-6306n")
	rows := s.csv(t, "/catalogue/compare.csv?a=bw-brg-6207n&b=bw-brg-6306n")
	bore := ""
	for _, r := range rows {
		if r[0] == "bore" {
			bore = strings.Join(r[3:], " ")
		}
	}
	if bore != "35 mm 30 mm differs -5" { // ISO 15: bore 35 for 07, 30 for 06
		t.Errorf("bore compares as %q", bore)
	}
	wants(t, s.get(t, "/catalogue/compare?a=bw-brg-6207n&b=none", 200), "not in the catalogue")
	wants(t, s.get(t, "/catalogue/compare", 200), "Name two parts")
}

func TestWhereUsed(t *testing.T) {
	s := open(t)
	wants(t, s.get(t, "/catalogue/parts/bw-brg-6207n/used", 200), "/catalogue/parts/bw-brg-6207nr", "In open jobs")
	kinds := map[string]int{}
	for _, r := range s.csv(t, "/catalogue/parts/bw-brg-6207n/used.csv")[1:] {
		kinds[r[1]]++
	}
	if kinds["stated"] == 0 || kinds["set"] != 2 {
		t.Errorf("uses are %v", kinds)
	}
	s.get(t, "/catalogue/parts/none/used", 404)
}

// csv reads an export.
func (s *shop) csv(t *testing.T, path string) [][]string {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(s.get(t, path, 200))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows
}
