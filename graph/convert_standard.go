package graph

import (
	"errors"

	"layshaft/catalog"
	"layshaft/catalog/gearing"
	"layshaft/catalog/standard"
	"layshaft/graph/model"
	"layshaft/reconcile"
	"layshaft/reconcile/measure"
)

// decodeError turns a designation that was not understood into an error for the
// caller.
func decodeError(err error) error {
	if d, ok := errors.AsType[*standard.DesignationError](err); ok {
		return catalog.Invalid("text", d.Remedy, "%s", d.Problem)
	}
	return err
}

// fitClass looks at a seat by its symbol, or at a fit of hole and shaft.
func fitClass(in measure.SeatInput) *model.FitClass {
	if fit, err := standard.ParseFit(in.Symbol); err == nil {
		return &model.FitClass{Refusals: []*measure.Refusal{}, Notices: []*measure.Notice{}, NewFit: &fit,
			Text: string(fit.Character()) + " fit: " + fit.Range() + "."}
	}
	res := measure.Seat(in)
	out := &model.FitClass{Refusals: pointers(res.Refusals), Notices: pointers(res.Notices), NewFit: res.New, NowFit: res.Now,
		Action: res.Action, Probability: res.Probability, Text: res.Text}
	if res.Limits.Nominal != 0 {
		out.Limits = &res.Limits
	}
	if res.FitText != "" {
		out.Text = joined(out.Text, res.FitText)
	}
	return out
}

func joined(a, b string) string {
	if a == "" {
		return b
	}
	return a + " " + b
}

// gearCheck looks at a pair of wheels, of the catalogue or as given.
func (r *Resolver) gearCheck(in model.GearCheckInput) (*model.GearCheck, error) {
	ask := gearing.Examination{Mesh: gearing.Mesh{Driving: in.Driving, Driven: in.Driven, Idlers: in.Idlers},
		Tooth:  gearing.Tooth{NormalModule: in.NormalModule, PressureAngle: in.PressureAngle, Helix: in.Helix},
		Shift1: in.ShiftDriving, Shift2: in.ShiftDriven, Centre: in.CentreDistance}
	if in.Mesh != "" {
		if err := reconcile.MeshOf(r.index(), catalog.FamilyID(in.Family), in.Mesh, catalog.VariantID(in.Variant), &ask); err != nil {
			return nil, err
		}
	}
	res, err := gearing.Examine(ask)
	if err != nil {
		return nil, catalog.Invalid("input", "Correct the counts and sizes", "%v", err)
	}
	out := &model.GearCheck{Ratio: res.Ratio.String(), Decimal: res.Ratio.Decimal(4), Reverses: res.Reverses, ToothSum: res.Sum,
		CommonFactor: res.Hunting.Common, Meshes: res.Hunting.Meshes, TurnsDriving: res.Hunting.Turns1, TurnsDriven: res.Hunting.Turns2,
		Sizes: pointers(res.Sizes)}
	if res.Geometry != nil {
		out.ReferenceCentre, out.WorkingCentre = &res.Geometry.ReferenceCentre, &res.Geometry.Centre
	}
	if v := res.Verdict; v != nil {
		out.SumVerdict, out.SumLow, out.SumHigh = v.Suits.Words(), v.Low, v.High
		if v.ShiftKnown() {
			out.ShiftNeeded = &v.Shift
		}
	}
	if res.PlainHelix != 0 {
		out.HelixWithoutShift = &res.PlainHelix
	}
	return out, nil
}
