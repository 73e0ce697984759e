package drawing

import (
	"math"
	"slices"

	"layshaft/catalog"
)

const wall = 5.0 // mm, of a case as drawn

// reach is the extent of everything drawn between x0 and x1.
func (t *train) reach(x0, x1 float64) (top, bottom float64, any bool) {
	top, bottom = math.Inf(1), math.Inf(-1)
	add := func(y, r float64) {
		top, bottom, any = min(top, y-r), max(bottom, y+r), true
	}
	for _, a := range t.axes {
		for _, p := range a.bodies {
			if p.x1 > x0 && p.x0 < x1 {
				add(a.y, p.out)
			}
		}
		for _, w := range a.wheels {
			if w.x1 > x0 && w.x0 < x1 {
				add(a.y, w.tip())
			}
		}
	}
	return top, bottom, any
}

// planes are the two faces of the case: the front of the foremost and the rear
// of the rearmost bearing of the axes that carry speed gears.
func (t *train) planes() (front, rear, last float64, ok bool) {
	front, rear, last = math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, a := range t.axes {
		for _, p := range a.bodies {
			last = max(last, p.x1)
			if p.pos.Kind.Class() != catalog.ClassBearing || p.pos.Kind == "bush" {
				continue
			}
			front, rear = min(front, p.x0), max(rear, p.x1)
		}
	}
	return front, rear, last, rear-front > 30
}

// drawCases draws walls about the train for case parts, whose sizes the
// catalogue does not hold: derived, not measured.
func (t *train) drawCases() {
	front, rear, last, ok := t.planes()
	if !ok {
		return
	}
	top, bottom, _ := t.reach(front, rear)
	top, bottom = top-9, bottom+9
	main := true
	for _, p := range t.pieces {
		if p.axis != nil {
			continue
		}
		switch {
		case p.pos.Assembly == catalog.AssemblyDiff:
			t.drawDiff(p)
		case p.pos.Kind == "bell housing":
			p.bell(min(0, front-20), front, top, bottom)
		case p.pos.Kind == "case" && main:
			main = false
			p.walls(front, rear, top, bottom)
			t.webs(p, front, top, bottom)
			t.webs(p, rear, top, bottom)
		case p.pos.Kind == "extension housing":
			t.extension(p, rear, last)
		case p.pos.Kind == "front bearing retainer":
			t.retainer(p, front)
		}
	}
}

func (p *piece) band(xy ...float64) { p.extra = append(p.extra, poly(Hatched, true, xy...)) }

func (p *piece) walls(x0, x1, top, bottom float64) {
	p.band(x0, top, x1, top, x1, top-wall, x0, top-wall)
	p.band(x0, bottom, x1, bottom, x1, bottom+wall, x0, bottom+wall)
}

// webs carry the bearings of one plane: hatched between what stands there.
func (t *train) webs(p *piece, plane, top, bottom float64) {
	x0, x1 := plane, plane+12
	if b := t.bearingAt(plane); b != nil {
		x0, x1 = b.x0, b.x1
	}
	var taken [][2]float64
	for _, a := range t.axes {
		r := 0.0
		for _, b := range slices.Concat(a.cores, a.bodies) {
			if b.x1 > x0 && b.x0 < x1 {
				r = max(r, b.out)
			}
		}
		for _, w := range a.wheels {
			if w.x1 > x0 && w.x0 < x1 {
				r = max(r, w.tip()+2)
			}
		}
		if r > 0 {
			taken = append(taken, [2]float64{a.y - r, a.y + r})
		}
	}
	y := top
	for _, c := range append(taken, [2]float64{bottom, bottom}) {
		if end := min(c[0], bottom); end > y+0.5 {
			p.band(x0, y, x1, y, x1, end, x0, end)
		}
		y = max(y, c[1])
	}
}

// bearingAt is a bearing with a face in the plane.
func (t *train) bearingAt(plane float64) *piece {
	for _, a := range t.axes {
		for _, b := range a.bodies {
			if b.pos.Kind.Class() == catalog.ClassBearing && (b.x0 == plane || b.x1 == plane) {
				return b
			}
		}
	}
	return nil
}

// bell opens toward the engine.
func (p *piece) bell(x0, x1, top, bottom float64) {
	flare := min((x1-x0)*0.2, 20)
	p.band(x0, top-flare, x1-1, top, x1-1, top-wall, x0, top-flare-wall)
	p.band(x0, bottom+flare, x1-1, bottom, x1-1, bottom+wall, x0, bottom+flare+wall)
}

