package reconcile

// ruleCupCone reports half a taper bearing: renewed alone without a bond, or
// supplied without the other half (TM 10-3930-671-24: cups and cones as a set).
func ruleCupCone(w *work, r *Rule) {
	w.pairs("bearing cup", "bearing cone", func(a, b *spot) {
		kept, renewed := oneSided(w, a, b)
		if kept != nil && !w.bonded(a, b) {
			f := r.at(w, kept)
			f.Chain = w.chain(newNode(renewed.index))
			f.say("the "+kept.name(), "the "+renewed.name()+" is renewed and the "+kept.name()+" goes back; cup and cone are renewed as a set")
			f.Remedy = &Remedy{Text: "Renew both halves, of one maker and lot.", Parts: w.fitting(kept)}
			w.add(f)
			return
		}
		have, lack := w.half(a, b)
		if lack == nil {
			return
		}
		f := r.at(w, lack)
		line := w.units[w.uses[have.uses[0]].unit].line
		f.Place = w.lines[line].Place
		f.say("the "+lack.name(), w.lineName(line)+" brings the "+have.name()+" without the "+lack.name()+"; cup and cone are renewed as a set")
		f.Remedy = w.fit(lack, "Order, of the same maker and lot:")
		w.add(f)
	})
}

// half tells which of two in demand is supplied and which is not; nil when both
// or none are.
func (w *work) half(a, b *spot) (have, lack *spot) {
	switch {
	case !w.certain(a) || !w.certain(b) || (a.cover == a.need) == (b.cover == b.need):
		return nil, nil
	case b.cover == b.need:
		return b, a
	}
	return a, b
}
