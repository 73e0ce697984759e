package match

import (
	"cmp"
	"slices"
	"sort"

	"layshaft/catalog"
)

// alternative is a candidate while a line is being decided.
type alternative struct {
	f     *profile
	x     vector
	score float64
	p     float64
	near  string // the catalogue's number, when repaired
	read  string // the number as written in the line
}

// open is a line on its way to a Result.
type open struct {
	view  *lineView
	alts  []alternative // best first
	none  vector
	pNone float64
	whole bool // the whole catalogue was searched
}

// find looks for the candidates of one line and weighs them.
func (m *Matcher) find(v *lineView, s *scope, in Context) *open {
	o := &open{view: v}
	m.inScope(o, s, in)
	// A line that the variant's parts answer well, though several of them, is not
	// looked for elsewhere.
	if s == nil || len(o.alts) == 0 || o.alts[0].p < 0.9 && (o.pNone > 0.1 || !o.alts[0].f.inVariant || o.none[fNoneNumber] > 0) {
		if m.widen(o, s) {
			m.weigh(o, in)
		}
	}
	return o
}

// inScope weighs the parts of the scope and those whose number is written. All of
// them are compared in a shared buffer, the leading ones are kept.
func (m *Matcher) inScope(o *open, s *scope, in Context) {
	buf := m.buffers.Get().(*[]alternative)
	o.alts = (*buf)[:0]
	if s != nil {
		for _, f := range s.parts {
			o.alts = append(o.alts, alternative{f: f})
		}
	}
	m.numberHits(o, s)
	m.weigh(o, in)
	all := o.alts
	o.alts = slices.Clone(all[:min(len(all), keptAlternatives)])
	clear(all)
	*buf = all[:0]
	m.buffers.Put(buf)
}

// keptAlternatives stay with a line once all have been compared.
const keptAlternatives = 2 * rowAlternatives

// weigh scores every alternative and "none of these".
func (m *Matcher) weigh(o *open, in Context) {
	for i := range o.alts {
		a := &o.alts[i]
		if a.score == 0 { // not compared yet
			m.evidence(o.view, a.f, &a.x)
			m.issuer(a, in)
		}
		a.score = m.weights.score(&a.x)
		if a.score == 0 {
			a.score = 1e-9
		}
	}
	lead(o.alts, keptAlternatives)
	m.noneEvidence(o)
	// The same number of leading candidates as in training share the probability.
	n := min(len(o.alts), rowAlternatives)
	s := make([]float64, n+1)
	for i := range n {
		s[i] = o.alts[i].score
	}
	s[n] = m.weights.score(&o.none)
	softmax(s)
	for i := range o.alts {
		o.alts[i].p = 0
		if i < n {
			o.alts[i].p = s[i]
		}
	}
	o.pNone = s[n]
}

// lead brings the n best alternatives to the front, in order.
func lead(alts []alternative, n int) {
	better := func(a, b *alternative) bool {
		return a.score > b.score || a.score == b.score && a.f.part.ID < b.f.part.ID
	}
	order := make([]int32, len(alts))
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortFunc(order, func(i, k int32) int {
		switch a, b := &alts[i], &alts[k]; {
		case better(a, b):
			return -1
		case better(b, a):
			return 1
		}
		return 0
	})
	order = order[:min(n, len(order))]
	best := make([]alternative, len(order))
	for i, k := range order {
		best[i] = alts[k]
		alts[k].f = nil
	}
	// The rest moves behind; its order does not matter.
	at := len(alts) - 1
	for i := len(alts) - 1; i >= 0; i-- {
		if alts[i].f != nil {
			alts[at] = alts[i]
			at--
		}
	}
	copy(alts, best)
}

func (m *Matcher) issuer(a *alternative, in Context) {
	if in.Supplier == "" {
		return
	}
	for _, n := range a.f.part.Numbers {
		if n.Issuer == string(in.Supplier) {
			a.x[fIssuer] = 1
			return
		}
	}
}

