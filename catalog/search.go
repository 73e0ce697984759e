package catalog

import (
	"cmp"
	"slices"
	"strings"
)

// Hit is what a search found: a *Part, *Position, *Variant or *Family.
type Hit struct {
	Record Record
	Score  int // greater is better; only for comparison within one search
}

// Scores of a hit. A number that is the whole query beats any words.
const (
	scoreNumber = 100
	scoreKey    = 80
	scoreStart  = 40 // the query starts a number or a designation
	scoreWords  = 10 // per word found in the name
)

// Search finds records by part number, identifier, designation or words, best
// first, n at most. Every word of the query must be found.
func (ix *Index) Search(query string, n int) []Hit {
	q := newQuery(query)
	if len(q.words) == 0 || n <= 0 {
		return nil
	}
	var hits []Hit
	add := func(r Record, score int) {
		if score > 0 {
			hits = append(hits, Hit{r, score})
		}
	}
	for _, p := range ix.parts {
		add(p, q.part(p))
	}
	for _, f := range ix.families {
		add(f, q.score(string(f.ID), f.Name))
		for _, v := range ix.VariantsOf(f.ID) {
			add(v, q.score(string(v.ID), v.Name))
		}
		for _, p := range ix.Positions(f.ID) {
			add(p, q.score(string(p.ID), p.Name))
		}
	}
	slices.SortStableFunc(hits, func(a, b Hit) int {
		return cmp.Or(cmp.Compare(b.Score, a.Score), cmp.Compare(a.Record.Table(), b.Record.Table()),
			cmp.Compare(a.Record.Key(), b.Record.Key()))
	})
	return hits[:min(n, len(hits))]
}

type query struct {
	words  []string // lower case
	normal string   // the whole query as a part number
}

func newQuery(text string) query {
	return query{words: strings.Fields(strings.ToLower(text)), normal: Normal(text)}
}

func (q query) part(p *Part) int {
	best := q.score(string(p.ID), p.Name+" "+string(p.Kind)+" "+p.Designation)
	for _, n := range p.Numbers {
		best = max(best, q.number(Normal(n.Text)))
	}
	return max(best, q.number(Normal(p.Designation)))
}

func (q query) number(normal string) int {
	switch {
	case normal == "" || q.normal == "":
		return 0
	case normal == q.normal:
		return scoreNumber
	case len(q.normal) >= 3 && strings.HasPrefix(normal, q.normal):
		return scoreStart
	}
	return 0
}

// score of an identifier and a text; 0 unless every word is in the text.
func (q query) score(id, text string) int {
	if len(q.words) == 1 && q.words[0] == id {
		return scoreKey
	}
	text = strings.ToLower(text)
	for _, w := range q.words {
		if !strings.Contains(text, w) && !strings.Contains(id, w) {
			return 0
		}
	}
	return scoreWords * len(q.words)
}
