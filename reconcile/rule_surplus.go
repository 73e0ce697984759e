package reconcile

import (
	"slices"
	"strconv"
)

// ruleSurplus reports parts of lists that nothing needs; what one set brings
// besides is one finding.
func ruleSurplus(w *work, r *Rule) {
	for i, x := range w.surplus {
		if !w.plainSurplus(x) || x.Set != "" && slices.ContainsFunc(w.surplus[:i], func(o *Surplus) bool {
			return o.Line == x.Line && o.Set == x.Set && w.plainSurplus(o)
		}) {
			continue
		}
		f := r.onLine(w.lines[x.Line])
		f.Part = x.Part
		if x.Set == "" {
			f.say("", w.lineName(x.Line)+" leaves "+count(x.Pieces)+" over: "+x.Message)
		} else {
			f.Part = x.Set
			f.say("", w.lineName(x.Line)+" brings, in "+w.labelOf(x.Set)+", what nothing needs: "+w.restOf(x))
		}
		f.Remedy = returnIt(x)
		w.add(f)
	}
}

// plainSurplus: no other finding speaks of it, and it is worth a word.
func (w *work) plainSurplus(x *Surplus) bool {
	l := w.lines[x.Line]
	return (x.Reason == SurplusReused || x.Reason == SurplusNotNeeded) && l.Source != FromShelf && !l.Conditional &&
		!slices.Contains(w.flaws, flaw{"empty", x.Part, x.Line})
}

// restOf lists what a set brings and nothing needs.
func (w *work) restOf(x *Surplus) string {
	var names []string
	for _, o := range w.surplus {
		if o.Line == x.Line && o.Set == x.Set && w.plainSurplus(o) {
			names = append(names, strconv.Itoa(o.Pieces)+" "+w.labelOf(o.Part))
		}
	}
	return list(names)
}

func returnIt(x *Surplus) *Remedy {
	if x.ReturnBy == "" {
		return &Remedy{Text: "Return it or put it on the shelf."}
	}
	return &Remedy{Text: "Return it by " + x.ReturnBy + " or put it on the shelf."}
}
