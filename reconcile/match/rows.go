package match

import (
	"layshaft/catalog"
	"layshaft/reconcile/kitlist"
)

// rowAlternatives bounds what a training row keeps: the most likely ones decide.
const rowAlternatives = 24

// Rows makes training rows of a list's answered lines: answers maps indexes of
// List.Lines to the part meant, or "" for none of the catalogue's.
func (m *Matcher) Rows(list kitlist.List, in Context, answers map[int]catalog.PartID) []Row {
	if v, ok := m.ix.Variant(in.Variant); ok {
		in.Family = v.Family
	}
	s := m.scope(in)
	headings, stock := m.implied(&list), m.stock(&list)
	var out []Row
	for i := range list.Lines {
		part, ok := answers[i]
		if !ok || list.Lines[i].Kind != kitlist.Item {
			continue
		}
		if r, ok := m.row(m.find(m.view(list.Text, under(&list.Lines[i], headings[i]), stock), s, in), part); ok {
			out = append(out, r)
		}
	}
	return out
}

// row keeps the leading alternatives and the right one; a line whose right part
// was no candidate teaches nothing.
func (m *Matcher) row(o *open, part catalog.PartID) (Row, bool) {
	r := Row{chosen: -1}
	for i := range o.alts {
		a := &o.alts[i]
		if a.f.part.ID == part {
			r.chosen = len(r.alternatives)
		} else if len(r.alternatives) >= rowAlternatives {
			continue
		}
		r.alternatives = append(r.alternatives, a.x)
	}
	if part == "" {
		r.chosen = len(r.alternatives)
	}
	r.alternatives = append(r.alternatives, o.none)
	return r, r.chosen >= 0
}
