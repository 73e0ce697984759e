package reconcile

// Cause codes of a Hop.
const (
	CauseDecision    = "decision"
	CauseAbsent      = "absent"
	CauseMeasuredOut = "measured-out"
	CauseFullStrip   = "full-strip"
	CauseUndecided   = "undecided"
	CauseSentOut     = "sent-out"
	CauseDisturbed   = "disturbed"
	CauseOneTime     = "one-time"
	CauseBond        = "bond"
	CauseStack       = "stack-opened"
	CauseCompanion   = "companion"
	CauseMate        = "mate"
)

// Every position has two nodes in the cause graph: the part is taken out, and a
// new part goes in.
func outNode(i int) int { return 2 * i }
func newNode(i int) int { return 2*i + 1 }

// edge says that node to follows from node from; from is -1 at a root.
type edge struct {
	from, to int
	cause    string
	reason   string
}

// graph holds what follows from what. Every node is reached by its shortest
// chain; edges that would close a circle are left out.
type graph struct {
	dist   []int32 // hops from a root, -1 when not reached
	parent []int32 // edge of the shortest chain
	in     [][]int32
	edges  []edge
	aside  []edge // left out of in, since they would close a circle
	queue  []int32
	maybe  []bool
	undone []bool // disturbances of the position were followed

	// What people are shown, made once when first asked for.
	hops   []Hop    // one for each edge; the report keeps them
	chains [][]*Hop // by node
	causes [][]*Hop // by node
}

func (g *graph) reset(spots int) {
	g.dist = filled(g.dist, 2*spots, -1)
	g.parent = resized(g.parent, 2*spots)
	g.maybe = resized(g.maybe, 2*spots)
	g.undone = resized(g.undone, spots)
	g.edges, g.aside, g.queue = g.edges[:0], g.aside[:0], g.queue[:0]
	g.hops = nil
	for i := range g.in {
		g.in[i] = g.in[i][:0]
	}
	if more := 2*spots - len(g.in); more > 0 {
		g.in = append(g.in, make([][]int32, more)...)
	}
}

// reached reports whether the node follows from a certain or a possible cause.
func (g *graph) reached(node int) bool { return g.dist[node] >= 0 }

// add follows one edge. Nodes must be taken off the queue in order.
func (g *graph) add(e edge, possible bool) {
	d := int32(0)
	if e.from >= 0 {
		d = g.dist[e.from] + 1
	}
	first := g.dist[e.to] < 0
	if first {
		g.dist[e.to], g.maybe[e.to] = d, possible
		g.parent[e.to] = int32(len(g.edges))
		g.queue = append(g.queue, int32(e.to))
	} else if possible && !g.maybe[e.to] {
		return
	} else if e.from >= 0 && !g.before(e.from, e.to) {
		g.aside = append(g.aside, e)
		return
	}
	g.in[e.to] = append(g.in[e.to], int32(len(g.edges)))
	g.edges = append(g.edges, e)
}

// keep takes in the edges that ran back towards a root and close no circle, so
// that every cause is kept that can be; the chains shown stay the shortest.
func (g *graph) keep() {
	if len(g.aside) == 0 {
		return
	}
	left, seen := g.aside[:0], make([]bool, len(g.dist))
	for _, e := range g.aside {
		clear(seen)
		if g.leads(e.to, e.from, seen) {
			left = append(left, e)
			continue
		}
		g.in[e.to] = append(g.in[e.to], int32(len(g.edges)))
		g.edges = append(g.edges, e)
	}
	g.aside = left
}

// leads: there is a way from a to b, looked for backwards from b.
func (g *graph) leads(a, b int, seen []bool) bool {
	if a == b {
		return true
	}
	seen[b] = true
	for _, id := range g.in[b] {
		if from := g.edges[id].from; from >= 0 && !seen[from] && g.leads(a, from, seen) {
			return true
		}
	}
	return false
}

