package server_test

import (
	"encoding/base64"
	"strings"
	"testing"

	"layshaft/catalog/exchange"
)

const (
	memoryList  = "1 x Tensioner widget, striped\n1 x zonkers\n"
	memoryAgain = "Kit\n4 off  TENSIONER WIDGET, STRIPED   12.50\n"
)

// outcome of the line that holds the widget, in a job's list.
func (s *shop) outcome(t *testing.T, list string) (outcome, part string) {
	t.Helper()
	var got struct {
		Job struct {
			Readings []struct {
				List    string
				Reading struct {
					Lines []struct {
						Text   string
						Supply *struct{ Outcome, Part string }
					}
				}
			}
		}
	}
	s.ask(t, `{job(key:"7201"){readings{list reading{lines{text supply{outcome part:partKey}}}}}}`, nil, &got)
	for _, r := range got.Job.Readings {
		for _, l := range r.Reading.Lines {
			if r.List == list && strings.Contains(strings.ToLower(l.Text), "widget") && l.Supply != nil {
				return l.Supply.Outcome, l.Supply.Part
			}
		}
	}
	return "", ""
}

// TestAnswersAreRemembered: an answered line is certain in the supplier's next
// list; a repeated request is one edit; the undo makes it a question again.
func TestAnswersAreRemembered(t *testing.T) {
	s := openShop(t)
	keep := `mutation($n:String!,$t:String!,$r:String!){putKitList(edit:{requestId:$r job:"7201"} list:{name:$n title:"kit" supplier:"tarnbeck" text:$t}){userErrors{message}}}`
	var ignored struct{}
	s.ask(t, keep, map[string]any{"n": "first", "t": memoryList, "r": "keep-1"}, &ignored)
	s.ask(t, keep, map[string]any{"n": "again", "t": memoryAgain, "r": "keep-2"}, &ignored)
	if o, _ := s.outcome(t, "again"); o == "CERTAIN" || o == "" {
		t.Fatalf("the line is %q before anybody answered", o)
	}
	type payload struct {
		AnswerLines struct {
			Edit, Remembered *struct{ Key string }
			UserErrors       []struct{ Message string }
		}
	}
	answer := `mutation{answerLines(edit:{requestId:"answer-1" job:"7201"} answers:[{list:"first" line:1 part:"ball-794" remember:true}]){edit{key} remembered{key} userErrors{message}}}`
	var first, second payload
	s.ask(t, answer, nil, &first)
	if first.AnswerLines.Edit == nil || first.AnswerLines.Remembered == nil || len(first.AnswerLines.UserErrors) > 0 {
		t.Fatalf("%+v", first)
	}
	s.ask(t, answer, nil, &second)
	if *second.AnswerLines.Edit != *first.AnswerLines.Edit || *second.AnswerLines.Remembered != *first.AnswerLines.Remembered {
		t.Error("the same request made another edit")
	}
	if o, p := s.outcome(t, "again"); o != "CERTAIN" || p != "ball-794" {
		t.Errorf("the next list's line is %s %s", o, p)
	}
	var listed struct {
		Aliases []struct{ Text, Part, Supplier string }
	}
	s.ask(t, `{aliases(supplier:"tarnbeck"){text part supplier}}`, nil, &listed)
	found := false
	for _, a := range listed.Aliases {
		found = found || a.Text == "tensioner widget striped" && a.Part == "ball-794"
	}
	if !found {
		t.Errorf("not listed: %+v", listed.Aliases)
	}
	files, err := exchange.Package(s.curator.Tables())
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(files["aliases.csv"]), "tensioner widget striped") {
		t.Error("not exported")
	}
	var undone struct {
		UndoEdit struct{ UserErrors []struct{ Message string } }
	}
	s.ask(t, `mutation($e:String!){undoEdit(input:{requestId:"undo-1" edit:$e}){userErrors{message}}}`, map[string]any{"e": first.AnswerLines.Remembered.Key}, &undone)
	if len(undone.UndoEdit.UserErrors) > 0 {
		t.Fatalf("%+v", undone)
	}
	if o, _ := s.outcome(t, "again"); o == "CERTAIN" || o == "" {
		t.Errorf("after the undo the line is %q", o)
	}
}

