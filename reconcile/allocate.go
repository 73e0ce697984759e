package reconcile

import (
	"layshaft/catalog"
	"layshaft/reconcile/flow"
)

// use is pieces of a unit that go to a position.
type use struct {
	unit, spot, cand int
	pieces           int
}

// claim says that a part is a candidate at a position.
type claim struct {
	spot, cand int
	next       int // next claim on the same part, -1 ends
}

// Ranks of the cost of a piece: what decides first comes first.
const (
	rankCovered  = iota // pieces that certain demand gets
	rankBlocking        // of them, for positions that keep the case open
	rankPossible        // pieces for demand that is only possible
	rankValue           // money of the supply used: what is left over is worth least
	rankLiking          // preferred part, surer reading, nearer source
)

// allocate gives supply to demand: as much as can be covered, then as much of
// what blocks, then what leaves the least value over. The problem falls apart
// into groups that share no part; each is solved exactly.
func (w *work) allocate() {
	w.uses, w.unproven = w.uses[:0], false
	for i := range w.units {
		w.units[i].used = 0
	}
	for i := range w.spots {
		w.spots[i].uses, w.spots[i].cover = nil, 0
	}
	claims, first := w.claims()
	p := newParts(len(w.units) + len(w.spots))
	byGroup := map[int]int{}
	for u := range w.units {
		for c := w.firstClaim(first, u); c >= 0; c = claims[c].next {
			p.join(u, len(w.units)+claims[c].spot)
		}
		if g := w.units[u].group; g != 0 {
			if o, ok := byGroup[g]; ok {
				p.join(u, o)
			}
			byGroup[g] = u
		}
	}
	for _, c := range w.components(p, claims, first) {
		w.serve(c)
	}
	for i, u := range w.uses {
		w.units[u.unit].used += u.pieces
		s := &w.spots[u.spot]
		s.uses, s.cover = append(s.uses, int32(i)), s.cover+u.pieces
	}
}

// claims lists every (position, candidate) that supply may serve, by part.
func (w *work) claims() ([]claim, map[*catalog.Part]int) {
	claims := make([]claim, 0, len(w.spots))
	first := make(map[*catalog.Part]int, len(w.spots))
	for i := len(w.spots) - 1; i >= 0; i-- { // so that lists run in position order
		s := &w.spots[i]
		if s.need == 0 || s.open {
			continue
		}
		for k := range s.cands {
			next, ok := first[s.cands[k].part]
			if !ok {
				next = -1
			}
			first[s.cands[k].part] = len(claims)
			claims = append(claims, claim{i, k, next})
		}
	}
	return claims, first
}

func (w *work) firstClaim(first map[*catalog.Part]int, u int) int {
	if c, ok := first[w.units[u].part]; ok {
		return c
	}
	return -1
}

// may: a position that awaits its own part from a treatment shop takes only that.
func (w *work) may(u *unit, s *spot) bool {
	return !s.back || w.lines[u.line].Source == FromReturn
}

// component is supply and demand that hang together.
type component struct {
	units []int
	arcs  []supplyArc
}

type supplyArc struct{ unit, spot, cand int }

func (w *work) components(p *parts, claims []claim, first map[*catalog.Part]int) []*component {
	var out []*component
	of := map[int]*component{}
	for u := range w.units {
		root := p.find(u)
		c := of[root]
		for k := w.firstClaim(first, u); k >= 0; k = claims[k].next {
			if !w.may(&w.units[u], &w.spots[claims[k].spot]) {
				continue
			}
			if c == nil {
				c = &component{}
				of[root] = c
				out = append(out, c)
			}
			if n := len(c.units); n == 0 || c.units[n-1] != u {
				c.units = append(c.units, u)
			}
			c.arcs = append(c.arcs, supplyArc{u, claims[k].spot, claims[k].cand})
		}
	}
	return out
}

// serve solves one component.
func (w *work) serve(c *component) {
	if len(c.arcs) == 1 {
		a := c.arcs[0]
		w.uses = append(w.uses, use{a.unit, a.spot, a.cand, min(w.units[a.unit].pieces, w.spots[a.spot].need)})
		return
	}
	s := solver{w: w, c: c, pick: map[int]int{}, left: maxFlows}
	s.branch()
	w.unproven = w.unproven || s.left < 0
	w.uses = append(w.uses, s.best...)
}

// solver finds the best allocation of a component. Of each group of
// alternatives only one may serve: a flow that uses two is split into one
// problem per alternative; the flow without the rule bounds what they can reach.
type solver struct {
	w    *work
	c    *component
	pick map[int]int // group -> the alternative taken
	best []use
	cost flow.Cost
	done bool
	left int // flows that may still be tried
}

