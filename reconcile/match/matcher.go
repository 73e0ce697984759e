package match

import (
	"cmp"
	"math"
	"slices"
	"sync"

	"layshaft/catalog"
)

// Matcher finds parts for lines. It is built for one catalogue index and may be
// used by any number of goroutines.
type Matcher struct {
	ix      *catalog.Index
	opts    Options
	weights *Weights
	read    *reader
	parts   []*catalog.Part
	indexOf map[catalog.PartID]uint32

	numbers numberTable
	sizes   []sizeEntry // by nm, then part
	post    postings
	idf     map[term]float32
	grams   *gramIndex
	aliases map[string]*catalog.Alias

	buffers sync.Pool // *[]alternative
	ballots sync.Pool // *ballot

	mu     sync.Mutex
	scopes map[string]*scope
}

// sizeEntry says that a part has a length, in nanometres.
type sizeEntry struct{ nm, part uint32 }

// postings lists the parts of each term: list[start[i]:start[i+1]] for the
// i-th term of terms.
type postings struct {
	terms []term
	start []uint32
	list  []uint32
}

func (p *postings) of(t term) []uint32 {
	i, ok := slices.BinarySearch(p.terms, t)
	if !ok {
		return nil
	}
	return p.list[p.start[i]:p.start[i+1]]
}

// New compiles the index for matching. Shop words of the catalogue are used
// besides the built-in lexicon.
func New(ix *catalog.Index, opts Options) *Matcher {
	if opts.Weights == nil {
		opts.Weights = Shipped()
	}
	if opts.Candidates <= 0 {
		opts.Candidates = 5
	}
	lx := newLexicon(ix.Words(), opts.Words)
	m := &Matcher{
		ix: ix, opts: opts, weights: opts.Weights, parts: ix.Parts(), scopes: map[string]*scope{},
		read: &reader{lx: lx, words: map[string]term{}}, aliases: map[string]*catalog.Alias{},
	}
	m.buffers.New = func() any { return &[]alternative{} }
	m.ballots.New = func() any { return &ballot{votes: make([]float32, len(m.parts))} }
	m.read.spell = newSpeller(m.read)
	m.learnWords()
	m.read.spell.fill()
	m.buildTables()
	m.grams = newGramIndex(m.parts)
	for _, a := range ix.Aliases() {
		m.aliases[aliasKey(a.Supplier, a.Family, a.Text)] = a
	}
	return m
}

// learnWords makes every word of part and position names known.
func (m *Matcher) learnWords() {
	seen := map[string]bool{}
	learn := func(s string) {
		if !seen[s] {
			seen[s] = true
			m.read.read(tokenize(s), true, &phraseView{})
		}
	}
	for _, p := range m.parts {
		m.read.lx.intern(string(p.Kind))
		learn(p.Name)
	}
	for _, f := range m.ix.Families() {
		for _, p := range m.ix.Positions(f.ID) {
			learn(p.Name)
			for _, w := range p.Places {
				learn(w)
			}
		}
	}
}

func (m *Matcher) buildTables() {
	var numbers []numberEntry
	type pair struct {
		t term
		p uint32
	}
	var pairs []pair
	m.indexOf = make(map[catalog.PartID]uint32, len(m.parts))
	names := map[string][]term{} // parts share names
	for i, p := range m.parts {
		at := uint32(i)
		m.indexOf[p.ID] = at
		for _, n := range p.Numbers {
			if k := foldNumber(catalog.Normal(n.Text)); k != "" {
				numbers = append(numbers, numberEntry{k, at})
			}
		}
		if p.Designation != "" {
			numbers = append(numbers, numberEntry{"=" + readDesignation(p.Designation).base, at})
		}
		for _, a := range m.ix.Attributes(p.ID) {
			if v := a.Value; v.Kind == catalog.KindLength && v.Number > 0 && v.Number <= math.MaxUint32 {
				m.sizes = append(m.sizes, sizeEntry{uint32(v.Number), at})
			}
		}
		key := string(p.Kind) + "\x00" + p.Name
		terms, ok := names[key]
		if !ok {
			terms = m.nameTerms(p)
			names[key] = terms
		}
		for _, t := range terms {
			pairs = append(pairs, pair{t, at})
		}
	}
	m.numbers = buildNumbers(numbers)
	slices.SortFunc(m.sizes, func(a, b sizeEntry) int { return cmp.Or(cmp.Compare(a.nm, b.nm), cmp.Compare(a.part, b.part)) })
	m.sizes = slices.Clip(slices.Compact(m.sizes))
	slices.SortFunc(pairs, func(a, b pair) int { return cmp.Or(cmp.Compare(a.t, b.t), cmp.Compare(a.p, b.p)) })
	m.post.list = make([]uint32, len(pairs))
	for i, p := range pairs {
		if i == 0 || p.t != pairs[i-1].t {
			m.post.terms = append(m.post.terms, p.t)
			m.post.start = append(m.post.start, uint32(i))
		}
		m.post.list[i] = p.p
	}
	m.post.start = append(m.post.start, uint32(len(pairs)))
	m.weighTerms()
}

// nameTerms are the terms of a part's name and kind, with parents.
func (m *Matcher) nameTerms(p *catalog.Part) []term {
	return m.profile(&catalog.Part{Kind: p.Kind, Name: p.Name}, nil).all
}

// weighTerms gives rare terms more weight, as BM25 does.
func (m *Matcher) weighTerms() {
	n := float64(len(m.parts))
	m.idf = make(map[term]float32, len(m.post.terms))
	for i, t := range m.post.terms {
		df := float64(m.post.start[i+1] - m.post.start[i])
		m.idf[t] = float32(math.Log(1 + (n-df+0.5)/(df+0.5)))
	}
}

// weight of a term; a term that no part's name has gets the weight of a rare one.
func (m *Matcher) weight(t term) float32 {
	if w, ok := m.idf[t]; ok {
		return max(w, 0.3)
	}
	return 3
}