// TestBenchNotesPreview: what the preview states is stored by decide.
func TestBenchNotesPreview(t *testing.T) {
	s := openShop(t)
	var got struct {
		ReadBenchNotes struct {
			Decisions []struct{ Position, Label, Choice, Due, Measured, Why string }
			Questions []struct{ Code, Text string }
			Spans     []struct{ Start, End int }
		}
	}
	note := "5th hub with its sleeve new; rev idler shaft mic'd, fine, keep; the frobnicator new"
	s.ask(t, `query($t:String!){readBenchNotes(input:{text:$t variant:"bw76-lc2"}){decisions{position label choice due measured why} questions{code text} spans{start end}}}`, map[string]any{"t": note}, &got)
	n := got.ReadBenchNotes
	if len(n.Decisions) != 3 || n.Decisions[0].Position != "hub-5r" || n.Decisions[2].Choice != "REUSE" || n.Decisions[2].Measured != "mic'd, fine" || len(n.Questions) != 1 {
		t.Fatalf("%+v", n)
	}
	at := 0
	for _, sp := range n.Spans {
		if sp.Start != at {
			t.Errorf("span at %d, want %d", sp.Start, at)
		}
		at = sp.End
	}
	if at != len(note) {
		t.Errorf("spans end at %d of %d", at, len(note))
	}
	var decided struct {
		Decide struct {
			Job struct {
				Decisions []struct{ Position, Why string }
			}
			UserErrors []struct{ Message string }
		}
	}
	s.ask(t, `mutation($w:String!){decide(edit:{requestId:"d1" job:"7201"} decisions:[{position:"hub-5r" choice:REPLACE why:$w}]){job{decisions{position why}} userErrors{message}}}`, map[string]any{"w": n.Decisions[0].Why}, &decided)
	if len(decided.Decide.UserErrors) > 0 {
		t.Fatalf("%+v", decided)
	}
	if a, _ := s.post(t, `{readBenchNotes(input:{text:"hub"}){decisions{position}}}`, nil); len(a.Errors) == 0 {
		t.Error("a note without a gearbox was read")
	}
}

// TestKitFile: a CSV file is read over the API, its lines tied to its cells.
func TestKitFile(t *testing.T) {
	s := openShop(t)
	var got struct {
		ReadKitFile struct {
			Text    string
			Head    int
			Columns []struct{ Letter, Kind string }
			Cells   []struct {
				Start, End int
				Ref        string
			}
			Reading struct {
				Lines []struct {
					Kind   string
					Supply *struct {
						Part   string
						Pieces int
					}
				}
			}
		}
	}
	file := base64.StdEncoding.EncodeToString([]byte("Art.-Nr;Bezeichnung;Menge\nTB-1035;ball;2\n"))
	s.ask(t, `query($f:String!){readKitFile(input:{name:"kit.csv" contentBase64:$f variant:"bw76-lw2" supplier:"tarnbeck"}){text head columns{letter kind} cells{start end ref} reading{lines{kind supply{part:partKey pieces}}}}}`, map[string]any{"f": file}, &got)
	k := got.ReadKitFile
	if k.Head != 1 || len(k.Columns) != 3 || k.Columns[2].Kind != "qty" || len(k.Cells) != 6 || k.Text[k.Cells[3].Start:k.Cells[3].End] != "TB-1035" || k.Cells[3].Ref != "A2" {
		t.Errorf("%+v", k)
	}
	last := k.Reading.Lines[len(k.Reading.Lines)-1]
	if last.Supply == nil || last.Supply.Part != "ball-794" || last.Supply.Pieces != 2 {
		t.Errorf("%+v", last)
	}
	for _, bad := range []string{"%%%", base64.StdEncoding.EncodeToString([]byte("PK\x03\x04 no workbook")), base64.StdEncoding.EncodeToString([]byte("a\x00b"))} {
		if a, _ := s.post(t, `query($f:String!){readKitFile(input:{name:"kit" contentBase64:$f}){text}}`, map[string]any{"f": bad}); len(a.Errors) == 0 {
			t.Errorf("%q was read", bad)
		}
	}
}

// TestTaughtAndRefit: words are proposed, weights stay while answers are few.
func TestTaughtAndRefit(t *testing.T) {
	s := openShop(t)
	var ignored struct{}
	s.ask(t, `mutation{putKitList(edit:{requestId:"k" job:"7201"} list:{name:"w" title:"w" text:"main shaft wibbler 1 off\n"}){userErrors{message}}}`, nil, &ignored)
	s.ask(t, `mutation{answerLines(edit:{requestId:"a" job:"7201"} answers:[{list:"w" line:1 part:"bw-nut-m24lh"}]){userErrors{message}}}`, nil, &ignored)
	var got struct {
		WordsTaught []struct {
			Variant, Canonical string
			Lines              []string
		}
		RefitWeights struct {
			Rows    int
			Adopted bool
			Table   string
		}
	}
	s.ask(t, `{wordsTaught(job:"7201"){variant canonical lines} refitWeights{rows adopted table}}`, nil, &got)
	if len(got.WordsTaught) != 1 || got.WordsTaught[0].Variant != "wibbler" || got.WordsTaught[0].Canonical != "nut" {
		t.Errorf("%+v", got.WordsTaught)
	}
	if got.RefitWeights.Adopted || !strings.HasPrefix(got.RefitWeights.Table, "name,value\n") {
		t.Errorf("%+v", got.RefitWeights)
	}
}