func (m *Matcher) noneEvidence(o *open) {
	v := o.view
	o.none = vector{fNone: 1}
	o.none.set(fNoneNoKind, len(v.kinds) == 0)
	if v.words > 0 {
		o.none[fNoneUnknown] = float32(v.unknown) / float32(v.words)
	}
	cover, agree, hit, some := float32(0), false, false, false
	for i := range o.alts {
		x := &o.alts[i].x
		cover = max(cover, x[fCoverLine])
		agree = agree || x[fDesigBase]+x[fDesigFull]+x[fSizeAgree]+x[fThreadAgree]+x[fTeethAgree] > 0
		hit = hit || numberLevel(x) > 0
		some = some || x[fKindAgree]+x[fKindParent]+x[fGearEqual]+x[fGearSubset] > 0
	}
	o.none[fNoneCover] = 1 - cover
	o.none.set(fNoneNothing, !some && !agree && !hit)
	o.none.set(fNoneConflict, !agree && v.states())
	o.none.set(fNoneNumber, !hit && slices.ContainsFunc(v.number, func(k numberKey) bool { return !k.joined && repairLimit(k.folded) > 0 }))
}

// states: the line states something that is measured or counted.
func (v *lineView) states() bool {
	return len(v.desigs)+len(v.threads)+len(v.teeth) > 0 || slices.ContainsFunc(v.sizes, func(g sizeGroup) bool { return !g.loose })
}

// numberLevel grades how the number agrees: 4 exact, 3 folded, 2 and 1 repaired.
func numberLevel(x *vector) int {
	switch {
	case x[fNumberExact] > 0:
		return 4
	case x[fNumberFolded] > 0:
		return 3
	case x[fNumberNear1] > 0:
		return 2
	case x[fNumberNear2] > 0:
		return 1
	}
	return 0
}

// numberHits marks the candidates whose number the line writes, first in the
// scope, then in the whole catalogue; repairs are tried only when nothing is hit.
func (m *Matcher) numberHits(o *open, s *scope) {
	hit := false
	for i := range o.view.number {
		k := &o.view.number[i]
		if s != nil {
			for _, at := range s.numbers[k.folded] {
				m.markNumber(&o.alts[at], k)
				hit = true
			}
		}
		m.numbers.exact(k.folded, func(part uint32) {
			m.markNumber(m.outside(o, s, part), k)
			hit = true
		})
	}
	for i := range o.view.old {
		k := &o.view.old[i]
		m.numbers.exact(k.folded, func(part uint32) {
			a := m.outside(o, s, part)
			a.x[fNumberOld] = 1
			for _, next := range m.ix.Successors(a.f.part.ID) {
				if at, ok := m.indexOf[next.New]; ok {
					m.outside(o, s, at).x[fNumberOld] = 1
				}
			}
		})
	}
	if !hit && s != nil {
		hit = m.repairInScope(o, s)
	}
	if hit {
		for i := range o.alts {
			o.alts[i].x.set(fNumberOther, numberLevel(&o.alts[i].x) == 0)
		}
	}
}

func (m *Matcher) markNumber(a *alternative, k *numberKey) {
	exact := slices.ContainsFunc(a.f.part.Numbers, func(n *catalog.Number) bool { return catalog.Normal(n.Text) == k.raw })
	a.x.set(fNumberExact, exact || a.x[fNumberExact] > 0)
	a.x.set(fNumberFolded, a.x[fNumberExact] == 0)
	a.x.set(fNumberJoined, k.joined)
	a.read = k.text
}

func (m *Matcher) repairInScope(o *open, s *scope) bool {
	hit := false
	for i := range o.view.number {
		k := &o.view.number[i]
		limit := repairLimit(k.folded)
		if limit == 0 {
			continue
		}
		for at, f := range s.parts {
			for _, n := range f.numbers {
				if d := distance(k.folded, n, limit); d <= limit {
					m.markNear(&o.alts[at], k, n, d)
					hit = true
				}
			}
		}
	}
	return hit
}

func (m *Matcher) markNear(a *alternative, k *numberKey, number string, d int) {
	if d < 1 || numberLevel(&a.x) > 3-d {
		return
	}
	a.x[fNumberNear1], a.x[fNumberNear2] = 0, 0
	a.x.set(fNumberNear1, d == 1)
	a.x.set(fNumberNear2, d == 2)
	a.near, a.read = number, k.text
	for _, n := range a.f.part.Numbers {
		if foldNumber(catalog.Normal(n.Text)) == number {
			a.near = n.Text
		}
	}
}

