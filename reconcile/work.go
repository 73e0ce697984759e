package reconcile

import (
	"cmp"
	"slices"

	"layshaft/catalog"
	"layshaft/reconcile/flow"
	"layshaft/reconcile/measure"
)

// work is one run of the engine: the job laid out over the family's positions.
type work struct {
	in       Input
	ix       *catalog.Index
	job      *Job
	variants []catalog.VariantID // the job's variant, or all that it may be
	spots    []spot              // in list order
	at       map[catalog.PositionID]int
	mates    []mate

	graph       graph
	rules       []companion // companions of successors in use
	barred      []bar
	strays      []*Decision // decisions for positions that the family does not have
	lines       []*SupplyLine
	units       []unit
	unproven    bool   // too many alternatives to try them all
	flaws       []flaw // sets and lines that supply less than they say
	net         flow.Network
	uses        []use
	successions map[*catalog.Part]*line // looked up so far
	// currency that prices are compared in.
	currency string
	takers   map[*catalog.Part][]*spot
	told     []int  // per position: a line that names its part and excludes it
	denied   []int  // per position: a line that says its part can't be had
	mistaken []bool // positions that a wrong part was supplied for
	findings []*Finding
	surplus  []*Surplus
	faults   []string
}

type presence uint8

const (
	missing presence = iota // the variant has no such position
	perhaps                 // some of the variants that it may be have it
	present
)

// spot is one position of the family in this job.
type spot struct {
	id     catalog.PositionID
	pos    *catalog.Position
	index  int
	has    presence
	pieces int
	dec    *Decision
	choice Choice // "" when nothing was decided

	base      *catalog.Part // in the box on arrival; nil when not known
	found     bool          // base was found there and is not taken from the catalogue
	doubt     string        // why base is not known although the variant has a standard
	sizes     []*catalog.Attribute
	treated   bool
	reject    *rejection // measured and found bad
	inspected []*Inspection
	stack     *catalog.Stack
	gauge     *StackState      // of stack; nil without one
	grades    []catalog.PartID // grades chosen after measuring, when they close the stack

	mates   []int32 // into work.mates
	cands   []cand
	widened bool // parts of other variants had to be taken in
	stuck   bool // nothing satisfies all mates

	firm bool // the part decided on clashes and stays

	need  int  // pieces demanded
	open  bool // demanded, grade not known before the dry build
	back  bool // not demanded anew: awaited from a treatment shop
	uses  []int32
	cover int    // pieces covered
	code  string // of the rule that says why it is short
	now   option
	state FittedState
}

// newWork lays the job out, in memory of its own.
func newWork(in Input) *work {
	w := new(work)
	w.lay(in)
	return w
}

// lay lays the job out in the memory of an earlier job.
func (w *work) lay(in Input) {
	w.renew(in)
	w.variants = jobVariants(in.Index, in.Job.Head)
	positions := w.ix.Positions(w.job.Family)
	w.spots = resized(w.spots, len(positions))
	for i, p := range positions {
		w.at[p.ID] = i
		w.spots[i] = spot{id: p.ID, pos: p, index: i, pieces: p.Quantity}
		w.presence(&w.spots[i])
	}
	w.decisions()
	w.measurements()
	w.layMates()
	w.findBases()
	w.currency = w.ix.Currency()
	w.layLines()
}

// jobVariants is the variant, else the candidates, else all of the family.
func jobVariants(ix *catalog.Index, h *Head) []catalog.VariantID {
	if h.Variant != "" {
		return []catalog.VariantID{h.Variant}
	}
	if len(h.Candidates) > 0 {
		return slices.Compact(slices.Sorted(slices.Values(h.Candidates)))
	}
	var all []catalog.VariantID
	for _, v := range ix.VariantsOf(h.Family) {
		all = append(all, v.ID)
	}
	return all
}

func (w *work) presence(s *spot) {
	n := 0
	for _, v := range w.variants {
		if w.ix.Has(v, s.id) {
			if q := w.ix.Quantity(v, s.id); n == 0 || q > s.pieces {
				s.pieces = q
			}
			n++
		}
	}
	switch {
	case n == 0 && len(w.variants) > 0:
		s.has = missing
	case n < len(w.variants):
		s.has = perhaps
	default:
		s.has = present
	}
}

