package reconcile

import "fmt"

// ruleQuantityShort reports positions that get fewer pieces than they need.
func ruleQuantityShort(w *work, r *Rule) {
	w.eachShort(r.Code, func(s *spot) {
		f := r.at(w, s)
		f.Expected, f.Found = count(s.need), count(s.cover)
		f.Place = w.lines[w.units[w.uses[s.uses[0]].unit].line].Place
		f.say("the "+s.name(), fmt.Sprintf("%s wanted, %d supplied", count(s.need), s.cover))
		f.Remedy = w.fit(s, fmt.Sprintf("Order %d more:", s.need-s.cover))
		w.add(f)
	})
}
