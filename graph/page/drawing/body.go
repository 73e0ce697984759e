package drawing

import (
	"math"

	"layshaft/catalog"
)

// shape helpers: all coordinates in mm, x along the axis, y from the first axis.

func poly(pen Pen, closed bool, xy ...float64) Shape {
	s := Shape{Pen: pen, Closed: closed, Points: make([]Point, 0, len(xy)/2)}
	for i := 0; i+1 < len(xy); i += 2 {
		s.Points = append(s.Points, Point{xy[i], xy[i+1]})
	}
	return s
}

func box(pen Pen, x0, y0, x1, y1 float64) Shape {
	return poly(pen, true, x0, y0, x1, y0, x1, y1, x0, y1)
}

func line(pen Pen, xy ...float64) Shape { return poly(pen, false, xy...) }

// halves draws one outline above and below the axis: radii with x, as a
// polygon x, r, x, r ...
func (p *piece) halves(pen Pen, closed bool, xr ...float64) {
	for _, side := range []float64{-1, 1} {
		xy := make([]float64, len(xr))
		for i, v := range xr {
			xy[i] = v
			if i%2 == 1 {
				xy[i] = p.axis.y + side*v
			}
		}
		p.shapes = append(p.shapes, poly(pen, closed, xy...))
	}
}

func (p *piece) ring(pen Pen, x0, x1, in, out float64) {
	p.halves(pen, true, x0, in, x1, in, x1, out, x0, out)
}

// cross is the free-standing cross of ISO 8826-1 in both halves.
func (p *piece) cross(x0, x1, in, out float64) {
	w, h := (x1-x0)*0.3, (out-in)*0.3
	x, r := (x0+x1)/2, (in+out)/2
	p.halves(Thin, false, x-w, r, x+w, r)
	p.halves(Thin, false, x, r-h, x, r+h)
}

// drawAll makes the shapes of every piece that stands on an axis.
func (t *train) drawAll() {
	for _, a := range t.axes {
		for _, p := range a.bodies {
			t.drawBody(p)
			p.anchor = [2]float64{p.middle(), p.out}
			t.drawNest(p)
		}
		for _, p := range a.cores {
			t.drawCore(p)
			t.drawNest(p)
		}
	}
	t.drawCases()
}

func (t *train) drawBody(p *piece) {
	switch k := p.pos.Kind; k {
	case "gear", "reverse idler", "final drive ring gear":
		t.drawGear(p)
	case "ball bearing", "cylindrical roller bearing", "taper roller bearing", "bearing", "needle bearing", "thrust bearing":
		p.ring(Outline, p.x0, p.x1, p.in, p.out)
		p.cross(p.x0, p.x1, p.in, p.out)
	case "bearing cone":
		p.drawTaper(p.front(), false)
	case "synchro sleeve":
		t.drawSleeve(p)
	case "synchro ring":
		p.drawRing()
	case "oil seal":
		p.ring(Outline, p.x0, p.x1, p.in, p.out)
		w, h := (p.x1-p.x0)*0.3, (p.out-p.in)*0.3
		x, r := (p.x0+p.x1)/2, (p.in+p.out)/2
		p.halves(Thin, false, x-w, r+h, x+w, r-h)
	case "nut":
		p.ring(Outline, p.x0, p.x1, p.in, p.out)
		mid := p.in + (p.out-p.in)*0.45
		p.halves(Thin, false, p.x0, mid, p.x1, mid)
	case "output flange":
		p.drawFlange()
	case "speedometer drive gear":
		p.ring(Outline, p.x0, p.x1, p.in, p.out)
		p.halves(Chain, false, p.x0-1, p.out-1.5, p.x1+1, p.out-1.5)
		p.helix(p.x0, p.x1, (p.in+p.out)/2, 1)
	default:
		t.drawPlain(p)
	}
}

func (t *train) drawPlain(p *piece) {
	thin := p.x1-p.x0 < 3
	switch p.pos.Kind.Class() {
	case catalog.ClassRing, catalog.ClassGasket:
		p.ring(Full, p.x0, p.x1, p.in, p.out)
		return
	case catalog.ClassShim:
		if thin {
			p.ring(Full, p.x0, p.x1, p.in, p.out)
			return
		}
	}
	p.ring(Outline, p.x0, p.x1, p.in, p.out)
	if p.pos.Kind == "bush" {
		p.halves(Thin, false, p.x0, (p.in+p.out)/2, p.x1, (p.in+p.out)/2)
	}
}

// drawGear: dog teeth beside the synchro ring, toothed body, pitch line and
// hand of the helix.
func (t *train) drawGear(p *piece) {
	if !p.hasWheel() {
		p.ring(Outline, p.x0, p.x1, p.in, p.out)
		return
	}
	for _, w := range p.wheels {
		if w.placed {
			p.toothed(w, p.in)
		}
	}
	if len(p.wheels) != 1 {
		return
	}
	w := p.wheels[0]
	dog := p.in + (w.root()-p.in)*0.6
	for _, b := range p.axis.bodies {
		if b.pos.Kind == "synchro ring" && (math.Abs(b.x1-p.x0) < 1 || math.Abs(b.x0-p.x1) < 1) {
			dog = min(max(b.out, p.in+1), w.tip()-1)
		}
	}
	if w.x0-p.x0 > 0.5 {
		p.ring(Outline, p.x0, w.x0, p.in, dog)
	}
	if p.x1-w.x1 > 0.5 {
		p.ring(Outline, w.x1, p.x1, p.in, dog)
	}
}

