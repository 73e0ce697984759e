package reconcile

import (
	"slices"

	"layshaft/catalog"
)

// ruleSizeUnknown reports neighbours of which it can't be said whether they go
// together, where the catalogue does not vouch for both.
func ruleSizeUnknown(w *work, r *Rule) {
	for i := range w.spots {
		if s := &w.spots[i]; s.doubt != "" && s.need == 0 && s.has != missing {
			f := r.at(w, s)
			f.say("the "+s.name(), "which "+s.name()+" is in the box is not known, since "+s.doubt)
			f.Remedy = &Remedy{Text: "Look at it and record what was found."}
			w.add(f)
		}
	}
	for k := range w.mates {
		w.unknownMate(r, &w.mates[k])
	}
}

// unknownMate reports the first pair of parts of which a mate can't be judged.
func (w *work) unknownMate(r *Rule, m *mate) {
	a, b := &w.spots[m.a], &w.spots[m.b]
	for _, x := range w.toCome(a) {
		for _, y := range w.toCome(b) {
			va, vb := w.value(x.part, x.sizes, m.rec.A), w.value(y.part, y.sizes, m.rec.B)
			if m.holds(va, vb) != unknown || w.vouched(a, x, m.rec.A) && w.vouched(b, y, m.rec.B) {
				continue
			}
			if va.Stated() && !vb.Stated() {
				a, b, x = b, a, y
			}
			seat := m.seat(a.index)
			f := r.at(w, a)
			f.Part, f.Attribute = x.part.ID, w.attribute(seat)
			f.say("the "+a.name(), "the "+w.attribute(seat)+" of "+label(x.part)+" is not known, and the "+b.name()+" depends on it")
			f.Remedy = &Remedy{Text: because("Measure or look up the "+w.attribute(seat)+" of "+label(x.part), w.howTo(seat)) + "."}
			w.add(f)
			return
		}
	}
}

// toCome is what is fitted: the parts supplied, and for what is still short the
// one that would be ordered first.
func (w *work) toCome(s *spot) []option {
	if w.certain(s) && !s.open {
		var out []option
		for _, c := range w.inUse(s) {
			out = append(out, option{c.part, s.sizesOn(c)})
		}
		return out
	}
	if s.now.part == nil {
		return nil
	}
	return []option{s.now}
}

// vouched: the catalogue states that the part fitted fits this variant, and its
// size was not changed here.
func (w *work) vouched(s *spot, x option, seat catalog.Seat) bool {
	if hasSize(x.sizes, seat) || s.treated && s.state == FittedReused && resizes(s.dec.Treatment) {
		return false
	}
	return slices.ContainsFunc(w.variants, func(v catalog.VariantID) bool {
		return slices.ContainsFunc(w.ix.Fits(v, s.id), func(f *catalog.Fitment) bool { return f.Part == x.part.ID })
	})
}

func (w *work) howTo(seat catalog.Seat) string {
	if def, ok := w.ix.AttributeDef(seat.Name); ok {
		return def.HowTo
	}
	return ""
}

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

// ruleNotBack reports parts at a treatment shop.
func ruleNotBack(w *work, r *Rule) {
	for i := range w.spots {
		s := &w.spots[i]
		if !s.back || s.cover >= s.need {
			continue
		}
		f := r.at(w, s)
		f.say("the "+s.name(), "the "+s.name()+" is not back: "+w.whenBack(s))
		f.Remedy = &Remedy{Text: "Ask the treatment shop for the date."}
		w.add(f)
	}
}

// ruleDisturbed reports seals, gaskets, rings and fasteners that were undone, are
// not scrap by policy, and go back without a word.
func ruleDisturbed(w *work, r *Rule) {
	for i := range w.spots {
		s := &w.spots[i]
		if w.node(s) != outNode(i) || s.oneTime() || s.treated || s.choice == Reuse && (s.dec.Measured != "" || s.dec.Why != "") {
			continue
		}
		sealing := false
		switch s.pos.Kind.Class() {
		case catalog.ClassElastomer, catalog.ClassGasket:
			sealing = true
		case catalog.ClassFastener, catalog.ClassRing:
		default:
			continue
		}
		if !slices.ContainsFunc(w.graph.in[outNode(i)], func(id int32) bool {
			cause := w.graph.edges[id].cause
			return cause == CauseDisturbed || sealing && cause == CauseFullStrip
		}) {
			continue
		}
		f := r.at(w, s)
		f.say("the "+s.name(), "undone, and nothing says that somebody looked at it; "+w.why(s))
		f.Remedy = &Remedy{Text: "Look at it: renew it, or record why it can go back.", Parts: w.fitting(s)}
		w.add(f)
	}
}

// ruleConditional reports decisions on places that this variant does not have.
func ruleConditional(w *work, r *Rule) {
	for i := range w.spots {
		s := &w.spots[i]
		if s.has != missing || s.choice == "" || s.choice == NotFitted || s.choice == Undecided {
			continue
		}
		f := r.at(w, s)
		f.Blocking = false
		f.say("the "+s.name(), "the job says "+choiceWords(s.choice)+" for the "+s.name()+", and this variant has no such position")
		f.Remedy = &Remedy{Text: "Look whether the variant is the right one; else take the decision back."}
		w.add(f)
	}
}

// ruleVariantOpen says that the variant is not known.
func ruleVariantOpen(w *work, r *Rule) {
	if w.job.Variant != "" || len(w.variants) < 2 {
		return
	}
	var names []string
	for _, v := range w.variants {
		if x, ok := w.ix.Variant(v); ok {
			names = append(names, quoted(x.Name))
		}
	}
	n := 0
	for i := range w.spots {
		if s := &w.spots[i]; w.certain(s) && len(s.cands) > 0 && !w.sameForAll(s) {
			n++
		}
	}
	f := r.general()
	f.Blocking = n > 0
	fact := "the variant is not known; it may be " + either(names)
	if n > 0 {
		fact += "; what is wanted at " + places(n) + " depends on it"
	}
	f.say("the job", fact)
	f.Remedy = &Remedy{Text: "Count teeth or look at what tells them apart, and enter the variant."}
	w.add(f)
}
