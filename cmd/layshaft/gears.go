package main

import (
	"errors"
	"fmt"

	"layshaft/catalog"
	"layshaft/catalog/gearing"
	"layshaft/catalog/quantity"
	"layshaft/reconcile"
)

type gearsCommand struct {
	Package string          `placeholder:"DIR" help:"Catalogue that --family and --mesh are looked up in."`
	Family  string          `placeholder:"ID" help:"Family whose mesh is looked at."`
	Mesh    string          `placeholder:"ID" help:"Mesh of the family: module, helix, centre distance and idlers are taken from it."`
	Variant string          `placeholder:"ID" help:"Variant whose counts are taken where none are given."`
	Driving int             `arg:"" optional:"" help:"Teeth of the driving wheel."`
	Driven  int             `arg:"" optional:"" help:"Teeth of the driven wheel."`
	Idler   []int           `placeholder:"TEETH" help:"Idler between: one plain, two on one body, in order of power flow."`
	Module  quantity.Length `placeholder:"SIZE" help:"Normal module, like '2.5 mm'."`
	Angle   quantity.Angle  `placeholder:"ANGLE" default:"20°" help:"Normal pressure angle, like 20°."`
	Helix   quantity.Angle  `placeholder:"ANGLE" help:"Helix angle at the reference cylinder, like 26°; 0 for spur or not known."`
	Shift   []float64       `placeholder:"X" help:"Profile shift coefficients of driving and driven wheel, like 0.2,0.1."`
	Centre  quantity.Length `placeholder:"SIZE" help:"Centre distance, like '75 mm'."`
	JSON    bool            `help:"Print {driving, driven, idlers, ratio, decimal, reverses, toothSum, commonFactor, meshes, turnsDriving, turnsDriven, referenceCentre, workingCentre, shiftNeeded, helixWithoutShift, sumVerdict, sumLow, sumHigh, sizes: [{teeth, spanTeeth, span, chord, chordHeight}]}; what is not known is left out."`
}

// gearsResult is the shape of gears --json.
type gearsResult struct {
	Driving           int              `json:"driving"`
	Driven            int              `json:"driven"`
	Idlers            []int            `json:"idlers,omitempty"`
	Ratio             quantity.Ratio   `json:"ratio"`
	Decimal           string           `json:"decimal"`
	Reverses          bool             `json:"reverses"`
	ToothSum          int              `json:"toothSum"`
	CommonFactor      int              `json:"commonFactor"`
	Meshes            int              `json:"meshes"`
	TurnsDriving      int              `json:"turnsDriving"`
	TurnsDriven       int              `json:"turnsDriven"`
	ReferenceCentre   *quantity.Length `json:"referenceCentre,omitempty"`
	WorkingCentre     *quantity.Length `json:"workingCentre,omitempty"`
	ShiftNeeded       *float64         `json:"shiftNeeded,omitempty"`
	HelixWithoutShift *quantity.Angle  `json:"helixWithoutShift,omitempty"`
	SumVerdict        string           `json:"sumVerdict,omitempty"`
	SumLow            int              `json:"sumLow,omitempty"`
	SumHigh           int              `json:"sumHigh,omitempty"`
	Sizes             []wheelSize      `json:"sizes"`
}

type wheelSize struct {
	Teeth       int             `json:"teeth"`
	SpanTeeth   int             `json:"spanTeeth"`
	Span        quantity.Length `json:"span"`
	Chord       quantity.Length `json:"chord"`
	ChordHeight quantity.Length `json:"chordHeight"`
}

// Run looks at a pair of wheels.
func (c *gearsCommand) Run(a *app) error {
	ask, err := c.question(a)
	if err != nil {
		return err
	}
	res, err := gearing.Examine(ask)
	if err != nil {
		return catalog.Invalid("pair", "Correct the counts and sizes", "%v", err)
	}
	r := gearsResultOf(&ask, &res)
	if c.JSON {
		return a.out.json(r)
	}
	a.printGears(r)
	return nil
}

