package reconcile

import (
	"slices"
	"sync"

	"layshaft/catalog"
)

// works are left behind by finished jobs. Half of what a report allocates would
// be memory that it does not keep.
var works = sync.Pool{New: func() any { return new(work) }}

// renew empties w for the next job and keeps its memory. Nothing that a report
// refers to may stand in that memory.
func (w *work) renew(in Input) {
	*w = work{in: in, ix: in.Index, job: in.Job,
		spots: w.spots, at: w.at, mates: w.mates[:0], graph: w.graph, units: w.units[:0], net: w.net,
		uses: w.uses[:0], successions: w.successions, takers: w.takers, told: w.told, denied: w.denied, mistaken: w.mistaken}
	if w.at == nil {
		w.at, w.successions = map[catalog.PositionID]int{}, map[*catalog.Part]*line{}
		w.takers = map[*catalog.Part][]*spot{}
	}
	clear(w.at)
	clear(w.successions)
	clear(w.takers)
}

// resized is n zero elements, in the memory of s when they go in.
func resized[T any](s []T, n int) []T {
	s = slices.Grow(s[:0], n)[:n]
	clear(s)
	return s
}

// filled is n times v, in the memory of s when they go in.
func filled[T any](s []T, n int, v T) []T {
	s = resized(s, n)
	for i := range s {
		s[i] = v
	}
	return s
}
