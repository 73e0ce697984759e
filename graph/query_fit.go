package graph

import (
	"context"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
	"layshaft/graph/model"
	"layshaft/reconcile"
	"layshaft/reconcile/fit"
)

// fitQuestion asks beside a variant's standard parts, or beside what a job's box
// will hold.
func (r *Resolver) fitQuestion(ctx context.Context, in model.FitQuestionInput) (*fit.Answer, error) {
	position, part := catalog.PositionID(in.Position), catalog.PartID(in.Part)
	switch {
	case (in.Job == nil) == (in.Variant == nil):
		return nil, catalog.Invalid("input", "Give one of the two", "name either a variant or a job")
	case in.Variant != nil:
		return fit.Ask(r.index(), fit.Question{Variant: catalog.VariantID(*in.Variant), Position: position, Part: part})
	}
	if err := r.allowed(ctx, catalog.ScopeJobsRead); err != nil {
		return nil, err
	}
	job, err := r.Bench.Job(ctx, reconcile.JobID(*in.Job))
	if err != nil {
		return nil, err
	}
	return r.Bench.Desk().FitOn(job, r.Bench.ReportOn(job), position, part)
}

func (r *Resolver) compareWhatIf(a, b model.WhatIfInput) (*reconcile.WhatIf, error) {
	if a.Family != b.Family {
		return nil, catalog.Invalid("b family", "Compare two jobs on one family", "%s is compared with %s", a.Family, b.Family)
	}
	before, err := r.whatIf(a)
	if err != nil {
		return nil, err
	}
	after, err := r.whatIf(b)
	if err != nil {
		return nil, err
	}
	return reconcile.CompareReports(r.index(), r.Bench.ReportOn(before), r.Bench.ReportOn(after)), nil
}

// offered is nil for the zero Money.
func offered(m quantity.Money) *quantity.Money {
	if m.Currency == "" {
		return nil
	}
	return &m
}
