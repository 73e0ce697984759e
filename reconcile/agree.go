package reconcile

import (
	"slices"

	"layshaft/catalog"
)

// addCompanions looks at what is used, or would be bought first, and adds what
// it brings along. It reports whether anything new came up.
func (w *work) addCompanions() bool {
	added := false
	for i := range w.spots {
		s := &w.spots[i]
		if s.need == 0 || s.open || s.back || w.graph.maybe[newNode(i)] {
			continue
		}
		for _, c := range w.inUse(s) {
			for _, e := range c.path {
				for _, in := range e.Companions {
					added = w.addCompanion(s, c.part, e, in) || added
				}
			}
		}
	}
	return added
}

// inUse are the candidates that go in: the ones supplied, and the first choice
// for what is still short.
func (w *work) inUse(s *spot) []*cand {
	var out []*cand
	for _, id := range s.uses {
		if c := &s.cands[w.uses[id].cand]; !slices.Contains(out, c) {
			out = append(out, c)
		}
	}
	if s.cover < s.need && len(s.cands) > 0 && !slices.Contains(out, &s.cands[0]) {
		out = append(out, &s.cands[0])
	}
	return out
}

func (w *work) addCompanion(s *spot, by *catalog.Part, e *catalog.Supersession, in *catalog.Content) bool {
	p, ok := w.ix.Part(in.Part)
	if !ok {
		return false
	}
	added := false
	for i := range w.spots {
		o := &w.spots[i]
		if i == s.index || !o.eligible() || !w.goesAt(p, o) {
			continue
		}
		c := companion{from: s.index, to: i, by: by, part: p, count: max(in.Count, 1),
			reason: since(label(w.part(e.New))+" in place of "+label(w.part(e.Old))+" needs "+label(p), e.Reason)}
		if !slices.ContainsFunc(w.rules, func(k companion) bool {
			return k.from == c.from && k.to == c.to && k.part == c.part && k.by == c.by
		}) {
			w.rules = append(w.rules, c)
			added = true
		}
	}
	return added
}

// dropIdle bars a successor that brought companions and is not used after all:
// with them in demand, its supply does more good elsewhere. It reports whether
// anything was barred.
func (w *work) dropIdle() bool {
	for _, c := range w.rules {
		s := &w.spots[c.from]
		if s.need > 0 && slices.ContainsFunc(w.inUse(s), func(k *cand) bool { return k.part == c.by }) {
			continue
		}
		w.barred = append(w.barred, bar{c.from, c.by})
		w.rules = slices.DeleteFunc(w.rules, func(k companion) bool { return k.from == c.from && k.by == c.by })
		return true
	}
	return false
}

// goesAt: a variant that the job may be, or failing that any of the family,
// takes the part at the position.
func (w *work) goesAt(p *catalog.Part, s *spot) bool {
	return slices.ContainsFunc(w.ix.FitsOf(p.ID), func(f *catalog.Fitment) bool {
		v, ok := w.ix.Variant(f.Variant)
		return ok && f.Position == s.id && v.Family == w.job.Family
	})
}

func (w *work) part(id catalog.PartID) *catalog.Part {
	p, _ := w.ix.Part(id)
	return p
}

func (w *work) followCompanions(node int, s *spot, possible bool) {
	for _, c := range w.rules {
		if c.from == s.index {
			w.graph.add(edge{node, newNode(c.to), CauseCompanion, c.reason}, possible)
		}
	}
}

// companionPieces is what companions ask for at a position.
func (w *work) companionPieces(to int) int {
	n := 0
	for _, c := range w.rules {
		if c.to == to {
			n += c.count * max(1, w.spots[c.from].need)
		}
	}
	return n
}

// barClashes finds supplied parts that break a mate between them and bars the
// one that is easier to change. It reports whether anything was barred.
func (w *work) barClashes() bool {
	for k := range w.mates {
		m := &w.mates[k]
		a, b := &w.spots[m.a], &w.spots[m.b]
		for _, ua := range a.uses {
			for _, ub := range b.uses {
				x, y := &a.cands[w.uses[ua].cand], &b.cands[w.uses[ub].cand]
				if m.holds(w.value(x.part, a.sizesOn(x), m.rec.A), w.value(y.part, b.sizesOn(y), m.rec.B)) != broken {
					continue
				}
				if b2, ok := easier(a, x, b, y); ok {
					w.barred = append(w.barred, b2)
					return true
				}
			}
		}
	}
	return false
}

// easier picks the softer part of two that clash; a part decided on stays.
func easier(a *spot, x *cand, b *spot, y *cand) (bar, bool) {
	switch {
	case x.tier == chosen && y.tier == chosen:
		return bar{}, false
	case x.tier == chosen:
		return bar{b.index, y.part}, true
	case y.tier == chosen:
		return bar{a.index, x.part}, true
	case a.hardness() < b.hardness() || a.hardness() == b.hardness() && a.index > b.index:
		return bar{a.index, x.part}, true
	}
	return bar{b.index, y.part}, true
}

// hardness orders positions by how much a shop minds changing the part.
func (s *spot) hardness() int {
	switch s.pos.Life {
	case catalog.Hard:
		return 3
	case catalog.Inspect:
		return 2
	case catalog.Wear:
		return 1
	}
	return 0
}
