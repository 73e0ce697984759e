package main

import (
	"fmt"
	"strings"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
	"layshaft/reconcile"
	"layshaft/reconcile/notes"
)

type notesCommand struct {
	packageFlag
	Variant string `placeholder:"ID" help:"Variant on the bench."`
	Family  string `placeholder:"ID" help:"Family, when the variant is not known."`
	Today   string `placeholder:"DATE" help:"Day on which the note was written, as 2026-03-09; today when left out."`
	File    string `arg:"" optional:"" help:"Bench note; - or nothing for standard input."`
	JSON    bool   `help:"Print {decisions: [{position, name, choice, quantity, treatment, due, measured, start, end, text, why}], questions: [{code, text, why, positions, start, end}], remarks: [{text, start, end}], spans: [{start, end, role}]}; start and end are byte offsets, quantity 0 is all of the position."`
}

// noteDecision is one decision of notes --json.
type noteDecision struct {
	Position  catalog.PositionID `json:"position"`
	Name      string             `json:"name"`
	Choice    reconcile.Choice   `json:"choice"`
	Quantity  int                `json:"quantity,omitempty"`
	Treatment string             `json:"treatment,omitempty"`
	Due       string             `json:"due,omitempty"`
	Measured  string             `json:"measured,omitempty"`
	Start     int                `json:"start"`
	End       int                `json:"end"`
	Text      string             `json:"text"`
	Why       string             `json:"why"`
}

type noteQuestion struct {
	Code      notes.Code           `json:"code"`
	Text      string               `json:"text"`
	Why       string               `json:"why"`
	Positions []catalog.PositionID `json:"positions,omitempty"`
	Start     int                  `json:"start"`
	End       int                  `json:"end"`
}

type noteRemark struct {
	Text  string `json:"text"`
	Start int    `json:"start"`
	End   int    `json:"end"`
}

type noteSpan struct {
	Start int        `json:"start"`
	End   int        `json:"end"`
	Role  notes.Role `json:"role"`
}

// notesResult is the shape of notes --json.
type notesResult struct {
	Decisions []noteDecision `json:"decisions"`
	Questions []noteQuestion `json:"questions"`
	Remarks   []noteRemark   `json:"remarks"`
	Spans     []noteSpan     `json:"spans"`
}

// Run reads a bench note and shows the decisions that it states.
func (c *notesCommand) Run(a *app) error {
	ix, err := c.index(a)
	if err != nil {
		return err
	}
	in, err := contextOf(ix, c.Family, c.Variant)
	if err != nil {
		return err
	}
	if in.Family == "" {
		return usageError(fmt.Errorf("name the gearbox with --variant or --family"))
	}
	today := quantity.DateOf(a.now())
	if c.Today != "" {
		if today, err = quantity.ParseDate(c.Today); err != nil {
			return catalog.Invalid("--today", "", "%v", err)
		}
	}
	note, err := a.kitList(c.File, "")
	if err != nil {
		return err
	}
	r := notesResultOf(ix, in, reconcile.NewDesk(ix).ReadNotes(note.Text, in, today))
	if c.JSON {
		err = a.out.json(r)
	} else {
		a.printNotes(r)
	}
	if err == nil && len(r.Questions) > 0 {
		return errPerson
	}
	return err
}

func notesResultOf(ix *catalog.Index, in reconcile.Context, n *reconcile.NotesReading) notesResult {
	r := notesResult{Decisions: []noteDecision{}, Questions: []noteQuestion{}, Remarks: []noteRemark{}, Spans: []noteSpan{}}
	for i, d := range n.Decisions {
		p := &n.Note.Proposals[i]
		out := noteDecision{Position: d.Position, Choice: d.Choice, Quantity: d.Quantity, Treatment: d.Treatment, Measured: d.Measured,
			Start: p.Start, End: p.End, Text: n.Note.Words(p), Why: p.Why}
		if pos, ok := ix.Position(in.Family, d.Position); ok {
			out.Name = pos.Name
		}
		if !d.Due.IsZero() {
			out.Due = d.Due.String()
		}
		r.Decisions = append(r.Decisions, out)
	}
	for _, q := range n.Note.Questions {
		r.Questions = append(r.Questions, noteQuestion{q.Code, q.Text, q.Why, q.Positions, q.Start, q.End})
	}
	for _, m := range n.Note.Remarks {
		r.Remarks = append(r.Remarks, noteRemark{m.Text, m.Start, m.End})
	}
	for _, s := range n.Note.Spans {
		r.Spans = append(r.Spans, noteSpan{s.Start, s.End, s.Role})
	}
	return r
}

func (a *app) printNotes(r notesResult) {
	for _, d := range r.Decisions {
		line := fmt.Sprintf("%-10s  %s", d.Choice, d.Name)
		if d.Quantity > 0 {
			line += fmt.Sprintf(", %d of them", d.Quantity)
		}
		if d.Treatment != "" {
			line += ": " + d.Treatment
		}
		if d.Due != "" {
			line += ", back " + d.Due
		}
		if d.Measured != "" {
			line += " (" + d.Measured + ")"
		}
		a.out.linef("%s", line)
		a.out.linef("            %s", d.Why)
	}
	for _, q := range r.Questions {
		a.out.linef("question    %s", strings.Join(strings.Fields(q.Text), " "))
		a.out.linef("            %s", q.Why)
		for _, p := range q.Positions {
			a.out.linef("            perhaps %s", p)
		}
	}
	for _, m := range r.Remarks {
		a.out.linef("remark      %s", strings.Join(strings.Fields(m.Text), " "))
	}
	a.out.linef("%s, %s; nothing is stored", counted(len(r.Decisions), "decision"), counted(len(r.Questions), "question"))
}
