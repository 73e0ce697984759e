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

// maxFamilies that are looked at closely after the vote, and how many of them
// variant by variant.
const (
	maxFamilies = 16
	maxClose    = 3
)

// SuggestFamily says for which family and variant a list seems to be, best
// first, so that the second entry is the runner-up. Empty when no line speaks
// for any.
//
// Each line shares one vote among the families by how well their best part
// answers it: what every family has shares its vote evenly and decides nothing,
// a rare number or size gives it all to one. A part of each vote is kept back for
// everybody, so that a few foreign lines cannot decide.
func (m *Matcher) SuggestFamily(list kitlist.List) []Suggestion {
	views := m.views(&list)
	families := m.leadingFamilies(views)
	if len(views) == 0 || len(families) == 0 {
		return nil
	}
	contexts := make([]Context, len(families))
	for i, f := range families {
		contexts[i] = Context{Family: f}
	}
	score, _ := m.shares(views, contexts)
	for i, f := range families {
		score[i] += m.named(list, f, "")
	}
	order := byScore(score)
	base := map[catalog.FamilyID]float64{}
	var close []Context
	for _, i := range order[:min(len(order), maxClose)] {
		base[families[i]] = score[i]
		for _, v := range m.ix.VariantsOf(families[i]) {
			close = append(close, Context{Family: families[i], Variant: v.ID})
		}
	}
	return m.ranked(list, views, close, base)
}

// ranked orders variants by their family's score, then by what tells them from
// their sisters.
func (m *Matcher) ranked(list kitlist.List, views []*lineView, close []Context, base map[catalog.FamilyID]float64) []Suggestion {
	score, lines := m.shares(views, close)
	best := map[catalog.FamilyID]float64{}
	for i, c := range close {
		score[i] += m.named(list, c.Family, c.Variant)
		if b, ok := best[c.Family]; !ok || score[i] > b {
			best[c.Family] = score[i]
		}
	}
	for i, c := range close {
		score[i] += base[c.Family] - best[c.Family]
	}
	p := slices.Clone(score)
	softmax(p)
	family := map[catalog.FamilyID]float64{}
	for i, c := range close {
		family[c.Family] += p[i]
	}
	var out []Suggestion
	for _, i := range byScore(score) {
		out = append(out, Suggestion{Family: close[i].Family, Variant: close[i].Variant, Lines: lines[i], Permille: permille(p[i]), Told: family[close[i].Family] >= tells,
			Why: namesParts(lines[i])})
	}
	return undecided(out)
}

func namesParts(lines int) string {
	if lines == 1 {
		return "1 line names parts of it"
	}
	return fmt.Sprintf("%d lines name parts of it", lines)
}

// tells is the share of the votes from which a family counts as told from the
// others.
const tells = 0.75

func byScore(score []float64) []int {
	order := make([]int, len(score))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(score[b], score[a]) })
	return order
}

// views reads the items of a list.
func (m *Matcher) views(list *kitlist.List) []*lineView {
	var out []*lineView
	headings, stock := m.implied(list), m.stock(list)
	for i := range list.Lines {
		if n := &list.Lines[i]; n.Kind == kitlist.Item {
			out = append(out, m.view(list.Text, under(n, headings[i]), stock))
		}
	}
	return out
}

// heldBack is the part of a line's vote that everybody gets; evenness flattens
// the differences of one line.
const (
	heldBack = 0.03
	evenness = 3.0
)

// shares adds the logarithms of every line's vote for each context, and counts
// the lines that some part of it answers.
func (m *Matcher) shares(views []*lineView, contexts []Context) (score []float64, lines []int) {
	score, lines = make([]float64, len(contexts)), make([]int, len(contexts))
	u := make([]float64, len(contexts))
	for _, v := range views {
		for i, c := range contexts {
			o := &open{view: v}
			m.inScope(o, m.scope(c), c)
			none := m.weights.score(&o.none)
			u[i] = none
			for k := range o.alts {
				if a := &o.alts[k]; a.f.inVariant && a.score > u[i] {
					u[i] = a.score
				}
			}
			if u[i] > none {
				lines[i]++
			}
			u[i] /= evenness
		}
		softmax(u)
		for i := range u {
			score[i] += math.Log((1-heldBack)*u[i] + heldBack/float64(len(u)))
		}
	}
	return score, lines
}

// undecided says so when others are as likely as the first suggestion.
func undecided(s []Suggestion) []Suggestion {
	if len(s) < 2 || s[0].Permille != s[1].Permille {
		return s
	}
	if slices.ContainsFunc(s, func(x Suggestion) bool { return x.Family != s[0].Family && x.Permille == s[0].Permille }) {
		s[0].Why += "; other gearboxes answer to the list as well"
	} else {
		s[0].Why += "; its variants cannot be told apart from the list"
	}
	return s
}

// leadingFamilies are those that most lines vote for.
func (m *Matcher) leadingFamilies(views []*lineView) []catalog.FamilyID {
	votes := m.familyVotes(views)
	families := make([]catalog.FamilyID, 0, len(votes))
	for f := range votes {
		families = append(families, f)
	}
	slices.SortFunc(families, func(a, b catalog.FamilyID) int { return cmp.Or(cmp.Compare(votes[b], votes[a]), cmp.Compare(a, b)) })
	return families[:min(len(families), maxFamilies)]
}

// familyVotes lets every line vote for the families of the parts it may mean.
func (m *Matcher) familyVotes(views []*lineView) map[catalog.FamilyID]float64 {
	votes := map[catalog.FamilyID]float64{}
	for _, v := range views {
		o := m.find(v, nil, Context{})
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

// named: the list itself writes the name of the family, or of the variant when
// one is given.
func (m *Matcher) named(list kitlist.List, family catalog.FamilyID, variant catalog.VariantID) float64 {
	text := squash(kitlist.Fold(list.Text[:min(len(list.Text), 4000)]))
	has := func(name string) bool {
		s := squash(kitlist.Fold(name))
		return len(s) >= 3 && strings.ContainsAny(s, "0123456789") && strings.Contains(text, s) || len(s) >= 5 && strings.Contains(text, s)
	}
	if v, ok := m.ix.Variant(variant); ok {
		if has(v.Name) || has(string(v.ID)) {
			return 2
		}
		return 0
	}
	if f, ok := m.ix.Family(family); ok && (has(f.Name) || has(string(f.ID))) {
		return 3
	}
	return 0
}
