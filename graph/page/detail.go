package page

import (
	"net/http"
	"slices"
)

// detailView is the whole of one position's decision.
type detailView struct {
	*decisionView
	Position *PositionRow
	Typed    DecisionInput // what the form shows: as stored, or as typed
	Stale    bool          // somebody else decided meanwhile; both are shown
}

// detail shows the whole decision at a position.
func (p *Pages) detail(w http.ResponseWriter, r *http.Request) error {
	v, err := p.readDetail(r)
	if err != nil {
		return err
	}
	name := v.Position.Name
	v.Typed = v.decision(name, v.choice(name), "", ptr(v.rev(name)))
	if d := v.decided[name]; d != nil {
		v.Typed.Part = d.Part
	}
	return p.showDetail(w, r, http.StatusOK, v)
}

func (p *Pages) readDetail(r *http.Request) (*detailView, error) {
	d, err := p.readDecisions(r)
	if err != nil {
		return nil, err
	}
	for i := range d.Groups {
		for _, pos := range d.Groups[i].Positions {
			if pos.Name == r.PathValue("position") {
				return &detailView{decisionView: d, Position: pos}, nil
			}
		}
	}
	return nil, notFound(say("error.place", r.PathValue("position")))
}

func (p *Pages) showDetail(w http.ResponseWriter, r *http.Request, status int, v *detailView) error {
	return p.render(w, r, status, p.jobFrame(r, &v.Job.JobHead, "decisions", v.Shop.CatalogueRevision), detailSheet(v))
}

// keepDetail stores it. A form that is out of date is shown again as typed, beside
// what stands now.
func (p *Pages) keepDetail(w http.ResponseWriter, r *http.Request) error {
	v, err := p.readDetail(r)
	if err != nil {
		return err
	}
	quantity, err := number(r, "quantity")
	if err != nil {
		return err
	}
	choice := Choice(r.PostFormValue("choice"))
	if !slices.Contains(choices, choice) {
		return &refusal{http.StatusBadRequest, say("error.choice"), say("error.choice.remedy")}
	}
	name := v.Position.Name
	in := v.decision(name, choice, r.PostFormValue("part"), ptr(field(r, "seen")))
	in.Quantity, in.Treatment, in.Due = quantity, field(r, "treatment"), some(field(r, "due"))
	in.Measured, in.Why, in.Returned = field(r, "measured"), field(r, "reason"), r.PostFormValue("returned") != ""
	data, err := Decide(r.Context(), p.api, edit(r), []DecisionInput{in})
	if err != nil {
		return err
	}
	if v.Problem = toldOf(data.Decide.UserErrors); len(v.Problem) > 0 {
		status := statusFor(v.Problem)
		v.Typed, v.Stale = in, status == http.StatusConflict
		return p.showDetail(w, r, status, v)
	}
	return back(w, r, jobPath(v.Job.Key, "decisions")+"#"+anchor("p", name))
}

// unlisted: the part that was chosen is not among those that fit; the form offers
// it all the same, so that saving does not drop it.
func (v *detailView) unlisted() bool {
	return v.Typed.Part != "" && !slices.ContainsFunc(v.parts[v.Position.Name], func(x *PartLabel) bool { return x.Key == v.Typed.Part })
}
