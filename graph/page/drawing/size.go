package drawing

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"layshaft/catalog"
)

// size gives every wheel and body its radii: wheels first, from tooth counts
// and the distance of the axes; the rest from its part's sizes, kept clear of
// the other axes.
func (t *train) size() {
	t.sizeWheels()
	for _, a := range t.axes {
		for _, p := range a.bodies {
			p.out, p.in = t.bodyRadii(p)
		}
	}
	t.keepClear()
	for _, a := range t.axes {
		t.seats(a)
		for _, p := range a.bodies {
			t.fitRadii(p)
		}
	}
}

// sizeWheels shares the distance of the axes in the ratio of teeth, so that
// the wheels of a mesh touch at the pitch point. Wheels about an idler, which
// is drawn unrolled, have their reference radius.
func (t *train) sizeWheels() {
	for _, m := range t.family.Meshes {
		if len(m.Idler) == 0 {
			t.sizeMesh(m)
		}
	}
	for _, m := range t.family.Meshes {
		if len(m.Idler) > 0 {
			t.sizeIdler(m)
		}
	}
	for _, w := range t.wheels {
		if w.r == 0 {
			w.module = usualModule
			w.r = bound(usualModule*float64(w.z)/2, t.centre)
		}
	}
}

func (t *train) sizeMesh(m *catalog.Mesh) {
	a, b := t.wheels[m.Driving], t.wheels[m.Driven]
	if a == nil || b == nil || a == b || !a.placed || !b.placed || a.axis == b.axis {
		return
	}
	d := math.Abs(a.axis.y - b.axis.y)
	switch {
	case a.r > 0 && b.r > 0:
		return
	case a.r > 0:
		b.r = d - a.r
	case b.r > 0:
		a.r = d - b.r
	default:
		za, zb := float64(a.z), float64(b.z)
		if za <= 0 || zb <= 0 {
			za, zb = 1, 1
		}
		share := min(max(za/(za+zb), 0.06), 0.94)
		a.r, b.r = d*share, d*(1-share)
	}
	if a.r <= 0 || b.r <= 0 {
		a.r, b.r = max(a.r, 0), max(b.r, 0)
		return
	}
	for _, w := range []*wheel{a, b} {
		w.module = m.NormalModule.Millimetres()
		if w.module <= 0 || w.module > w.r/3 {
			w.module = min(usualModule, w.r/5)
		}
	}
	t.touches = append(t.touches, Touch{Mesh: m.ID, Driving: a.id, Driven: b.id, DrivingR: a.r, DrivenR: b.r,
		Distance: d, From: max(a.x0, b.x0), To: min(a.x1, b.x1), DrivingZ: a.z, DrivenZ: b.z,
		DrivingAt: a.axis.y, DrivenAt: b.axis.y})
}

func (t *train) sizeIdler(m *catalog.Mesh) {
	module := m.NormalModule.Millimetres()
	if module <= 0 || module > 20 {
		module = usualModule
	}
	for _, id := range slices.Concat([]string{m.Driving, m.Driven}, m.Idler) {
		if w := t.wheels[id]; w != nil && w.r == 0 {
			w.module = module
			w.r = bound(module*float64(w.z)/2, t.centre)
		}
	}
	a, b := t.wheels[m.Driving], t.wheels[m.Driven]
	if a == nil || b == nil || a.axis == b.axis {
		return
	}
	// They do not meet: the idler stands between them.
	room := math.Abs(a.axis.y-b.axis.y) - 1.5
	if sum := a.tip() + b.tip(); sum > room && room > 4 {
		for _, w := range []*wheel{a, b} {
			w.r *= room / sum
			w.module *= room / sum
		}
	}
}

// bound keeps a radius that only a count and a module speak for within what a
// drawing can show.
func bound(r, centre float64) float64 {
	if r <= 0 {
		return centre / 4
	}
	return min(max(r, 4), 2*centre)
}

// tip and root radius; addendum 1 and dedendum 1.25 modules (ISO 53).
func (w *wheel) tip() float64  { return w.r + w.module }
func (w *wheel) root() float64 { return max(w.r-1.25*w.module, w.r*0.5) }

