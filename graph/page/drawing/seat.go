package drawing

import (
	"cmp"
	"slices"

	"layshaft/catalog"
)

// seats finds the radius of the shaft below every body: the bore where it is
// known, less what lies between; its neighbours' where it is not.
func (t *train) seats(a *axis) {
	var known []float64
	for _, p := range a.bodies {
		slices.SortStableFunc(p.nest, func(x, y *piece) int { return cmp.Compare(layerOf(x), layerOf(y)) })
		if s := p.seatByBore(); s >= 2 {
			p.seat = min(s, p.out*0.8)
			known = append(known, p.seat)
		}
	}
	if len(known) > 0 {
		slices.Sort(known)
		a.seat = known[len(known)/2]
	}
	for i, p := range a.bodies {
		if p.seat == 0 {
			p.seat = min(neighbour(a, i), p.out*0.8)
		}
	}
}

// inner layers of a gear: what lies between its bore and the shaft.
func layerOf(p *piece) int {
	switch p.pos.Kind {
	case "inner sleeve", "synchro hub":
		return 0
	case "needle bearing", "bush":
		return 1
	}
	return 2
}

func (p *piece) seatByBore() float64 {
	if p.in <= 0 {
		return 0
	}
	switch p.pos.Kind {
	case "gear", "reverse idler":
		return p.in - layerOfShaft*float64(p.layers())
	case "ball bearing", "cylindrical roller bearing", "taper roller bearing", "bearing", "bearing cone", "nut",
		"speedometer drive gear", "spacer":
		return p.in
	}
	return 0
}

// layers counts the nested parts that lie between gear and shaft.
func (p *piece) layers() int {
	n := 0
	for _, c := range p.nest {
		if layerOf(c) < 2 {
			n++
		}
	}
	return n
}

// neighbour is the seat of the nearest body on the same shaft that has one.
func neighbour(a *axis, i int) float64 {
	for step := 1; step < len(a.bodies); step++ {
		for _, j := range []int{i - step, i + step} {
			if j >= 0 && j < len(a.bodies) && a.bodies[j].seat > 0 && a.bodies[j].pos.Shaft == a.bodies[i].pos.Shaft &&
				a.bodies[j].pos.Kind != "nut" {
				return a.bodies[j].seat
			}
		}
	}
	return a.seat
}

// fitRadii settles the inner radius of a body after its seat is known.
func (t *train) fitRadii(p *piece) {
	s, o := p.seat, p.out
	switch p.pos.Kind {
	case "gear", "reverse idler":
		p.in = s
		if n := p.layers(); n > 0 {
			p.in = min(s+layerOfShaft*float64(n), s+(p.leastRoot()-s)*0.75)
		}
	case "synchro sleeve":
		p.in = s + (o-s)*0.76
		if p.hasWheel() {
			p.in = s + (p.leastRoot()-s)*0.76
		}
	case "synchro ring":
		p.in = s + (o-s)*0.7
	case "final drive ring gear":
		p.in = max(min(p.in, p.leastRoot()*0.85), p.leastRoot()*0.3)
	case "oil seal":
		p.in = min(max(p.in, s), o*0.85)
	case "shim":
		p.in = min(max(p.in, s), o*0.9)
	case "nut", "ball bearing", "cylindrical roller bearing", "taper roller bearing", "bearing", "bearing cone":
		p.in = s
	case "bush":
		p.in = min(max(p.in, s), o*0.85)
	case "snap ring":
		p.in = s * 0.85
		p.out = min(p.out, s+5*t.centre/usualCentre)
	default:
		p.in = min(s, o*0.9)
	}
	if p.pos.Kind.Class() == catalog.ClassShim || p.pos.Kind == "snap ring" {
		p.out = max(p.out, p.in+2)
	}
}

func (p *piece) leastRoot() float64 {
	least := p.out
	for _, w := range p.wheels {
		if w.placed {
			least = min(least, w.root())
		}
	}
	return least
}
