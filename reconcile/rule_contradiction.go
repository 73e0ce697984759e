package reconcile

import (
	"slices"

	"layshaft/catalog"
)

// ruleContradiction reports entries that can't all be true. It names them and
// chooses none.
func ruleContradiction(w *work, r *Rule) {
	w.unknownNames(r)
	for _, d := range w.strays {
		f := r.general()
		f.Position = d.Position
		f.say("the job", "a decision names the position "+quoted(string(d.Position))+", which this gearbox does not have")
		f.Remedy = &Remedy{Text: "Remove the decision or name another position."}
		w.add(f)
	}
	for i := range w.spots {
		s := &w.spots[i]
		if s.stuck {
			w.stuckFinding(r, s)
		}
		if s.need > 0 && !s.back {
			w.successionTroubles(r, s)
		}
	}
	for _, c := range w.clashes() {
		if c.a.untouched() && c.b.untouched() {
			f := r.at(w, c.a)
			f.Blocking = false
			f.Attribute = w.attribute(c.m.rec.A)
			f.Expected = w.want(c.m, c.a.index, w.valueAt(c.b, c.m.rec.B))
			f.Found = w.show(w.valueAt(c.a, c.m.rec.A))
			f.say("the catalogue", "the standard parts of this variant at the "+c.a.name()+" and the "+c.b.name()+
				" break their own rule ("+lowerFirst(c.m.rec.Reason)+"): "+f.Attribute+" "+f.Found+", wanted "+f.Expected)
			f.Remedy = &Remedy{Text: "Correct the rule, the sizes or the fitment in the catalogue."}
			w.add(f)
		}
	}
	w.flawedSets(r)
}

// flawedSets reports sets that contain themselves and parts that are not in the
// catalogue, each once a line.
func (w *work) flawedSets(r *Rule) {
	for i, x := range w.flaws {
		if x.code == "empty" || slices.Contains(w.flaws[:i], x) {
			continue
		}
		f := r.general()
		f.Part, f.Place = x.id, w.lines[x.line].Place
		if x.code == "sealed" {
			f.say("", w.lineName(x.line)+" gives "+w.labelOf(x.id)+", which contains itself; its contents are not counted")
			f.Remedy = &Remedy{Text: "Correct the contents of the set in the catalogue."}
		} else {
			f.say("", w.lineName(x.line)+" gives the part "+quoted(string(x.id))+", which the catalogue does not have; it is not counted")
			f.Remedy = &Remedy{Text: "Enter the part in the catalogue, or correct the contents of the set."}
		}
		w.add(f)
	}
}

func (w *work) unknownNames(r *Rule) {
	missingPart := func(s *spot, id catalog.PartID) {
		if _, ok := w.ix.Part(id); id != "" && !ok {
			f := r.at(w, s)
			f.Part = id
			f.say("the "+s.name(), "the decision on the "+s.name()+" names the part "+quoted(string(id))+", which the catalogue does not have")
			f.Remedy = &Remedy{Text: "Name another part, or enter this one in the catalogue."}
			w.add(f)
		}
	}
	for i := range w.spots {
		if s := &w.spots[i]; s.dec != nil {
			missingPart(s, s.dec.Part)
			missingPart(s, s.dec.Found)
		}
	}
	for _, v := range w.variants {
		known, ok := w.ix.Variant(v)
		if ok && known.Family == w.job.Family {
			continue
		}
		f := r.general()
		f.Blocking = true
		f.say("the job", "the job names the variant "+quoted(string(v))+", which this gearbox does not have")
		f.Remedy = &Remedy{Text: "Choose a variant of the family."}
		w.add(f)
	}
}

// stuckFinding names the neighbours that rule every part out.
func (w *work) stuckFinding(r *Rule, s *spot) {
	f := r.at(w, s)
	var names []string
	for _, id := range s.mates {
		m := &w.mates[id]
		o := &w.spots[m.other(s.index)]
		if v := w.valueAt(o, m.seat(o.index)); v.Stated() {
			text := w.attribute(m.seat(s.index)) + " " + w.want(m, s.index, v) + " because " + w.whatIs(o)
			if !slices.Contains(names, text) {
				names = append(names, text)
			}
		}
	}
	f.say("the "+s.name(), "no part of the catalogue goes together with everything around the "+s.name()+"; wanted is "+list(names))
	f.Remedy = &Remedy{Text: "Change one of the decisions around it, or enter a part that fits."}
	w.add(f)
}

// successionTroubles reports loops and conflicting successors of parts in demand.
func (w *work) successionTroubles(r *Rule, s *spot) {
	seen := map[*catalog.Part]bool{}
	for i := range s.cands {
		for _, t := range w.succession(s.cands[i].part).troubles {
			if t.code == "serial" || seen[t.old] {
				continue
			}
			seen[t.old] = true
			f := r.at(w, s)
			f.Blocking = f.Blocking && s.cover < s.need
			f.Part = t.old.ID
			if t.code == "loop" {
				f.say("the "+s.name(), "the successors of "+label(t.old)+" lead back to it; they are not followed")
			} else {
				names := make([]string, len(t.edges))
				for k, e := range t.edges {
					names[k] = because(w.labelOf(e.New), e.Source)
				}
				f.say("the "+s.name(), "the sources name different successors of "+label(t.old)+": "+list(names)+"; none is taken")
			}
			f.Remedy = &Remedy{Text: "Settle the successor in the catalogue."}
			w.add(f)
		}
	}
}

// wouldFit lists parts of the family for this place that break no mate beside
// what is fitted around it.
func (w *work) wouldFit(s *spot) []catalog.PartID {
	var out []catalog.PartID
	for _, v := range w.ix.VariantsOf(w.job.Family) {
		for _, t := range w.ix.Fits(v.ID, s.id) {
			p, ok := w.ix.Part(t.Part)
			if ok && p != s.now.part && !slices.Contains(out, t.Part) && len(w.misfits(p, s)) == 0 && w.someMateHoldsNow(s, p) {
				out = append(out, t.Part)
			}
		}
	}
	return out
}

func (w *work) someMateHoldsNow(s *spot, p *catalog.Part) bool {
	return slices.ContainsFunc(s.mates, func(id int32) bool {
		m := &w.mates[id]
		o := &w.spots[m.other(s.index)]
		return m.from(s.index, w.value(p, nil, m.seat(s.index)), w.valueAt(o, m.seat(o.index))) == holds
	})
}
