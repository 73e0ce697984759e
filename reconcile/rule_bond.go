package reconcile

import (
	"slices"

	"layshaft/catalog"
)

// ruleBondSplit reports decisions that keep one part of a bond while another is
// renewed.
func ruleBondSplit(w *work, r *Rule) {
	for _, b := range w.ix.Bonds(w.job.Family) {
		var renewed *spot
		for _, id := range b.Positions {
			if i, ok := w.at[id]; ok && w.certain(&w.spots[i]) && !w.onlyBy(&w.spots[i], CauseBond) && renewed == nil {
				renewed = &w.spots[i]
			}
		}
		if renewed == nil {
			continue
		}
		for _, id := range b.Positions {
			i, ok := w.at[id]
			if !ok || &w.spots[i] == renewed {
				continue
			}
			s := &w.spots[i]
			switch s.choice {
			case Reuse, Rework, SendOut:
				w.splitBond(r, b, s, renewed)
			}
		}
	}
}

func (w *work) splitBond(r *Rule, b *catalog.Bond, s, renewed *spot) {
	f := r.at(w, s)
	decided := "the decision on the " + s.name() + " is " + choiceWords(s.choice)
	if w.waived(b, s) {
		f.Severity, f.Blocking = Note, false
		f.say("", decided+" ("+s.dec.Why+") although the "+renewed.name()+" is renewed; "+since("advice is to renew both", b.Reason))
	} else {
		f.say("the "+s.name(), decided+", and it is "+bondReason(b, renewed))
		f.Remedy = w.fit(s, "Renew it too:")
	}
	if len(f.Chain) == 0 {
		f.Chain = w.chain(w.node(renewed))
	}
	w.add(f)
}

// onlyBy: nothing but the given cause demands a new part at s.
func (w *work) onlyBy(s *spot, cause string) bool {
	return !slices.ContainsFunc(w.graph.in[newNode(s.index)], func(id int32) bool {
		return w.graph.edges[id].cause != cause
	})
}

// ruleHubSleeve reports a hub or sleeve that is renewed alone where the
// catalogue has no bond to say so (lapped together at manufacture: common
// practice, several service pages).
func ruleHubSleeve(w *work, r *Rule) {
	w.pairs("synchro hub", "synchro sleeve", func(a, b *spot) {
		kept, renewed := oneSided(w, a, b)
		if kept == nil || w.bonded(a, b) {
			return
		}
		f := r.at(w, kept)
		f.Chain = w.chain(newNode(renewed.index))
		f.say("the "+kept.name(), "the "+renewed.name()+" is renewed and the "+kept.name()+" goes back; hub and sleeve are lapped together")
		f.Remedy = &Remedy{Text: "Renew both, or sign for the pairing after trying it on the bench.", Parts: w.fitting(kept)}
		w.add(f)
	})
}

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

// pairs calls fn for positions of two kinds that a mate or a bond ties together.
func (w *work) pairs(a, b catalog.PartKind, fn func(a, b *spot)) {
	for i := range w.spots {
		s := &w.spots[i]
		if s.pos.Kind != a || s.has == missing {
			continue
		}
		var done []int
		tie := func(o int) {
			if w.spots[o].pos.Kind == b && w.spots[o].has != missing && !slices.Contains(done, o) {
				done = append(done, o)
				fn(s, &w.spots[o])
			}
		}
		for _, id := range s.mates {
			tie(w.mates[id].other(i))
		}
		for _, bond := range w.ix.BondsAt(w.job.Family, s.id) {
			for _, id := range bond.Positions {
				if o, ok := w.at[id]; ok {
					tie(o)
				}
			}
		}
	}
}

// oneSided tells which of two goes back while the other is renewed; nil when
// both or none are renewed.
func oneSided(w *work, a, b *spot) (kept, renewed *spot) {
	na, nb := w.certain(a), w.certain(b)
	switch {
	case na && !nb && b.state != FittedNone:
		return b, a
	case nb && !na && a.state != FittedNone:
		return a, b
	}
	return nil, nil
}

func (w *work) bonded(a, b *spot) bool {
	return slices.ContainsFunc(w.ix.BondsAt(w.job.Family, a.id), func(x *catalog.Bond) bool {
		return slices.Contains(x.Positions, b.id)
	})
}

// fitting lists what the catalogue states for a position of the job's variants.
func (w *work) fitting(s *spot) []catalog.PartID {
	var out []catalog.PartID
	for _, v := range w.variants {
		for _, f := range w.ix.Fits(v, s.id) {
			if !slices.Contains(out, f.Part) {
				out = append(out, f.Part)
			}
		}
	}
	return out
}
