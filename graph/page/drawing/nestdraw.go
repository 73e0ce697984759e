package drawing

import "layshaft/catalog"

// drawNest draws what is inside or upon a body, layer by layer from the shaft.
func (t *train) drawNest(h *piece) {
	layer, layers := 0, h.layers()
	for i, p := range h.nest {
		p.seat = h.seat
		// Anchors keep off each other and off the host's own in the middle.
		at := []float64{0.22, 0.78, 0.1, 0.9, 0.36, 0.64}[i%6]
		switch {
		case h.isCore():
			t.nestInShaft(h, p, i)
		case h.pos.Kind == "synchro sleeve":
			p.nestInSleeve(h)
		case layerOf(p) < 2 && layers > 0:
			step := (h.in - h.seat) / float64(layers)
			p.x0, p.x1 = h.x0+0.6, h.x1-0.6
			p.in = h.seat + float64(layer)*step
			p.out = p.in + step
			layer++
			t.drawInner(p)
		default:
			t.nestOther(h, p, i)
		}
		p.anchor = [2]float64{p.x0 + (p.x1-p.x0)*at, (p.in + p.out) / 2}
	}
}

// drawInner draws a needle cage, inner sleeve or bush of a gear.
func (t *train) drawInner(p *piece) {
	p.ring(Outline, p.x0, p.x1, p.in, p.out)
	if p.pos.Kind == "needle bearing" {
		p.cross(p.x0, p.x1, p.in, p.out)
	}
}

// nestInSleeve: hub between shaft and sleeve, keys in its rim, springs beside
// its web.
func (p *piece) nestInSleeve(h *piece) {
	s, top := h.seat, h.in
	w := h.x1 - h.x0
	p.x0, p.x1 = h.x0, h.x1
	switch p.pos.Kind {
	case "synchro hub":
		p.in, p.out = s, top
		a, b := s+(top-s)*0.25, s+(top-s)*0.72
		p.halves(Outline, true, p.x0, s, p.x1, s, p.x1, a, p.x1-w*0.3, a, p.x1-w*0.3, b, p.x1, b, p.x1, top,
			p.x0, top, p.x0, b, p.x0+w*0.3, b, p.x0+w*0.3, a, p.x0, a)
	case "synchro key":
		p.x0, p.x1 = h.x0+w*0.22, h.x1-w*0.22
		p.in, p.out = s+(top-s)*0.77, s+(top-s)*0.96
		p.ring(Full, p.x0, p.x1, p.in, p.out)
	case "synchro key spring":
		p.in, p.out = s+(top-s)*0.55, s+(top-s)*0.68
		r := (p.out - p.in) / 2
		for _, x := range []float64{h.x0 + w*0.15, h.x1 - w*0.15} {
			for _, side := range []float64{-1, 1} {
				p.shapes = append(p.shapes, ring(Outline, x, p.axis.y+side*(p.in+p.out)/2, r))
			}
		}
		p.x0, p.x1 = h.x0+w*0.15-r, h.x1-w*0.15+r
	default:
		p.in, p.out = s*0.85, s+(top-s)*0.2
		p.x0 = h.x1 - min(2, w/6)
		p.ring(Full, p.x0, p.x1, p.in, p.out)
	}
}

// nestInShaft: the pilot bearing in the rear bore of an input shaft, about the
// nose of the next one.
func (t *train) nestInShaft(h, p *piece, i int) {
	end := h.x1
	deep := min(24, (h.x1-h.x0)*0.3)
	bore := h.axis.seat * 0.7
	if d, ok := t.length(h, catalog.KeyBore, "pilot"); ok {
		bore = d / 2
	}
	bore = min(bore, t.seatAt(h, end-1)*0.9)
	switch p.pos.Kind {
	case "pilot bearing", "loose roller", "needle bearing", "bush":
		p.x0, p.x1, p.in, p.out = end-deep*0.75, end-1, bore*0.68, bore
		p.ring(Outline, p.x0, p.x1, p.in, p.out)
		p.cross(p.x0, p.x1, p.in, p.out)
		p.shapes = append(p.shapes,
			line(Hidden, end, h.axis.y-p.in, end-deep, h.axis.y-p.in, end-deep, h.axis.y+p.in, end, h.axis.y+p.in))
	default:
		x := end - deep*0.75 - 2 - 3*float64(i/2)
		p.x0, p.x1, p.in, p.out = x-1.6, x, bore*0.5, bore
		p.ring(Full, p.x0, p.x1, p.in, p.out)
	}
}

// nestOther: a cup about its cone, a locating ring in a bearing's groove, a
// second cone below a synchro ring, a ball in a washer.
func (t *train) nestOther(h, p *piece, i int) {
	w, high := h.x1-h.x0, h.out-h.in
	switch {
	case p.pos.Kind == "bearing cup":
		p.x0, p.x1, p.in, p.out = h.x0, h.x1, h.in, h.out
		p.drawTaper(h.front(), true)
		p.in = h.out - high*0.2
	case p.pos.Kind == "multi-cone ring set":
		p.x0, p.x1 = h.x0, h.x1
		p.in, p.out = h.seat+(h.in-h.seat)*0.72, h.seat+(h.in-h.seat)*0.95
		mid := (p.in + p.out) / 2
		p.ring(Outline, p.x0, p.x1, p.in, mid)
		p.ring(Outline, p.x0, p.x1, mid, p.out)
	case p.pos.Kind == "snap ring" && h.pos.Kind.Class() == catalog.ClassBearing:
		x := h.x0 + w*0.14
		p.x0, p.x1, p.in, p.out = x, x+min(1.9, w*0.2), h.out-high*0.08, h.out+min(3.5, high*0.3)
		p.ring(Full, p.x0, p.x1, p.in, p.out)
	case p.pos.Kind == "dowel" || p.pos.Kind == "detent ball":
		r := min(w*0.4, 2)
		p.x0, p.x1, p.in, p.out = h.x0+w/2-r, h.x0+w/2+r, h.seat, h.seat+2*r
		for _, side := range []float64{-1, 1} {
			p.shapes = append(p.shapes, ring(Outline, h.x0+w/2, h.axis.y+side*(h.seat+r), r))
		}
	default:
		part := w / 6
		x := h.x0 + part*float64(i%5)
		p.x0, p.x1, p.in, p.out = x, x+part, h.in, h.in+high*0.35
		p.ring(Outline, p.x0, p.x1, p.in, p.out)
	}
}
