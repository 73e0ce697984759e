package match

import (
	"regexp"
	"slices"
	"strings"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
	"layshaft/catalog/standard"
	"layshaft/reconcile/kitlist"
)

// designation of a rolling bearing as it is compared.
type designation struct {
	base, full string
	nm         []int64 // sizes it stands for
}

// readDesignation decodes a designation; what no table knows is compared as
// written, without blanks.
func readDesignation(text string) designation {
	b, err := standard.ParseBearing(text)
	if err != nil {
		s := catalog.Normal(text)
		return designation{base: s, full: s, nm: dimensions(text)}
	}
	d := designation{base: b.Base, full: b.Canonical()}
	inner, outer := b.Bore, b.Outside
	if inner == 0 {
		inner = b.Fw
	}
	if outer == 0 {
		outer = b.Ew
	}
	for _, l := range []quantity.Length{inner, outer, b.Width} {
		if l != 0 {
			d.nm = append(d.nm, int64(l))
		}
	}
	return d
}

// dimensions reads "K 42x47x30", which no table has, by its sizes.
func dimensions(text string) []int64 {
	var out []int64
	for f := range strings.FieldsFuncSeq(kitlist.Fold(text), func(r rune) bool { return (r < '0' || r > '9') && r != '.' && r != ',' }) {
		if l, err := quantity.ParseLengthIn(f, quantity.Millimetre); err == nil {
			out = append(out, int64(l))
		}
	}
	if len(out) < 3 {
		return nil
	}
	return out
}

// profile is a part as the features see it.
type profile struct {
	part    *catalog.Part
	kind    concept
	own     []term // of name and kind
	all     []term // with parents of kinds and the positions' words
	gears   uint16
	sides   uint16
	shafts  uint16
	numbers []string // folded
	desig   *designation
	nm      []int64
	grams   []gram // of the name
	threads []kitlist.Thread
	teeth   []int
	hand    string // of a thread
	set     bool
	foreign bool // its name is that of goods that are in no gearbox
	// How it stands to the context; see scope.
	inVariant, standard, inFamily bool
	positions                     []*catalog.Position
	capacity                      int // pieces the variant takes of it
}

// profile compiles a part. Positions are those the part fills in the context,
// or all of them when there is none.
func (m *Matcher) profile(p *catalog.Part, positions []*catalog.Position) *profile {
	f := &profile{part: p, positions: positions, kind: m.read.lx.byName[string(p.Kind)]}
	var v phraseView
	m.read.read(tokenize(p.Name), false, &v)
	for _, s := range v.slots {
		f.own = addTerm(f.own, s.alts...)
	}
	if f.kind != 0 {
		f.own = addTerm(f.own, term(f.kind))
		v.shafts |= m.read.lx.meanings[f.kind].shaft
	}
	f.foreign = v.foreign
	f.grams = gramsOf(tokenize(p.Name))
	f.all = slices.Clone(f.own)
	for _, pos := range positions {
		m.place(pos, &v)
	}
	for _, s := range v.slots {
		f.all = addTerm(f.all, s.alts...)
	}
	for _, t := range f.all {
		if t < firstWord {
			for _, c := range m.read.lx.meanings[t].parents {
				f.all = addTerm(f.all, term(c))
			}
		}
	}
	f.gears, f.sides, f.shafts = v.gears, v.sides, v.shafts
	f.set = p.Unit != catalog.UnitPiece && p.Unit != "" || p.Kind.Class() == catalog.ClassSet || len(p.Contents) > 0
	m.facts(p, f)
	f.nm = append(f.nm, sizesNamed(p.Name, f.nm)...)
	return f
}

// sizesNamed are the millimetres that a part's name chains, "72 x 1.7", and that
// had lacks: a shop calls a ring by a size that is none of its measured ones.
func sizesNamed(name string, had []int64) []int64 {
	var out []int64
	for _, chain := range sizeChain.FindAllString(strings.ToLower(name), -1) {
		for text := range strings.SplitSeq(strings.ReplaceAll(chain, "×", "x"), "x") {
			l, err := quantity.ParseLengthIn(strings.TrimSpace(text), quantity.Millimetre)
			if err == nil && !slices.Contains(had, int64(l)) {
				out = append(out, int64(l))
			}
		}
	}
	return out
}

