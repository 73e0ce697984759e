package drawing

import (
	"cmp"
	"math"
	"slices"
)

// drawCore draws a shaft as a stepped outline: the seat of what stands on it,
// and the wheels that are one piece with it.
func (t *train) drawCore(p *piece) {
	steps := t.profile(p)
	p.out = 0
	var xr []float64
	for _, s := range steps {
		xr = append(xr, s.x0, s.r, s.x1, s.r)
		p.out = max(p.out, s.r)
	}
	p.in = steps[0].r
	y := p.axis.y
	var xy []float64
	for i := 0; i < len(xr); i += 2 {
		xy = append(xy, xr[i], y-xr[i+1])
	}
	for i := len(xr) - 2; i >= 0; i -= 2 {
		xy = append(xy, xr[i], y+xr[i+1])
	}
	p.shapes = append(p.shapes, poly(Outline, true, xy...))
	for _, s := range steps[1:] { // shoulders
		p.shapes = append(p.shapes, line(Thin, s.x0, y-s.r, s.x0, y+s.r))
	}
	for _, w := range p.wheels {
		if w.placed {
			p.toothed(w, t.seatAt(p, (w.x0+w.x1)/2))
		}
	}
	t.drawSplines(p, steps)
	p.anchor = [2]float64{steps[0].x0 + min(12, (steps[0].x1-steps[0].x0)/2), steps[0].r * 0.5}
	if len(p.wheels) > 0 && p.wheels[0].placed {
		w := p.wheels[0]
		p.anchor = [2]float64{(w.x0 + w.x1) / 2, w.tip()}
	}
}

type step struct{ x0, x1, r float64 }

// profile cuts the shaft where the seats change; a gap between two stations
// keeps the larger of the two radii, so that there is a shoulder.
func (t *train) profile(p *piece) []step {
	own := p.stations()
	if len(own) == 0 {
		return t.noses(p, []step{{p.x0, p.x1, p.axis.seat}})
	}
	var out []step
	x := p.x0
	for i, b := range own {
		end := p.x1
		if i+1 < len(own) {
			next := own[i+1]
			end = b.x1
			if b.r > next.r {
				end = next.x0
			}
		}
		end = min(max(end, x), p.x1)
		if n := len(out); n > 0 && math.Abs(out[n-1].r-b.r) < 0.4 {
			out[n-1].x1 = end
		} else if end > x {
			out = append(out, step{x, end, b.r})
		}
		x = end
	}
	return t.noses(p, out)
}

// stations are what the shaft carries within its length, less what stands on a
// coaxial shaft, and its own wheels, below whose teeth it must stay.
func (p *piece) stations() []step {
	var out []step
	for _, b := range p.axis.bodies {
		if b.pos.Shaft == p.pos.Shaft && b.x1 > p.x0 && b.x0 < p.x1 && b.seat > 0 && b.pos.Kind != "oil seal" {
			out = append(out, step{b.x0, b.x1, b.seat})
		}
	}
	for _, w := range p.wheels {
		if w.placed {
			out = append(out, step{w.x0, w.x1, min(p.axis.seat, w.root()*0.82)})
		}
	}
	slices.SortStableFunc(out, func(a, b step) int { return cmp.Compare(a.x0, b.x0) })
	return out
}

// noses sets the thin ends of an input shaft, as far as its sizes are known.
func (t *train) noses(p *piece, steps []step) []step {
	if len(steps) == 0 {
		steps = []step{{p.x0, p.x1, p.axis.seat}}
	}
	first := steps[0]
	free := first.x1 - first.x0
	if b := p.stations(); len(b) > 0 {
		free = b[0].x0 - first.x0
	}
	if free < 30 {
		return steps
	}
	var lead []step
	x := first.x0
	if d, ok := t.length(p, "outside", "nose"); ok && p.pos.Kind == "input shaft" {
		end := x + min(14, free*0.15)
		lead = append(lead, step{x, end, min(d/2, first.r)})
		x = end
	}
	if d, ok := t.length(p, "outside", "clutch"); ok {
		end := x + free*0.4
		lead = append(lead, step{x, end, min(d/2, first.r*1.2)})
		x = end
	}
	steps[0].x0 = x
	return append(lead, steps...)
}

// seatAt is the shaft's radius at x.
func (t *train) seatAt(p *piece, x float64) float64 {
	for _, s := range t.profile(p) {
		if x >= s.x0 && x <= s.x1 {
			return s.r
		}
	}
	return p.axis.seat
}

// drawSplines marks clutch splines by their root line, thin, as in ISO 6413.
func (t *train) drawSplines(p *piece, steps []step) {
	if _, ok := t.length(p, "outside", "clutch"); !ok || len(steps) < 3 {
		return
	}
	s := steps[1]
	for _, side := range []float64{-1, 1} {
		y := p.axis.y + side*s.r*0.8
		p.shapes = append(p.shapes, line(Thin, s.x0, y, s.x1, y))
	}
}
