package drawing

import (
	"slices"

	"layshaft/catalog"
)

var bearingKinds = []catalog.PartKind{"ball bearing", "cylindrical roller bearing", "bearing cone",
	"taper roller bearing", "bearing"}

// hostKinds says inside or upon what kind a part without a place of its own is
// drawn (common practice).
var hostKinds = map[catalog.PartKind][]catalog.PartKind{
	"needle bearing":      {"gear", "reverse idler"},
	"inner sleeve":        {"gear"},
	"bush":                {"reverse idler", "gear"},
	"synchro hub":         {"synchro sleeve"},
	"synchro key":         {"synchro sleeve"},
	"synchro key spring":  {"synchro sleeve"},
	"multi-cone ring set": {"synchro ring"},
	"bearing cup":         {"bearing cone"},
	"snap ring":           append([]catalog.PartKind{"thrust washer", "synchro sleeve"}, bearingKinds...),
	"pilot bearing":       {"input shaft"},
	"loose roller":        {"input shaft"},
	"washer":              {"input shaft", "reverse idler"},
	"dowel":               {"thrust washer"},
}

// nestsBeside are kinds that find their host even when the catalogue names no
// shaft for them.
var nestsBeside = map[catalog.PartKind]bool{"synchro key": true, "synchro key spring": true, "snap ring": true}

// placeNested finds a host for every position that is on no axis yet.
func (t *train) placeNested() {
	for _, p := range t.pieces {
		if p.axis != nil {
			continue
		}
		a := t.axisOf(p.pos.Shaft)
		if a == nil && !nestsBeside[p.pos.Kind] {
			continue
		}
		h := t.findHost(p, a)
		if h == nil && a != nil {
			h = fallbackHost(p, a)
		}
		if h == nil {
			continue
		}
		p.host, p.axis = h, h.axis
		h.nest = append(h.nest, p)
	}
}

// findHost prefers the host that shares most place words; without an axis it
// must share one.
func (t *train) findHost(p *piece, a *axis) *piece {
	kinds := hostKinds[p.pos.Kind]
	var best *piece
	score := 0
	if a != nil {
		score = -1
	}
	for _, ax := range t.axes {
		if a != nil && ax != a {
			continue
		}
		for _, h := range slices.Concat(ax.bodies, ax.cores) {
			if !slices.Contains(kinds, h.pos.Kind) {
				continue
			}
			if s := sharedPlaces(p.pos, h.pos); s > score {
				best, score = h, s
			}
		}
	}
	return best
}

func fallbackHost(p *piece, a *axis) *piece {
	var best *piece
	score := 0
	for _, h := range a.bodies {
		if s := sharedPlaces(p.pos, h.pos); s > score {
			best, score = h, s
		}
	}
	if best == nil && len(a.cores) > 0 {
		best = a.cores[0]
	}
	return best
}

func sharedPlaces(a, b *catalog.Position) int {
	n := 0
	for _, w := range a.Places {
		if slices.Contains(b.Places, w) {
			n++
		}
	}
	return n
}
