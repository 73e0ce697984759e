package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
	"layshaft/reconcile"
)

type reconcileCommand struct {
	packageFlag
	Job   string   `required:"" placeholder:"FILE" help:"Job as JSON: id, title, family, variant, decisions and the rest; - for standard input."`
	Kit   []string `placeholder:"FILE" sep:"none" help:"Kit list of the job, beside those in the job file; may be repeated; - for standard input."`
	Today string   `placeholder:"DATE" help:"Day for return dates and overdue work, like 2026-03-09; today when left out."`
	JSON  bool     `help:"Print the report {job, family, variant, lines, demands, build, findings, shortages, surplus, causes, blocking, faults}."`
}

// Run reconciles a job with its kit lists.
func (c *reconcileCommand) Run(a *app) error {
	today, err := c.day(a)
	if err != nil {
		return err
	}
	ix, err := c.index(a)
	if err != nil {
		return err
	}
	job, err := a.readJob(ix, c.Job, c.Kit)
	if err != nil {
		return err
	}
	report := reconcile.NewDesk(ix).Report(job, today)
	if c.JSON {
		err = a.out.json(report)
	} else {
		a.printReport(ix, job, report)
	}
	switch {
	case err != nil:
		return err
	case len(report.Faults) > 0:
		return fmt.Errorf("the report contradicts itself and must not be relied on: %s", strings.Join(report.Faults, "; "))
	case report.Blocking > 0:
		return errPerson
	}
	return nil
}

// day checks what the command line alone can get wrong, and gives the day.
func (c *reconcileCommand) day(a *app) (quantity.Date, error) {
	wanted := 0
	for _, file := range append([]string{c.Job}, c.Kit...) {
		if file == standardInput {
			wanted++
		}
	}
	if wanted > 1 {
		return quantity.Date{}, usageError(errors.New("two arguments want standard input; name a file for one of them"))
	}
	if c.Today == "" {
		return quantity.DateOf(a.now()), nil
	}
	day, err := quantity.ParseDate(c.Today)
	if err != nil {
		return day, usageError(fmt.Errorf("--today: %w", err))
	}
	return day, nil
}

// readJob reads a job file and puts kit list files beside those in it.
func (a *app) readJob(ix *catalog.Index, name string, kits []string) (*reconcile.Job, error) {
	data, err := a.file(name)
	if err != nil {
		return nil, err
	}
	job := &reconcile.Job{}
	if err := decodeJSON(placeOf(name), data, job); err != nil {
		return nil, err
	}
	if job.Head == nil {
		return nil, catalog.Invalid(name, "Give at least id, title, family and state", "the job says nothing about itself")
	}
	for _, file := range kits {
		list, err := a.kitList(file, "")
		if err != nil {
			return nil, err
		}
		list.Job = job.ID
		if slices.ContainsFunc(job.KitLists, func(k *reconcile.KitList) bool { return k != nil && k.ID == list.ID }) {
			return nil, usageError(fmt.Errorf("two kit lists would be named %s; rename the file %s", list.ID, file))
		}
		job.KitLists = append(job.KitLists, list)
	}
	if err := reconcile.ValidJob(ix, job); err != nil {
		var e *catalog.Error
		if errors.As(err, &e) {
			e = &catalog.Error{Code: e.Code, Place: name + ": " + e.Place, Message: e.Message, Remedy: e.Remedy, Cause: e}
			return nil, e
		}
		return nil, err
	}
	return job, nil
}

// names turns ids into the shop's words.
type names struct {
	ix     *catalog.Index
	family catalog.FamilyID
}

func (n names) position(id catalog.PositionID) string {
	if p, ok := n.ix.Position(n.family, id); ok {
		return p.Name
	}
	return string(id)
}

func (n names) part(id catalog.PartID) string {
	if p, ok := n.ix.Part(id); ok {
		return fmt.Sprintf("%s (%s)", p.Name, id)
	}
	return string(id)
}

func (n names) parts(ids []catalog.PartID) string {
	out := make([]string, len(ids))
	for i, id := range ids {
		out[i] = n.part(id)
	}
	return strings.Join(out, ", or ")
}

