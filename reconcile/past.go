package reconcile

import (
	"context"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
	"layshaft/reconcile/identify"
	"layshaft/reconcile/measure"
)

// Evidence of an observation kept with a job.
func (o *Observation) Evidence() identify.Evidence {
	return identify.Evidence{ID: o.ID, Wheel: o.Wheel, Feature: o.Feature, Value: o.Value,
		Turns: o.Turns, Output: o.Output, Care: identify.Care(o.Care)}
}

// Evidence of a job, in the order of its records.
func (j *Job) Evidence() []identify.Evidence {
	out := make([]identify.Evidence, len(j.Observations))
	for i, o := range j.Observations {
		out[i] = o.Evidence()
	}
	return out
}

// opened reports whether the case is open, by the state of the job.
func (j *Job) opened() bool { return j.State == StateStripped || j.State == StateBuilding }

// IdentifyJob names the variant from what is kept with a job. Prior is how many of
// the shop's jobs were of each variant.
func (d *Desk) IdentifyJob(job *Job, prior map[catalog.VariantID]int) identify.Result {
	return d.Identify(identify.Input{Family: job.Family, Evidence: job.Evidence(), Prior: prior, CaseOpen: job.opened()})
}

// Prior counts the shop's jobs by variant, one job left out.
func (b *Bench) Prior(ctx context.Context, except JobID) (map[catalog.VariantID]int, error) {
	heads, err := b.repo.Jobs(ctx)
	if err != nil {
		return nil, err
	}
	out := map[catalog.VariantID]int{}
	for _, h := range heads {
		if h.ID != except && h.Variant != "" {
			out[h.Variant]++
		}
	}
	return out, nil
}

// others visits the jobs of a family, one left out, in the order of ids.
func (b *Bench) others(ctx context.Context, family catalog.FamilyID, except JobID, visit func(*Job)) error {
	heads, err := b.repo.Jobs(ctx)
	if err != nil {
		return err
	}
	for _, h := range heads {
		if h.Family != family || h.ID == except {
			continue
		}
		job, err := b.repo.Job(ctx, h.ID)
		if err != nil {
			return err
		}
		visit(job)
	}
	return nil
}

// Past lists the thicknesses that closed a stack in the family's other jobs.
func (b *Bench) Past(ctx context.Context, st *catalog.Stack, except JobID) ([]quantity.Length, error) {
	var out []quantity.Length
	desk := b.Desk()
	err := b.others(ctx, st.Family, except, func(job *Job) {
		if t, ok := desk.Closing(job, st); ok {
			out = append(out, t)
		}
	})
	return out, err
}

// Closing is the thickness that closed a stack on a job: the pieces chosen
// together. False while the stack is open, or when a piece has no thickness.
func (d *Desk) Closing(job *Job, st *catalog.Stack) (quantity.Length, bool) {
	s := stackState(d.index, job, jobVariants(d.index, job.Head), st, nil)
	if !s.Closed() {
		return 0, false
	}
	var sum quantity.Length
	for _, id := range s.Grades() {
		a, ok := d.index.Attribute(id, catalog.KeyThickness, "")
		if !ok {
			return 0, false
		}
		sum += a.Value.Length()
	}
	return sum, true
}

// Before lists the readings of the same gearbox on other jobs, by limit: the same
// family and serial. Without a serial nothing is known of the past.
func (b *Bench) Before(ctx context.Context, job *Job) (map[string][]measure.Earlier, error) {
	out := map[string][]measure.Earlier{}
	if job.Serial == "" {
		return out, nil
	}
	err := b.others(ctx, job.Family, job.ID, func(o *Job) {
		if o.Serial != job.Serial {
			return
		}
		for _, m := range latest(o.Measurements) {
			if m.Limit != "" && m.measured() {
				out[m.Limit] = append(out[m.Limit], m.earlier())
			}
		}
	})
	return out, err
}
