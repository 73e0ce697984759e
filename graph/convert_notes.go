package graph

import (
	"bytes"
	"context"
	"encoding/base64"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
	"layshaft/graph/model"
	"layshaft/reconcile"
	"layshaft/reconcile/notes"
	"layshaft/reconcile/sheet"
)

// readBenchNotes shows a note's decisions.
func (r *Resolver) readBenchNotes(in model.ReadBenchNotesInput) (*model.BenchNotesReading, error) {
	if err := reconcile.ValidText(in.Text); err != nil {
		return nil, err
	}
	today := quantity.DateOf(r.Now())
	if in.Today != nil {
		today = *in.Today
	}
	known := reconcile.Context{Family: catalog.FamilyID(in.Family), Variant: catalog.VariantID(in.Variant)}
	if v, ok := r.index().Variant(known.Variant); ok {
		known.Family = v.Family
	}
	if _, ok := r.index().Family(known.Family); !ok {
		return nil, catalog.Invalid("family", "Name the variant or the family on the bench", "no family %q", in.Family)
	}
	n := r.Bench.Desk().ReadNotes(in.Text, known, today)
	out := &model.BenchNotesReading{Decisions: make([]*model.NoteDecision, len(n.Decisions)), Questions: make([]*model.NoteQuestion, len(n.Note.Questions)),
		Remarks: make([]*model.NoteRemark, len(n.Note.Remarks)), Spans: make([]*model.TextSpan, len(n.Note.Spans))}
	for i, d := range n.Decisions {
		out.Decisions[i] = r.noteDecision(known.Family, d, &n.Note.Proposals[i])
	}
	for i, q := range n.Note.Questions {
		out.Questions[i] = &model.NoteQuestion{Code: string(q.Code), Text: q.Text, Why: q.Why, Positions: texts(q.Positions), Start: q.Start, End: q.End}
	}
	for i, m := range n.Note.Remarks {
		out.Remarks[i] = &model.NoteRemark{Text: m.Text, Start: m.Start, End: m.End}
	}
	for i, s := range n.Note.Spans {
		out.Spans[i] = &model.TextSpan{Start: s.Start, End: s.End, Role: string(s.Role)}
	}
	return out, nil
}

func (r *Resolver) noteDecision(family catalog.FamilyID, d *reconcile.Decision, p *notes.Proposal) *model.NoteDecision {
	out := &model.NoteDecision{Position: string(d.Position), Label: r.positionLabel(family, d.Position), Choice: d.Choice, Quantity: d.Quantity, Treatment: d.Treatment,
		Measured: d.Measured, Why: d.Why, Reading: p.Why, Start: p.Start, End: p.End}
	if !d.Due.IsZero() {
		out.Due = &d.Due
	}
	return out
}

// readKitFile reads an uploaded file as a kit list.
func (r *Resolver) readKitFile(in model.ReadKitFileInput) (*model.KitFileReading, error) {
	data, err := base64.StdEncoding.DecodeString(in.ContentBase64)
	if err != nil {
		return nil, catalog.Invalid("contentBase64", "Send the file in base64", "%v", err)
	}
	opts := sheet.Options{Sheet: in.Sheet, Head: in.Head}
	for _, c := range in.Columns {
		if opts.Columns == nil {
			opts.Columns = map[string]string{}
		}
		opts.Columns[c.Letter] = c.Kind
	}
	f, err := sheet.Read(in.Name, data, opts)
	if err != nil {
		return nil, err
	}
	if err := reconcile.ValidText(f.Text); err != nil {
		return nil, err
	}
	list := &reconcile.KitList{ID: "input", Text: f.Text, Supplier: catalog.SupplierID(in.Supplier)}
	out := &model.KitFileReading{Text: f.Text, Sheets: f.Sheets, Sheet: f.Sheet, Head: f.Head, Columns: make([]*model.FileColumn, len(f.Columns)),
		Cells: make([]*model.FileCell, len(f.Cells)), Notices: orEmpty(f.Notices),
		Reading: kitListReading(r.Bench.Desk().Read(list, reconcile.Context{Family: catalog.FamilyID(in.Family), Variant: catalog.VariantID(in.Variant)}))}
	for i, c := range f.Columns {
		out.Columns[i] = &model.FileColumn{Letter: c.Letter, Head: c.Head, Kind: c.Kind}
	}
	for i, c := range f.Cells {
		out.Cells[i] = &model.FileCell{Start: c.Start, End: c.End, Ref: c.Ref}
	}
	return out, nil
}

// aliases of a supplier, or all.
func (r *Resolver) aliases(supplier string) []*catalog.Alias {
	out := []*catalog.Alias{}
	for _, a := range r.index().Aliases() {
		if supplier == "" || string(a.Supplier) == supplier {
			out = append(out, a)
		}
	}
	return out
}

func (r *Resolver) refitWeights(ctx context.Context) (*model.WeightsRefit, error) {
	f, err := r.Bench.Refit(ctx)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	if err := f.Weights.Write(&b); err != nil {
		return nil, err
	}
	return &model.WeightsRefit{Rows: f.Rows, Adopted: f.Adopted, FirstBefore: f.HitsBefore, FirstAfter: f.HitsAfter,
		LossBefore: f.LossBefore, LossAfter: f.LossAfter, Table: b.String()}, nil
}