// sizeChain finds sizes that stand in a chain, no part of a thread or number.
var sizeChain = regexp.MustCompile(`\b\d+(?:[.,]\d+)?(?: ?[x×] ?\d+(?:[.,]\d+)?)+\b`)

// place adds what a position says about the parts in it.
func (m *Matcher) place(pos *catalog.Position, v *phraseView) {
	m.read.read(tokenize(pos.Name), false, v)
	for _, w := range pos.Places {
		m.read.read(tokenize(w), false, v)
		v.gears |= ordinal(kitlist.Fold(w), true)
	}
	v.shafts |= assemblyShaft[pos.Assembly]
}

var assemblyShaft = map[catalog.Assembly]uint16{
	catalog.AssemblyInput: shaftInput, catalog.AssemblyMain: shaftMain, catalog.AssemblyCounter: shaftCounter,
	catalog.AssemblyOutput: shaftOutput, catalog.AssemblyReverse: shaftIdler, catalog.AssemblyDiff: shaftDiff,
}

// facts takes numbers, designation and typed attributes.
func (m *Matcher) facts(p *catalog.Part, f *profile) {
	for _, n := range p.Numbers {
		if k := foldNumber(catalog.Normal(n.Text)); k != "" {
			f.numbers = append(f.numbers, k)
		}
	}
	if p.Designation != "" {
		d := readDesignation(p.Designation)
		f.desig = &d
		f.nm = append(f.nm, d.nm...)
	}
	for _, a := range m.ix.Attributes(p.ID) {
		switch {
		case a.Value.Kind == catalog.KindLength:
			if !slices.Contains(f.nm, a.Value.Number) {
				f.nm = append(f.nm, a.Value.Number)
			}
		case a.Name == catalog.KeyTeeth && a.Value.Kind == catalog.KindCount:
			f.teeth = append(f.teeth, int(a.Value.Number))
		case a.Name == catalog.KeyThread:
			if t, ok := readThread(a.Value.Text); ok {
				f.threads = append(f.threads, t)
			}
		case a.Name == catalog.KeyHand:
			f.hand = a.Value.Text
			if b := sideBits[strings.ToLower(a.Value.Text)]; b != 0 {
				f.sides |= b
			}
		}
	}
}

// readThread reads a thread attribute, "M30x1.5 LH", with the list reader, so
// that both sides are read alike.
func readThread(s string) (kitlist.Thread, bool) {
	l := kitlist.Read("bolt "+s, kitlist.Options{})
	for _, n := range l.Lines {
		for _, t := range n.Threads {
			return t, true
		}
	}
	return kitlist.Thread{}, false
}

func addTerm(list []term, terms ...term) []term {
	for _, t := range terms {
		if !containsTerm(list, t) {
			list = append(list, t)
		}
	}
	return list
}

// scope is the part of the catalogue that a context points at, compiled.
type scope struct {
	parts   []*profile
	byPart  map[catalog.PartID]*profile
	numbers map[string][]int // folded number -> indexes of parts
	desigs  map[string][]int // base designation -> indexes
}

const maxScopes = 64

// scope of a context; nil when the context names nothing known.
func (m *Matcher) scope(in Context) *scope {
	family := in.Family
	if v, ok := m.ix.Variant(in.Variant); ok {
		family = v.Family
	} else {
		in.Variant = ""
	}
	if _, ok := m.ix.Family(family); !ok {
		return nil
	}
	key := string(family) + "/" + string(in.Variant)
	m.mu.Lock()
	s := m.scopes[key]
	m.mu.Unlock()
	if s != nil {
		return s
	}
	s = m.buildScope(family, in.Variant)
	m.mu.Lock()
	defer m.mu.Unlock()
	if len(m.scopes) >= maxScopes {
		clear(m.scopes)
	}
	m.scopes[key] = s
	return s
}

// use is how one part is used in a scope.
type use struct {
	positions           []*catalog.Position
	inVariant, standard bool
	set                 bool // by what it holds
	capacity            int
}

