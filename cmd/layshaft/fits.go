package main

import (
	"fmt"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
	"layshaft/reconcile"
	fits "layshaft/reconcile/fit"
)

type fitsCommand struct {
	packageFlag
	Variant  string `placeholder:"ID" xor:"where" help:"Variant whose standard parts are around the position."`
	Job      string `placeholder:"FILE" xor:"where" help:"Job as JSON instead: what will be in its box is around the position; - for standard input."`
	Position string `required:"" placeholder:"ID" help:"Position where the part is to go."`
	JSON     bool   `help:"Print {verdict: yes|yes-if|no|unknown, standing, changes: [{position, from, to, pieces, price, currency, standing, reasons}], cost, currency, unpriced, cheapest, measure: [{position, part, text, howTo}], because: [{code, position, text}], smallest, together}. Prices are whole minor units."`
	Part     string `arg:"" help:"Part by the shop's identifier, or by a number that only one part carries."`
}

// fitsResult is the shape of fits --json.
type fitsResult struct {
	Verdict  fits.Verdict     `json:"verdict"`
	Standing catalog.Standing `json:"standing,omitempty"`
	Changes  []fitsChange     `json:"changes"`
	Cost     int64            `json:"cost"`
	Currency string           `json:"currency,omitempty"`
	Unpriced int              `json:"unpriced"`
	Cheapest bool             `json:"cheapest"`
	Measure  []fitsMeasure    `json:"measure"`
	Because  []fitsFact       `json:"because"`
	Smallest bool             `json:"smallest"`
	Together []string         `json:"together"`
}

type fitsChange struct {
	Position catalog.PositionID `json:"position"`
	From     catalog.PartID     `json:"from,omitempty"`
	To       catalog.PartID     `json:"to"`
	Pieces   int                `json:"pieces"`
	Price    *int64             `json:"price,omitempty"`
	Currency string             `json:"currency,omitempty"`
	Standing catalog.Standing   `json:"standing"`
	Reasons  []string           `json:"reasons"`
}

type fitsMeasure struct {
	Position catalog.PositionID `json:"position"`
	Part     catalog.PartID     `json:"part,omitempty"`
	Text     string             `json:"text"`
	HowTo    string             `json:"howTo,omitempty"`
}

type fitsFact struct {
	Code     string             `json:"code"`
	Position catalog.PositionID `json:"position"`
	Text     string             `json:"text"`
}

// Run answers whether a part goes in.
func (c *fitsCommand) Run(a *app) error {
	if c.Variant == "" && c.Job == "" {
		return usageError(fmt.Errorf("name a --variant or a --job"))
	}
	ix, err := c.index(a)
	if err != nil {
		return err
	}
	part, err := partNamed(ix, c.Part)
	if err != nil {
		return err
	}
	answer, family, err := c.ask(a, ix, part)
	if err != nil {
		return err
	}
	if c.JSON {
		err = a.out.json(fitsResultOf(answer))
	} else {
		a.printFit(names{ix, family}, c.Position, part, answer)
	}
	if err == nil && answer.Verdict != fits.Yes {
		err = errPerson
	}
	return err
}

func (c *fitsCommand) ask(a *app, ix *catalog.Index, part *catalog.Part) (*fits.Answer, catalog.FamilyID, error) {
	position := catalog.PositionID(c.Position)
	if c.Job == "" {
		v, ok := ix.Variant(catalog.VariantID(c.Variant))
		if !ok {
			return nil, "", catalog.NotFound(catalog.TableVariant, c.Variant)
		}
		answer, err := fits.Ask(ix, fits.Question{Variant: v.ID, Position: position, Part: part.ID})
		return answer, v.Family, err
	}
	job, err := a.readJob(ix, c.Job, nil)
	if err != nil {
		return nil, "", err
	}
	desk := reconcile.NewDesk(ix)
	answer, err := desk.FitOn(job, desk.Report(job, quantity.Date{}), position, part.ID)
	return answer, job.Family, err
}

