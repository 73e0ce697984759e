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
	Suggestions []match.Suggestion
}

// Context is what is known about a list before it is read.
type Context struct {
	Family  catalog.FamilyID
	Variant catalog.VariantID
}

// Read reads a kit list against the catalogue. A person's answers win over what
// the text seems to say.
func (d *Desk) Read(k *KitList, in Context) *ListReading {
	list := kitlist.Read(k.Text, kitlist.Options{})
	r := &ListReading{List: list}
	r.Results = d.matcher.Match(list, match.Context{Variant: in.Variant, Family: in.Family, Supplier: k.Supplier})
	r.Suggestions = d.matcher.SuggestFamily(list)
	for i := range r.Results {
		for _, s := range d.supplies(k, &list, &r.Results[i]) {
			r.Supply, r.Of = append(r.Supply, s), append(r.Of, r.Results[i].Line)
		}
	}
	return r
}

// supplies turns one result into supply: one entry, and one more for each
// other part that the same line names.
func (d *Desk) supplies(k *KitList, list *kitlist.List, m *match.Result) []*SupplyLine {
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
		Pieces:       line.Quantity.Pieces,
		Assumed:      line.Quantity.Assumed && !line.Quantity.Proven,
		Excluded:     line.Flags.Excluded || line.Flags.Declined,
		Conditional:  line.Flags.Conditional,
		NotAvailable: line.Flags.NotAvailable || line.Flags.BackOrder,
		Alternative:  line.Flags.Alternative,
		Why:          m.Why,
		ReturnBy:     k.ReturnBy,
	}
	for _, c := range m.Candidates {
		s.Candidates = append(s.Candidates, &Candidate{Part: c.Part, Permille: c.Permille, Why: c.Why})
	}
	if a := answerFor(k, line); a != nil {
		return []*SupplyLine{answered(s, a)}
	}
	out := []*SupplyLine{s}
	for _, part := range m.Also {
		also := *s
		also.Part, also.Candidates = part, nil
		out = append(out, &also)
	}
	return out
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
		s.Outcome = NoItem
		s.Why = "a person answered: none of ours"
	}
	if a.Pieces > 0 {
		s.Pieces, s.Assumed = a.Pieces, false
	}
	return s
}
