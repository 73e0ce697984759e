package reconcile

import (
	"slices"
	"strings"

	"layshaft/catalog"
)

// treatment is what the trade knows of one (common practice, from memory).
type treatment struct {
	resizes bool            // sizes must be taken again afterwards
	ruins   []catalog.Class // kinds of part that it is not done to
	why     string
}

var (
	anyHeat    = []catalog.Class{catalog.ClassBearing, catalog.ClassSpring, catalog.ClassElastomer, catalog.ClassFriction, catalog.ClassGasket}
	softParts  = []catalog.Class{catalog.ClassElastomer, catalog.ClassFriction, catalog.ClassGasket}
	coated     = []catalog.Class{catalog.ClassBearing, catalog.ClassSpring, catalog.ClassElastomer, catalog.ClassFriction, catalog.ClassGasket}
	blasted    = []catalog.Class{catalog.ClassBearing, catalog.ClassElastomer, catalog.ClassFriction, catalog.ClassGasket}
	treatments = map[string]treatment{
		"grind":       {true, coated, "its faces are finished to size and can't be ground"},
		"plate":       {true, coated, "plating lifts, closes clearances or makes springs brittle"},
		"spray":       {true, coated, "sprayed metal does not hold on it"},
		"weld":        {true, anyHeat, "the heat ruins it"},
		"sleeve":      {true, coated, "it has no bore to sleeve"},
		"hone":        {true, coated, "its faces are finished to size"},
		"ream":        {true, []catalog.Class{catalog.ClassSpring, catalog.ClassElastomer, catalog.ClassFriction, catalog.ClassGasket}, "it has no bore to ream"},
		"nitride":     {true, anyHeat, "the heat ruins it"},
		"heat-treat":  {true, anyHeat, "the heat ruins it"},
		"phosphate":   {false, blasted, "the bath leaves residue in it"},
		"shot-peen":   {false, blasted, "shot damages or stays in it"},
		"isotropic":   {false, blasted, "the media stay in it"},
		"polish":      {false, softParts, "it takes the friction or sealing face away"},
		"crack-test":  {false, softParts, "it shows nothing on it"},
		"stone":       {false, softParts, "it takes the friction or sealing face away"},
		"chase":       {false, softParts, "it has no thread"},
		"solvent-dip": {false, softParts, "solvent swells it"},
	}
)

// steps are the known treatments that a decision names: "plate and grind".
func steps(text string) []treatment {
	var out []treatment
	for _, word := range strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return r == ',' || r == '+' || r == ' ' || r == ';' }) {
		if t, ok := treatments[word]; ok {
			out = append(out, t)
		}
	}
	return out
}

// resizes: sizes must be taken again after the treatment.
func resizes(text string) bool {
	return slices.ContainsFunc(steps(text), func(t treatment) bool { return t.resizes })
}

// ruleTreatmentUnsuitable reports treatments that ruin the kind of part.
func ruleTreatmentUnsuitable(w *work, r *Rule) {
	for i := range w.spots {
		s := &w.spots[i]
		if !s.treated || s.has == missing {
			continue
		}
		kind := s.pos.Kind
		if s.base != nil {
			kind = s.base.Kind
		}
		steps := steps(s.dec.Treatment)
		i := slices.IndexFunc(steps, func(t treatment) bool { return slices.Contains(t.ruins, kind.Class()) })
		if i < 0 {
			continue
		}
		t := steps[i]
		f := r.at(w, s)
		f.say("the "+s.name(), "the decision on the "+s.name()+" is "+choiceWords(s.choice)+" ("+s.dec.Treatment+"); that ruins a "+string(kind)+": "+t.why)
		f.Remedy = &Remedy{Text: "Decide replace, or another treatment.", Parts: w.fitting(s)}
		w.add(f)
	}
}

// ruleTreatmentSize reports sizes that a treatment changed and that a neighbour
// does not follow, and sizes that were not taken again.
func ruleTreatmentSize(w *work, r *Rule) {
	for _, c := range w.clashes() {
		if c.m.hand() || !c.treatedAt(c.a) && !c.treatedAt(c.b) {
			continue
		}
		s, other := c.subject()
		f := r.at(w, s)
		x := misfit{c.m, other, w.want(c.m, s.index, w.valueAt(other, c.m.seat(other.index))), w.show(w.valueAt(s, c.m.seat(s.index)))}
		w.mismatch(f, s, s.now.part, []misfit{x})
		f.say("the "+s.name(), w.whatIs(s)+" with "+w.misfitWords(s, []misfit{x}))
		f.Remedy = w.instead(s, other)
		w.add(f)
	}
	for i := range w.spots {
		s := &w.spots[i]
		if s.treated && s.has != missing && !w.certain(s) && resizes(s.dec.Treatment) {
			w.sizeAfter(r, s)
		}
	}
}

// sizeAfter speaks about one treated position: its size is not recorded, or a
// new part beside it must follow and is not supplied.
func (w *work) sizeAfter(r *Rule, s *spot) {
	for _, id := range s.mates {
		m := &w.mates[id]
		o, seat := &w.spots[m.other(s.index)], m.seat(s.index)
		v := w.keptValue(s, seat)
		if v.Kind != catalog.KindLength || o.state == FittedNone {
			continue
		}
		f := r.at(w, s)
		f.Attribute, f.Found = w.attribute(seat), w.show(v)
		switch {
		case !hasSize(s.sizes, seat) && len(s.dec.Sizes) == 0 && (s.choice == Rework || s.dec.Returned):
			f.Found = ""
			f.say("the "+s.name(), "the "+f.Attribute+" of the "+s.name()+" after treatment ("+s.dec.Treatment+") is not recorded, and the "+o.name()+" depends on it")
			f.Remedy = &Remedy{Text: "Measure it and record the size."}
		case hasSize(s.sizes, seat) && w.certain(o) && o.cover < o.need && !o.stuck && w.causedBy(o, CauseMate):
			f.say("the "+s.name(), "treatment ("+s.dec.Treatment+") brings the "+f.Attribute+" of the "+s.name()+" to "+w.show(v)+
				"; the "+o.name()+" must follow and is not supplied")
			f.Remedy = w.fit(o, "For the "+o.name()+" fit")
		default:
			continue
		}
		w.add(f)
		return
	}
}
