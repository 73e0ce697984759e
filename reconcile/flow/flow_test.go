package flow

import (
	"testing"

	"pgregory.net/rapid"
)

type testArc struct {
	from, to, room int
	cost           Cost
}

// TestSolveAgainstTrial compares the least cost with that of every flow, tried
// out arc by arc, on networks small enough.
func TestSolveAgainstTrial(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const nodes = 5
		var arcs []testArc
		for range rapid.IntRange(1, 7).Draw(t, "arcs") {
			from := rapid.IntRange(0, nodes-2).Draw(t, "from")
			a := testArc{from: from, to: rapid.IntRange(from+1, nodes-1).Draw(t, "to"), room: rapid.IntRange(0, 2).Draw(t, "room")}
			for i := range 2 {
				a.cost[i] = int64(rapid.IntRange(-2, 2).Draw(t, "cost"))
			}
			arcs = append(arcs, a)
		}
		var n Network
		n.Reset(nodes)
		ids := make([]int, len(arcs))
		for i, a := range arcs {
			ids[i] = n.Arc(a.from, a.to, a.room, a.cost)
		}
		got := n.Solve(0, nodes-1)
		var sum Cost
		over := make([]int, nodes)
		for i, a := range arcs {
			f := n.Flow(ids[i])
			if f < 0 || f > a.room {
				t.Fatalf("arc %d holds %d of %d", i, f, a.room)
			}
			sum = sum.Plus(a.cost.Times(f))
			over[a.from] -= f
			over[a.to] += f
		}
		for v := 1; v < nodes-1; v++ {
			if over[v] != 0 {
				t.Fatalf("node %d keeps %d pieces", v, over[v])
			}
		}
		if sum != got {
			t.Fatalf("Solve says %v, the arcs add up to %v", got, sum)
		}
		if best := bestFlow(arcs, make([]int, nodes), 0, Cost{}); got != best {
			t.Fatalf("Solve finds %v, the best is %v", got, best)
		}
	})
}

// bestFlow tries every amount on every arc.
func bestFlow(arcs []testArc, over []int, at int, cost Cost) Cost {
	if at == len(arcs) {
		for v := 1; v < len(over)-1; v++ {
			if over[v] != 0 {
				return Cost{1 << 40}
			}
		}
		return cost
	}
	best := Cost{1 << 40}
	for f := range arcs[at].room + 1 {
		over[arcs[at].from] -= f
		over[arcs[at].to] += f
		if c := bestFlow(arcs, over, at+1, cost.Plus(arcs[at].cost.Times(f))); c.Less(best) {
			best = c
		}
		over[arcs[at].from] += f
		over[arcs[at].to] -= f
	}
	return best
}

// TestReuse: Reset forgets the network before.
func TestReuse(t *testing.T) {
	var n Network
	n.Reset(4)
	n.Arc(0, 1, 5, Cost{-1})
	n.Arc(1, 3, 5, Cost{})
	n.Solve(0, 3)
	n.Reset(3)
	id := n.Arc(0, 2, 3, Cost{0, -1})
	if got := n.Solve(0, 2); got != (Cost{0, -3}) || n.Flow(id) != 3 {
		t.Fatalf("got %v with %d pieces", got, n.Flow(id))
	}
}
