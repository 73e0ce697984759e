package reconcile

import (
	"layshaft/catalog"
	"layshaft/reconcile/kitlist"
	"layshaft/reconcile/match"
)

// ListReading is a kit list as it was read: the lines with their spans, what each
// was matched to, and the supply that follows. Supply has one entry for every
// part that a line names; Of gives the index of its line.
type ListReading struct {
	List        kitlist.List
	Results     []match.Result
	Supply      []*SupplyLine
	Of          []int
	Suggestions []match.Suggestion // of families; only while the variant is not known
}

// Context is what is known about a list before it is read.
type Context struct {
	Family  catalog.FamilyID
	Variant catalog.VariantID
}

// Read reads a kit list against the catalogue. A person's answers win over what
// the text seems to say.
func (d *Desk) Read(k *KitList, in Context) *ListReading {
	read := d.matched(k, in)
	r := &ListReading{List: read.list, Results: read.results, Suggestions: read.suggestions}
	for i := range r.Results {
		for _, s := range d.supplies(k, &r.List, &r.Results[i], in) {
			r.Supply, r.Of = append(r.Supply, s), append(r.Of, r.Results[i].Line)
		}
	}
	return r
}

// supplies turns one result into supply: one entry, and one more for each
// other part that the same line names.
func (d *Desk) supplies(k *KitList, list *kitlist.List, m *match.Result, in Context) []*SupplyLine {
	line := &list.Lines[m.Line]
	if line.Kind != kitlist.Item {
		return nil
	}
	s := &SupplyLine{
		Place: &Place{List: k.ID, Line: line.No, Sub: line.Sub, Start: line.Start, End: line.End,
			Text: line.Text},
		Source:       FromKit,
		Outcome:      outcomeOf(m.Outcome),
		Part:         m.Part,
		Pieces:       d.pieces(in, line, m.Part),
		Assumed:      line.Quantity.Assumed && !line.Quantity.Proven,
		Excluded:     line.Flags.Excluded || line.Flags.Declined,
		Conditional:  line.Flags.Conditional,
		NotAvailable: line.Flags.NotAvailable,
		Alternative:  line.Flags.Alternative,
		Why:          m.Why,
		ReturnBy:     k.ReturnBy,
	}
	if line.Flags.BackOrder {
		s.Source = FromOrder
	}
	for _, c := range m.Candidates {
		if m.Outcome == match.None {
			break // nothing in the catalogue answers to the line
		}
		s.Candidates = append(s.Candidates, &Candidate{Part: c.Part, Permille: c.Permille, Why: c.Why})
	}
	if a := answerFor(k, line); a != nil {
		return []*SupplyLine{answered(s, a)}
	}
	out := []*SupplyLine{s}
	for _, part := range m.Also {
		also := *s
		also.Part, also.Candidates = part, nil
		also.Pieces = d.pieces(in, line, part)
		out = append(out, &also)
	}
	return out
}

// pieces is how many pieces of a part a line stands for. A set or pair counts as
// one however many it holds, since its contents are counted later; "for all hubs"
// without a count is what the variant has; "per hub" multiplies by the hubs named
// or, failing that, by those of the variant.
func (d *Desk) pieces(in Context, line *kitlist.Line, id catalog.PartID) int {
	q := line.Quantity
	p, ok := d.index.Part(id)
	switch {
	case ok && q.Pack > 1 && (len(p.Contents) > 0 || p.Unit == catalog.UnitPair || p.Unit == catalog.UnitSet):
		return q.Count
	case !ok || q.Multiplier == "" || q.Multiplier == "per side" || q.Multiplier == "each": // Pieces holds these
		return q.Pieces
	case q.Assumed || q.Multiplier == "all":
		if all := d.piecesOf(in, id); all > 0 {
			return all
		}
		return q.Pieces
	}
	groups := q.Groups
	if groups == 0 && q.Multiplier == "per hub" {
		groups = d.piecesOfKind(in, "synchro hub")
	}
	return q.Pieces * max(groups, 1)
}

// piecesOf is how many pieces of a part the variant takes in all.
func (d *Desk) piecesOf(in Context, id catalog.PartID) int {
	n := 0
	for _, f := range d.index.FitsOf(id) {
		if f.Variant == in.Variant {
			n += d.index.Quantity(in.Variant, f.Position)
		}
	}
	return n
}

func (d *Desk) piecesOfKind(in Context, kind catalog.PartKind) int {
	n := 0
	for _, p := range d.index.Positions(in.Family) {
		if p.Kind == kind {
			n += d.index.Quantity(in.Variant, p.ID)
		}
	}
	return n
}

func outcomeOf(o match.Outcome) Outcome {
	switch o {
	case match.Certain:
		return Certain
	case match.Likely:
		return Likely
	}
	return Question
}

// answerFor finds the person's answer for a line. The line's text decides, so
// that an answer survives edits elsewhere in the list; of equal texts the one
// at the same place.
func answerFor(k *KitList, line *kitlist.Line) *Answer {
	var found *Answer
	for _, a := range k.Answers {
		if a.Text != line.Text {
			continue
		}
		if a.Line == line.No && a.Sub == line.Sub {
			return a
		}
		found = a
	}
	return found
}

func answered(s *SupplyLine, a *Answer) *SupplyLine {
	s.Answered, s.Part, s.Outcome, s.Why = true, a.Part, Certain, "a person answered"
	if a.Part == "" {
		s.Outcome, s.Pieces = NoItem, 0
		s.Why = "a person answered: none of ours"
	}
	if a.Pieces > 0 {
		s.Pieces, s.Assumed = a.Pieces, false
	} else if a.Part != "" {
		s.Pieces = max(s.Pieces, 1)
	}
	return s
}