// bodyRadii reads or estimates outer and inner radius of a body; inner 0 when
// not known.
func (t *train) bodyRadii(p *piece) (out, in float64) {
	u := t.centre / usualCentre // sizes of the usual box, scaled
	outside, okOut := t.length(p, catalog.KeyOutside, "")
	bore, _ := t.length(p, catalog.KeyBore, "")
	in = bore / 2
	for _, w := range p.wheels {
		if w.placed {
			out = max(out, w.tip())
		}
	}
	if out > 0 {
		return out, in
	}
	if okOut {
		return outside / 2, in
	}
	cone, okCone := t.length(p, "cone-diameter", "")
	if !okCone {
		cone = t.coneNear(p)
	}
	switch p.pos.Kind {
	case "synchro ring":
		return cone/2 + 5*u, 0
	case "synchro sleeve":
		return cone/2 + 13*u, 0
	case "bearing cone":
		return t.cupOutside(p, bore, u), in
	case "nut":
		d := threadOf(t.text(p, catalog.KeyThread, ""), 24*u)
		return d * 0.8, d / 2
	}
	if o, ok := usualOut[p.pos.Kind]; ok {
		return o * u, in
	}
	return 24 * u, in
}

// usualOut is the outer radius in mm, in a box of 76 mm centre distance, of
// kinds whose size is not known: a drawing estimate, nothing to measure by.
var usualOut = map[catalog.PartKind]float64{
	"gear": 34, "final drive ring gear": 90, "reverse idler": 30, "speedometer drive gear": 20,
	"ball bearing": 36, "cylindrical roller bearing": 31, "taper roller bearing": 33, "bearing": 33,
	"oil seal": 26, "snap ring": 19, "shim": 32, "thrust washer": 27, "washer": 24, "oil slinger": 28,
	"spacer": 21, "bush": 22, "output flange": 40,
}

// coneNear takes the cone of the nearest synchro ring on the axis.
func (t *train) coneNear(p *piece) float64 {
	cone, best := 0.85*t.centre, math.Inf(1)
	for _, b := range p.axis.bodies {
		if b.pos.Kind != "synchro ring" {
			continue
		}
		gap := max(b.x0-p.x1, p.x0-b.x1)
		if c, ok := t.length(b, "cone-diameter", ""); ok && gap < best && gap < 40 {
			cone, best = c, gap
		}
	}
	return cone
}

func (t *train) cupOutside(p *piece, bore, u float64) float64 {
	for _, n := range p.nest {
		if o, ok := t.length(n, catalog.KeyOutside, ""); ok {
			return o / 2
		}
	}
	if bore > 0 {
		return bore/2 + 15*u
	}
	return 31 * u
}

// threadOf reads the nominal diameter of "M24x1.5".
func threadOf(s string, fallback float64) float64 {
	digits := strings.TrimLeft(s, "Mm ")
	if i := strings.IndexFunc(digits, func(r rune) bool { return (r < '0' || r > '9') && r != '.' }); i >= 0 {
		digits = digits[:i]
	}
	if d, err := strconv.ParseFloat(digits, 64); err == nil && d >= 4 && d <= 120 {
		return d
	}
	return fallback
}

// keepClear makes bodies that are no wheels smaller where they would run into
// what stands on another axis.
func (t *train) keepClear() {
	const gap = 1.0
	for i, a := range t.axes {
		for j, b := range t.axes {
			if i == j {
				continue
			}
			d := math.Abs(a.y - b.y)
			for _, p := range a.bodies {
				if p.hasWheel() {
					continue
				}
				for _, q := range b.bodies {
					if min(p.x1, q.x1)-max(p.x0, q.x0) <= 0 {
						continue
					}
					limit := d - q.out - gap
					if !q.hasWheel() && p.out+q.out > d {
						limit = max(limit, d/2)
					}
					p.out = min(p.out, max(limit, 3))
				}
				for _, w := range b.wheels {
					if min(p.x1, w.x1)-max(p.x0, w.x0) > 0 {
						p.out = min(p.out, max(d-w.tip()-gap, 3))
					}
				}
			}
		}
	}
}

func (p *piece) hasWheel() bool {
	return slices.ContainsFunc(p.wheels, func(w *wheel) bool { return w.placed })
}
