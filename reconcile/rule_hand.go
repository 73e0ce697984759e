package reconcile

import "layshaft/catalog"

// ruleHand reports threads and helices whose hands do not go together: mates on
// the hand, and meshing gears, which need opposite helices.
func ruleHand(w *work, r *Rule) {
	w.suppliedMisfits(r, func(x misfit) bool { return x.m.hand() })
	for _, c := range w.clashes() {
		if !c.m.hand() || c.a.untouched() && c.b.untouched() {
			continue
		}
		s, other := c.subject()
		x := misfit{c.m, other, w.want(c.m, s.index, w.valueAt(other, c.m.seat(other.index))), w.show(w.valueAt(s, c.m.seat(s.index)))}
		f := r.at(w, s)
		w.mismatch(f, s, s.now.part, []misfit{x})
		f.say("the "+s.name(), w.whatIs(s)+" with "+w.misfitWords(s, []misfit{x}))
		f.Remedy = w.instead(s, other)
		w.add(f)
	}
	fam, ok := w.ix.Family(w.job.Family)
	if !ok {
		return
	}
	for _, m := range fam.Meshes {
		if len(m.Idler) == 0 {
			w.helices(r, fam, m)
		}
	}
}

// helices compares the two gears of a mesh.
func (w *work) helices(r *Rule, fam *catalog.Family, m *catalog.Mesh) {
	a, va := w.helixOf(fam, m.Driving)
	b, vb := w.helixOf(fam, m.Driven)
	if a == nil || b == nil || a == b || !va.Stated() || !sameValue(va, vb) || a.untouched() && b.untouched() {
		return
	}
	if a.state != FittedNew && b.state == FittedNew {
		a, b = b, a
	}
	f := r.at(w, a)
	f.Attribute, f.Expected, f.Found = w.attribute(catalog.Seat{Name: catalog.KeyHelix}), "opposite to "+w.show(vb), w.show(va)
	if a.now.part != nil {
		f.Part = a.now.part.ID
	}
	f.say("the "+a.name(), w.whatIs(a)+" and "+w.whatIs(b)+", both with a "+w.show(va)+"-hand helix; meshing gears need opposite hands")
	f.Remedy = &Remedy{Text: "Change the " + a.name() + " or the " + b.name() + "."}
	w.add(f)
}

func (w *work) helixOf(fam *catalog.Family, wheel string) (*spot, catalog.Value) {
	for _, x := range fam.Wheels {
		if x.ID != wheel {
			continue
		}
		if i, ok := w.at[x.Position]; ok {
			s := &w.spots[i]
			return s, w.valueAt(s, catalog.Seat{Position: s.id, Name: catalog.KeyHelix, At: x.At})
		}
	}
	return nil, catalog.Value{}
}
