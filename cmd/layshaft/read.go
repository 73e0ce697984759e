package main

import (
	"bytes"
	"path/filepath"
	"strings"

	"layshaft/catalog"
	"layshaft/reconcile"
	"layshaft/reconcile/kitlist"
	"layshaft/reconcile/match"
)

type readCommand struct {
	packageFlag
	Variant  string `placeholder:"ID" help:"Variant that the list is for."`
	Family   string `placeholder:"ID" help:"Family that the list is for, when the variant is not known."`
	Supplier string `placeholder:"ID" help:"Supplier who wrote the list."`
	sheetFlags
	Weights string `placeholder:"FILE" help:"Weights that refit wrote; the shipped ones when left out."`
	File    string `arg:"" optional:"" help:"Kit list: text, CSV or a workbook (.xlsx); - or nothing for standard input."`
	JSON    bool   `help:"Print {lines: [{line, sub, kind, start, end, text, outcome, part, name, pieces, assumed, excluded, conditional, notAvailable, alternative, candidates: [{part, permille, why}], nonePermille, why, cells}], certain, likely, questions, none, file}; start and end are byte offsets. For a workbook or CSV file they count in file.text, cells names the cells, and file is {text, sheets, sheet, head, columns: [{letter, head, kind}], notices}."`
}

// readLine is one line of read --json.
type readLine struct {
	Line         int             `json:"line"` // physical line, from 1
	Sub          int             `json:"sub,omitempty"`
	Kind         kitlist.Kind    `json:"kind"`
	Start        int             `json:"start"` // byte offsets
	End          int             `json:"end"`
	Text         string          `json:"text"`
	Outcome      match.Outcome   `json:"outcome,omitempty"`
	Part         catalog.PartID  `json:"part,omitempty"`
	Also         []string        `json:"also,omitempty"` // other parts that the line names
	Name         string          `json:"name,omitempty"`
	Pieces       int             `json:"pieces,omitempty"`
	Assumed      bool            `json:"assumed,omitempty"`
	Excluded     bool            `json:"excluded,omitempty"`
	Conditional  bool            `json:"conditional,omitempty"`
	NotAvailable bool            `json:"notAvailable,omitempty"`
	Alternative  int             `json:"alternative,omitempty"`
	Candidates   []readCandidate `json:"candidates,omitempty"`
	NonePermille int             `json:"nonePermille,omitempty"`
	Why          string          `json:"why,omitempty"`
	Cells        string          `json:"cells,omitempty"` // of a workbook or CSV file
}

type readCandidate struct {
	Part     catalog.PartID `json:"part"`
	Permille int            `json:"permille"`
	Why      string         `json:"why,omitempty"`
}

// readResult is the shape of read --json.
type readResult struct {
	Lines     []readLine `json:"lines"`
	Certain   int        `json:"certain"`
	Likely    int        `json:"likely"`
	Questions int        `json:"questions"`
	None      int        `json:"none"` // items that nothing in the catalogue answers to
	File      *readFile  `json:"file,omitempty"`
}

// Run reads a kit list.
func (c *readCommand) Run(a *app) error {
	ix, err := c.index(a)
	if err != nil {
		return err
	}
	in, err := contextOf(ix, c.Family, c.Variant)
	if err != nil {
		return err
	}
	if _, ok := ix.Supplier(catalog.SupplierID(c.Supplier)); c.Supplier != "" && !ok {
		return catalog.NotFound(catalog.TableSupplier, c.Supplier)
	}
	list, file, err := a.kitFile(c.File, c.sheetFlags)
	if err != nil {
		return err
	}
	list.Supplier = catalog.SupplierID(c.Supplier)
	desk, err := c.desk(a, ix)
	if err != nil {
		return err
	}
	r := readResultOf(ix, desk.Read(list, in))
	r.fromFile(file)
	if c.JSON {
		err = a.out.json(r)
	} else {
		a.printReading(r)
	}
	if err == nil && r.Likely+r.Questions > 0 {
		return errPerson
	}
	return err
}

// desk with the weights asked for.
func (c *readCommand) desk(a *app, ix *catalog.Index) (*reconcile.Desk, error) {
	if c.Weights == "" {
		return reconcile.NewDesk(ix), nil
	}
	data, err := a.file(c.Weights)
	if err != nil {
		return nil, err
	}
	w, err := match.ReadWeights(bytes.NewReader(data))
	if err != nil {
		return nil, catalog.Invalid(c.Weights, "Give a table that refit wrote", "%v", err)
	}
	return reconcile.NewDeskWith(ix, w), nil
}