// asks reports whether a node has an edge that the test picks, shown or not.
func (g *graph) asks(node int, pick func(*edge) bool) bool {
	for _, id := range g.in[node] {
		if pick(&g.edges[id]) {
			return true
		}
	}
	for i := range g.aside {
		if g.aside[i].to == node && pick(&g.aside[i]) {
			return true
		}
	}
	return false
}

// without reports whether node is reached even if the edges into it that drop picks
// are taken away: whether anything else asks for it that does not follow from it.
func (g *graph) without(node int, drop func(*edge) bool) bool {
	seen := make([]bool, len(g.dist))
	for again := true; again; {
		again = false
		for _, list := range [2][]edge{g.edges, g.aside} {
			for i := range list {
				e := &list[i]
				if seen[e.to] || e.to == node && drop(e) || e.from >= 0 && !g.starts(e, seen) {
					continue
				}
				seen[e.to], again = true, true
				if e.to == node {
					return true
				}
			}
		}
	}
	return false
}

// starts: what the edge begins at is reached. A disturbance follows from a place
// being reached in either way, and is noted for the first of them only.
func (g *graph) starts(e *edge, seen []bool) bool {
	return seen[e.from] || (e.cause == CauseDisturbed || e.cause == CauseOneTime) && seen[e.from^1]
}

// before orders nodes: an edge from an earlier to a later one never closes a circle.
func (g *graph) before(a, b int) bool {
	if g.dist[a] != g.dist[b] {
		return g.dist[a] < g.dist[b]
	}
	return a < b
}

// makeHops makes the hops of the finished graph. Chains and causes share them, so
// they must not be changed.
func (w *work) makeHops() {
	g := &w.graph
	g.hops = make([]Hop, len(g.edges))
	g.chains, g.causes = resized(g.chains, len(g.dist)), resized(g.causes, len(g.dist))
	for i := range g.edges {
		e := &g.edges[i]
		g.hops[i] = Hop{Position: w.spots[e.to/2].id, Cause: e.cause, Reason: e.reason}
		if e.from >= 0 {
			g.hops[i].From = w.spots[e.from/2].id
		}
	}
}

// chain is the shortest chain to a node, root first.
func (w *work) chain(node int) []*Hop {
	g := &w.graph
	if node < 0 || !g.reached(node) {
		return nil
	}
	if g.hops == nil {
		w.makeHops()
	}
	if g.chains[node] == nil {
		chain := make([]*Hop, g.dist[node]+1)
		for at, i := node, len(chain)-1; i >= 0; i-- {
			chain[i] = &g.hops[g.parent[at]]
			at = g.edges[g.parent[at]].from
		}
		g.chains[node] = chain
	}
	return g.chains[node]
}

// causesOf are all edges into a node.
func (w *work) causesOf(node int) []*Hop {
	g := &w.graph
	if node < 0 || !g.reached(node) {
		return nil
	}
	if g.hops == nil {
		w.makeHops()
	}
	if g.causes[node] == nil {
		hops := make([]*Hop, len(g.in[node]))
		for i, id := range g.in[node] {
			hops[i] = &g.hops[id]
		}
		g.causes[node] = hops
	}
	return g.causes[node]
}

// allCauses is the whole cause graph, each edge once, in the order found.
func (w *work) allCauses() []*Hop {
	if w.graph.hops == nil {
		w.makeHops()
	}
	hops := make([]*Hop, len(w.graph.hops))
	for i := range hops {
		hops[i] = &w.graph.hops[i]
	}
	return hops
}

// node of a spot that a finding's chain should lead to: the new part if one is
// demanded, else that it was taken out, else -1.
func (w *work) node(s *spot) int {
	switch {
	case w.graph.reached(newNode(s.index)):
		return newNode(s.index)
	case w.graph.reached(outNode(s.index)):
		return outNode(s.index)
	}
	return -1
}