func (c *gearsCommand) question(a *app) (gearing.Examination, error) {
	ask := gearing.Examination{Mesh: gearing.Mesh{Driving: c.Driving, Driven: c.Driven, Idlers: c.Idler}, Centre: c.Centre,
		Tooth: gearing.Tooth{NormalModule: c.Module, PressureAngle: c.Angle, Helix: c.Helix}}
	if len(c.Shift) > 2 {
		return ask, usageError(errors.New("--shift: give one or two coefficients"))
	}
	for i, to := range []*float64{&ask.Shift1, &ask.Shift2} {
		if i < len(c.Shift) {
			*to = c.Shift[i]
		}
	}
	if c.Mesh == "" {
		if c.Driving == 0 || c.Driven == 0 {
			return ask, usageError(errors.New("give the teeth of both wheels, or --package, --family, --mesh and --variant"))
		}
		return ask, nil
	}
	if c.Package == "" {
		return ask, usageError(errors.New("--mesh wants --package and --family"))
	}
	ix, err := packageFlag{c.Package}.index(a)
	if err != nil {
		return ask, err
	}
	return ask, reconcile.MeshOf(ix, catalog.FamilyID(c.Family), c.Mesh, catalog.VariantID(c.Variant), &ask)
}

func gearsResultOf(ask *gearing.Examination, in *gearing.Examined) gearsResult {
	r := gearsResult{Driving: ask.Driving, Driven: ask.Driven, Idlers: ask.Idlers, Ratio: in.Ratio, Decimal: in.Ratio.Decimal(4),
		Reverses: in.Reverses, ToothSum: in.Sum, CommonFactor: in.Hunting.Common, Meshes: in.Hunting.Meshes,
		TurnsDriving: in.Hunting.Turns1, TurnsDriven: in.Hunting.Turns2, Sizes: make([]wheelSize, len(in.Sizes))}
	for i, s := range in.Sizes {
		r.Sizes[i] = wheelSize(s)
	}
	if in.Geometry != nil {
		r.ReferenceCentre, r.WorkingCentre = &in.Geometry.ReferenceCentre, &in.Geometry.Centre
	}
	if v := in.Verdict; v != nil {
		r.SumVerdict, r.SumLow, r.SumHigh = v.Suits.Words(), v.Low, v.High
		if v.ShiftKnown() {
			r.ShiftNeeded = &v.Shift
		}
	}
	if in.PlainHelix != 0 {
		r.HelixWithoutShift = &in.PlainHelix
	}
	return r
}

func (a *app) printGears(r gearsResult) {
	turns := "the same way"
	if r.Reverses {
		turns = "against it"
	}
	a.out.linef("%d drives %d, which turns %s: ratio %s = %s", r.Driving, r.Driven, turns, r.Ratio, r.Decimal)
	if r.CommonFactor == 1 {
		a.out.linef("every tooth meets every tooth; the same pair again after %d meshes, %s of the driving wheel", r.Meshes, counted(r.TurnsDriving, "turn"))
	} else {
		a.out.linef("common factor %d: the same pair again after %d meshes; legal, and a weak hint of a miscount", r.CommonFactor, r.Meshes)
	}
	if r.ReferenceCentre != nil {
		a.out.linef("centre distance %s without shift, %s with the shifts given, no backlash", micron(*r.ReferenceCentre), micron(*r.WorkingCentre))
	}
	if r.SumVerdict != "" {
		need := ""
		if r.ShiftNeeded != nil {
			need = fmt.Sprintf("; shift sum needed %+.2f", *r.ShiftNeeded)
		}
		a.out.linef("tooth sum %d %s; %d to %d would suit%s", r.ToothSum, r.SumVerdict, r.SumLow, r.SumHigh, need)
	}
	for _, s := range r.Sizes {
		a.out.linef("%d teeth: span over %d teeth %s; chord %s at %s below the tip; no backlash", s.Teeth, s.SpanTeeth, micron(s.Span), micron(s.Chord), micron(s.ChordHeight))
	}
}

// micron writes a computed size to the micrometre.
func micron(l quantity.Length) string {
	half := quantity.Micron / 2
	return ((l + half) / quantity.Micron * quantity.Micron).String()
}