// contextOf looks up family and variant, either of which may be left out.
func contextOf(ix *catalog.Index, family, variant string) (reconcile.Context, error) {
	in := reconcile.Context{Family: catalog.FamilyID(family), Variant: catalog.VariantID(variant)}
	if variant != "" {
		v, ok := ix.Variant(in.Variant)
		switch {
		case !ok:
			return in, catalog.NotFound(catalog.TableVariant, variant)
		case family != "" && v.Family != in.Family:
			return in, catalog.Invalid("--family "+family, "Leave one of the two out", "variant %s is of family %s", variant, v.Family)
		}
		in.Family = v.Family
	}
	if _, ok := ix.Family(in.Family); in.Family != "" && !ok {
		return in, catalog.NotFound(catalog.TableFamily, family)
	}
	return in, nil
}

// listID makes an identifier out of a file's name.
func listID(name string) string {
	id := strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9', r == '-', r == '_', r == '.':
			return r
		}
		return '-'
	}, strings.ToLower(strings.TrimSuffix(name, filepath.Ext(name))))
	id = strings.TrimLeft(id, "-_.")
	if !catalog.ValidID(id) {
		return "list"
	}
	return id
}

func readResultOf(ix *catalog.Index, reading *reconcile.ListReading) readResult {
	r := readResult{Lines: []readLine{}}
	pieces := map[int]int{}
	for i, s := range reading.Supply {
		if _, set := pieces[reading.Of[i]]; !set {
			pieces[reading.Of[i]] = s.Pieces
		}
	}
	matched := map[int]*match.Result{}
	for i := range reading.Results {
		matched[reading.Results[i].Line] = &reading.Results[i]
	}
	for i := range reading.List.Lines {
		l := &reading.List.Lines[i]
		line := readLine{Line: l.No, Sub: l.Sub, Kind: l.Kind, Start: l.Start, End: l.End, Text: l.Text}
		if m := matched[i]; m != nil && l.Kind == kitlist.Item {
			line.fill(ix, l, m, pieces[i])
			r.count(m.Outcome)
		}
		r.Lines = append(r.Lines, line)
	}
	return r
}

func (l *readLine) fill(ix *catalog.Index, k *kitlist.Line, m *match.Result, pieces int) {
	l.Outcome, l.Part, l.Why, l.NonePermille = m.Outcome, m.Part, m.Why, m.NonePermille
	l.Pieces, l.Assumed = pieces, k.Quantity.Assumed
	l.Excluded = k.Flags.Excluded || k.Flags.Declined
	l.Conditional, l.NotAvailable, l.Alternative = k.Flags.Conditional, k.Flags.NotAvailable, k.Flags.Alternative
	if p, ok := ix.Part(m.Part); ok {
		l.Name = p.Name
	}
	for _, also := range m.Also {
		l.Also = append(l.Also, string(also))
	}
	for _, c := range m.Candidates {
		l.Candidates = append(l.Candidates, readCandidate{Part: c.Part, Permille: c.Permille, Why: c.Why})
	}
}

func (r *readResult) count(o match.Outcome) {
	switch o {
	case match.Certain:
		r.Certain++
	case match.Likely:
		r.Likely++
	case match.Question:
		r.Questions++
	default:
		r.None++
	}
}

func (a *app) printReading(r readResult) {
	a.printFile(r.File)
	for _, l := range r.Lines {
		if l.Kind != kitlist.Item {
			a.out.linef("%4d  %-8s  %s", l.Line, l.Kind, l.Text)
			continue
		}
		a.out.linef("%4d  %-8s  %s", l.Line, l.Outcome, l.Text)
		switch {
		case l.Part != "":
			a.out.linef("                %d x %s, %s%s", l.Pieces, l.Name, l.Part, standingOf(l))
			if l.Cells != "" {
				a.out.linef("                from %s", l.Cells)
			}
			for _, also := range l.Also {
				a.out.linef("                and %s", also)
			}
		case l.Outcome == match.Question:
			for _, c := range l.Candidates {
				a.out.linef("                perhaps %s (%d of 1000 by the text alone)", c.Part, c.Permille)
			}
		}
		if l.Why != "" && l.Outcome != match.Certain {
			a.out.linef("                %s", l.Why)
		}
	}
	a.out.linef("%s: %d certain, %d likely, %s, %d not in the catalogue", counted(len(r.Lines), "line"), r.Certain, r.Likely,
		counted(r.Questions, "question"), r.None)
}

// standingOf says what the list itself says about a line.
func standingOf(l readLine) string {
	var words []string
	for _, w := range []struct {
		on   bool
		word string
	}{{l.Assumed, "quantity assumed"}, {l.Excluded, "named but not supplied"}, {l.Conditional, "only as needed"}, {l.NotAvailable, "not available"}, {l.Alternative > 0, "one of several"}} {
		if w.on {
			words = append(words, w.word)
		}
	}
	if len(words) == 0 {
		return ""
	}
	return " (" + strings.Join(words, ", ") + ")"
}
