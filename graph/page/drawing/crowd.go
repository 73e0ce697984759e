package drawing

import "slices"

// dropCrowded takes away words on gears and names of shafts that would run into
// another word, into a frame, or out of the picture; labels still say them.
func (p *Picture) dropCrowded() {
	var taken []Rect
	for i := range p.Items {
		it := &p.Items[i]
		taken = append(taken, Rect{it.Frame.X - it.Radius, it.Frame.Y - it.Radius, 2 * it.Radius, 2 * it.Radius})
		if it.Panel < 0 {
			for _, t := range it.Texts {
				taken = append(taken, t.Box)
			}
		}
	}
	crowded := func(t Text) bool {
		out := t.Box.X < 0 || t.Box.Y < 0 || t.Box.X+t.Box.W > p.Width || t.Box.Y+t.Box.H > p.Height
		if out || slices.ContainsFunc(taken, t.Box.meets) {
			return true
		}
		taken = append(taken, t.Box)
		return false
	}
	p.Texts = slices.DeleteFunc(p.Texts, crowded)
	for i := range p.Items {
		if p.Items[i].Panel >= 0 {
			p.Items[i].Texts = slices.DeleteFunc(p.Items[i].Texts, crowded)
		}
	}
}

// meets reports that two rectangles share more than an edge.
func (r Rect) meets(o Rect) bool {
	return r.X < o.X+o.W && o.X < r.X+r.W && r.Y < o.Y+o.H && o.Y < r.Y+r.H
}