func (a *app) printReport(ix *catalog.Index, job *reconcile.Job, r *reconcile.Report) {
	n := names{ix, r.Family}
	variant := string(r.Variant)
	if variant == "" {
		variant = "variant not known"
	}
	a.out.linef("Job %s, %s: %s, %s", r.Job, job.Title, r.Family, variant)
	switch r.Blocking {
	case 0:
		a.out.linef("nothing found that keeps the case open")
	case 1:
		a.out.linef("1 thing keeps the case open")
	default:
		a.out.linef("%d things keep the case open", r.Blocking)
	}
	for _, g := range reconcile.FindingGroups(ix, r) {
		a.printGroup(n, g)
	}
	a.printShortages(n, r)
	a.printDemand(n, r)
	if len(r.Surplus) > 0 {
		a.out.section("Surplus")
		for _, s := range r.Surplus {
			back := ""
			if s.ReturnBy != "" {
				back = "; goes back by " + s.ReturnBy
			}
			a.out.linef("  %s: %d x %s: %s%s", lineName(r, s.Line), s.Pieces, n.part(s.Part), s.Message, back)
		}
	}
}

// printGroup prints findings of one root cause. What several have in common is
// said once, then the places; nothing is left out.
func (a *app) printGroup(n names, g *reconcile.Group) {
	a.out.section("%s", g.Title)
	for _, it := range g.Items {
		a.out.linef("  %-5s  %s (%s)", it.Severity, it.Message, it.Code)
		if len(it.Findings) == 1 {
			a.printWhy(n, g.Root, it.Findings[0])
			continue
		}
		for _, f := range it.Findings {
			a.out.linef("         - %s%s", n.position(f.Position), remedyText(f))
		}
	}
}

func (a *app) printWhy(n names, root *reconcile.Hop, f *reconcile.Finding) {
	if chain := chainText(n, root, f); chain != "" {
		a.out.linef("         because %s", chain)
	}
	if f.Remedy != nil && f.Remedy.Text != "" {
		a.out.linef("         %s", f.Remedy.Text)
	}
	if o := f.Override; o != nil {
		a.out.linef("         signed against by %s: %s", o.By, o.Reason)
	}
}

func remedyText(f *reconcile.Finding) string {
	if f.Remedy == nil || f.Remedy.Text == "" {
		return ""
	}
	return ": " + f.Remedy.Text
}

// chainText tells a cause chain, root first, without what the heading or the
// message says already.
func chainText(n names, root *reconcile.Hop, f *reconcile.Finding) string {
	var steps []string
	for _, h := range f.Chain {
		if root != nil && *h == *root || strings.Contains(f.Message, h.Reason) {
			continue
		}
		steps = append(steps, fmt.Sprintf("%s: %s", n.position(h.Position), h.Reason))
	}
	return strings.Join(steps, ", then ")
}

func (a *app) printShortages(n names, r *reconcile.Report) {
	if len(r.Shortages) == 0 {
		return
	}
	a.out.section("Short")
	for _, s := range r.Shortages {
		kind := string(s.State)
		if s.Blocking {
			kind += ", blocking"
		}
		if s.Possible {
			kind += ", only possible: not decided yet"
		}
		a.out.linef("  %d x %s: %s", s.Quantity, n.position(s.Position), kind)
		if len(s.Accept) > 0 {
			a.out.linef("    %s", n.parts(s.Accept))
		}
		if s.Because != "" {
			a.out.linef("    %s", s.Because)
		}
	}
}

func (a *app) printDemand(n names, r *reconcile.Report) {
	covered := slices.DeleteFunc(slices.Clone(r.Demands), func(d *reconcile.Demand) bool { return d.Covered == 0 })
	if len(covered) == 0 {
		return
	}
	a.out.section("Supplied")
	for _, d := range covered {
		for _, u := range d.Uses {
			a.out.linef("  %d x %s: %s, %s", u.Pieces, n.position(d.Position), n.part(u.Part), lineName(r, u.Line))
		}
	}
}

// lineName says where supply came from.
func lineName(r *reconcile.Report, i int) string {
	if i < 0 || i >= len(r.Lines) {
		return "source not known"
	}
	if l := r.Lines[i]; l.Place != nil {
		return fmt.Sprintf("%s line %d", l.Place.List, l.Place.Line)
	}
	return "goods " + r.Lines[i].Goods
}
