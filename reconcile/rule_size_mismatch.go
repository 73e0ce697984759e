package reconcile

// ruleSizeMismatch reports supplied parts that were meant for a position which
// takes another size, parts that go back beside a part with other sizes, and
// decisions that can't stand together.
func ruleSizeMismatch(w *work, r *Rule) {
	w.suppliedMisfits(r, func(x misfit) bool { return !x.m.hand() })
	for _, c := range w.clashes() {
		if c.m.hand() || c.treatedAt(c.a) || c.treatedAt(c.b) || c.a.untouched() && c.b.untouched() {
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
	for i := range w.spots {
		if s := &w.spots[i]; s.choice == Reuse && w.certain(s) && s.base != nil {
			w.reuseOff(r, s)
		}
	}
}

// reuseOff reports a reuse that a neighbour's new size has made impossible.
func (w *work) reuseOff(r *Rule, s *spot) {
	if ms := w.misfitsOf(s); len(ms) > 0 && w.causedBy(s, CauseMate) {
		f := r.at(w, s)
		w.mismatch(f, s, s.base, ms)
		f.say("the "+s.name(), "it is decided to reuse "+label(s.base)+" at the "+s.name()+", "+w.misfitWords(s, ms))
		f.Remedy = w.fit(s, "Fit")
		w.add(f)
	}
}

func (w *work) causedBy(s *spot, cause string) bool {
	return w.graph.asks(newNode(s.index), func(e *edge) bool { return e.cause == cause })
}

// misfitsOf are the mates that the part in the box would break.
func (w *work) misfitsOf(s *spot) []misfit {
	var out []misfit
	for _, x := range w.misfits(s.base, s) {
		if !x.m.hand() && !hasSize(s.sizes, x.m.seat(s.index)) {
			out = append(out, x)
		}
	}
	return out
}

// instead is the remedy for a clash between parts that are both fixed.
func (w *work) instead(s, other *spot) *Remedy {
	rem := &Remedy{Text: "Change the decision on the " + s.name() + " or on the " + other.name() + "."}
	if ids := w.wouldFit(s); len(ids) > 0 {
		names := ""
		for i, id := range ids {
			if i > 0 {
				names += " or "
			}
			names += w.labelOf(id)
		}
		rem.Text, rem.Parts = "Fit "+names+" at the "+s.name()+", or change the decision on the "+other.name()+".", ids
	}
	return rem
}

// suppliedMisfits reports supply that was meant for a short position and breaks
// a mate there; keep picks the mates that the rule is about.
func (w *work) suppliedMisfits(r *Rule, keep func(misfit) bool) {
	for i := range w.units {
		u := &w.units[i]
		if u.used == u.pieces || w.repeats(i) {
			continue
		}
		for _, s := range w.meant(u) {
			var ms []misfit
			for _, x := range w.misfits(u.part, s) {
				if keep(x) {
					ms = append(ms, x)
				}
			}
			if len(ms) == 0 {
				continue
			}
			f := r.at(w, s)
			w.mismatch(f, s, u.part, ms)
			f.Place = w.lines[u.line].Place
			f.say("the "+s.name(), w.lineName(u.line)+" gives "+label(u.part)+" for the "+s.name()+", "+w.misfitWords(s, ms))
			f.Remedy = w.fit(s, "Fit")
			w.add(f)
		}
	}
}

// repeats: an earlier unit of the same line is the same part.
func (w *work) repeats(i int) bool {
	return i > 0 && w.units[i-1].line == w.units[i].line && w.units[i-1].part == w.units[i].part
}
