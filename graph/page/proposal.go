package page

import (
	"net/http"
	"strconv"
)

// proposalView is a sheet of proposals: of all jobs for the curator, or of one
// job for those who make them.
type proposalView struct {
	Proposals []ProposalRow
	State     ProposalState
	Revision  string
	Problem   []told
	Settling  string // key of the proposal whose answer was refused
	Reason    string // what was typed for it
}

// proposeView is the form of a proposal at a job.
type proposeView struct {
	*ProposeSheetResponse
	Form    proposeForm
	Problem []told
}

// proposeForm is what was typed.
type proposeForm struct{ Asks, Position, Part, Attribute, At, Value, Text string }

var proposalStates = []ProposalState{ProposalStateOpen, ProposalStateAccepted, ProposalStateRefused}

func (p *Pages) readProposals(r *http.Request, state ProposalState) (*proposalView, error) {
	data, err := ProposalList(r.Context(), p.api, &state)
	if err != nil {
		return nil, err
	}
	return &proposalView{Proposals: data.Proposals, State: state, Revision: data.Shop.CatalogueRevision}, nil
}

func stateAsked(r *http.Request) ProposalState {
	for _, s := range proposalStates {
		if r.URL.Query().Get("state") == slug(string(s)) {
			return s
		}
	}
	return ProposalStateOpen
}

func (p *Pages) proposals(w http.ResponseWriter, r *http.Request) error {
	pv, err := p.readProposals(r, stateAsked(r))
	if err != nil {
		return err
	}
	return p.showProposals(w, r, http.StatusOK, pv)
}

func (p *Pages) showProposals(w http.ResponseWriter, r *http.Request, status int, pv *proposalView) error {
	return p.render(w, r, status, p.view(r, say("proposals.title"), "catalogue", pv.Revision), proposalSheet(pv))
}

func (p *Pages) proposalsCSV(w http.ResponseWriter, r *http.Request) error {
	v, err := p.readProposals(r, stateAsked(r))
	if err != nil {
		return err
	}
	var rows [][]string
	for _, x := range v.Proposals {
		rows = append(rows, []string{x.Job, x.Name, slug(string(x.Asks)), x.VariantKey, x.Position, x.PartKey, x.Attribute, x.At, x.Value,
			x.Text, x.AskedBy, deref(x.AskedOn), slug(string(x.State)), x.Reason, x.Edit})
	}
	return writeCSV(w, "proposals", []string{"job", "proposal", "asks", "variant", "position", "part", "property", "seat", "value",
		"text", "asked_by", "asked_on", "state", "reason", "edit"}, rows)
}

// settle accepts or refuses a proposal.
func (p *Pages) settle(w http.ResponseWriter, r *http.Request) error {
	in := SettleProposalInput{RequestId: requestID(r), Job: field(r, "job"), Name: field(r, "name"), SeenRev: field(r, "seen"),
		Accept: field(r, "settle") == "accept", Reason: field(r, "reason")}
	if _, err := strconv.ParseUint(in.SeenRev, 10, 64); err != nil || in.Job == "" || in.Name == "" {
		return &refusal{http.StatusBadRequest, say("error.choice"), say("error.choice.remedy")}
	}
	data, err := SettleProposal(r.Context(), p.api, in)
	if err != nil {
		return err
	}
	faults := toldOf(data.SettleProposal.UserErrors)
	if len(faults) == 0 {
		return back(w, r, "/catalogue/proposals")
	}
	pv, err := p.readProposals(r, ProposalStateOpen)
	if err != nil {
		return err
	}
	pv.Problem, pv.Settling, pv.Reason = faults, in.Job+"/"+in.Name, in.Reason
	return p.showProposals(w, r, statusFor(faults), pv)
}

func (p *Pages) proposeSheet(w http.ResponseWriter, r *http.Request) error {
	q := r.URL.Query()
	return p.showPropose(w, r, http.StatusOK, proposeView{Form: proposeForm{Asks: q.Get("asks"), Position: q.Get("position"), Part: q.Get("part"), Text: q.Get("text")}})
}

func (p *Pages) showPropose(w http.ResponseWriter, r *http.Request, status int, pv proposeView) error {
	data, err := ProposeSheet(r.Context(), p.api, r.PathValue("id"))
	if err != nil {
		return err
	}
	if data.Job == nil {
		return notFound(say("error.job", r.PathValue("id")))
	}
	pv.ProposeSheetResponse = data
	frame := p.jobFrame(r, &data.Job.JobHead, "", data.Shop.CatalogueRevision)
	frame.Block.Sheet, frame.Block.Sheets = 1, 1
	return p.render(w, r, status, frame, proposeForJob(&pv))
}

// propose keeps a proposal with the job.
func (p *Pages) propose(w http.ResponseWriter, r *http.Request) error {
	f := proposeForm{Asks: field(r, "asks"), Position: field(r, "position"), Part: field(r, "part"), Attribute: field(r, "attribute"),
		At: field(r, "at"), Value: field(r, "value"), Text: field(r, "text")}
	change := edit(r)
	// A form sent twice names one proposal: the end of the request's id is a digest.
	digest := anchor(change.RequestId)
	in := ProposalInput{Name: "p-" + digest[max(0, len(digest)-16):],
		Asks: AsksWords, Position: f.Position, Part: f.Part, Attribute: f.Attribute, At: f.At, Value: f.Value, Text: f.Text}
	for _, a := range AllAsks {
		if slug(string(a)) == f.Asks {
			in.Asks = a
		}
	}
	data, err := Propose(r.Context(), p.api, change, in)
	if err != nil {
		return err
	}
	if faults := toldOf(data.Propose.UserErrors); len(faults) > 0 {
		return p.showPropose(w, r, statusFor(faults), proposeView{Form: f, Problem: faults})
	}
	return back(w, r, jobPath(r.PathValue("id"), "propose"))
}

// proposalMark names the state of a proposal.
func proposalMark(s ProposalState) string { return "proposal-" + slug(string(s)) }

// what a proposal asks for, as a sentence.
func asksText(x *ProposalRow) string {
	part := contentText(x.Part, x.PartKey)
	switch x.Asks {
	case AsksNotHere:
		return say("asks.sentence.not-here", part, x.PositionLabel, x.VariantKey)
	case AsksFitsHere:
		return say("asks.sentence.fits-here", part, x.PositionLabel, x.VariantKey)
	case AsksSize:
		return say("asks.sentence.size", x.Attribute, x.At, part, x.Value)
	}
	return say("asks.sentence.words", part, x.PositionLabel)
}

// typedReason keeps what was typed for the answer that was refused.
func typedReason(v *proposalView, x *ProposalRow) string {
	if v.Settling == x.Job+"/"+x.Name {
		return v.Reason
	}
	return ""
}
