package reconcile

import (
	"layshaft/catalog"
	"layshaft/reconcile/fit"
)

// FitOn asks whether a part will go in at a position of a job: beside what the
// report says is in the box when it closes. Parts that are treated stay; what is
// renewed anyway and not supplied is open. The variant must be known.
func (d *Desk) FitOn(job *Job, report *Report, position catalog.PositionID, part catalog.PartID) (*fit.Answer, error) {
	if job.Variant == "" {
		return nil, catalog.Invalid("job "+string(job.ID)+" variant", "Name the variant first", "what goes in depends on the variant, which is not known")
	}
	q := fit.Question{Variant: job.Variant, Position: position, Part: part, Places: make(map[catalog.PositionID]fit.Place, len(report.Build))}
	for _, f := range report.Build {
		q.Places[f.Position] = placeOf(f)
	}
	for _, x := range job.Decisions {
		if p := q.Places[x.Position]; (x.Choice == Rework || x.Choice == SendOut) && p.State == fit.AsIs {
			p.State = fit.Fixed
			q.Places[x.Position] = p
		}
	}
	return fit.Ask(d.index, q)
}

func placeOf(f *Fitted) fit.Place {
	switch {
	case f.State == FittedNone:
		return fit.Place{State: fit.Empty}
	case f.State == FittedNew && f.Part == "":
		return fit.Place{State: fit.Open}
	}
	return fit.Place{Part: f.Part, Sizes: f.Sizes}
}
