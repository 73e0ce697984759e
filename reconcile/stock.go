package reconcile

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"layshaft/catalog"
)

// unit is supply of one part: a line, or one content of a set on a line.
type unit struct {
	line    int // into work.lines
	part    *catalog.Part
	pieces  int
	via     *catalog.Part // the pair, set or kit it comes in; nil when single
	group   int           // choice of alternatives, 0 when none
	option  int           // which alternative of the group
	value   int64         // of one piece, when it would be left over
	used    int
	content bool
	seq     int // order in which sets were taken apart
}

// flaw is why a line supplies less than it says.
type flaw struct {
	code string // "sealed": it contains itself; "unknown": no such part; "empty": contents not known
	id   catalog.PartID
	line int
}

// maxDepth of sets inside sets.
const maxDepth = 8

// layLines puts kit lines and goods in the order in which people read them and
// takes sets apart.
func (w *work) layLines() {
	w.lines = make([]*SupplyLine, 0, len(w.in.Supply)+len(w.job.Goods)) // the report keeps them
	w.lines = append(w.lines, w.in.Supply...)
	for _, g := range w.job.Goods {
		w.lines = append(w.lines, &SupplyLine{Goods: g.ID, Source: g.Source, Outcome: Certain,
			Part: g.Part, Pieces: g.Pieces, Why: g.Note})
	}
	slices.SortStableFunc(w.lines, compareLines)
	groups := map[string]int{}
	for i, l := range w.lines {
		if !l.supplies() {
			continue
		}
		p, ok := w.ix.Part(l.Part)
		if !ok {
			w.flaws = append(w.flaws, flaw{"unknown", l.Part, i})
			continue
		}
		u := unit{line: i, part: p, pieces: l.Pieces}
		if l.Alternative != 0 {
			u.group, u.option = groupOf(groups, l.list()+"#"+strconv.Itoa(l.Alternative)), i+1
		}
		w.unpack(u, groups, 0)
	}
	for i := range w.units {
		w.units[i].seq = i
	}
	slices.SortFunc(w.units, w.compareUnits)
	for i := range w.units {
		if u := &w.units[i]; w.lines[u.line].Source != FromShelf {
			u.value = w.price(u.part)
			if u.value > maxValue {
				u.value = 0 // nobody offers it
			}
		}
	}
}

// maxValue keeps sums of values inside an int64.
const maxValue = 1 << 40

func groupOf(groups map[string]int, key string) int {
	if n, ok := groups[key]; ok {
		return n
	}
	groups[key] = len(groups) + 1
	return len(groups)
}

// supplies: the line promises pieces of a known part.
func (l *SupplyLine) supplies() bool {
	return (l.Outcome == Certain || l.Outcome == Likely) && l.Part != "" && l.Pieces > 0 && !l.Excluded && !l.NotAvailable
}

func (l *SupplyLine) list() string {
	if l.Place != nil {
		return l.Place.List
	}
	return ""
}

func compareLines(a, b *SupplyLine) int {
	if (a.Place == nil) != (b.Place == nil) {
		return compareBool(a.Place == nil, b.Place == nil)
	}
	if a.Place == nil {
		return cmp.Compare(a.Goods, b.Goods)
	}
	return cmp.Or(cmp.Compare(a.Place.List, b.Place.List), cmp.Compare(a.Place.Line, b.Place.Line),
		cmp.Compare(a.Place.Sub, b.Place.Sub), cmp.Compare(a.Place.Start, b.Place.Start))
}

// unpack adds a unit, or what is inside it when it is a set that no position of
// the family takes whole.
func (w *work) unpack(u unit, groups map[string]int, depth int) {
	whole := w.takenWhole(u.part)
	if len(u.part.Contents) == 0 || whole {
		if !whole && isSet(u.part) && len(w.ix.FitsOf(u.part.ID)) == 0 {
			w.flaws = append(w.flaws, flaw{"empty", u.part.ID, u.line})
		}
		w.units = append(w.units, u)
		return
	}
	if depth == maxDepth {
		w.flaws = append(w.flaws, flaw{"sealed", u.part.ID, u.line})
		return
	}
	choice := slices.ContainsFunc(u.part.Contents, func(c *catalog.Content) bool { return c.Choice != "" })
	copies, pieces := 1, u.pieces
	if choice && u.group == 0 { // each copy chooses for itself
		copies, pieces = u.pieces, 1
	}
	for n := range copies {
		for k, c := range u.part.Contents {
			p, ok := w.ix.Part(c.Part)
			if !ok {
				w.flaws = append(w.flaws, flaw{"unknown", c.Part, u.line})
			}
			if !ok || c.Count <= 0 {
				continue
			}
			in := unit{line: u.line, part: p, pieces: pieces * c.Count, via: u.part, group: u.group, option: u.option, content: true}
			if c.Choice != "" && u.group == 0 {
				key := strconv.Itoa(u.line) + "/" + strconv.Itoa(n) + "/" + string(u.part.ID) + "/" + c.Choice
				in.group, in.option = groupOf(groups, key), k+1
			}
			w.unpack(in, groups, depth+1)
		}
	}
}

// isSet: sold as more than one piece.
func isSet(p *catalog.Part) bool {
	return p.Unit == catalog.UnitSet || p.Unit == catalog.UnitPair || p.Kind.Class() == catalog.ClassSet ||
		strings.HasSuffix(string(p.Kind), " set")
}

// takenWhole: the catalogue says that the set itself fits a position of this family.
func (w *work) takenWhole(p *catalog.Part) bool {
	return slices.ContainsFunc(w.ix.FitsOf(p.ID), func(f *catalog.Fitment) bool {
		v, ok := w.ix.Variant(f.Variant)
		return ok && v.Family == w.job.Family
	})
}

// compareUnits orders supply by what it is, so that the order of the lines in a
// text decides nothing; equal supply is taken in reading order.
func (w *work) compareUnits(a, b unit) int {
	x, y := w.lines[a.line], w.lines[b.line]
	return cmp.Or(
		cmp.Compare(a.part.ID, b.part.ID),
		cmp.Compare(sourceRank(x.Source), sourceRank(y.Source)),
		cmp.Compare(x.Outcome, y.Outcome),
		compareBool(a.group != 0, b.group != 0),
		compareBool(a.via != nil, b.via != nil),
		cmp.Compare(y.Pieces, x.Pieces),
		compareBool(x.Conditional, y.Conditional),
		x.ReturnBy.Compare(y.ReturnBy),
		cmp.Compare(x.list(), y.list()),
		cmp.Compare(placeWords(x), placeWords(y)),
		cmp.Compare(a.line, b.line),
		cmp.Compare(a.seq, b.seq))
}

// sourceRank: what is here before what is only ordered; the shelf last of what
// is here, since it stays good.
func sourceRank(s GoodsSource) int {
	switch s {
	case FromReturn:
		return 0
	case FromReceived:
		return 1
	case FromKit:
		return 2
	case FromShelf:
		return 3
	}
	return 4
}