// maxFlows bounds the flows tried for one component: far above what a list
// written by people needs, and it keeps a hostile one from holding up a server.
const maxFlows = 2000

func (s *solver) branch() {
	if s.left--; s.left < 0 && s.done {
		return
	}
	cost, uses := s.flow()
	if s.done && !cost.Less(s.cost) {
		return
	}
	group := s.split(uses)
	if group == 0 {
		s.best, s.cost, s.done = uses, cost, true
		return
	}
	tried := map[int]bool{}
	for _, u := range s.c.units {
		if x := &s.w.units[u]; x.group == group && !tried[x.option] {
			tried[x.option] = true
			s.pick[group] = x.option
			s.branch()
		}
	}
	delete(s.pick, group)
}

// split returns a group of which two alternatives are used, 0 when there is none.
func (s *solver) split(uses []use) int {
	taken := map[int]int{}
	for _, u := range uses {
		x := &s.w.units[u.unit]
		if x.group == 0 {
			continue
		}
		if o, ok := taken[x.group]; ok && o != x.option {
			return x.group
		}
		taken[x.group] = x.option
	}
	return 0
}

// flow allocates with the alternatives picked so far.
func (s *solver) flow() (flow.Cost, []use) {
	const source, sink = 0, 1
	w, net := s.w, &s.w.net
	spots := map[int]int{}
	for _, a := range s.c.arcs {
		if _, ok := spots[a.spot]; !ok {
			spots[a.spot] = 2 + len(s.c.units) + len(spots)
		}
	}
	net.Reset(2 + len(s.c.units) + len(spots))
	node := map[int]int{}
	for i, u := range s.c.units {
		node[u] = 2 + i
		x := &w.units[u]
		if o, ok := s.pick[x.group]; ok && o != x.option {
			continue
		}
		net.Arc(source, node[u], x.pieces, flow.Cost{rankValue: -x.value})
	}
	ids := make([]int, len(s.c.arcs))
	closed := make(map[int]bool, len(spots))
	for i, a := range s.c.arcs {
		ids[i] = net.Arc(node[a.unit], spots[a.spot], w.units[a.unit].pieces, w.cost(a))
		if !closed[a.spot] {
			closed[a.spot] = true
			net.Arc(spots[a.spot], sink, w.spots[a.spot].need, w.worth(&w.spots[a.spot]))
		}
	}
	cost := net.Solve(source, sink)
	var uses []use
	for i, a := range s.c.arcs {
		if n := net.Flow(ids[i]); n > 0 {
			uses = append(uses, use{a.unit, a.spot, a.cand, n})
		}
	}
	return cost, uses
}

// worth of covering one piece at a position.
func (w *work) worth(s *spot) flow.Cost {
	if w.possible(s) {
		return flow.Cost{rankPossible: -1}
	}
	if s.pos.Blocking {
		return flow.Cost{rankCovered: -1, rankBlocking: -1}
	}
	return flow.Cost{rankCovered: -1}
}

// cost of a piece of a unit at a position. What needs a companion does not close
// a blocking position by itself, so it has no preference there.
func (w *work) cost(a supplyArc) flow.Cost {
	cost := flow.Cost{rankLiking: w.liking(a)}
	s := &w.spots[a.spot]
	if s.pos.Blocking && !w.possible(s) && s.extraCompanions(a.cand) > 0 {
		cost[rankBlocking] = 1
	}
	return cost
}

// extraCompanions is how many more companions a candidate brings than what would
// be ordered.
func (s *spot) extraCompanions(cand int) int {
	return max(0, len(companionsOf(s.cands[cand].path))-len(companionsOf(s.cands[0].path)))
}

// liking is how gladly a unit is used for a candidate; lower is better.
func (w *work) liking(a supplyArc) int64 {
	u, c := &w.units[a.unit], &w.spots[a.spot].cands[a.cand]
	cost := int64(c.tier)*1000 + int64(w.spots[a.spot].extraCompanions(a.cand))*10_000 + int64(len(c.path))*50 + int64(3-c.standing.Rank())*10
	l := w.lines[u.line]
	if l.Outcome != Certain {
		cost += 100
	}
	return cost + int64(sourceRank(l.Source))
}

// parts is a partition of 0..n-1 (union-find).
type parts struct{ up []int32 }

func newParts(n int) *parts {
	p := &parts{up: make([]int32, n)}
	for i := range p.up {
		p.up[i] = int32(i)
	}
	return p
}

func (p *parts) find(i int) int {
	for int(p.up[i]) != i {
		p.up[i] = p.up[p.up[i]]
		i = int(p.up[i])
	}
	return i
}

func (p *parts) join(a, b int) { p.up[p.find(a)] = int32(p.find(b)) }
