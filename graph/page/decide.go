package page

import (
	"net/http"
	"slices"
	"strings"
)

// choices in the order of their keys, 1 to 7.
var choices = []Choice{ChoiceReuse, ChoiceReplace, ChoiceRework, ChoiceSendOut, ChoiceNotFitted, ChoiceAbsent, ChoiceUndecided}

// made are the choices that decide something.
var made = choices[:len(choices)-1]

// decisionView is the sheet of decisions: every position, by assembly.
type decisionView struct {
	*DecisionSheetResponse
	Groups  []assemblyView
	Problem []told
	Picture *pictureView
	names   map[string]string
	decided map[string]*DecisionRow
	parts   map[string][]*PartLabel // that fit, by position; the standard one first
	marks   map[string]*positionMark
}

// assemblyView is one assembly's positions.
type assemblyView struct {
	Name      string
	Positions []*PositionRow
	Open      int // undecided
}

// positionMark is the worst that the report says of a position.
type positionMark struct {
	Severity Severity
	N        int
}

func (p *Pages) decisions(w http.ResponseWriter, r *http.Request) error {
	return p.showDecisions(w, r, http.StatusOK, nil)
}

func (p *Pages) showDecisions(w http.ResponseWriter, r *http.Request, status int, faults []told) error {
	v, err := p.readDecisions(r)
	if err != nil {
		return err
	}
	v.Problem = faults
	if v.Picture, err = p.jobPicture(r, "decisions", true); err != nil {
		return err
	}
	v.Picture.lead(func(position string) string { return "#" + anchor("p", position) })
	frame := p.jobFrame(r, &v.Job.JobHead, "decisions", v.Shop.CatalogueRevision)
	return p.render(w, r, status, frame, decisionSheet(v))
}

func (p *Pages) readDecisions(r *http.Request) (*decisionView, error) {
	data, err := DecisionSheet(r.Context(), p.api, r.PathValue("id"))
	if err != nil {
		return nil, err
	}
	if data.Job == nil {
		return nil, notFound(say("error.job", r.PathValue("id")))
	}
	v := &decisionView{DecisionSheetResponse: data, names: labelsOf(&data.Job.JobHead),
		decided: map[string]*DecisionRow{}, parts: map[string][]*PartLabel{}, marks: map[string]*positionMark{}}
	for i := range data.Job.Decisions {
		v.decided[data.Job.Decisions[i].Position] = &data.Job.Decisions[i]
	}
	if f := data.Job.Fitting; f != nil {
		for _, x := range f.Fitments {
			if x.Part == nil {
				continue
			}
			at := len(v.parts[x.PositionName])
			if x.Standard {
				at = 0
			}
			v.parts[x.PositionName] = slices.Insert(v.parts[x.PositionName], at, x.Part)
		}
	}
	v.markPositions()
	v.group()
	return v, nil
}

// markPositions keeps the worst finding of every position; findings come with
// the worst first.
func (v *decisionView) markPositions() {
	for _, f := range v.Job.Report.Findings {
		if f.Position == "" {
			continue
		}
		m := v.marks[f.Position]
		if m == nil {
			m = &positionMark{Severity: f.Severity}
			v.marks[f.Position] = m
		}
		m.N++
	}
}

// group puts the positions that the variant has under their assemblies, in list
// order.
func (v *decisionView) group() {
	if v.Job.Family == nil {
		return
	}
	var without []string
	if v.Job.Fitting != nil {
		without = v.Job.Fitting.Without
	}
	v.Groups = assemblies(slices.DeleteFunc(slices.Clone(v.Job.Family.Positions), func(pos PositionRow) bool {
		return slices.Contains(without, pos.Name) && v.decided[pos.Name] == nil
	}))
	for i := range v.Groups {
		for _, pos := range v.Groups[i].Positions {
			if v.choice(pos.Name) == ChoiceUndecided {
				v.Groups[i].Open++
			}
		}
	}
}

