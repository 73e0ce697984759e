package main

import (
	"layshaft/catalog"
	"layshaft/catalog/exchange"
)

type checkCommand struct {
	Package string `arg:"" help:"Catalogue: a folder with datapackage.json, or a workbook (.xlsx)."`
	JSON    bool   `help:"Print {package, records, faults: [{file, row, column, cell, reason, repair}], problems: [{code, table, key, field, reason, repair, severe}], severe, hints}."`
}

// checkResult is the shape of check --json.
type checkResult struct {
	Package string `json:"package"`
	Records int    `json:"records"`
	// Faults of the files; with any, nothing else was looked at.
	Faults   []exchange.Fault  `json:"faults"`
	Problems []catalog.Problem `json:"problems"`
	Severe   int               `json:"severe"`
	Hints    int               `json:"hints"`
}

// Run checks a catalogue.
func (c *checkCommand) Run(a *app) error {
	rows, faults, err := a.readCatalogue(c.Package)
	if err != nil {
		return err
	}
	r := checkResult{Package: c.Package, Faults: append([]exchange.Fault{}, faults...), Problems: []catalog.Problem{}}
	if rows != nil {
		rows.Records(func(catalog.Record) { r.Records++ })
		r.Problems = append(r.Problems, catalog.Check(rows)...)
	}
	for _, p := range r.Problems {
		if p.Severe {
			r.Severe++
		} else {
			r.Hints++
		}
	}
	if c.JSON {
		err = a.out.json(r)
	} else {
		a.printCheck(r)
	}
	switch {
	case err != nil:
		return err
	case len(faults) > 0:
		return errFaults
	case r.Severe > 0:
		return errPerson
	}
	return nil
}

func (a *app) printCheck(r checkResult) {
	if len(r.Faults) > 0 {
		a.listFaults(r.Package, r.Faults)
		a.errs.linef("layshaft: %s: %s, nothing else was looked at", r.Package, counted(len(r.Faults), "fault"))
		return
	}
	for _, severe := range []bool{true, false} {
		for _, p := range r.Problems {
			if p.Severe != severe {
				continue
			}
			weight := "hint"
			if severe {
				weight = "severe"
			}
			place := string(p.Table) + " " + p.Key
			if p.Field != "" {
				place += ", " + p.Field
			}
			a.out.linef("%s: %s: %s %s. (%s)", weight, place, p.Reason, p.Repair, p.Code)
		}
	}
	a.out.linef("%s: %s, %d severe, %s", r.Package, counted(r.Records, "record"), r.Severe, counted(r.Hints, "hint"))
}
