package graph

import (
	"context"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
	"layshaft/graph/model"
	"layshaft/reconcile"
	"layshaft/reconcile/measure"
)

// unitOf reads the unit that bare numbers are in; empty refuses them.
func unitOf(text string) (quantity.Unit, error) {
	switch u := quantity.Unit(text); u {
	case "", quantity.Millimetre, quantity.Inch:
		return u, nil
	}
	return "", catalog.Invalid("unit", "Use mm or in, or leave it out and write the unit with every number", "no unit %q", text)
}

func ruleOf(expanded bool) measure.Rule {
	if expanded {
		return measure.RuleExpanded
	}
	return measure.RuleConformance
}

func gradesOf(in []*model.GradeInput) []measure.Grade {
	out := make([]measure.Grade, len(in))
	for i, g := range in {
		out[i] = measure.Grade{Part: catalog.PartID(g.Part), Thickness: g.Thickness, Measured: g.Measured, Stock: g.Stock}
	}
	return out
}

// stackOf finds a stack of the catalogue with the variants that count.
func (r *Resolver) stackOf(family, stack, variant string) (*catalog.Stack, []catalog.VariantID, error) {
	return reconcile.StackOf(r.index(), catalog.FamilyID(family), stack, catalog.VariantID(variant))
}

// measureStack answers a what-if about a stack.
func (r *Resolver) measureStack(in model.MeasureStackInput) (*measure.StackResult, error) {
	unit, err := unitOf(in.Unit)
	if err != nil {
		return nil, err
	}
	ask := measure.StackInput{Stack: in.Recipe, Unit: unit, TorqueUnit: in.TorqueUnit, Instrument: deref(in.Instrument),
		GasketFitted: in.GasketFitted, Grades: gradesOf(in.Grades), GradeStep: in.GradeStep, Rule: ruleOf(in.ExpandedGuard),
		Chosen: words[catalog.PartID](in.Chosen), Keep: min(max(in.Keep, 1), 100)}
	for _, s := range in.Readings {
		ask.Readings = append(ask.Readings, measure.Reading{Name: s.Name, Values: s.Values})
	}
	if in.Recipe == nil {
		st, variants, err := r.stackOf(in.Family, in.Stack, in.Variant)
		if err != nil {
			return nil, err
		}
		if ask.Stack = st; in.Grades == nil {
			ask.Grades = reconcile.Grades(r.index(), variants, st, ask.Chosen)
		}
	}
	out := measure.Stack(ask)
	return &out, nil
}

// inspect answers a what-if about a measured part.
func (r *Resolver) inspect(in model.InspectInput) (*measure.InspectResult, error) {
	unit, err := unitOf(in.Unit)
	if err != nil {
		return nil, err
	}
	ask := measure.InspectInput{Limit: in.Given, Values: in.Values, Unit: unit, Instrument: deref(in.Instrument),
		Rule: ruleOf(in.ExpandedGuard), Date: deref(in.Date)}
	for _, b := range in.Before {
		ask.Before = append(ask.Before, *b)
	}
	if in.Given == nil {
		if ask.Limit, err = reconcile.LimitOf(r.index(), catalog.FamilyID(in.Family), in.Limit); err != nil {
			return nil, err
		}
	}
	out := measure.Inspect(ask)
	return &out, nil
}

// inspections of a job, with what the same gearbox showed before.
func (r *Resolver) inspections(ctx context.Context, job *reconcile.Job) ([]*reconcile.Inspection, error) {
	before, err := r.Bench.Before(ctx, job)
	if err != nil {
		return nil, err
	}
	return orEmpty(r.Bench.Desk().Inspections(job, before)), nil
}

// spread chooses grades before the dry build.
func (r *Resolver) spread(ctx context.Context, in model.SpreadInput) (*model.Spread, error) {
	st, variants, err := r.stackOf(in.Family, in.Stack, in.Variant)
	if err != nil {
		return nil, err
	}
	ask := measure.SpreadInput{Stack: st, Past: in.Past, Mean: in.Mean, Sigma: in.Sigma, OldShim: in.OldShim, OldSigma: in.OldSigma,
		SecondOrder: deref(in.SecondOrder), StockWorth: in.StockWorth, Wanted: in.Wanted, Grades: gradesOf(in.Grades)}
	if !in.IgnoreJobs {
		past, err := r.Bench.Past(ctx, st, reconcile.JobID(in.Job))
		if err != nil {
			return nil, err
		}
		ask.Past = append(past, ask.Past...)
	}
	if in.Grades == nil {
		ask.Grades = reconcile.Grades(r.index(), variants, st, nil)
	}
	return spreadOf(measure.Spread(ask), ask.Past), nil
}

func spreadOf(res measure.SpreadResult, past []quantity.Length) *model.Spread {
	out := &model.Spread{Refusals: pointers(res.Refusals), Notices: pointers(res.Notices), Prior: &res.Prior, Past: past,
		ReachBelow: res.ReachBelow, ReachAbove: res.ReachAbove, OnHand: pointers(res.OnHand),
		Rows: make([]*model.SpreadRow, len(res.Rows)), Enough: res.Enough}
	for i := range res.Rows {
		out.Rows[i] = spreadRow(&res.Rows[i])
	}
	if res.Cheapest != nil {
		out.Cheapest = spreadRow(res.Cheapest)
	}
	return out
}

func spreadRow(r *measure.SpreadRow) *model.SpreadRow {
	out := &model.SpreadRow{Bought: make([]*model.SpreadGrade, len(r.Bought)), Covered: r.Covered, Price: priced(r.Price), Expected: priced(r.Expected)}
	for i, g := range r.Bought {
		out.Bought[i] = &model.SpreadGrade{Part: string(g.Part), Thickness: g.Thickness, Price: priced(g.Price), Chance: g.Chance}
	}
	return out
}

// priced is nil for a price that is not known.
func priced(m quantity.Money) *quantity.Money {
	if m.Currency == "" {
		return nil
	}
	return &m
}

func pointers[T any](in []T) []*T {
	out := make([]*T, len(in))
	for i := range in {
		out[i] = &in[i]
	}
	return out
}
