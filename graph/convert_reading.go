package graph

import (
	"context"
	"fmt"
	"math"

	"layshaft/catalog"
	"layshaft/graph/model"
	"layshaft/reconcile"
	"layshaft/reconcile/identify"
)

// kitListReading shows a reading: every line once, or once for each part that a
// line names.
func kitListReading(r *reconcile.ListReading) *model.KitListReading {
	out := &model.KitListReading{Lines: []*model.ReadLine{}, Suggestions: []*model.FamilySuggestion{}, Questions: []string{}}
	supply := map[int][]*reconcile.SupplyLine{}
	for i, s := range r.Supply {
		supply[r.Of[i]] = append(supply[r.Of[i]], s)
	}
	for i := range r.List.Lines {
		l := &r.List.Lines[i]
		line := &model.ReadLine{Line: l.No, Sub: l.Sub, Kind: string(l.Kind), Start: l.Start, End: l.End, Text: l.Text,
			Spans: make([]*model.TextSpan, len(l.Spans)), Also: []*reconcile.SupplyLine{}}
		if all := supply[i]; len(all) > 0 {
			line.Supply, line.Also = all[0], all[1:]
		}
		for j, s := range l.Spans {
			line.Spans[j] = &model.TextSpan{Start: s.Start, End: s.End, Role: string(s.Role)}
		}
		out.Lines = append(out.Lines, line)
		if line.Supply != nil && line.Supply.Answered {
			continue // a person settled it
		}
		for _, q := range l.Questions {
			out.Questions = append(out.Questions, fmt.Sprintf("line %d: %s", l.No, q.Text))
		}
	}
	for _, q := range r.List.Questions {
		out.Questions = append(out.Questions, q.Text)
	}
	for _, s := range r.Suggestions {
		out.Suggestions = append(out.Suggestions, &model.FamilySuggestion{
			Family: string(s.Family), Variant: string(s.Variant), Permille: s.Permille, Told: s.Told, Why: s.Why})
	}
	return out
}

// readings reads every list of a job as its report does.
func (r *Resolver) readings(job *reconcile.Job) []*model.KitReading {
	out := make([]*model.KitReading, len(job.KitLists))
	in := reconcile.Context{Family: job.Family, Variant: job.Variant}
	for i, k := range job.KitLists {
		out[i] = &model.KitReading{List: k.ID, Reading: kitListReading(r.Bench.Desk().Read(k, in))}
	}
	return out
}

// evidence reads observations; what cannot be read becomes a problem.
func (r *Resolver) evidence(family catalog.FamilyID, in []*model.ObservationInput) ([]identify.Evidence, []string) {
	var out []identify.Evidence
	problems := []string{}
	for _, o := range in {
		e, err := identify.ParseObservation(r.index(), family, o.Text)
		if err != nil {
			problems = append(problems, err.Error())
			continue
		}
		out = append(out, e)
	}
	return out, problems
}

// identify names the variant of a box that is no job.
func (r *Resolver) identify(ctx context.Context, in model.IdentifyInput) (*model.Identification, error) {
	ask := identify.Input{Family: catalog.FamilyID(deref(in.Family)), CaseOpen: in.CaseOpen}
	if in.UseJobs {
		err := r.allowed(ctx, catalog.ScopeJobsRead)
		if err == nil {
			ask.Prior, err = r.Bench.Prior(ctx, "")
		}
		if err != nil {
			return nil, err
		}
	}
	var problems []string
	ask.Evidence, problems = r.evidence(ask.Family, in.Observations)
	return r.identification(r.Bench.Desk().Identify(ask), problems), nil
}

// identification shows a result.
func (r *Resolver) identification(res identify.Result, problems []string) *model.Identification {
	out := &model.Identification{NonePermille: res.NonePermille, Problems: problems,
		Ranked: []*model.RankedVariant{}, Groups: []*model.VariantGroup{},
		Next: []*model.NextLook{}}
	for _, v := range res.Ranked {
		if known, ok := r.index().Variant(v.ID); ok {
			out.Ranked = append(out.Ranked, &model.RankedVariant{Variant: known, Permille: v.Permille,
				Contradictions: contradictions(v.Contradictions)})
		}
	}
	for _, g := range res.Groups {
		out.Groups = append(out.Groups, &model.VariantGroup{Variants: texts(g.Variants), Permille: g.Permille, Inseparable: g.Inseparable})
	}
	out.Contradictions = contradictions(res.Contradictions)
	for _, n := range res.Next {
		out.Next = append(out.Next, &model.NextLook{What: n.Wheel + n.Feature, Label: n.Label, CaseClosed: n.CaseClosed,
			Effort: n.Effort, Millibits: int(math.Round(n.Gain * 1000)), Why: n.Why})
	}
	for _, p := range res.Problems {
		out.Problems = append(out.Problems, p.Cause+" "+p.Remedy)
	}
	return out
}

func contradictions(in []identify.Contradiction) []*model.Contradiction {
	out := make([]*model.Contradiction, len(in))
	for i, c := range in {
		out[i] = &model.Contradiction{Place: c.Place, Found: c.Found, Expected: c.Should, Cause: string(c.Cause), Text: c.Text}
	}
	return out
}

func texts[T ~string](in []T) []string {
	out := make([]string, len(in))
	for i, s := range in {
		out[i] = string(s)
	}
	return out
}