// choice made for a position; undecided when there is none.
func (v *decisionView) choice(position string) Choice {
	if d := v.decided[position]; d != nil {
		return d.Choice
	}
	return ChoiceUndecided
}

// rev is the revision of a position's decision that the page shows; 0 for none.
func (v *decisionView) rev(position string) string {
	if d := v.decided[position]; d != nil {
		return d.Rev
	}
	return "0"
}

// open counts positions without a decision.
func (v *decisionView) open() int {
	n := 0
	for i := range v.Groups {
		n += v.Groups[i].Open
	}
	return n
}

// decide takes "position CHOICE rev" for one position, or "assembly CHOICE" for
// every position of an assembly that is still undecided.
func (p *Pages) decide(w http.ResponseWriter, r *http.Request) error {
	v, err := p.readDecisions(r)
	if err != nil {
		return err
	}
	in, err := v.asked(r)
	if err != nil {
		return err
	}
	data, err := Decide(r.Context(), p.api, edit(r), in)
	if err != nil {
		return err
	}
	if faults := toldOf(data.Decide.UserErrors); len(faults) > 0 {
		if statusFor(faults) == http.StatusConflict {
			if faults, err = p.decidedMeanwhile(r, in, faults); err != nil {
				return err
			}
		}
		return p.showDecisions(w, r, statusFor(faults), faults)
	}
	to := jobPath(r.PathValue("id"), "decisions")
	return back(w, r, to+"#"+anchor("p", in[0].Position))
}

func (v *decisionView) asked(r *http.Request) ([]DecisionInput, error) {
	bad := &refusal{http.StatusBadRequest, say("error.choice"), say("error.choice.remedy")}
	if one := strings.Fields(r.PostFormValue("one")); len(one) == 3 {
		return []DecisionInput{v.decision(one[0], Choice(one[1]), "", &one[2])}, nil
	}
	assembly, choice, ok := strings.Cut(r.PostFormValue("all"), "|")
	if !ok || !slices.Contains(made, Choice(choice)) {
		return nil, bad
	}
	var out []DecisionInput
	for i := range v.Groups {
		if v.Groups[i].Name != assembly {
			continue
		}
		for _, pos := range v.Groups[i].Positions {
			if v.choice(pos.Name) == ChoiceUndecided {
				seen := v.rev(pos.Name)
				out = append(out, v.decision(pos.Name, Choice(choice), "", &seen))
			}
		}
	}
	if len(out) == 0 {
		return nil, &refusal{http.StatusConflict, say("error.decided", assembly), say("error.decided.remedy")}
	}
	return out, nil
}

// decision is a new choice for a position that keeps what is known of it:
// what was found there, and, while the choice stays, its treatment and sizes.
func (v *decisionView) decision(position string, c Choice, part string, seen *string) DecisionInput {
	in := DecisionInput{Position: position, Choice: c, Part: part, Sizes: []SizeInput{}, SeenRev: seen}
	d := v.decided[position]
	if d == nil {
		return in
	}
	in.Found, in.Quantity, in.Measured, in.Why = d.Found, d.Quantity, d.Measured, d.Why
	if d.Choice == c {
		in.Treatment, in.Returned, in.Due = d.Treatment, d.Returned, d.Due
		for _, s := range d.Sizes {
			in.Sizes = append(in.Sizes, SizeInput{Key: s.Key, At: s.At, Value: s.Text})
		}
	}
	return in
}

// take decides that a certain part goes in: the remedy of a finding.
func (p *Pages) take(w http.ResponseWriter, r *http.Request) error {
	v, err := p.readDecisions(r)
	if err != nil {
		return err
	}
	in := []DecisionInput{v.decision(r.PostFormValue("position"), ChoiceReplace, r.PostFormValue("part"), some(field(r, "seen")))}
	data, err := Decide(r.Context(), p.api, edit(r), in)
	if err != nil {
		return err
	}
	faults := toldOf(data.Decide.UserErrors)
	if statusFor(faults) == http.StatusConflict {
		faults, err = p.decidedMeanwhile(r, in, faults)
	}
	return p.done(w, r, faults, err)
}
