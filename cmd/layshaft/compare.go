package main

import (
	"errors"
	"fmt"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
	"layshaft/reconcile"
)

type compareCommand struct {
	packageFlag
	Job      string   `required:"" placeholder:"FILE" help:"Job as JSON, as reconcile takes it."`
	Kit      []string `placeholder:"FILE" sep:"none" help:"Kit list beside those in the job file; may be repeated."`
	OtherJob string   `placeholder:"FILE" help:"Job to compare with, on the same gearbox; the same job when left out."`
	OtherKit []string `placeholder:"FILE" sep:"none" help:"Kit list of the other side, in place of those of --kit; may be repeated."`
	Today    string   `placeholder:"DATE" help:"Day for return dates, like 2026-03-09; today when left out."`
	JSON     bool     `help:"Print {blocking, findings: {gone, new, same}, shortages: [{position, a, b}], surplus: [{part, a, b}], cost: {a, b, currency, unpricedA, unpricedB}}; a is the job, b the other side. Costs are whole minor units."`
}

// compareResult is the shape of compare --json.
type compareResult struct {
	Blocking  compareCount     `json:"blocking"`
	Findings  compareFindings  `json:"findings"`
	Shortages []compareShort   `json:"shortages"`
	Surplus   []compareSurplus `json:"surplus"`
	Cost      compareCost      `json:"cost"`
}

type compareCount struct {
	A int `json:"a"`
	B int `json:"b"`
}

type compareFindings struct {
	Gone []*reconcile.Finding `json:"gone"`
	New  []*reconcile.Finding `json:"new"`
	Same []*reconcile.Finding `json:"same"`
}

type compareShort struct {
	Position catalog.PositionID  `json:"position"`
	A        *reconcile.Shortage `json:"a"`
	B        *reconcile.Shortage `json:"b"`
}

type compareSurplus struct {
	Part catalog.PartID `json:"part"`
	A    int            `json:"a"`
	B    int            `json:"b"`
}

type compareCost struct {
	A         int64  `json:"a"`
	B         int64  `json:"b"`
	Currency  string `json:"currency"`
	UnpricedA int    `json:"unpricedA"`
	UnpricedB int    `json:"unpricedB"`
}

// Run compares two jobs, or one job with two kits.
func (c *compareCommand) Run(a *app) error {
	day := quantity.DateOf(a.now())
	if c.Today != "" {
		var err error
		if day, err = quantity.ParseDate(c.Today); err != nil {
			return usageError(fmt.Errorf("--today: %w", err))
		}
	}
	if c.OtherJob == "" && len(c.OtherKit) == 0 {
		return usageError(errors.New("nothing to compare with: name --other-kit or --other-job"))
	}
	ix, err := c.index(a)
	if err != nil {
		return err
	}
	w, err := c.compare(a, ix, day)
	if err != nil {
		return err
	}
	if c.JSON {
		return a.out.json(compareResultOf(w))
	}
	a.printWhatIf(names{ix, w.A.Family}, w)
	return nil
}

func (c *compareCommand) compare(a *app, ix *catalog.Index, day quantity.Date) (*reconcile.WhatIf, error) {
	other, kits := c.OtherJob, c.OtherKit
	if other == "" {
		other = c.Job
	}
	if len(kits) == 0 {
		kits = c.Kit
	}
	before, err := a.readJob(ix, c.Job, c.Kit)
	if err != nil {
		return nil, err
	}
	after, err := a.readJob(ix, other, kits)
	if err != nil {
		return nil, err
	}
	if before.Family != after.Family {
		return nil, catalog.Invalid(other, "Name a job on the same gearbox", "it is of family %s, %s is of %s", after.Family, c.Job, before.Family)
	}
	desk := reconcile.NewDesk(ix)
	return reconcile.CompareReports(ix, desk.Report(before, day), desk.Report(after, day)), nil
}

func compareResultOf(w *reconcile.WhatIf) compareResult {
	r := compareResult{Blocking: compareCount{w.A.Blocking, w.B.Blocking}, Findings: compareFindings{orNone(w.Gone), orNone(w.New), orNone(w.Same)},
		Shortages: []compareShort{}, Surplus: []compareSurplus{},
		Cost: compareCost{w.CostA.Minor, w.CostB.Minor, w.CostA.Currency, w.UnpricedA, w.UnpricedB}}
	for _, s := range w.Shortages {
		r.Shortages = append(r.Shortages, compareShort{s.Position, s.A, s.B})
	}
	for _, s := range w.Surplus {
		r.Surplus = append(r.Surplus, compareSurplus{s.Part, s.A, s.B})
	}
	return r
}

func orNone(fs []*reconcile.Finding) []*reconcile.Finding {
	if fs == nil {
		return []*reconcile.Finding{}
	}
	return fs
}

func (a *app) printWhatIf(n names, w *reconcile.WhatIf) {
	a.out.linef("Keeps the case open: %d now, %d on the other side.", w.A.Blocking, w.B.Blocking)
	a.out.linef("To order: %s now, %s on the other side, by the least prices offered.", w.CostA, w.CostB)
	if w.UnpricedA+w.UnpricedB > 0 {
		a.out.linef("Positions that nobody offers anything for: %d now, %d on the other side.", w.UnpricedA, w.UnpricedB)
	}
	for _, list := range []struct {
		title string
		rows  []*reconcile.Finding
	}{{"Only now", w.Gone}, {"Only on the other side", w.New}} {
		if len(list.rows) > 0 {
			a.out.section("%s", list.title)
		}
		for _, f := range list.rows {
			a.out.linef("  %s: %s", f.Severity, f.Message)
		}
	}
	a.out.section("The same on both sides: %s", counted(len(w.Same), "finding"))
	if len(w.Shortages) > 0 {
		a.out.section("Short")
	}
	for _, s := range w.Shortages {
		a.out.linef("  %s: %s now, %s on the other side", n.position(s.Position), shortWords(s.A), shortWords(s.B))
	}
	if len(w.Surplus) > 0 {
		a.out.section("Over")
	}
	for _, s := range w.Surplus {
		a.out.linef("  %s: %d now, %d on the other side", n.part(s.Part), s.A, s.B)
	}
}

func shortWords(s *reconcile.Shortage) string {
	if s == nil {
		return "nothing"
	}
	return fmt.Sprintf("%d (%s)", s.Quantity, s.State)
}