// partNamed finds a part by identifier, else by a number.
func partNamed(ix *catalog.Index, text string) (*catalog.Part, error) {
	if p, ok := ix.Part(catalog.PartID(text)); ok {
		return p, nil
	}
	hits := ix.ByNumber(text)
	switch len(hits) {
	case 0:
		return nil, catalog.NotFound(catalog.TablePart, text)
	case 1:
		return hits[0].Part, nil
	}
	return nil, catalog.Invalid("part "+text, "Give the identifier of one of them", "%d parts carry this number", len(hits))
}

func fitsResultOf(a *fits.Answer) fitsResult {
	r := fitsResult{Verdict: a.Verdict, Standing: a.Standing, Cost: a.Cost.Minor, Currency: a.Cost.Currency, Unpriced: a.Unpriced,
		Cheapest: a.Cheapest, Smallest: a.Smallest, Changes: []fitsChange{}, Measure: []fitsMeasure{}, Because: []fitsFact{}, Together: []string{}}
	for _, c := range a.Changes {
		x := fitsChange{Position: c.Position, From: c.From, To: c.To, Pieces: c.Pieces, Standing: c.Standing, Reasons: []string{}}
		if c.Price != nil {
			x.Price, x.Currency = &c.Price.Minor, c.Price.Currency
		}
		for _, f := range c.Reasons {
			x.Reasons = append(x.Reasons, f.Text)
		}
		r.Changes = append(r.Changes, x)
	}
	for _, m := range a.Measure {
		r.Measure = append(r.Measure, fitsMeasure{m.Position, m.Part, m.Text, m.HowTo})
	}
	for _, f := range a.Because {
		r.Because = append(r.Because, fitsFact{f.Code, f.Position, f.Text})
	}
	for _, b := range a.Together {
		r.Together = append(r.Together, b.ID)
	}
	return r
}

func (a *app) printFit(n names, position string, part *catalog.Part, x *fits.Answer) {
	place := n.position(catalog.PositionID(position))
	what := fits.PartName(part)
	switch x.Verdict {
	case fits.Yes:
		a.out.linef("Yes: %s goes in at %s (%s).", what, place, x.Standing)
	case fits.YesIf:
		a.out.linef("Yes, if: %s goes in at %s (%s) when these are changed too:", what, place, x.Standing)
	case fits.No:
		a.out.linef("No: %s does not go in at %s.", what, place)
	default:
		a.out.linef("Not known: whether %s goes in at %s.", what, place)
	}
	for _, m := range x.Measure {
		a.out.linef("  %s%s", m.Text, howTo(m.HowTo))
	}
	for _, f := range x.Because {
		a.out.linef("  %s", f.Text)
	}
	if x.Verdict == fits.Unknown && len(x.Changes) > 0 {
		a.out.linef("Without measuring, with these changes:")
	}
	for _, c := range x.Changes {
		a.out.linef("  %s: %s%s%s", n.position(c.Position), partIn(n.ix, c.To), pieces(c.Pieces), priceOf(c))
		for _, f := range c.Reasons {
			a.out.linef("    %s", f.Text)
		}
	}
	if len(x.Changes) > 0 {
		a.printFitCost(x)
	}
	for _, b := range x.Together {
		a.out.linef("Renewed together (%s): %s", b.Kind, b.Reason)
	}
}

func (a *app) printFitCost(x *fits.Answer) {
	if x.Cost.Currency != "" {
		a.out.linef("The changes cost %s by the least prices offered.", x.Cost)
	}
	if x.Unpriced > 0 {
		a.out.linef("Nobody offers a part for %s.", counted(x.Unpriced, "change"))
	}
	if !x.Cheapest {
		a.out.linef("The search was cut short: there may be a cheaper choice of as few changes.")
	}
}

func partIn(ix *catalog.Index, id catalog.PartID) string {
	if p, ok := ix.Part(id); ok {
		return fits.PartName(p)
	}
	return string(id)
}

func howTo(text string) string {
	if text == "" {
		return ""
	}
	return " (" + text + ")"
}

func pieces(n int) string {
	if n < 2 {
		return ""
	}
	return fmt.Sprintf(", %d pieces", n)
}

func priceOf(c *fits.Change) string {
	if c.Price == nil {
		return ", no offer"
	}
	return ", " + c.Price.String()
}
