package reconcile

import (
	"layshaft/catalog/quantity"
	"layshaft/reconcile/notes"
)

// NotesReading is a bench note as it was read: a preview, of which nothing is
// stored. Decisions has one entry for each proposal, in their order, ready to be
// decided once it names its job.
type NotesReading struct {
	Note      notes.Result
	Decisions []*Decision
}

// ReadNotes reads a bench note against the positions of a variant, or of the
// family while the variant is not known. Today dates weekdays.
func (d *Desk) ReadNotes(text string, in Context, today quantity.Date) *NotesReading {
	r := &NotesReading{Note: d.notes.Read(in.Family, in.Variant, text, today)}
	for i := range r.Note.Proposals {
		p := &r.Note.Proposals[i]
		r.Decisions = append(r.Decisions, &Decision{Position: p.Position, Choice: Choice(p.Choice), Quantity: p.Quantity,
			Treatment: p.Treatment, Due: p.Due, Measured: p.Measured, Why: "bench note: " + r.Note.Words(p)})
	}
	return r
}