func (w *work) decisions() {
	for _, d := range slices.SortedStableFunc(slices.Values(w.job.Decisions), func(a, b *Decision) int {
		return cmp.Compare(a.Position, b.Position)
	}) {
		i, ok := w.at[d.Position]
		if !ok {
			w.strays = append(w.strays, d)
			continue
		}
		s := &w.spots[i]
		s.dec, s.choice = d, d.Choice
		s.treated = d.Choice == Rework || d.Choice == SendOut
		if d.Choice != Replace && d.Choice != Absent && d.Choice != NotFitted || d.Part != "" {
			s.sizes = w.matedSizes(s)
		}
	}
}

// matedSizes are the sizes of a decision that neighbours are compared with. Where
// the catalogue has a limit for the seat, the limit judges a reading, and the
// nominal size stays for the neighbours unless a treatment left the limits.
func (w *work) matedSizes(s *spot) []*catalog.Attribute {
	var out []*catalog.Attribute
	for _, a := range s.dec.Sizes {
		l := w.limitAt(s, a)
		if l == nil || s.treated && !allows(l, a.Value) {
			out = append(out, a)
		}
	}
	return out
}

// limitAt is the limit for the seat that a size was taken at, nil when none.
func (w *work) limitAt(s *spot, a *catalog.Attribute) *catalog.Limit {
	for _, l := range w.ix.Limits(w.job.Family, s.id) {
		if l.Name == a.Name && l.At == a.At && a.Value.Kind == catalog.KindLength {
			return l
		}
	}
	return nil
}

// allows: the length is inside the wear limits.
func allows(l *catalog.Limit, v catalog.Value) bool {
	return (l.WearMin == nil || v.Length() >= *l.WearMin) && (l.WearMax == nil || v.Length() <= *l.WearMax)
}

// measurements judges the readings of limits and takes the grades that close a
// stack.
func (w *work) measurements() {
	for i := range w.spots {
		s := &w.spots[i]
		var ok bool
		if s.stack, ok = w.ix.StackAt(w.job.Family, s.id); ok {
			if s.gauge = stackState(w.ix, w.job, w.variants, s.stack, nil); s.gauge.Closed() {
				s.grades = s.gauge.Grades()
			}
		}
		for _, l := range w.ix.Limits(w.job.Family, s.id) {
			w.inspect(s, l)
		}
	}
}

// inspect judges a limit by the decision rule. A person's verdict of renew with
// the latest measurement counts as well.
func (w *work) inspect(s *spot, l *catalog.Limit) {
	in := inspection(w.job, l, nil)
	if in != nil {
		s.inspected = append(s.inspected, in)
		if in.Result.Action == measure.ActionRenew {
			s.reject = &rejection{in.Measurement, in}
			return
		}
	}
	var last *Measurement
	for _, m := range latest(w.job.Measurements) {
		if m.Limit == l.ID {
			last = m
		}
	}
	if last != nil && last.Verdict == string(measure.ActionRenew) {
		s.reject = &rejection{last, nil}
	}
}

// kept reports whether the part that was in the box goes back unless something
// demands another.
func (s *spot) kept() bool { return s.choice != Absent && s.choice != NotFitted }

// sentOut reports whether the part is at a treatment shop or back from one.
func (s *spot) sentOut() bool { return s.choice == SendOut }

// findBases says what was in the box: what was found, else what every variant
// that it may be left the maker with. A standard part that cannot have stood
// beside a part that was found is not known.
func (w *work) findBases() {
	for i := range w.spots {
		s := &w.spots[i]
		if s.has == missing {
			continue
		}
		if s.dec != nil && s.dec.Found != "" {
			s.base, s.found = w.ix.Part(s.dec.Found)
			continue
		}
		for k, v := range w.variants {
			p, ok := w.ix.Standard(v, s.id)
			if !ok || k > 0 && p != s.base {
				s.base = nil
				break
			}
			s.base = p
		}
	}
	for i := range w.mates {
		m := &w.mates[i]
		a, b := &w.spots[m.a], &w.spots[m.b]
		if a.base == nil || b.base == nil || a.found == b.found {
			continue
		}
		if m.holds(w.value(a.base, nil, m.rec.A), w.value(b.base, nil, m.rec.B)) == broken {
			odd, other := a, b
			if a.found {
				odd, other = b, a
			}
			odd.doubt = "the part found at the " + other.name() + " is " + label(other.base)
		}
	}
	for i := range w.spots {
		if w.spots[i].doubt != "" {
			w.spots[i].base = nil
		}
	}
}
