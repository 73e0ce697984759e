package match

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"layshaft/catalog"
	"layshaft/reconcile/kitlist"
)

// maxFamilies that are looked at closely after the vote.
const maxFamilies = 8

// SuggestFamily says for which family and variant a list seems to be, best
// first, so that the second entry is the runner-up. Empty when no line speaks
// for any.
func (m *Matcher) SuggestFamily(list kitlist.List) []Suggestion {
	votes := m.familyVotes(list)
	families := make([]catalog.FamilyID, 0, len(votes))
	for f := range votes {
		families = append(families, f)
	}
	slices.SortFunc(families, func(a, b catalog.FamilyID) int { return cmp.Or(cmp.Compare(votes[b], votes[a]), cmp.Compare(a, b)) })
	families = families[:min(len(families), maxFamilies)]
	var out []Suggestion
	var score []float64
	for _, f := range families {
		for _, v := range m.ix.VariantsOf(f) {
			s, n := m.variantScore(list, Context{Variant: v.ID, Family: f})
			s += m.named(list, f, v)
			out = append(out, Suggestion{Family: f, Variant: v.ID, Lines: n, Why: fmt.Sprintf("%d lines name parts of it", n)})
			score = append(score, s)
		}
	}
	if len(out) == 0 {
		return nil
	}
	p := slices.Clone(score)
	softmax(p)
	order := make([]int, len(out))
	for i := range order {
		order[i] = i
		out[i].Permille = permille(p[i])
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(score[b], score[a]) })
	sorted := make([]Suggestion, 0, len(out))
	for _, i := range order {
		sorted = append(sorted, out[i])
	}
	return undecided(sorted)
}

// undecided drops the variant of the first suggestion when a sister variant is
// as likely: the list cannot tell them apart.
func undecided(s []Suggestion) []Suggestion {
	if len(s) > 1 && s[0].Family == s[1].Family && s[0].Permille == s[1].Permille {
		s[0].Why += "; its variants cannot be told apart from the list"
	}
	return s
}

// familyVotes lets every line vote for the families of the parts it may mean.
func (m *Matcher) familyVotes(list kitlist.List) map[catalog.FamilyID]float64 {
	votes := map[catalog.FamilyID]float64{}
	for i := range list.Lines {
		n := &list.Lines[i]
		if n.Kind != kitlist.Item {
			continue
		}
		o := m.line(list.Text, n, nil, Context{})
		for k := range o.alts {
			a := &o.alts[k]
			if k >= 20 || a.p < 0.005 {
				break
			}
			families := m.familiesOf(a.f.part.ID)
			for _, f := range families {
				votes[f] += a.p / float64(len(families))
			}
		}
	}
	return votes
}

func (m *Matcher) familiesOf(id catalog.PartID) []catalog.FamilyID {
	var out []catalog.FamilyID
	add := func(id catalog.PartID) {
		for _, fit := range m.ix.FitsOf(id) {
			if v, ok := m.ix.Variant(fit.Variant); ok && !slices.Contains(out, v.Family) {
				out = append(out, v.Family)
			}
		}
	}
	add(id)
	if p, ok := m.ix.Part(id); ok {
		for _, c := range p.Contents {
			add(c.Part)
		}
	}
	return out
}

// variantScore sums over the lines how much better the variant's best part is
// than "none of these", bounded so that no single line decides.
func (m *Matcher) variantScore(list kitlist.List, in Context) (float64, int) {
	s := m.scope(in)
	sum, lines := 0.0, 0
	for i := range list.Lines {
		n := &list.Lines[i]
		if n.Kind != kitlist.Item {
			continue
		}
		o := &open{view: m.read.line(list.Text, n)}
		m.inScope(o, s, in)
		best := 0.0
		for k := range o.alts {
			if o.alts[k].f.inVariant {
				best = o.alts[k].p
				break
			}
		}
		sum += math.Log(0.02 + best)
		if best > 0.5 {
			lines++
		}
	}
	return sum, lines
}

// named: the list itself writes the name of the family or variant.
func (m *Matcher) named(list kitlist.List, id catalog.FamilyID, v *catalog.Variant) float64 {
	text := squash(kitlist.Fold(list.Text[:min(len(list.Text), 4000)]))
	has := func(name string) bool {
		s := squash(kitlist.Fold(name))
		return len(s) >= 3 && strings.ContainsAny(s, "0123456789") && strings.Contains(text, s)
	}
	score := 0.0
	if f, ok := m.ix.Family(id); ok && (has(f.Name) || has(string(f.ID))) {
		score += 3
	}
	if has(v.Name) || has(string(v.ID)) {
		score += 2
	}
	return score
}
