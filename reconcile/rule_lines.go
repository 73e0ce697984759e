package reconcile

import (
	"slices"
	"strconv"
	"strings"

	"layshaft/catalog"
)

// ruleNotUnderstood reports lines that could not be read at all.
func ruleNotUnderstood(w *work, r *Rule) {
	w.eachLine(func(i int, l *SupplyLine) {
		if l.Outcome == Question && len(l.Candidates) == 0 && !l.Excluded && !l.NotAvailable {
			f := r.onLine(l)
			f.say(w.lineName(i), because("nothing in the catalogue answers to "+quoted(placeWords(l)), l.Why))
			f.Remedy = &Remedy{Text: "Say which part it is, or that it is none of ours."}
			w.add(f)
		}
	})
}

// ruleAmbiguous reports lines that may mean several parts.
func ruleAmbiguous(w *work, r *Rule) {
	w.eachLine(func(i int, l *SupplyLine) {
		if l.Outcome == Question && len(l.Candidates) > 0 && !l.Excluded && !l.NotAvailable {
			f := r.onLine(l)
			var ids []catalog.PartID
			var names []string
			for _, c := range l.Candidates {
				ids = append(ids, c.Part)
				names = append(names, w.labelOf(c.Part))
			}
			if len(names) > 3 {
				names = append(names[:3], "others")
			}
			f.say(w.lineName(i), because(quoted(placeWords(l))+" may mean "+either(names), l.Why))
			f.Remedy = &Remedy{Text: "Choose which part it is.", Parts: ids}
			w.add(f)
		}
	})
}

// ruleUnconfirmed reports lines in use that a person should confirm.
func ruleUnconfirmed(w *work, r *Rule) {
	w.eachLine(func(i int, l *SupplyLine) {
		if l.Outcome == Likely && !l.Answered && l.supplies() {
			f := r.onLine(l)
			f.Part = l.Part
			f.say(w.lineName(i), because(quoted(placeWords(l))+" was read as "+w.labelOf(l.Part), l.Why))
			f.Remedy = &Remedy{Text: "Confirm the part or choose another."}
			w.add(f)
		}
	})
}

// ruleContents reports sets that the catalogue knows no contents of.
func ruleContents(w *work, r *Rule) {
	for i, x := range w.flaws {
		if x.code != "empty" || slices.Contains(w.flaws[:i], x) {
			continue
		}
		f := r.onLine(w.lines[x.line])
		f.Part = x.id
		f.say(w.lineName(x.line), "what "+w.labelOf(x.id)+" contains is not entered in the catalogue; it covers nothing")
		f.Remedy = &Remedy{Text: "Open it, and enter its contents."}
		w.add(f)
	}
}

func (w *work) eachLine(fn func(int, *SupplyLine)) {
	for i, l := range w.lines {
		fn(i, l)
	}
}

func (r *Rule) onLine(l *SupplyLine) *Finding {
	f := r.general()
	f.Place = l.Place
	return f
}

func placeWords(l *SupplyLine) string {
	if l.Place == nil {
		return l.Goods
	}
	return strings.TrimSpace(l.Place.Text)
}

// ruleWrongVariant reports supply that belongs to another variant or gearbox.
func ruleWrongVariant(w *work, r *Rule) {
	for i := range w.units {
		u := &w.units[i]
		if u.used == u.pieces || w.repeats(i) || w.lines[u.line].Source == FromShelf {
			continue
		}
		meant := w.meant(u)
		for _, s := range meant {
			if len(w.misfits(u.part, s)) == 0 && !w.fitsHere(u.part, s) {
				f := r.at(w, s)
				f.Part, f.Place = u.part.ID, w.lines[u.line].Place
				f.say("the "+s.name(), w.lineName(u.line)+" gives "+label(u.part)+", which is the "+s.name()+" of "+w.variantsOf(u.part)+"; whether it fits here is not known")
				f.Remedy = w.fit(s, "Fit")
				w.add(f)
			}
		}
		if len(meant) == 0 && w.overAs(u, SurplusOtherVariant) && !w.lines[u.line].Conditional {
			f := r.onLine(w.lines[u.line])
			f.Severity, f.Part = Note, u.part.ID
			f.say("", w.lineName(u.line)+" gives "+label(u.part)+", which belongs to "+w.variantsOf(u.part))
			f.Remedy = &Remedy{Text: "Return it or put it aside."}
			w.add(f)
		}
	}
}

// overAs: the unit's surplus has the given reason.
func (w *work) overAs(u *unit, reason string) bool {
	for _, s := range w.surplus {
		if s.Line == u.line && s.Part == u.part.ID && s.Reason == reason {
			return true
		}
	}
	return false
}

// variantsOf names where a part goes instead.
func (w *work) variantsOf(p *catalog.Part) string {
	var names []string
	more := 0
	for _, f := range w.ix.FitsOf(p.ID) {
		v, ok := w.ix.Variant(f.Variant)
		if !ok || len(names) > 0 && names[len(names)-1] == v.Name {
			continue
		}
		if len(names) == 3 {
			more++
			continue
		}
		names = append(names, v.Name)
	}
	switch {
	case len(names) == 0:
		return "no gearbox of the catalogue"
	case more > 0:
		return strings.Join(names, ", ") + " and " + strconv.Itoa(more) + " more"
	}
	return list(names)
}