// toothed draws one wheel as in ISO 2203: tip thick, pitch chain-dotted, root
// thin, with chamfered tips.
func (p *piece) toothed(w *wheel, in float64) {
	c := min(w.module*0.5, (w.x1-w.x0)*0.1)
	tip, root := w.tip(), max(w.root(), in)
	p.halves(Outline, true, w.x0, in, w.x1, in, w.x1, tip-c, w.x1-c, tip, w.x0+c, tip, w.x0, tip-c)
	p.halves(Chain, false, w.x0-1.5, w.r, w.x1+1.5, w.r)
	if root > in+1 {
		p.halves(Thin, false, w.x0, root, w.x1, root)
	}
	if w.hand != 0 && root-in > 5 {
		p.helixAt(w.x0, w.x1, (in+root)/2, w.hand, w.helixSide())
	}
}

// helixSide keeps the lines of the hand away from the tooth count, which stands
// in the upper half on the first axis and in the lower one on the others.
func (w *wheel) helixSide() float64 {
	if w.axis.first {
		return 1
	}
	return -1
}

func (p *piece) helix(x0, x1, r float64, hand int) { p.helixAt(x0, x1, r, hand, 1) }

// helixAt draws three thin lines; a right-hand helix falls to the right when
// the axis lies.
func (p *piece) helixAt(x0, x1, r float64, hand int, side float64) {
	const slope = 0.42
	w := min((x1-x0)*0.28, 6)
	x, y := (x0+x1)/2, p.axis.y+side*r
	for _, d := range []float64{-2, 0, 2} {
		p.shapes = append(p.shapes, line(Thin, x-w, y+d-float64(hand)*slope*w, x+w, y+d+float64(hand)*slope*w))
	}
}

// drawSleeve: a sliding sleeve with its fork groove, or with reverse teeth.
func (t *train) drawSleeve(p *piece) {
	if p.hasWheel() {
		for _, w := range p.wheels {
			if w.placed {
				trim := (w.x1 - w.x0) * 0.12
				w.x0, w.x1 = w.x0+trim, w.x1-trim
				p.toothed(w, p.in)
			}
		}
		return
	}
	groove, ok := t.length(p, "groove-width", "fork")
	w := p.x1 - p.x0
	if !ok || groove > w*0.6 {
		groove = w * 0.3
	}
	x, deep := (p.x0+p.x1)/2, p.out-(p.out-p.in)*0.5
	p.halves(Outline, true, p.x0, p.in, p.x1, p.in, p.x1, p.out, x+groove/2, p.out, x+groove/2, deep,
		x-groove/2, deep, x-groove/2, p.out, p.x0, p.out)
}

// drawRing: the cone of a synchro ring is wider toward its gear, away from the
// sleeve.
func (p *piece) drawRing() {
	slant := (p.out - p.in) * 0.4
	left, right := p.in+slant, p.in
	if p.sleeveAtLeft() {
		left, right = right, left
	}
	p.halves(Outline, true, p.x0, left, p.x0, p.out, p.x1, p.out, p.x1, right)
}

func (p *piece) sleeveAtLeft() bool {
	for _, b := range p.axis.bodies {
		if b.pos.Kind == "synchro sleeve" && math.Abs(b.x1-p.x0) < 1 {
			return true
		}
	}
	return false
}

// front reports whether the bearing stands in the left half of its axis.
func (p *piece) front() bool {
	b := p.axis.bodies
	return p.x0+p.x1 < b[0].x0+b[len(b)-1].x1
}

// drawTaper draws cone or cup of a taper roller bearing; rollers rise inward.
func (p *piece) drawTaper(front, cup bool) {
	h := p.out - p.in
	lo, hi := p.in+h*0.32, p.in+h*0.5
	if !front {
		lo, hi = hi, lo
	}
	if cup {
		p.halves(Outline, true, p.x0, p.out, p.x1, p.out, p.x1, hi+h*0.26, p.x0, lo+h*0.26)
		return
	}
	p.halves(Outline, true, p.x0, p.in, p.x1, p.in, p.x1, hi, p.x0, lo)
	w := p.x1 - p.x0
	p.halves(Outline, true, p.x0+w*0.15, lo+h*0.03+(hi-lo)*0.15, p.x1-w*0.15, hi+h*0.03-(hi-lo)*0.15,
		p.x1-w*0.15, hi+h*0.23-(hi-lo)*0.15, p.x0+w*0.15, lo+h*0.23+(hi-lo)*0.15)
}

// middle is where a leader meets the body: a flange is widest at its plate.
func (p *piece) middle() float64 {
	if p.pos.Kind == "output flange" {
		return p.x1 - min(4, (p.x1-p.x0)*0.1)
	}
	return (p.x0 + p.x1) / 2
}

func (p *piece) drawFlange() {
	w := p.x1 - p.x0
	hub := p.in + (p.out-p.in)*0.3
	plate := min(w*0.3, 9)
	if w > 45 { // a slip yoke: a tube with a fork
		p.halves(Outline, true, p.x0, p.in, p.x1-w*0.4, p.in, p.x1-w*0.4, hub, p.x1, p.out*0.75, p.x1, p.out,
			p.x1-w*0.18, p.out, p.x1-w*0.45, hub+2, p.x0, hub)
		p.halves(Thin, false, p.x1-w*0.1, p.out*0.8, p.x1-w*0.1, p.out)
		return
	}
	p.halves(Outline, true, p.x0, p.in, p.x1, p.in, p.x1, p.out, p.x1-plate, p.out, p.x1-plate, hub, p.x0, hub)
	r := (hub + p.out) / 2
	p.halves(Chain, false, p.x1-plate-2, r, p.x1+2, r)
}