// outside gives the alternative of a part, adding it when the scope lacks it.
func (m *Matcher) outside(o *open, s *scope, part uint32) *alternative {
	p := m.parts[part]
	for i := range o.alts {
		if o.alts[i].f.part == p {
			return &o.alts[i]
		}
	}
	var f *profile
	if s != nil {
		f = s.byPart[p.ID]
	}
	if f == nil {
		f = m.strange(p)
	}
	o.alts = append(o.alts, alternative{f: f})
	return &o.alts[len(o.alts)-1]
}

// strange compiles a part from outside the scope, with every place it fills.
func (m *Matcher) strange(p *catalog.Part) *profile {
	var positions []*catalog.Position
	for _, fit := range m.ix.FitsOf(p.ID) {
		v, ok := m.ix.Variant(fit.Variant)
		if !ok || len(positions) > 8 {
			continue
		}
		if pos, ok := m.ix.Position(v.Family, fit.Position); ok && !slices.Contains(positions, pos) {
			positions = append(positions, pos)
		}
	}
	return m.profile(p, positions)
}

// widen adds candidates from the whole catalogue: by designation, sizes, number
// repair and words. It reports whether it added any.
func (m *Matcher) widen(o *open, s *scope) bool {
	o.whole = true
	before := len(o.alts)
	votes := m.ballot()
	defer m.ballots.Put(votes)
	for _, d := range o.view.desigs {
		m.numbers.exact("="+d.base, func(part uint32) { votes.add(part, 6) })
	}
	for _, g := range o.view.sizes {
		m.bySize(g, votes)
	}
	if len(o.alts) == 0 || numberLevel(&o.alts[0].x) == 0 {
		for i := range o.view.number {
			k := &o.view.number[i]
			if limit := repairLimit(k.folded); limit > 0 {
				m.numbers.near(k.folded, limit, func(part uint32, text string, d int) {
					m.markNear(m.outside(o, s, part), k, text, d)
				})
			}
		}
	}
	m.byWords(o.view, votes)
	if len(o.view.grams) > 0 {
		m.grams.byGrams(o.view.grams, votes)
	}
	for _, part := range votes.best(40) {
		m.outside(o, s, part)
	}
	return len(o.alts) > before
}

// maxSizeScan bounds the parts taken for one length.
const maxSizeScan = 4000

func (m *Matcher) bySize(g sizeGroup, votes *ballot) {
	for _, nm := range g.nm {
		lo := sort.Search(len(m.sizes), func(i int) bool { return int64(m.sizes[i].nm) >= nm-12_000 })
		for i := lo; i < len(m.sizes) && i < lo+maxSizeScan && int64(m.sizes[i].nm) <= nm+12_000; i++ {
			if sameSize(nm, int64(m.sizes[i].nm)) {
				votes.add(m.sizes[i].part, 2)
			}
		}
	}
}

// byWords adds the weight of every term; terms of more than an eighth of a
// large catalogue are left out, since they say too little for their price.
func (m *Matcher) byWords(v *lineView, votes *ballot) {
	for _, s := range v.slots {
		for _, t := range s.alts {
			list := m.post.of(t)
			if len(list) > 5000 && len(list) > len(m.parts)/16 {
				continue
			}
			w := m.weight(t) / float32(len(s.alts))
			for _, part := range list {
				votes.add(part, w)
			}
		}
	}
}

// ballot counts votes for parts without a map: one number a part and a list of
// those that have any.
type ballot struct {
	votes   []float32
	touched []uint32
}

// ballot lends an empty one.
func (m *Matcher) ballot() *ballot {
	b := m.ballots.Get().(*ballot)
	for _, p := range b.touched {
		b.votes[p] = 0
	}
	b.touched = b.touched[:0]
	return b
}

func (b *ballot) add(part uint32, w float32) {
	if b.votes[part] == 0 {
		b.touched = append(b.touched, part)
	}
	b.votes[part] += w
}

// best gives the n parts with most votes, ties by number.
func (b *ballot) best(n int) []uint32 {
	compare := func(x, y uint32) int { return cmp.Or(cmp.Compare(b.votes[y], b.votes[x]), cmp.Compare(x, y)) }
	out := make([]uint32, 0, n+1)
	for _, p := range b.touched {
		if len(out) == n && compare(p, out[n-1]) > 0 {
			continue
		}
		at, _ := slices.BinarySearchFunc(out, p, compare)
		out = slices.Insert(out, at, p)
		out = out[:min(len(out), n)]
	}
	return out
}
