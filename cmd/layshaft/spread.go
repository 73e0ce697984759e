package main

import (
	"errors"
	"fmt"
	"strings"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
	"layshaft/reconcile"
	"layshaft/reconcile/measure"
)

type spreadCommand struct {
	packageFlag
	Family      string          `required:"" placeholder:"ID" help:"Family of the stack."`
	Stack       string          `required:"" placeholder:"ID" help:"Stack of the family."`
	Variant     string          `placeholder:"ID" help:"Variant whose grades count; all of the family when left out."`
	OldShim     quantity.Length `placeholder:"SIZE" help:"Old shim as measured."`
	OldSigma    quantity.Length `placeholder:"SIZE" help:"Standard deviation of the new thickness about the old shim."`
	Past        []string        `placeholder:"SIZE" help:"Thickness that closed this stack on an earlier job; may be repeated."`
	Job         []string        `placeholder:"FILE" sep:"none" help:"Earlier job as JSON, whose chosen grades count; may be repeated."`
	SecondOrder string          `placeholder:"MONEY" help:"What a missing grade costs, like '24 EUR'."`
	StockWorth  int             `placeholder:"N" help:"Worth of an unused grade, per thousand of its price."`
	Wanted      float64         `default:"0.95" help:"Wanted chance that a grade on hand fits."`
	JSON        bool            `help:"Print {prior: {mean, sigma, dof, basis}, past, rows: [{bought: [{part, thickness, chance}], covered, price, expected}], enough, cheapest, refusals: [{code, place, reason, remedy}], notices: [{code, level, text}]}; mean and sigma in mm; enough is the index of the first row that reaches the wanted chance, -1 when none does."`
}

// spreadResult is the shape of spread --json.
type spreadResult struct {
	Prior    thicknessPrior    `json:"prior"`
	Past     []quantity.Length `json:"past"`
	Rows     []spreadRow       `json:"rows"`
	Enough   int               `json:"enough"`
	Cheapest *spreadRow        `json:"cheapest,omitempty"`
	Refusals []refusal         `json:"refusals"`
	Notices  []notice          `json:"notices"`
}

type thicknessPrior struct {
	Mean  float64 `json:"mean"`
	Sigma float64 `json:"sigma"`
	DoF   float64 `json:"dof"`
	Basis string  `json:"basis"`
}

type spreadRow struct {
	Bought   []spreadGrade `json:"bought"`
	Covered  float64       `json:"covered"`
	Price    string        `json:"price,omitempty"`
	Expected string        `json:"expected,omitempty"`
}

type spreadGrade struct {
	Part      catalog.PartID  `json:"part"`
	Thickness quantity.Length `json:"thickness"`
	Chance    float64         `json:"chance"`
}

// Run says which grades to have before the dry build.
func (c *spreadCommand) Run(a *app) error {
	if c.Wanted <= 0 || c.Wanted >= 1 {
		return usageError(errors.New("--wanted: give a chance between 0 and 1, like 0.95"))
	}
	ix, err := c.index(a)
	if err != nil {
		return err
	}
	st, variants, err := reconcile.StackOf(ix, catalog.FamilyID(c.Family), c.Stack, catalog.VariantID(c.Variant))
	if err != nil {
		return err
	}
	in := measure.SpreadInput{Stack: st, Grades: reconcile.Grades(ix, variants, st, nil), OldShim: c.OldShim, OldSigma: c.OldSigma,
		StockWorth: c.StockWorth, Wanted: c.Wanted}
	if c.SecondOrder != "" {
		if in.SecondOrder, err = quantity.ParseMoney(c.SecondOrder); err != nil {
			return usageError(fmt.Errorf("--second-order: %w", err))
		}
	}
	if in.Past, err = c.past(a, ix, st); err != nil {
		return err
	}
	r := spreadResultOf(measure.Spread(in), in.Past)
	if c.JSON {
		err = a.out.json(r)
	} else {
		a.printSpread(r)
	}
	if err == nil && len(r.Refusals) > 0 {
		return errPerson
	}
	return err
}

// past thicknesses, as given and from earlier jobs.
func (c *spreadCommand) past(a *app, ix *catalog.Index, st *catalog.Stack) ([]quantity.Length, error) {
	out := []quantity.Length{}
	for _, p := range c.Past {
		t, err := quantity.ParseLength(p)
		if err != nil {
			return nil, usageError(fmt.Errorf("--past: %w", err))
		}
		out = append(out, t)
	}
	desk := reconcile.NewDesk(ix)
	for _, file := range c.Job {
		job, err := a.readJob(ix, file, nil)
		if err != nil {
			return nil, err
		}
		if t, ok := desk.Closing(job, st); ok && job.Family == st.Family {
			out = append(out, t)
		}
	}
	return out, nil
}

func spreadResultOf(in measure.SpreadResult, past []quantity.Length) spreadResult {
	r := spreadResult{Prior: thicknessPrior(in.Prior), Past: past, Rows: make([]spreadRow, len(in.Rows)), Enough: in.Enough,
		Refusals: refusalsOf(in.Refusals), Notices: noticesOf(in.Notices)}
	for i := range in.Rows {
		r.Rows[i] = spreadRowOf(&in.Rows[i])
	}
	if in.Cheapest != nil {
		x := spreadRowOf(in.Cheapest)
		r.Cheapest = &x
	}
	return r
}

func spreadRowOf(in *measure.SpreadRow) spreadRow {
	r := spreadRow{Bought: make([]spreadGrade, len(in.Bought)), Covered: in.Covered}
	for i, g := range in.Bought {
		r.Bought[i] = spreadGrade{g.Part, g.Thickness, g.Chance}
	}
	if in.Priced {
		r.Price, r.Expected = in.Price.String(), in.Expected.String()
	}
	return r
}

func (a *app) printSpread(r spreadResult) {
	a.printRefusals(r.Refusals)
	if len(r.Refusals) > 0 {
		return
	}
	a.out.linef("before measuring: %.3f mm, standard deviation %.3f mm (%s)", r.Prior.Mean, r.Prior.Sigma, r.Prior.Basis)
	for i, row := range r.Rows {
		mark := ""
		if i == r.Enough {
			mark = "  <- enough"
		}
		a.out.linef("  %s%s", row.words(), mark)
	}
	if r.Cheapest != nil {
		a.out.linef("least expected cost: %s", r.Cheapest.words())
	}
	for _, n := range r.Notices {
		a.out.linef("%s: %s", n.Level, n.Text)
	}
}

func (r *spreadRow) words() string {
	if len(r.Bought) == 0 {
		return fmt.Sprintf("buy none: %s that a grade on hand fits", measure.Chance(r.Covered))
	}
	sizes := make([]string, len(r.Bought))
	for i, g := range r.Bought {
		sizes[i] = g.Thickness.MM()
	}
	t := fmt.Sprintf("buy %s mm: %s that one fits", strings.Join(sizes, ", "), measure.Chance(r.Covered))
	if r.Price != "" {
		t += fmt.Sprintf("; %s, expected cost %s", r.Price, r.Expected)
	}
	return t
}
