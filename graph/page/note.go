package page

import (
	"net/http"
	"slices"
	"strings"

	"github.com/a-h/templ"
)

// noteView is a bench note as it was read: a preview of what one edit would
// decide, and what a person must say.
type noteView struct {
	*ReadNoteReadBenchNotesBenchNotesReading
	Job     *decisionView
	Text    string
	Kept    int // decisions that were kept a moment ago
	Problem []told
}

// keeps the text for the way back, until it is stored.
func (v *noteView) keeps() templ.Attributes {
	if v.Kept > 0 {
		return nil
	}
	return templ.Attributes{"data-keep": "note-" + v.Job.Job.Key}
}

// note previews a bench note, or keeps the decisions that are ticked as one edit.
func (p *Pages) note(w http.ResponseWriter, r *http.Request) error {
	text := strings.ReplaceAll(r.PostFormValue("text"), "\r\n", "\n")
	v, err := p.readDecisions(r)
	if err != nil {
		return err
	}
	in := ReadBenchNotesInput{Text: text, Family: v.Job.FamilyKey, Today: ptr(p.today())}
	if v.Job.Variant != nil {
		in.Variant = v.Job.Variant.Key
	}
	data, err := ReadNote(r.Context(), p.api, in)
	if err != nil {
		return err
	}
	nv := &noteView{&data.ReadBenchNotes, v, text, 0, nil}
	status := http.StatusOK
	if r.PostFormValue("keep") != "" {
		if nv.Problem, err = p.keepNote(r, nv); err != nil {
			return err
		}
		if len(nv.Problem) > 0 {
			status = statusFor(nv.Problem)
		} else if len(nv.Questions)+len(nv.Remarks) == 0 {
			return back(w, r, jobPath(v.Job.Key, "decisions"))
		}
	}
	return p.render(w, r, status, p.jobFrame(r, &v.Job.JobHead, "decisions", v.Shop.CatalogueRevision), noteSheet(nv))
}

// keepNote stores the ticked decisions. What the page showed as decided is named
// with its revision, so that nobody's later word is overwritten.
func (p *Pages) keepNote(r *http.Request, v *noteView) ([]told, error) {
	var in []DecisionInput
	for i := range v.Decisions {
		d := &v.Decisions[i]
		if !slices.Contains(r.PostForm["position"], d.Position) {
			continue
		}
		seen := r.PostFormValue("seen." + d.Position)
		x := v.Job.decision(d.Position, d.Choice, "", &seen)
		x.Quantity, x.Why = d.Quantity, d.Why
		if d.Measured != "" {
			x.Measured = d.Measured
		}
		if d.Treatment != "" {
			x.Treatment = d.Treatment
		}
		if d.Due != nil {
			x.Due = d.Due
		}
		in = append(in, x)
	}
	if len(in) == 0 {
		return []told{{"INVALID", say("note.nothing"), "", say("note.nothing.remedy")}}, nil
	}
	e := edit(r)
	e.Why = some(say("note.why"))
	data, err := Decide(r.Context(), p.api, e, in)
	if err != nil {
		return nil, err
	}
	faults := toldOf(data.Decide.UserErrors)
	if len(faults) == 0 {
		v.Kept = len(in)
	}
	return faults, nil
}
