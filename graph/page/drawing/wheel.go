package drawing

import (
	"math"
	"slices"

	"layshaft/catalog"
)

// placeWheels finds where along its axis every wheel stands: where its own part
// stands, else opposite its mate.
func (t *train) placeWheels() {
	byID := map[catalog.PositionID]*piece{}
	for _, p := range t.pieces {
		byID[p.pos.ID] = p
	}
	for _, w := range t.family.Wheels {
		p := byID[w.Position]
		if p == nil || p.axis == nil || t.wheels[w.ID] != nil {
			continue
		}
		z, _ := t.ix.Teeth(t.variant, w.ID)
		wh := &wheel{id: w.ID, piece: p, axis: p.axis, z: min(max(z, 0), 500)}
		wh.hand = t.handOf(p, w.At)
		t.wheels[w.ID] = wh
		p.wheels = append(p.wheels, wh)
	}
	for _, w := range t.family.Wheels {
		if wh := t.wheels[w.ID]; wh != nil && len(wh.piece.wheels) == 1 && !wh.piece.isCore() && wh.piece.host == nil {
			wh.stand(t.toothed(wh.piece))
		}
	}
	for range 3 {
		for _, m := range t.family.Meshes {
			t.placeMesh(m)
		}
	}
	t.spreadRest()
	for _, w := range t.family.Wheels {
		if wh := t.wheels[w.ID]; wh != nil && wh.placed && !slices.Contains(wh.axis.wheels, wh) {
			wh.axis.wheels = append(wh.axis.wheels, wh)
		}
	}
}

func (t *train) handOf(p *piece, at string) int {
	hand := t.text(p, catalog.KeyHelix, at)
	if hand == "" {
		hand = t.text(p, catalog.KeyHelix, "")
	}
	switch hand {
	case "right":
		return 1
	case "left":
		return -1
	}
	return 0
}

func (p *piece) isCore() bool { return p.pos.Kind.Class() == catalog.ClassShaft && p.host == nil }

func (w *wheel) stand(x0, x1 float64) { w.x0, w.x1, w.placed = x0, x1, x1 > x0 }

// toothed is the range of a gear that carries teeth: the face width when it is
// known, away from the synchro ring, whose side carries the dog teeth.
func (t *train) toothed(p *piece) (x0, x1 float64) {
	face, ok := t.length(p, "face-width", "")
	if !ok || face >= p.x1-p.x0 || face < 1 {
		return p.x0, p.x1
	}
	left, right := p.ringBeside()
	switch spare := p.x1 - p.x0 - face; {
	case left && !right:
		return p.x1 - face, p.x1
	case right && !left:
		return p.x0, p.x0 + face
	default:
		return p.x0 + spare/2, p.x1 - spare/2
	}
}

// ringBeside reports a synchro ring at the left and right face.
func (p *piece) ringBeside() (left, right bool) {
	const touch = 1.0 // mm
	for _, b := range p.axis.bodies {
		if b.pos.Kind != "synchro ring" {
			continue
		}
		left = left || math.Abs(b.x1-p.x0) < touch
		right = right || math.Abs(b.x0-p.x1) < touch
	}
	return left, right
}

// chain lists the pairs of wheels that meet, in order of power flow.
func chain(m *catalog.Mesh) [][2]string {
	switch len(m.Idler) {
	case 0:
		return [][2]string{{m.Driving, m.Driven}}
	case 1:
		return [][2]string{{m.Driving, m.Idler[0]}, {m.Idler[0], m.Driven}}
	}
	return [][2]string{{m.Driving, m.Idler[0]}, {m.Idler[len(m.Idler)-1], m.Driven}}
}

func (t *train) placeMesh(m *catalog.Mesh) {
	pairs := chain(m)
	for _, pair := range slices.Backward(pairs) {
		a, b := t.wheels[pair[0]], t.wheels[pair[1]]
		if a == nil || b == nil || a == b {
			continue
		}
		t.opposite(a, b)
		t.opposite(b, a)
	}
}

// opposite stands w opposite its placed mate, inside the part that carries it;
// the other step of the same body takes the rest.
func (t *train) opposite(w, mate *wheel) {
	if w.placed || !mate.placed {
		return
	}
	x0, x1 := max(mate.x0, w.piece.x0), min(mate.x1, w.piece.x1)
	if x1-x0 < 1 {
		return
	}
	w.stand(x0, x1)
	if w.piece.isCore() || len(w.piece.wheels) != 2 {
		return
	}
	for _, o := range w.piece.wheels {
		if o == w || o.placed {
			continue
		}
		if x0-w.piece.x0 > w.piece.x1-x1 {
			o.stand(w.piece.x0, x0)
		} else {
			o.stand(x1, w.piece.x1)
		}
	}
}

// spreadRest gives wheels without a placed mate equal shares of their part.
func (t *train) spreadRest() {
	for _, p := range t.pieces {
		if p.host != nil || p.isCore() {
			continue
		}
		n := len(p.wheels)
		for i, w := range p.wheels {
			if !w.placed && !slices.ContainsFunc(p.wheels, func(o *wheel) bool { return o.placed }) {
				step := (p.x1 - p.x0) / float64(n)
				w.x0, w.x1 = p.x0+float64(i)*step, p.x0+float64(i+1)*step
			}
		}
		for _, w := range p.wheels {
			w.placed = w.placed || w.x1 > w.x0
		}
	}
}
