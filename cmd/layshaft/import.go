package main

import (
	"crypto/rand"
	"errors"

	"layshaft/catalog"
	"layshaft/catalog/exchange"
)

type importCommand struct {
	dataFlag
	Package string `arg:"" help:"Catalogue: a folder with datapackage.json, or a workbook (.xlsx). It becomes the whole catalogue: what is not in it is removed."`
	Apply   bool   `help:"Do it. Without this the changes are only shown."`
	Who     string `placeholder:"NAME" help:"Who makes the change; the user's name in the environment when left out."`
	Why     string `placeholder:"TEXT" help:"Why, for the history."`
	JSON    bool   `help:"Print {changes: [{kind, table, key, fields: [{column, old, new}]}], problems: [{code, table, key, field, reason, repair, severe}], applied, revision}."`
}

// importResult is the shape of import --json.
type importResult struct {
	Changes  []exchange.Change `json:"changes"`
	Problems []catalog.Problem `json:"problems"` // severe ones refuse the import
	Applied  bool              `json:"applied"`
	Revision uint64            `json:"revision"` // of the catalogue afterwards
}

// Run previews an import and, when told to, does it: all or nothing.
func (c *importCommand) Run(a *app) (err error) {
	rows, faults, err := a.readCatalogue(c.Package)
	if err != nil {
		return err
	}
	if len(faults) > 0 {
		a.printFaults(c.Package, faults)
		return errFaults
	}
	s, err := c.open(a)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	curator := catalog.NewCurator(s, a.now)
	r := importResult{Changes: append([]exchange.Change{}, exchange.Preview(s.Tables(), rows).Changes...), Problems: []catalog.Problem{}}
	if c.Apply && len(r.Changes) > 0 {
		who := c.Who
		if who == "" {
			who = a.variable("USER")
		}
		_, problems, err := curator.Import(a.ctx, rows, rand.Text(), who, c.Why)
		if err != nil {
			return storeError(c.Data, err)
		}
		r.Problems, r.Applied = append(r.Problems, problems...), len(problems) == 0
	} else {
		r.Problems = append(r.Problems, catalog.Check(rows)...)
	}
	r.Revision = s.Index().Rev()
	if c.JSON {
		err = a.out.json(r)
	} else {
		a.printImport(c, r)
	}
	if err == nil && hasSevere(r.Problems) {
		return errPerson
	}
	return err
}

func hasSevere(problems []catalog.Problem) bool {
	for _, p := range problems {
		if p.Severe {
			return true
		}
	}
	return false
}

func (a *app) printImport(c *importCommand, r importResult) {
	for _, ch := range r.Changes {
		a.out.linef("%s %s %s", ch.Kind, ch.Table, ch.Key)
		for _, f := range ch.Fields {
			switch ch.Kind {
			case exchange.Changed:
				a.out.linef("    %s: %s, was %s", f.Column, orNothing(f.New), orNothing(f.Old))
			case exchange.Added:
				a.out.linef("    %s: %s", f.Column, f.New)
			}
		}
	}
	for _, p := range r.Problems {
		if p.Severe {
			a.out.linef("severe: %s %s, %s: %s %s", p.Table, p.Key, p.Field, p.Reason, p.Repair)
		}
	}
	switch {
	case hasSevere(r.Problems):
		a.out.linef("refused: a catalogue with severe problems is not imported; run layshaft check %s for all of them", c.Package)
	case len(r.Changes) == 0:
		a.out.linef("nothing to change at revision %d", r.Revision)
	case r.Applied:
		a.out.linef("%s made; the catalogue is at revision %d", counted(len(r.Changes), "change"), r.Revision)
	default:
		a.out.linef("%s would be made at revision %d; add --apply to make them", counted(len(r.Changes), "change"), r.Revision)
	}
}

func orNothing(cell string) string {
	if cell == "" {
		return "nothing"
	}
	return cell
}
