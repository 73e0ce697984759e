package main

import (
	"layshaft/catalog"
	"layshaft/reconcile"
	"layshaft/reconcile/measure"
)

type inspectCommand struct {
	packageFlag
	gaugeFlags
	Family string   `required:"" placeholder:"ID" help:"Family of the limit."`
	Limit  string   `required:"" placeholder:"ID" help:"Limit of the family."`
	Values []string `arg:"" optional:"" name:"value" help:"Readings with their unit, like '29.98 mm'. Without any they are read from standard input, one a line."`
	JSON   bool     `help:"Print {limit, action, probability, guardBand, rule, mean, refusals: [{code, place, reason, remedy}], notices: [{code, level, text}], budget: {lines, u, expanded}, text}."`
}

// inspectResult is the shape of inspect --json.
type inspectResult struct {
	Limit       string         `json:"limit"`
	Action      measure.Action `json:"action"` // empty when refused
	Probability float64        `json:"probability"`
	GuardBand   float64        `json:"guardBand"` // mm
	Rule        string         `json:"rule"`
	Mean        string         `json:"mean"`
	Refusals    []refusal      `json:"refusals"`
	Notices     []notice       `json:"notices"`
	Budget      budget         `json:"budget"`
	Text        string         `json:"text"`
}

// Run judges a measured part.
func (c *inspectCommand) Run(a *app) error {
	unit, err := c.unit()
	if err != nil {
		return err
	}
	ix, err := c.index(a)
	if err != nil {
		return err
	}
	l, err := reconcile.LimitOf(ix, catalog.FamilyID(c.Family), c.Limit)
	if err != nil {
		return err
	}
	values, _, err := a.lines(c.Values, "value")
	if err != nil {
		return err
	}
	res := measure.Inspect(measure.InspectInput{Limit: l, Values: values, Unit: unit, Instrument: c.instrument(), Rule: c.rule()})
	r := inspectResult{Limit: l.ID, Action: res.Action, Probability: res.Probability, GuardBand: res.GuardBand, Rule: res.Rule.Name,
		Mean: res.Series.Mean.String(), Refusals: refusalsOf(res.Refusals), Notices: noticesOf(res.Notices), Budget: budgetOf(res.Budget), Text: res.Text}
	if c.JSON {
		err = a.out.json(r)
	} else {
		a.printInspection(r)
	}
	if err == nil && r.Action != measure.ActionKeep {
		return errPerson
	}
	return err
}

func (a *app) printInspection(r inspectResult) {
	a.printRefusals(r.Refusals)
	if len(r.Refusals) > 0 {
		a.out.linef("no verdict: the readings can't be used")
		return
	}
	a.out.linef("%s: %s", r.Action, r.Text)
	for _, n := range r.Notices {
		a.out.linef("%s: %s", n.Level, n.Text)
	}
	a.printBudget(r.Budget, "mm")
	a.out.linef("  %.4f  guard band: %s", r.GuardBand, r.Rule)
}
