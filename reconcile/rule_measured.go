package reconcile

import (
	"strings"

	"layshaft/catalog"
	"layshaft/reconcile/measure"
)

// ruleMeasuredOut reports reuse that a reading speaks against: the decision rule
// or a person says renew, or a recorded size lies outside the wear limits of the
// catalogue.
func ruleMeasuredOut(w *work, r *Rule) {
	for i := range w.spots {
		s := &w.spots[i]
		if s.choice != Reuse {
			continue
		}
		f := r.at(w, s)
		if s.reject != nil {
			f.say("the "+s.name(), "the decision is to reuse the "+s.name()+", and "+s.reject.words())
			f.Attribute, f.Expected, f.Found = s.reject.facts()
		} else if l, v := w.outside(s); l != nil {
			f.Attribute, f.Expected, f.Found = l.What, limitWords(l), w.show(v)
			f.Blocking = s.pos.Blocking
			f.say("the "+s.name(), "the decision is to reuse the "+s.name()+" with "+l.What+" "+w.show(v)+"; the limit entered is "+limitWords(l))
		} else {
			continue
		}
		f.Remedy = &Remedy{Text: "Decide replace, or measure again.", Parts: s.accept()}
		w.add(f)
	}
}

// rejection is why a part that was measured must not go back.
type rejection struct {
	m  *Measurement
	in *Inspection // nil when only a person's verdict speaks against it
}

func (r *rejection) words() string {
	if r.in == nil {
		return because("the measurement says renew", r.m.Note)
	}
	return r.in.Limit.What + " " + lowerFirst(strings.TrimSuffix(r.in.Result.Fact(), "."))
}

// facts are what was measured, the limit and the reading; empty without one.
func (r *rejection) facts() (attribute, expected, found string) {
	if r.in == nil {
		return "", "", ""
	}
	return r.in.Limit.What, limitWords(r.in.Limit), r.in.Result.Size()
}

// ruleMeasureAgain reports reuse that a reading neither allows nor forbids, and
// readings of a part for reuse that can't be used.
func ruleMeasureAgain(w *work, r *Rule) {
	for i := range w.spots {
		s := &w.spots[i]
		if s.choice != Reuse || s.reject != nil {
			continue
		}
		for _, in := range s.inspected {
			res := &in.Result
			f := r.at(w, s)
			f.Attribute, f.Expected, f.Found = in.Limit.What, limitWords(in.Limit), res.Size()
			switch {
			case len(res.Refusals) > 0:
				no := res.Refusals[0]
				f.say("the "+s.name(), "the reading of its "+in.Limit.What+" can't be used: "+no.Reason)
				f.Remedy = &Remedy{Text: upperFirst(no.Remedy) + "."}
			case res.Action == measure.ActionAgain:
				f.say("the "+s.name(), "the decision is to reuse it, and "+in.Limit.What+" "+lowerFirst(strings.TrimSuffix(res.Fact(), ".")))
				f.Remedy = &Remedy{Text: res.Remedy()}
			default:
				continue
			}
			w.add(f)
		}
	}
}

// ruleStackVoid reports readings of an open stack that can't be used.
func ruleStackVoid(w *work, r *Rule) {
	w.eachOpen(func(s *spot) {
		no, void := s.gauge.Void()
		if !void {
			return
		}
		fact := "the readings of " + quoted(s.stack.Name) + " can't be used (" + no.Place + "): " + no.Reason
		if s.gauge.Choice != nil {
			fact += "; the grade chosen does not close it"
		}
		f := r.at(w, s)
		f.say("the "+s.name(), fact)
		f.Remedy = &Remedy{Text: upperFirst(no.Remedy) + "."}
		w.add(f)
	})
}

// ruleGradeOutside reports chosen grades that give a play outside the window, and
// readings that no grade answers.
func ruleGradeOutside(w *work, r *Rule) {
	w.eachOpen(func(s *spot) {
		var code string
		switch {
		case s.gauge.Outside():
			code = "chosen-outside"
		case s.gauge.Result != nil && s.gauge.Result.NoFit != nil:
			code = "no-grade-fits"
		default:
			return
		}
		for _, n := range s.gauge.Result.Notices {
			if n.Code != code {
				continue
			}
			f := r.at(w, s)
			f.Message = n.Text
			f.Remedy = &Remedy{Text: "Choose a grade that lies inside the window, and measure again.", Parts: bestGrades(s.gauge)}
			w.add(f)
		}
	})
}

// eachOpen visits the positions in demand whose grade is open and whose stack
// has readings.
func (w *work) eachOpen(visit func(*spot)) {
	for i := range w.spots {
		if s := &w.spots[i]; s.open && w.certain(s) && s.gauge != nil && s.gauge.Readings != nil {
			visit(s)
		}
	}
}

// bestGrades are the pieces that the readings ask for; nil when none fit.
func bestGrades(g *StackState) []catalog.PartID {
	best, ok := g.best()
	if !ok {
		return nil
	}
	out := make([]catalog.PartID, len(best.Pieces))
	for i, p := range best.Pieces {
		out[i] = p.Part
	}
	return out
}

// outside finds a recorded size that a wear limit does not allow.
func (w *work) outside(s *spot) (*catalog.Limit, catalog.Value) {
	for _, a := range s.dec.Sizes {
		if l := w.limitAt(s, a); l != nil && !allows(l, a.Value) {
			return l, a.Value
		}
	}
	return nil, catalog.Value{}
}

func limitWords(l *catalog.Limit) string {
	switch {
	case l.WearMin != nil && l.WearMax != nil:
		return span(l.WearMin.String(), l.WearMax.String())
	case l.WearMin != nil:
		return "at least " + l.WearMin.String()
	case l.WearMax != nil:
		return "at most " + l.WearMax.String()
	}
	return "not known"
}
