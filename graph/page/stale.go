package page

import (
	"context"
	"net/http"
	"time"
)

// conflictCode is the API's word for an edit of something that moved on meanwhile.
const conflictCode = "CONFLICT"

// unseen is the revision of a record that was not there when the page was made.
const unseen = "0"

// decidedMeanwhile says, for each decision that came too late, what was chosen here
// and what stands. Where nothing stands otherwise the faults stay as they are.
func (p *Pages) decidedMeanwhile(r *http.Request, in []DecisionInput, faults []told) ([]told, error) {
	v, err := p.readDecisions(r)
	if err != nil {
		return nil, err
	}
	var out []told
	for _, d := range in {
		if d.SeenRev == nil || v.rev(d.Position) == *d.SeenRev {
			continue
		}
		mine, stands := d.Part, ""
		if now := v.decided[d.Position]; now != nil {
			stands = now.Part
		}
		out = append(out, told{Code: conflictCode, Message: say("stale.decision", labelIn(v.names, d.Position),
			v.chosen(d.Position, d.Choice, mine), v.chosen(d.Position, v.choice(d.Position), stands)), Remedy: say("stale.again")})
	}
	if len(out) == 0 {
		return faults, nil
	}
	return out, nil
}

// chosen is a decision in words: the choice, and the part when one was named.
func (v *decisionView) chosen(position string, c Choice, part string) string {
	word := say("choice." + slug(string(c)))
	if part == "" {
		return word
	}
	for _, x := range v.parts[position] {
		if x.Key == part {
			return say("stale.with", word, partText(x))
		}
	}
	return say("stale.with", word, part)
}

// decidedRev is the revision of a position's decision that the page shows.
func (v *jobView) decidedRev(position string) string {
	for i := range v.Job.Decisions {
		if v.Job.Decisions[i].Position == position {
			return v.Job.Decisions[i].Rev
		}
	}
	return unseen
}

// answered is what a person said that a line means, as forms carry it: empty when
// nobody did.
func answered(s *SupplyRow) string {
	switch {
	case s == nil || !s.Answered:
		return ""
	case s.Part == nil:
		return "="
	}
	return "=" + s.Part.Key
}

// answerTries is how often a line is looked at again when its list moved on.
const answerTries = 16

// answerSeen settles a line unless somebody else settled it otherwise since the
// form was made; answers to other lines do not matter.
func (p *Pages) answerSeen(r *http.Request, a AnswerInput) ([]told, error) {
	for try := 1; ; try++ {
		data, err := p.jobData(r)
		if err != nil {
			return nil, err
		}
		now := lineOf(data.JobSheetResponse, a.List, a.Line, a.Sub)
		if seen, ok := r.PostForm["seen"]; ok && now != nil && answered(now) != seen[0] && answered(now) != "="+a.Part {
			return []told{{Code: conflictCode, Message: say("stale.answer", a.Line, p.partWord(r, a.Part), p.partWord(r, partKey(now))),
				Remedy: say("stale.answer.remedy")}}, nil
		}
		for i := range data.Job.KitLists {
			if l := &data.Job.KitLists[i]; l.Name == a.List {
				a.SeenRev = ptr(l.Rev)
			}
		}
		done, err := AnswerLine(r.Context(), p.api, edit(r), []AnswerInput{a})
		if err != nil {
			return nil, err
		}
		faults := toldOf(done.AnswerLines.UserErrors)
		if try == answerTries || statusFor(faults) != http.StatusConflict {
			return faults, nil
		}
		select { // the edit that came first is stored, and not yet what is shown
		case <-time.After(time.Duration(try) * 5 * time.Millisecond):
		case <-r.Context().Done():
			return nil, context.Cause(r.Context())
		}
	}
}

func partKey(s *SupplyRow) string {
	if s.Part == nil {
		return ""
	}
	return s.Part.Key
}

// partWord names a part to people; none of ours has its own word.
func (p *Pages) partWord(r *http.Request, key string) string {
	if key == "" {
		return say("line.none")
	}
	first := 1
	if data, err := FindParts(r.Context(), p.api, key, &first); err == nil && len(data.Search) > 0 {
		if part, ok := data.Search[0].(*FindPartsSearchPart); ok && part.Key == key {
			return partText(&part.PartLabel)
		}
	}
	return key
}

// lineOf is what a line of a list was read as; nil when there is no such line.
func lineOf(data *JobSheetResponse, list string, line, sub int) *SupplyRow {
	for i := range data.Job.Readings {
		if data.Job.Readings[i].List != list {
			continue
		}
		for j := range data.Job.Readings[i].Reading.Lines {
			if l := &data.Job.Readings[i].Reading.Lines[j]; l.Line == line && l.Sub == sub {
				return l.Supply
			}
		}
	}
	return nil
}

// signedMeanwhile says whose word stands against a finding, and keeps the one that
// came too late in sight.
func (p *Pages) signedMeanwhile(r *http.Request, o OverrideInput) ([]told, error) {
	data, err := p.jobData(r)
	if err != nil {
		return nil, err
	}
	fault := told{Code: conflictCode, Message: say("stale.gone", o.Finding), Remedy: say("stale.signed.remedy", o.SignedBy, o.Reason)}
	for _, g := range data.Job.Report.Groups {
		for i := range g.Items {
			for _, f := range g.Items[i].Findings {
				if f.Key == o.Finding && f.Override != nil {
					fault.Message = say("stale.signed", f.Override.SignedBy, f.Override.Reason)
				}
			}
		}
	}
	return []told{fault}, nil
}
