package reconcile

import "layshaft/catalog"

// ruleWeakStanding reports fits at critical positions that only dimensions or a
// doubted entry speak for.
func ruleWeakStanding(w *work, r *Rule) {
	for i := range w.spots {
		s := &w.spots[i]
		if !s.pos.Critical || !w.certain(s) || s.open {
			continue
		}
		for _, c := range w.inUse(s) {
			w.weak(r, s, c)
		}
	}
}

func (w *work) weak(r *Rule, s *spot, c *cand) {
	standing, why := w.standing(s, c)
	if standing.Rank() >= catalog.Stated.Rank() {
		return
	}
	f := r.at(w, s)
	f.Part = c.part.ID
	for _, id := range s.uses {
		if u := &w.uses[id]; &s.cands[u.cand] == c {
			f.Place = w.lines[w.units[u.unit].line].Place
			break
		}
	}
	f.say("the "+s.name(), "that "+label(c.part)+" fits the "+s.name()+" "+why+", and a wrong part there can lock the gearbox")
	f.Remedy = &Remedy{Text: "Compare it with the old part on the bench and confirm the fit in the catalogue."}
	w.add(f)
}

// standing of the statement that a candidate fits, and in words.
func (w *work) standing(s *spot, c *cand) (catalog.Standing, string) {
	switch c.tier {
	case bySize:
		return catalog.Derived, "is concluded from equal sizes alone"
	case foreign:
		return catalog.Derived, "is concluded from sizes: the catalogue lists it for another variant"
	case chosen:
		best := catalog.Doubted
		for _, f := range w.ix.FitsOf(c.part.ID) {
			if f.Position == s.id && f.Standing.Rank() > best.Rank() {
				best = f.Standing
			}
		}
		for _, k := range w.rules {
			if k.to == s.index && k.part == c.part {
				best = catalog.Stated
			}
		}
		if best == catalog.Doubted && len(c.path) == 0 {
			return best, "rests on the decision alone"
		}
		return best, "is only derived or doubted in the catalogue"
	}
	if c.standing == catalog.Derived {
		return c.standing, "is derived from dimensions"
	}
	return c.standing, "is doubted in the catalogue"
}
