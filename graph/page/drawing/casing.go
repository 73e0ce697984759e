package drawing

import (
	"math"

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
	for _, p := range t.pieces {
		if p.axis != nil {
			continue
		}
		switch p.pos.Kind {
		case "bell housing":
			p.bell(min(0, front-20), front, top, bottom)
		case "case":
			if p.pos.Assembly == catalog.AssemblyDiff {
				t.diffCase(p)
				continue
			}
			p.walls(front, rear, top, bottom)
		case "extension housing":
			t.extension(p, rear, last, top, bottom)
		case "front bearing retainer":
			t.retainer(p, front)
		}
	}
}

func (p *piece) band(xy ...float64) { p.extra = append(p.extra, poly(Hatched, true, xy...)) }

func (p *piece) walls(x0, x1, top, bottom float64) {
	p.band(x0, top, x1, top, x1, top-wall, x0, top-wall)
	p.band(x0, bottom, x1, bottom, x1, bottom+wall, x0, bottom+wall)
}

// bell opens toward the engine.
func (p *piece) bell(x0, x1, top, bottom float64) {
	flare := min((x1-x0)*0.25, 24)
	p.band(x0, top-flare, x1-1, top, x1-1, top-wall, x0, top-flare-wall)
	p.band(x0, bottom+flare, x1-1, bottom, x1-1, bottom+wall, x0, bottom+flare+wall)
}

// extension follows the gears behind the rear plane, then narrows to the end.
func (t *train) extension(p *piece, rear, last, top, bottom float64) {
	geared := rear
	for _, a := range t.axes {
		for _, w := range a.wheels {
			geared = max(geared, w.x1)
		}
		if a != t.axes[0] {
			for _, b := range a.bodies {
				geared = max(geared, b.x1)
			}
		}
	}
	x := rear + 1
	geared = max(geared+6, x)
	if geared > rear+8 {
		t0, b0, _ := t.reach(rear, geared)
		t0, b0 = max(min(t0-8, top+30), top), min(max(b0+8, bottom-30), bottom)
		p.band(x, t0, geared, t0, geared, t0-wall, x, t0-wall)
		p.band(x, b0, geared, b0, geared, b0+wall, x, b0+wall)
		top, bottom = t0, b0
	}
	end := last
	for _, b := range t.axes[0].bodies {
		if b.pos.Kind == "oil seal" && b.x0 > rear {
			end = b.x1
		}
	}
	y := t.axes[0].y
	r := 30 * t.centre / usualCentre
	if end < geared+20 {
		p.band(geared, top-wall, geared+wall, top-wall, geared+wall, bottom+wall, geared, bottom+wall)
		return
	}
	shoulder := min(geared+25, end)
	p.band(geared, top, shoulder, y-r, end, y-r, end, y-r-wall, shoulder, y-r-wall, geared, top-wall)
	p.band(geared, bottom, shoulder, y+r, end, y+r, end, y+r+wall, shoulder, y+r+wall, geared, bottom+wall)
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

// diffCase is the body that carries the ring gear between the side bearings.
func (t *train) diffCase(p *piece) {
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
		for _, s := range []float64{-1, 1} {
			p.extra = append(p.extra, poly(Outline, true, l.x0, a.y+s*l.in*0.7, l.x0, a.y+s*l.in, l.x1, a.y+s*l.in,
				l.x1, a.y+s*(l.in+6), ring.x0, a.y+s*ring.in, r.x0-6, a.y+s*ring.in, r.x0, a.y+s*(r.in+6), r.x0, a.y+s*r.in,
				r.x1, a.y+s*r.in, r.x1, a.y+s*r.in*0.7))
		}
		return
	}
}
