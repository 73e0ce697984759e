package reconcile

import (
	"cmp"
	"slices"

	"layshaft/catalog"
)

// heir is a part that may stand in for another, with the way it was found.
type heir struct {
	part *catalog.Part
	path []*catalog.Supersession // empty for the part itself
}

// line is the succession of one part.
type line struct {
	heirs    []heir // the part itself first, then by distance
	troubles []trouble
}

// trouble is why a succession was not followed further.
type trouble struct {
	code  string // "loop", "conflict", "serial"
	old   *catalog.Part
	edges []*catalog.Supersession
}

// succession lists what may stand in for a part: successors to the end of the
// chain and equals both ways. It never follows a loop, sources that
// contradict each other, a split by serial number that can't be decided, or a
// doubted entry.
func (w *work) succession(p *catalog.Part) *line {
	if l, ok := w.successions[p]; ok {
		return l
	}
	l := &line{heirs: []heir{{part: p}}}
	w.successions[p] = l
	if len(w.ix.Successors(p.ID)) == 0 && len(w.ix.Predecessors(p.ID)) == 0 {
		return l
	}
	for head := 0; head < len(l.heirs); head++ {
		at := l.heirs[head]
		for _, e := range w.followed(at.part, l) {
			id := e.New
			if id == at.part.ID {
				id = e.Old // an equal, read backwards
			}
			next, ok := w.ix.Part(id)
			if !ok || slices.ContainsFunc(l.heirs, func(h heir) bool { return h.part == next }) {
				continue
			}
			l.heirs = append(l.heirs, heir{next, append(slices.Clone(at.path), e)})
		}
	}
	return l
}

// followed picks the edges out of a part that may be followed and notes trouble.
// What replaces it comes first: two parts may be said to be the same as well.
func (w *work) followed(p *catalog.Part, l *line) []*catalog.Supersession {
	var take, replaces, split []*catalog.Supersession
	for _, e := range w.ix.Successors(p.ID) {
		switch {
		case e.Standing == catalog.Doubted:
		case e.Kind == catalog.Equals:
			take = append(take, e)
		case w.loops(e):
			l.note(trouble{"loop", p, []*catalog.Supersession{e}})
		case e.Kind == catalog.Replaces:
			replaces = append(replaces, e)
		case e.Kind == catalog.SplitBySerial:
			split = append(split, e)
		default:
			take = append(take, e)
		}
	}
	for _, e := range w.ix.Predecessors(p.ID) {
		if e.Kind == catalog.Equals && e.Standing != catalog.Doubted {
			take = append(take, e)
		}
	}
	if w.contradict(replaces) {
		l.note(trouble{"conflict", p, replaces})
	} else {
		take = append(replaces, take...)
	}
	if e := w.bySerial(split); e != nil {
		take = append([]*catalog.Supersession{e}, take...)
	} else if len(split) > 0 {
		l.note(trouble{"serial", p, split})
	}
	return take
}

func (l *line) note(t trouble) {
	if !slices.ContainsFunc(l.troubles, func(o trouble) bool { return o.code == t.code && o.old == t.old }) {
		l.troubles = append(l.troubles, t)
	}
}

// contradict: two different successors that are not one and the same part under
// two numbers.
func (w *work) contradict(replaces []*catalog.Supersession) bool {
	for i, e := range replaces {
		for _, o := range replaces[:i] {
			if e.New != o.New && !w.equals(e.New, o.New) {
				return true
			}
		}
	}
	return false
}

func (w *work) equals(a, b catalog.PartID) bool {
	same := func(e *catalog.Supersession) bool {
		return e.Kind == catalog.Equals && (e.New == b || e.Old == b)
	}
	return slices.ContainsFunc(w.ix.Successors(a), same) || slices.ContainsFunc(w.ix.Predecessors(a), same)
}

// bySerial picks the one split whose range holds the job's serial number.
func (w *work) bySerial(split []*catalog.Supersession) *catalog.Supersession {
	if w.job.Serial == "" {
		return nil
	}
	var hit *catalog.Supersession
	for _, e := range split {
		if e.SerialFrom != "" && compareSerials(w.job.Serial, e.SerialFrom) < 0 ||
			e.SerialTo != "" && compareSerials(w.job.Serial, e.SerialTo) > 0 {
			continue
		}
		if hit != nil {
			return nil
		}
		hit = e
	}
	return hit
}

// loops reports whether an edge lies on a circle of successors.
func (w *work) loops(e *catalog.Supersession) bool {
	seen := []catalog.PartID{e.New}
	for head := 0; head < len(seen); head++ {
		if seen[head] == e.Old {
			return true
		}
		for _, next := range w.ix.Successors(seen[head]) {
			if next.Kind != catalog.Equals && next.Standing != catalog.Doubted && !slices.Contains(seen, next.New) {
				seen = append(seen, next.New)
			}
		}
	}
	return false
}

// compareSerials compares runs of digits as numbers and the rest as text, so
// that A99 comes before A100.
func compareSerials(a, b string) int {
	for a != "" && b != "" {
		da, db := digits(a), digits(b)
		if da > 0 && db > 0 {
			x, y := trimZeros(a[:da]), trimZeros(b[:db])
			if c := cmp.Or(cmp.Compare(len(x), len(y)), cmp.Compare(x, y)); c != 0 {
				return c
			}
			a, b = a[da:], b[db:]
			continue
		}
		if a[0] != b[0] {
			return cmp.Compare(a[0], b[0])
		}
		a, b = a[1:], b[1:]
	}
	return cmp.Compare(len(a), len(b))
}

func digits(s string) int {
	n := 0
	for n < len(s) && s[n] >= '0' && s[n] <= '9' {
		n++
	}
	return n
}

func trimZeros(s string) string {
	for len(s) > 1 && s[0] == '0' {
		s = s[1:]
	}
	return s
}
