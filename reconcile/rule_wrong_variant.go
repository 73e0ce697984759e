package reconcile

import (
	"strconv"
	"strings"

	"layshaft/catalog"
)

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
