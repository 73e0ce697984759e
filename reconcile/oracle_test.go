package reconcile

import (
	"testing"

	"layshaft/catalog"

	"pgregory.net/rapid"
)

// goal is what an allocation is judged by, in order.
type goal struct{ covered, blocking, possible int }

func (g goal) less(o goal) bool {
	if g.covered != o.covered {
		return g.covered < o.covered
	}
	if g.blocking != o.blocking {
		return g.blocking < o.blocking
	}
	return g.possible < o.possible
}

// TestAllocationAgainstTrial compares the flow with trying out every allocation,
// piece by piece, on cases small enough.
func TestAllocationAgainstTrial(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := rapidChance{t}
		s := randomShop(c, 3+c.below(5), 1+c.below(6))
		s.cat.Supersessions, s.cat.Mates = nil, nil // no companions, no bars: one allocation decides
		w := newWork(s.input())
		w.settle()
		if len(w.units) > 9 {
			t.Skip("too many pieces to try")
		}
		tr := trial{w: w, need: make([]int, len(w.spots)), pick: map[int]int{}}
		var got goal
		for i := range w.spots {
			if sp := &w.spots[i]; sp.need > 0 && !sp.open {
				tr.need[i] = sp.need
			}
			tr.count(&got, i, w.spots[i].cover)
		}
		tr.next(0, 0)
		if got != tr.best {
			t.Fatalf("the flow reaches %+v, trial %+v", got, tr.best)
		}
	})
}

// trial gives piece after piece to every position that takes it, or to none.
type trial struct {
	w    *work
	need []int
	pick map[int]int
	now  goal
	best goal
}

func (tr *trial) count(g *goal, spot, n int) {
	s := &tr.w.spots[spot]
	switch {
	case tr.w.possible(s):
		g.possible += n
	case s.pos.Blocking:
		g.blocking += n
		g.covered += n
	default:
		g.covered += n
	}
}

func (tr *trial) next(unit, piece int) {
	if tr.best.less(tr.now) {
		tr.best = tr.now
	}
	if unit == len(tr.w.units) {
		return
	}
	u := &tr.w.units[unit]
	if piece == u.pieces {
		tr.next(unit+1, 0)
		return
	}
	tr.next(unit+1, 0) // the rest of the unit stays over
	picked, bound := tr.pick[u.group]
	if u.group != 0 && bound && picked != u.option {
		return
	}
	if u.group != 0 && !bound {
		tr.pick[u.group] = u.option
		defer delete(tr.pick, u.group)
	}
	for i := range tr.w.spots {
		s := &tr.w.spots[i]
		if tr.need[i] == 0 || !s.takes(u.part) || !tr.w.may(u, s) {
			continue
		}
		tr.need[i]--
		was := tr.now
		tr.count(&tr.now, i, 1)
		tr.next(unit, piece+1)
		tr.now = was
		tr.need[i]++
	}
}

// TestNarrowKeepsEverySolution compares arc consistency with trying out every
// combination: a part that goes into the box in some way all mates allow is
// never ruled out.
func TestNarrowKeepsEverySolution(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := rapidChance{t}
		s := randomShop(c, 3+c.below(4), 0)
		w := newWork(s.input())
		w.closure()
		w.choose()
		for i := range w.spots {
			if w.spots[i].widened || w.spots[i].stuck || w.spots[i].firm {
				t.Skip("parts of other variants were needed")
			}
		}
		full := make([][]*catalog.Part, len(w.spots))
		for i := range w.spots {
			sp := &w.spots[i]
			if !w.certain(sp) {
				if sp.base != nil && sp.has == present && sp.kept() {
					full[i] = []*catalog.Part{sp.base}
				}
				continue
			}
			for _, k := range w.namedOrFitting(sp) {
				full[i] = append(full[i], k.part)
			}
		}
		ok := make([]map[*catalog.Part]bool, len(w.spots))
		for i := range ok {
			ok[i] = map[*catalog.Part]bool{}
		}
		allBuilds(w, full, make([]*catalog.Part, len(w.spots)), 0, ok)
		for i := range w.spots {
			sp := &w.spots[i]
			if !w.certain(sp) {
				continue
			}
			for p := range ok[i] {
				if !sp.takes(p) {
					t.Fatalf("%s at %s is in a build that all mates allow, and was ruled out", p.ID, sp.id)
				}
			}
		}
	})
}

// allBuilds marks the parts that appear in some build which breaks no mate.
func allBuilds(w *work, full [][]*catalog.Part, now []*catalog.Part, at int, ok []map[*catalog.Part]bool) bool {
	if at == len(full) {
		for i, p := range now {
			if p != nil {
				ok[i][p] = true
			}
		}
		return true
	}
	if len(full[at]) == 0 {
		return allBuilds(w, full, now, at+1, ok)
	}
	found := false
	for _, p := range full[at] {
		now[at] = p
		good := true
		for _, id := range w.spots[at].mates {
			m := &w.mates[id]
			if o := m.other(at); o < at && now[o] != nil &&
				m.from(at, w.value(p, nil, m.seat(at)), w.value(now[o], nil, m.seat(o))) == broken {
				good = false
			}
		}
		found = good && allBuilds(w, full, now, at+1, ok) || found
		now[at] = nil
	}
	return found
}