func (m *Matcher) buildScope(family catalog.FamilyID, variant catalog.VariantID) *scope {
	uses := map[catalog.PartID]*use{}
	var order []catalog.PartID
	at := func(id catalog.PartID) *use {
		u := uses[id]
		if u == nil {
			u = &use{}
			uses[id] = u
			order = append(order, id)
		}
		return u
	}
	for _, v := range m.ix.VariantsOf(family) {
		for _, pos := range m.ix.Positions(family) {
			if !m.ix.Has(v.ID, pos.ID) {
				continue
			}
			for _, fit := range m.ix.Fits(v.ID, pos.ID) {
				u := at(fit.Part)
				if !slices.Contains(u.positions, pos) {
					u.positions = append(u.positions, pos)
				}
				if variant == "" || v.ID == variant {
					u.inVariant = true
					u.standard = u.standard || fit.Standard
				}
				if v.ID == variant {
					u.capacity += max(fit.Quantity, 0)
					if fit.Quantity == 0 {
						u.capacity += pos.Quantity
					}
				}
			}
		}
	}
	for _, id := range slices.Clone(order) {
		for _, rel := range m.renamed(id) {
			u := at(rel)
			u.inVariant = u.inVariant || uses[id].inVariant
			u.positions = mergePositions(u.positions, uses[id].positions)
		}
	}
	for _, id := range slices.Clone(order) {
		for _, set := range m.ix.Containers(id) {
			if uses[set.ID] == nil && m.holds(set, uses, false) {
				u := at(set.ID)
				u.set, u.inVariant = true, m.holds(set, uses, true)
				for _, c := range set.Contents {
					if in := uses[c.Part]; in != nil {
						u.positions = mergePositions(u.positions, in.positions)
					}
				}
			}
		}
	}
	return m.compile(order, uses)
}

// holds: most of what a set holds is used in the family, or in the variant. A
// gasket set of another gearbox shares a washer or two.
func (m *Matcher) holds(set *catalog.Part, uses map[catalog.PartID]*use, variant bool) bool {
	n := 0
	for _, c := range set.Contents {
		if u := uses[c.Part]; u != nil && (u.inVariant || !variant) {
			n++
		}
	}
	return 2*n > len(set.Contents)
}

// placesOf a set are the positions whose words it takes on: those of the one part of
// its own kind that it holds, a bearing sold with its ring. Other sets are told by
// their names: they would answer to every word.
func (m *Matcher) placesOf(set *catalog.Part, uses map[catalog.PartID]*use) []*catalog.Position {
	var out []*catalog.Position
	for _, c := range set.Contents {
		p, ok := m.ix.Part(c.Part)
		if !ok || p.Kind != set.Kind || uses[c.Part] == nil {
			continue
		}
		if out != nil {
			return nil
		}
		out = uses[c.Part].positions
	}
	return out
}

// renamed parts are what people call by the same name: what the part supersedes
// and what supersedes it.
func (m *Matcher) renamed(id catalog.PartID) []catalog.PartID {
	var out []catalog.PartID
	for _, s := range m.ix.Successors(id) {
		out = append(out, s.New)
	}
	for _, s := range m.ix.Predecessors(id) {
		out = append(out, s.Old)
	}
	return out
}

func mergePositions(a, b []*catalog.Position) []*catalog.Position {
	if len(a)+len(b) > 12 {
		return a // a kit of everything says nothing about places
	}
	for _, p := range b {
		if !slices.Contains(a, p) {
			a = append(a, p)
		}
	}
	return a
}

func (m *Matcher) compile(order []catalog.PartID, uses map[catalog.PartID]*use) *scope {
	s := &scope{byPart: make(map[catalog.PartID]*profile, len(order)), numbers: map[string][]int{}, desigs: map[string][]int{}}
	for _, id := range order {
		p, ok := m.ix.Part(id)
		if !ok {
			continue
		}
		u := uses[id]
		places := u.positions
		if u.set {
			places = m.placesOf(p, uses)
		}
		f := m.profile(p, places)
		f.positions = u.positions
		f.inVariant, f.standard, f.inFamily, f.capacity = u.inVariant, u.standard, true, u.capacity
		for _, n := range f.numbers {
			s.numbers[n] = append(s.numbers[n], len(s.parts))
		}
		if f.desig != nil {
			s.desigs[f.desig.base] = append(s.desigs[f.desig.base], len(s.parts))
		}
		s.parts = append(s.parts, f)
		s.byPart[id] = f
	}
	return s
}
