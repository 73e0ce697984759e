package main

import (
	"strings"

	"layshaft/catalog/quantity"
	"layshaft/catalog/standard"
	"layshaft/reconcile/measure"
)

type fitClassCommand struct {
	gaugeFlags
	Bearing string   `placeholder:"TEXT" help:"Bearing that sits there, like 6207."`
	Value   []string `placeholder:"SIZE" help:"Reading of the seat with its unit; may be repeated."`
	Symbol  []string `arg:"" name:"symbol" help:"Size and tolerance class, like 35 k6 or 72 H7, or a fit of hole and shaft, '30 H7/k6'."`
	JSON    bool     `help:"Print {limits: {side, symbol, nominal, min, max, source}, newFit: {character, minClearance, maxClearance, range}, nowFit, action, probability, refusals: [{code, place, reason, remedy}], notices: [{code, level, text}], text}; a negative clearance is interference."`
}

// fitClassResult is the shape of fit-class --json.
type fitClassResult struct {
	Limits      *limits        `json:"limits,omitempty"`
	NewFit      *fit           `json:"newFit,omitempty"`
	NowFit      *fit           `json:"nowFit,omitempty"`
	Action      measure.Action `json:"action,omitempty"`
	Probability float64        `json:"probability,omitempty"`
	Refusals    []refusal      `json:"refusals"`
	Notices     []notice       `json:"notices"`
	Text        string         `json:"text"`
}

type limits struct {
	Side    standard.Side   `json:"side"`
	Symbol  string          `json:"symbol"`
	Nominal quantity.Length `json:"nominal"`
	Min     quantity.Length `json:"min"`
	Max     quantity.Length `json:"max"`
	Source  string          `json:"source"`
}

type fit struct {
	Character    standard.Character `json:"character"`
	MinClearance quantity.Length    `json:"minClearance"`
	MaxClearance quantity.Length    `json:"maxClearance"`
	Range        string             `json:"range"`
}

// Run gives limits and fit of a seat and judges readings.
func (c *fitClassCommand) Run(a *app) error {
	unit, err := c.unit()
	if err != nil {
		return err
	}
	r := fitClassOf(measure.SeatInput{Symbol: strings.Join(c.Symbol, " "), Bearing: c.Bearing, Values: c.Value, Unit: unit,
		Instrument: c.instrument(), Rule: c.rule()})
	if c.JSON {
		err = a.out.json(r)
	} else {
		a.printFitClass(r)
	}
	switch {
	case err != nil:
		return err
	case len(r.Refusals) > 0:
		return errFaults
	case r.Action == measure.ActionRenew || r.Action == measure.ActionAgain:
		return errPerson
	}
	return nil
}

func fitClassOf(in measure.SeatInput) fitClassResult {
	if f, err := standard.ParseFit(in.Symbol); err == nil && in.Bearing == "" && len(in.Values) == 0 {
		return fitClassResult{NewFit: fitOf(&f), Refusals: []refusal{}, Notices: []notice{}, Text: string(f.Character()) + " fit: " + f.Range() + "."}
	}
	s := measure.Seat(in)
	r := fitClassResult{NewFit: fitOf(s.New), NowFit: fitOf(s.Now), Action: s.Action, Probability: s.Probability,
		Refusals: refusalsOf(s.Refusals), Notices: noticesOf(s.Notices), Text: strings.TrimSpace(s.Text + " " + s.FitText)}
	if l := s.Limits; l.Nominal != 0 {
		r.Limits = &limits{l.Side, l.Symbol, l.Nominal, l.Min(), l.Max(), l.Source}
	}
	return r
}

func fitOf(f *standard.Fit) *fit {
	if f == nil {
		return nil
	}
	return &fit{f.Character(), f.MinClearance, f.MaxClearance, f.Range()}
}

func (a *app) printFitClass(r fitClassResult) {
	a.printRefusals(r.Refusals)
	if l := r.Limits; l != nil {
		a.out.linef("%s %s, a %s: %s to %s (%s)", l.Nominal.MM(), l.Symbol, l.Side, l.Min.MM(), l.Max, l.Source)
	}
	if r.Action != measure.ActionNone {
		a.out.linef("%s:", r.Action)
	}
	if r.Text != "" {
		a.out.linef("%s", r.Text)
	}
	for _, n := range r.Notices {
		a.out.linef("%s: %s", n.Level, n.Text)
	}
}
