package match

import (
	"strings"

	"layshaft/catalog"
	"layshaft/reconcile/kitlist"
)

// AliasText is the text of a line as an alias keeps it: folded, without
// quantity, price, bullets and punctuation.
func AliasText(list kitlist.List, n *kitlist.Line) string { return aliasText(list.Text, n) }

func aliasText(text string, n *kitlist.Line) string {
	var b strings.Builder
	take := func(s string) {
		for _, t := range tokenize(s) {
			if b.Len() > 0 {
				b.WriteByte(' ')
			}
			b.WriteString(t.text)
		}
	}
	if len(n.Spans) == 0 {
		take(n.Text)
	}
	for i := 0; i < len(n.Spans); {
		j := i
		for j < len(n.Spans) && aliasRole(n.Spans[j].Role) {
			j++
		}
		if j > i {
			take(text[n.Spans[i].Start:n.Spans[j-1].End])
			i = j
		}
		i++
	}
	for _, w := range n.Words {
		if w.Inherited {
			take(w.Text)
		}
	}
	return b.String()
}

func aliasRole(r kitlist.Role) bool {
	switch r {
	case kitlist.RoleCount, kitlist.RolePrice, kitlist.RoleMarker, kitlist.RoleFlag, kitlist.RoleSpace, kitlist.RolePunct:
		return false
	}
	return true
}

func aliasKey(s catalog.SupplierID, f catalog.FamilyID, text string) string {
	return string(s) + "\x00" + string(f) + "\x00" + text
}

// recall lets a remembered answer decide: that of this supplier in this family
// first, the most general one last.
func (m *Matcher) recall(r *Result, text string, n *kitlist.Line, in Context) {
	if len(m.aliases) == 0 {
		return
	}
	t := aliasText(text, n)
	if t == "" {
		return
	}
	for _, s := range distinct(in.Supplier, "") {
		for _, f := range distinct(in.Family, "") {
			if a := m.aliases[aliasKey(s, f, t)]; a != nil {
				m.useAlias(r, a, in)
				return
			}
		}
	}
}

func distinct[T ~string](a, b T) []T {
	if a == b {
		return []T{a}
	}
	return []T{a, b}
}

func (m *Matcher) useAlias(r *Result, a *catalog.Alias, in Context) {
	r.Alias, r.Telling, r.Also = true, "", nil
	r.Why = "answered so before for this text"
	if a.Part == "" {
		r.Outcome, r.Part, r.NonePermille = None, "", 999
		r.Candidates = nil
		return
	}
	p, ok := m.ix.Part(a.Part)
	if !ok {
		r.Alias = false
		return // the part was deleted since
	}
	r.Outcome, r.Part = Certain, a.Part
	f := m.inContext(p, in)
	if in.Family != "" && a.Family == "" && !f.inFamily {
		r.Outcome = Likely
		r.Why += "; but the part is not known in this gearbox"
	}
	if in.Variant != "" && f.inFamily && !f.inVariant {
		r.Outcome = Likely
		r.Why += "; but that part is of another variant"
	}
	c := Candidate{Part: a.Part, Permille: 999, Why: r.Why}
	for _, pos := range f.positions {
		c.Positions = append(c.Positions, pos.ID)
	}
	kept := []Candidate{c}
	for _, old := range r.Candidates {
		if old.Part == a.Part {
			kept[0].Positions, kept[0].Features = old.Positions, old.Features
		} else if len(kept) < m.opts.Candidates {
			old.Permille = min(old.Permille, 1)
			kept = append(kept, old)
		}
	}
	r.Candidates, r.NonePermille = kept, 0
}

// inContext compiles a part for a context.
func (m *Matcher) inContext(p *catalog.Part, in Context) *profile {
	if s := m.scope(in); s != nil {
		if f := s.byPart[p.ID]; f != nil {
			return f
		}
	}
	return m.strange(p)
}