// extension encloses the gears behind the rear plane and ends in a plate, with
// a neck about the output when its seal stands further back.
func (t *train) extension(p *piece, rear, last float64) {
	first := t.axes[0]
	geared, end := rear, last
	for _, a := range t.axes {
		for _, w := range a.wheels {
			geared = max(geared, w.x1)
		}
		for _, b := range a.bodies {
			if a != first || b.pos.Kind.Class() == catalog.ClassSynchro {
				geared = max(geared, b.x1)
			}
		}
	}
	neck := false
	for _, b := range first.bodies {
		if b.pos.Kind == "oil seal" && b.x0 > rear {
			end, neck = b.x1, true
		}
		if b.pos.Kind == "nut" && b.x0 > rear && b.x0 < geared+10 {
			geared = max(geared, b.x1)
		}
	}
	x, plate := rear+1, max(geared, rear)+8
	if neck {
		plate = min(plate, end-4)
	}
	top, bottom, any := t.reach(rear, plate)
	if !any || plate <= x {
		return
	}
	top, bottom = top-8, bottom+8
	p.walls(x, plate, top, bottom)
	if !neck {
		p.band(plate, top-wall, plate+wall, top-wall, plate+wall, bottom+wall, plate, bottom+wall)
		return
	}
	r := 24 * t.centre / usualCentre
	for _, b := range first.bodies {
		if b.x1 > plate && b.x0 < end {
			r = max(r, b.out+0.5)
		}
	}
	up, down := first.y-r, first.y+r
	p.band(plate, top-wall, plate+wall, top-wall, plate+wall, up-wall, end, up-wall, end, up, plate, up)
	p.band(plate, bottom+wall, plate+wall, bottom+wall, plate+wall, down+wall, end, down+wall, end, down, plate, down)
}

// retainer is the quill about the input seal, bolted before the front bearing.
func (t *train) retainer(p *piece, front float64) {
	a := t.axes[0]
	var seal, bearing *piece
	for _, b := range a.bodies {
		if b.pos.Kind == "oil seal" && seal == nil {
			seal = b
		}
		if b.pos.Kind.Class() == catalog.ClassBearing && bearing == nil {
			bearing = b
		}
	}
	if seal == nil || bearing == nil || seal.x0 > bearing.x0 || bearing.x0 > front+30 {
		return
	}
	r, x := seal.out+0.5, bearing.x0-3.2
	p.axis = a
	for _, s := range []float64{-1, 1} {
		p.band(seal.x0-26, a.y+s*r, x, a.y+s*r, x, a.y+s*(bearing.out+10), x-5, a.y+s*(bearing.out+10),
			x-5, a.y+s*(r+4), seal.x0-26, a.y+s*(r+4))
	}
	p.axis = nil
}

// drawDiff draws the body that carries the ring gear between the side bearings
// and the bevel gears in it, for those parts of the differential that have no
// place of their own.
func (t *train) drawDiff(p *piece) {
	for _, a := range t.axes {
		var ring, l, r *piece
		for _, b := range a.bodies {
			switch {
			case b.pos.Kind == "final drive ring gear":
				ring = b
			case b.pos.Kind.Class() == catalog.ClassBearing && ring == nil:
				l = b
			case b.pos.Kind.Class() == catalog.ClassBearing && r == nil:
				r = b
			}
		}
		if ring == nil || l == nil || r == nil {
			continue
		}
		p.axis = a
		switch _, splined := t.attribute(p, "splines"); {
		case p.pos.Kind == "case":
			p.diffCase(l, ring, r)
		case p.pos.Kind == "differential pinion shaft":
			p.extra = append(p.extra, box(Outline, (l.x1+r.x0)/2-4, a.y-ring.in*0.8, (l.x1+r.x0)/2+4, a.y+ring.in*0.8))
		case p.pos.Kind == "gear" && splined:
			p.sideGears((l.x1+r.x0)/2, ring.in)
		case p.pos.Kind == "gear":
			p.bevels((l.x1+r.x0)/2, ring.in)
		}
		p.axis = nil
		return
	}
}

func (p *piece) diffCase(l, ring, r *piece) {
	y := p.axis.y
	for _, s := range []float64{-1, 1} {
		p.extra = append(p.extra, poly(Outline, true, l.x0, y+s*l.in*0.7, l.x0, y+s*l.in, l.x1, y+s*l.in,
			l.x1, y+s*(l.in+6), ring.x0, y+s*ring.in, r.x0-6, y+s*ring.in, r.x0, y+s*(r.in+6), r.x0, y+s*r.in,
			r.x1, y+s*r.in, r.x1, y+s*r.in*0.7, r.x0-6, y+s*r.in*0.7, r.x0-9, y+s*ring.in*0.84,
			l.x1+9, y+s*ring.in*0.84, l.x1+6, y+s*l.in*0.7))
	}
}

// bevels are the pinions on the cross shaft.
func (p *piece) bevels(x, r float64) {
	y := p.axis.y
	for _, s := range []float64{-1, 1} {
		p.extra = append(p.extra, poly(Outline, true, x-r*0.36, y+s*r*0.68, x+r*0.36, y+s*r*0.68,
			x+r*0.22, y+s*r*0.4, x-r*0.22, y+s*r*0.4))
	}
}

func (p *piece) sideGears(x, r float64) {
	y := p.axis.y
	for _, s := range []float64{-1, 1} {
		p.extra = append(p.extra, poly(Outline, true, x+s*r*0.42, y-r*0.62, x+s*r*0.24, y-r*0.34,
			x+s*r*0.24, y+r*0.34, x+s*r*0.42, y+r*0.62))
	}
}
