// Package flow solves small min-cost flow problems exactly, with costs that are
// compared entry by entry: the first entry decides, the next breaks ties.
//
// The method is successive shortest paths (textbook: Ahuja, Magnanti, Orlin,
// "Network Flows", section 9.7) with a queue-based label correction, so costs
// may be negative as long as the network has no cycle of negative cost to begin
// with. Everything is deterministic: arcs are looked at in the order added.
package flow

// Entries is the number of ranks of a cost.
const Entries = 5

// Cost is compared entry by entry, the first entry first. Entries add up over
// arcs and pieces; keep each sum far from the limits of int64.
type Cost [Entries]int64

// Less reports whether a comes before b.
func (a Cost) Less(b Cost) bool {
	for i := range a {
		if a[i] != b[i] {
			return a[i] < b[i]
		}
	}
	return false
}

// Plus is a + b.
func (a Cost) Plus(b Cost) Cost {
	for i := range a {
		a[i] += b[i]
	}
	return a
}

// Times is n times a.
func (a Cost) Times(n int) Cost {
	for i := range a {
		a[i] *= int64(n)
	}
	return a
}

// Minus is -a.
func (a Cost) Minus() Cost { return a.Times(-1) }

type arc struct {
	to   int32
	next int32 // next arc out of the same node, -1 ends
	room int   // pieces that still fit
	cost Cost
}

// Network is a directed network with capacities and costs. The zero value is
// empty; Reset makes it usable again without giving up its memory.
type Network struct {
	first, last []int32 // arcs out of a node, in the order added
	arcs        []arc   // arc i and i^1 are each other's reverse
	dist        []Cost
	seen        []bool
	queued      []bool
	via         []int32
	queue       []int32
}

// Reset empties the network and gives it n nodes, numbered from 0.
func (n *Network) Reset(nodes int) {
	n.first, n.last = n.first[:0], n.last[:0]
	n.arcs = n.arcs[:0]
	for range nodes {
		n.first = append(n.first, -1)
		n.last = append(n.last, -1)
	}
	n.dist = resized(n.dist, nodes)
	n.seen = resized(n.seen, nodes)
	n.queued = resized(n.queued, nodes)
	n.via = resized(n.via, nodes)
}

func resized[T any](s []T, n int) []T {
	if cap(s) < n {
		return make([]T, n)
	}
	return s[:n]
}

// Arc adds an arc that takes up to room pieces at cost each, and returns its
// number for Flow.
func (n *Network) Arc(from, to, room int, cost Cost) int {
	id := len(n.arcs)
	n.put(from, arc{to: int32(to), next: -1, room: room, cost: cost})
	n.put(to, arc{to: int32(from), next: -1, cost: cost.Minus()})
	return id
}

func (n *Network) put(from int, a arc) {
	id := int32(len(n.arcs))
	n.arcs = append(n.arcs, a)
	if n.last[from] < 0 {
		n.first[from] = id
	} else {
		n.arcs[n.last[from]].next = id
	}
	n.last[from] = id
}

// Flow is the number of pieces on an arc.
func (n *Network) Flow(id int) int { return n.arcs[id^1].room }

// Solve sends pieces from source to sink for as long as that lowers the total
// cost, and returns the total. The flow found has the least cost of all flows
// of any amount.
func (n *Network) Solve(source, sink int) Cost {
	var total Cost
	for n.label(source, sink) && n.dist[sink].Less(Cost{}) {
		room := n.bottleneck(source, sink)
		for at := sink; at != source; {
			id := n.via[at]
			n.arcs[id].room -= room
			n.arcs[id^1].room += room
			at = int(n.arcs[id^1].to)
		}
		total = total.Plus(n.dist[sink].Times(room))
	}
	return total
}

// label finds the cheapest path to every node; false when sink is not reached.
func (n *Network) label(source, sink int) bool {
	clear(n.seen)
	clear(n.queued)
	n.queue = append(n.queue[:0], int32(source))
	n.dist[source], n.seen[source], n.queued[source] = Cost{}, true, true
	for head := 0; head < len(n.queue); head++ {
		at := n.queue[head]
		n.queued[at] = false
		for id := n.first[at]; id >= 0; id = n.arcs[id].next {
			a := &n.arcs[id]
			if a.room == 0 {
				continue
			}
			if d := n.dist[at].Plus(a.cost); !n.seen[a.to] || d.Less(n.dist[a.to]) {
				n.dist[a.to], n.seen[a.to], n.via[a.to] = d, true, id
				if !n.queued[a.to] {
					n.queued[a.to] = true
					n.queue = append(n.queue, a.to)
				}
			}
		}
	}
	return n.seen[sink]
}

func (n *Network) bottleneck(source, sink int) int {
	room := -1
	for at := sink; at != source; {
		id := n.via[at]
		if r := n.arcs[id].room; room < 0 || r < room {
			room = r
		}
		at = int(n.arcs[id^1].to)
	}
	return room
}
