package graph

import (
	"context"
	"fmt"
	"strings"

	"layshaft/catalog"
	"layshaft/graph/model"
	"layshaft/reconcile"
	"layshaft/reconcile/identify"
)

// jobChange starts a change to a job.
func jobChange(ctx context.Context, e model.JobEditInput) catalog.Change {
	return catalog.Change{Request: e.RequestID, Who: who(ctx), Why: deref(e.Why), Expect: map[catalog.Ref]uint64{}}
}

// put adds a record and the revision that the caller saw of it.
func put(ch *catalog.Change, rec catalog.Record, seen *uint64) {
	ch.Put = append(ch.Put, rec)
	if seen != nil {
		ch.Expect[catalog.Ref{Table: rec.Table(), Key: rec.Key()}] = *seen
	}
}

// commit stores a change to a job and answers with the job as it then stands.
func (r *Resolver) commit(ctx context.Context, e model.JobEditInput, ch catalog.Change) (*model.JobPayload, error) {
	edit, err := r.Bench.Change(ctx, reconcile.JobID(e.Job), ch)
	return r.jobPayload(ctx, e.Job, edit, err)
}

func (r *Resolver) jobPayload(ctx context.Context, job string, edit *catalog.Edit, err error) (*model.JobPayload, error) {
	errs, err := userErrors(err, nil)
	if err != nil {
		return nil, err
	}
	out := &model.JobPayload{Edit: edit, UserErrors: errs}
	now, err := r.Bench.Job(ctx, reconcile.JobID(job))
	switch {
	case catalog.CodeOf(err) == catalog.CodeNotFound:
	case err != nil:
		return nil, err
	default:
		out.Job = now
	}
	return out, nil
}

// refused answers with what the caller can put right.
func refused(err error) (*model.JobPayload, error) {
	errs, err := userErrors(err, nil)
	if err != nil {
		return nil, err
	}
	return &model.JobPayload{UserErrors: errs}, nil
}

func headOf(id string, in model.JobInput) *reconcile.Head {
	return &reconcile.Head{ID: reconcile.JobID(id), Title: in.Title, Owner: in.Owner,
		Family: catalog.FamilyID(in.Family), Variant: catalog.VariantID(in.Variant), Candidates: words[catalog.VariantID](in.Candidates),
		Serial: in.Serial, State: in.State, Opened: deref(in.Opened), NeededBy: deref(in.NeededBy),
		FullStrip: in.FullStrip, Note: in.Note}
}

func (r *Resolver) decision(job string, in *model.DecisionInput) (*reconcile.Decision, error) {
	d := &reconcile.Decision{Job: reconcile.JobID(job), Position: catalog.PositionID(in.Position), Choice: in.Choice,
		Part: catalog.PartID(in.Part), Found: catalog.PartID(in.Found), Quantity: in.Quantity,
		Treatment: in.Treatment, Returned: in.Returned, Due: deref(in.Due), Measured: in.Measured, Why: in.Why}
	for _, s := range in.Sizes {
		key := catalog.AttributeKey(s.Key)
		v, err := r.value(key, s.Value, nil, "decision "+in.Position+" size "+s.Key)
		if err != nil {
			return nil, err
		}
		d.Sizes = append(d.Sizes, &catalog.Attribute{Name: key, At: s.At, Value: v,
			Provenance: catalog.Provenance{Standing: catalog.Confirmed}})
	}
	return d, nil
}

func kitListOf(job string, in model.KitListInput) *reconcile.KitList {
	return &reconcile.KitList{Job: reconcile.JobID(job), ID: in.Name, Name: in.Title,
		Supplier: catalog.SupplierID(in.Supplier), Received: deref(in.Received), ReturnBy: deref(in.ReturnBy),
		Text: in.Text, Ignored: in.Ignored}
}

func goodsOf(job string, in *model.GoodsInput) *reconcile.Goods {
	return &reconcile.Goods{Job: reconcile.JobID(job), ID: in.Name, Part: catalog.PartID(in.Part), Pieces: in.Pieces,
		Source: reconcile.GoodsSource(in.Source), Supplier: catalog.SupplierID(in.Supplier), Due: deref(in.Due), Note: in.Note}
}

func (r *Resolver) observation(job *reconcile.Job, in *model.KeepObservationInput) (*reconcile.Observation, error) {
	e, err := identify.ParseObservation(r.index(), job.Family, in.Text)
	if err != nil {
		return nil, catalog.Invalid("observation "+in.Name, "", "%v", err)
	}
	return &reconcile.Observation{Job: job.ID, ID: in.Name, Wheel: e.Wheel, Feature: e.Feature, Value: e.Value,
		Turns: e.Turns, Output: e.Output, Care: string(e.Care), Note: in.Note}, nil
}

func measurement(job string, in *model.MeasurementInput) *reconcile.Measurement {
	return &reconcile.Measurement{Job: reconcile.JobID(job), ID: in.Name, Stack: in.Stack, Limit: in.Limit,
		Readings: in.Readings, Instrument: in.Instrument, Date: deref(in.Date),
		Resolution: in.Resolution, Certificate: in.Certificate, Pooled: in.Pooled,
		Grades: words[catalog.PartID](in.Grades), Verdict: in.Verdict, Note: in.Note}
}

// whatIf makes a job that is never stored.
func (r *Resolver) whatIf(in model.WhatIfInput) (*reconcile.Job, error) {
	h := &reconcile.Head{ID: "what-if", Title: "what if", Family: catalog.FamilyID(in.Family),
		Variant: catalog.VariantID(in.Variant), State: reconcile.StateStripped, Serial: in.Serial, FullStrip: in.FullStrip}
	job := &reconcile.Job{Head: h}
	for _, d := range in.Decisions {
		dec, err := r.decision("what-if", d)
		if err != nil {
			return nil, err
		}
		job.Decisions = append(job.Decisions, dec)
	}
	for i, k := range in.KitLists {
		job.KitLists = append(job.KitLists, &reconcile.KitList{Job: h.ID, ID: fmt.Sprintf("list-%03d", i+1), Name: k.Name,
			Supplier: catalog.SupplierID(k.Supplier), Text: k.Text, Answers: lineAnswers(k.Answers)})
	}
	for _, g := range in.Goods {
		job.Goods = append(job.Goods, goodsOf("what-if", g))
	}
	return job, reconcile.ValidJob(r.index(), job)
}

func lineAnswers(in []*model.LineAnswerInput) []*reconcile.Answer {
	var out []*reconcile.Answer
	for _, a := range in {
		out = append(out, &reconcile.Answer{Line: a.Line, Sub: a.Sub, Text: a.Text, Part: catalog.PartID(a.Part), Pieces: a.Pieces})
	}
	return out
}

// observationText writes an observation as it would be typed.
func observationText(o *reconcile.Observation) string {
	place := o.Wheel + o.Feature
	if o.Turns > 0 {
		return fmt.Sprintf("%s turns %d = %s", place, o.Turns, microturns(o.Output))
	}
	return strings.TrimSpace(place + "=" + o.Value.String() + " " + o.Care)
}

func microturns(n int64) string {
	s := fmt.Sprintf("%d.%06d", n/1_000_000, n%1_000_000)
	return strings.TrimRight(strings.TrimRight(s, "0"), ".")
}

func words[T ~string](in []string) []T {
	if len(in) == 0 {
		return nil
	}
	out := make([]T, len(in))
	for i, s := range in {
		out[i] = T(s)
	}
	return out
}
