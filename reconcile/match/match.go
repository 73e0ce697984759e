package match

import (
	"math"
	"slices"

	"layshaft/catalog"
	"layshaft/reconcile/kitlist"
)

// Match reads every line of a list. There is one Result for each line of the
// list, in order.
func (m *Matcher) Match(list kitlist.List, in Context) []Result {
	if v, ok := m.ix.Variant(in.Variant); ok {
		in.Family = v.Family
	}
	s := m.scope(in)
	out := make([]Result, len(list.Lines))
	opens := make([]*open, len(list.Lines))
	headings, stock := m.implied(&list), m.stock(&list)
	for i := range list.Lines {
		n := &list.Lines[i]
		out[i] = Result{Line: i, No: n.No, Sub: n.Sub, Outcome: None}
		if n.Kind != kitlist.Item {
			out[i].Why = "no item: " + string(n.Kind)
			continue
		}
		opens[i] = m.find(m.view(list.Text, under(n, headings[i]), stock), s, in)
		m.decide(&out[i], opens[i], in)
		m.recall(&out[i], list.Text, n, in)
	}
	m.joint(list, out, opens, in)
	return out
}

// decide turns the probabilities into an outcome.
func (m *Matcher) decide(r *Result, o *open, in Context) {
	r.NonePermille = permille(o.pNone)
	r.Candidates = r.Candidates[:0]
	for i := range o.alts {
		a := &o.alts[i]
		if len(r.Candidates) == m.opts.Candidates || i > 0 && a.p < 0.001 {
			break
		}
		r.Candidates = append(r.Candidates, m.candidate(o.view, a))
	}
	if len(o.alts) == 0 || foreign(o) || contradicted(o) || o.pNone > 0.35 && o.pNone > o.alts[0].p || o.alts[0].p < faint && len(o.view.kinds) == 0 {
		r.Outcome, r.Part, r.Telling = None, "", ""
		r.Why = m.noneWhy(o)
		return
	}
	top := &o.alts[0]
	rivals := m.rivals(o)
	r.Telling = m.telling(top, rivals)
	limit := m.weights.threshold(len(m.parts), in.Variant != "")
	switch doubt := m.certainDoubt(o, top); {
	case permille(top.p) >= limit && len(rivals) == 0 && doubt == "":
		r.Outcome, r.Part, r.Telling = Certain, top.f.part.ID, ""
		r.Why = r.Candidates[0].Why
	case top.p >= 0.5 && len(rivals) == 0 && !otherKind(&top.x):
		r.Outcome, r.Part = Likely, top.f.part.ID
		r.Why = joinWhy(r.Candidates[0].Why, doubt)
	default:
		r.Outcome, r.Part = Question, ""
		r.Why = questionWhy(r.Telling, len(rivals))
	}
	r.Also = m.also(o)
}

// foreign: the line names goods that are in no gearbox, and neither a number nor the
// leader's own name says otherwise.
func foreign(o *open) bool {
	top := &o.alts[0]
	return o.view.foreign && !top.f.foreign && numberLevel(&top.x) < 3 && top.x[fDesigFull]+top.x[fSizeAgree] == 0
}

// contradicted: the line states sizes, a thread or a designation that no candidate
// has, and the leader has others.
func contradicted(o *open) bool {
	x := &o.alts[0].x
	return o.none[fNoneConflict] > 0 && numberLevel(x) == 0 && x[fSizeConflict]+x[fThreadConflict]+x[fDesigConflict] > 0
}

// otherKind: the line names another kind of part, and nothing that it states speaks
// for the candidate nevertheless.
func otherKind(x *vector) bool {
	return x[fKindConflict] > 0 && numberLevel(x) == 0 && x[fDesigFull]+x[fDesigBase]+x[fSizeAgree]+x[fThreadAgree]+x[fTeethAgree] == 0
}

// faint is the probability below which the best of many parts is no answer to a line
// that names no kind of part.
const faint = 0.1

func permille(p float64) int { return int(math.Floor(p*1000 + 1e-9)) }

// certainDoubt says what keeps a probable candidate from being certain.
func (m *Matcher) certainDoubt(o *open, a *alternative) string {
	x := &a.x
	level := numberLevel(x)
	switch {
	case x[fDesigConflict] > 0:
		return "the designation is another"
	case x[fSizeConflict] > 0:
		return "the sizes are others"
	case x[fThreadConflict] > 0:
		return "the thread is another"
	case x[fTeethConflict] > 0:
		return "the tooth count is another"
	case x[fGearConflict]+x[fGearSuperset] > 0:
		return "the line names other gears"
	case x[fSideConflict] > 0 && level < 4, x[fShaftConflict] > 0 && level < 4:
		return "the line names another place"
	case level < 3 && !a.f.inFamily:
		return "without its number a part is not told from those of other gearboxes"
	case x[fNumberOther] > 0:
		return "the number belongs to another part"
	case x[fNumberStrange] > 0:
		return "the number is none of this part's"
	case x[fKindConflict] > 0 && (x[fDesigFull] == 0 || !m.hostsOnly(o.view)):
		return "the line names another kind of part"
	case level > 0 && level < 3 && x[fKindAgree]+x[fKindParent] == 0:
		return "the number was repaired and no word agrees"
	case level < 3 && x[fKindSilent] > 0 && x[fDesigFull] == 0:
		return "the line names no kind of part"
	case x[fSuffixSilent] > 0 && level < 3:
		return "the suffixes of the bearing are not stated"
	case x[fDesigBase] > 0 && level < 4:
		return "the suffixes of the designation differ"
	case x[fSizeStray] > 0 && level < 4:
		return "the sizes are those of another kind of part"
	case o.view.set && !a.f.set && o.view.pieces <= 1 && a.f.capacity > 1:
		return "the line says a set, the part is one piece of several"
	case level < 3 && o.view.other && x[fDesigFull]+x[fSizeAgree]+x[fGearEqual] == 0:
		return "the heading names another kind"
	case level < 3 && m.unexplained(o.view, a):
		return "some words of the line stay unexplained"
	case o.view.fromContext && level < 3 && x[fKindContext] > 0 && !m.ownKind(o.view, a.f) && x[fDesigFull]+x[fSizeAgree]+x[fGearEqual]+x[fSideAgree]+x[fShaftAgree] == 0:
		return "the kind is only in the heading"
	}
	return ""
}

// hostsOnly: every kind that the line names is a bearing, or something that others
// are fitted in: beside a full designation it tells only the place.
func (m *Matcher) hostsOnly(v *lineView) bool {
	bearing := m.read.lx.byName["bearing"]
	return !slices.ContainsFunc(v.kinds, func(k concept) bool {
		return !m.read.lx.meanings[k].host && k != bearing && !m.read.lx.isWider(bearing, k)
	})
}

// unexplained: the line names another kind of part beside this one, or holds an
// unknown word and nothing measured agrees.
func (m *Matcher) unexplained(v *lineView, a *alternative) bool {
	x := &a.x
	measured := x[fDesigFull]+x[fSizeAgree]+x[fTeethAgree]+x[fThreadAgree] > 0
	if v.unknown > 0 && x[fDesigFull]+x[fSizeAgree]+x[fTeethAgree] == 0 {
		return true
	}
	for _, s := range v.slots {
		kind, hit := false, false
		for _, t := range s.alts {
			hit = hit || t == term(m.read.lx.byName["set"])
			kind = kind || t < firstWord && m.read.lx.meanings[t].cat == catKind && !((measured || x[fGearEqual] > 0) && m.read.lx.meanings[t].host)
			hit = hit || containsTerm(a.f.all, t)
		}
		hit = hit || inName(a.f.part.Name, s.text)
		if kind && !hit && !s.context {
			return true
		}
	}
	return false
}

// inName: a part's own name has the word as it was written: "key synchro" is the
// synchro key, whatever else "synchro" may stand for.
func inName(name, word string) bool {
	return word != "" && slices.ContainsFunc(tokenize(name), func(t token) bool { return t.text == word })
}

// ownKind: the line itself names the candidate's kind, and the heading adds nothing
// to it.
func (m *Matcher) ownKind(v *lineView, p *profile) bool {
	named := slices.ContainsFunc(v.kinds[:v.own], func(k concept) bool { return k == p.kind || m.read.lx.isWider(k, p.kind) })
	return named && !slices.ContainsFunc(v.slots, func(s slot) bool {
		return s.context && slices.ContainsFunc(s.alts, func(t term) bool { return containsTerm(p.all, t) })
	})
}

// rivals are candidates that the line's words do not tell from the leader.
func (m *Matcher) rivals(o *open) []*alternative {
	top := &o.alts[0]
	var out []*alternative
	for i := 1; i < len(o.alts); i++ {
		r := &o.alts[i]
		if r.p < 1e-4*top.p && i > 12 {
			break
		}
		if top.f.inVariant && !r.f.inVariant || r.f.part.NotAvailable || r.f.set && !top.f.set && !o.view.set || m.superseded(r.f.part.ID, top.f.part.ID) {
			continue
		}
		if !toldApart(o.view, top, r) {
			out = append(out, r)
		}
	}
	return out
}

// superseded: old was replaced by next.
func (m *Matcher) superseded(old, next catalog.PartID) bool {
	return slices.ContainsFunc(m.ix.Successors(old), func(s *catalog.Supersession) bool { return s.New == next })
}

// toldApart: some stated thing speaks for the leader and not for the rival.
func toldApart(v *lineView, top, r *alternative) bool {
	a, b := &top.x, &r.x
	if numberLevel(a) > numberLevel(b) {
		return true
	}
	for _, f := range [...]feature{fDesigConflict, fSizeConflict, fThreadConflict, fTeethConflict, fGearConflict, fSideConflict,
		fShaftConflict, fKindConflict, fSizePartly} {
		if a[f] == 0 && b[f] > 0 {
			return true
		}
	}
	if a[fDesigFull] > 0 && b[fDesigFull] == 0 && b[fSuffixSilent] == 0 {
		return true
	}
	for _, f := range [...]feature{fSizeAgree, fThreadAgree, fTeethAgree, fKindAgree, fGearEqual, fSideAgree, fShaftAgree, fSetAgree} {
		if a[f] > 0 && b[f] == 0 {
			return true
		}
	}
	for _, s := range v.slots {
		if s.context {
			continue
		}
		hit := func(f *profile) bool {
			return slices.ContainsFunc(s.alts, func(t term) bool { return containsTerm(f.all, t) })
		}
		if hit(top.f) && !hit(r.f) {
			return true
		}
	}
	// A part whose name asks for words that the line does not have is told apart
	// by the plain one: "front cover" is not "front cover gasket".
	return a[fCoverPart] > b[fCoverPart]+0.2
}

// also names the mate when a line states both gears of a pair by their teeth.
func (m *Matcher) also(o *open) []catalog.PartID {
	if len(o.view.teeth) != 2 || len(o.alts) < 2 {
		return nil
	}
	a, b := &o.alts[0], &o.alts[1]
	if a.x[fTeethAgree] == 0 || b.x[fTeethAgree] == 0 || a.f.set || len(a.f.teeth) != 1 || len(b.f.teeth) != 1 ||
		a.f.teeth[0] == b.f.teeth[0] || a.f.gears&b.f.gears == 0 {
		return nil
	}
	return []catalog.PartID{b.f.part.ID}
}

// candidate describes an alternative for people.
func (m *Matcher) candidate(v *lineView, a *alternative) Candidate {
	c := Candidate{Part: a.f.part.ID, Permille: permille(a.p), Why: why(v, a)}
	for f, value := range a.x {
		if value != 0 {
			c.Features = append(c.Features, Feature{featureNames[f], float64(value)})
		}
	}
	for _, p := range a.f.positions {
		if len(a.f.positions) == 1 || m.allows(v, p) {
			c.Positions = append(c.Positions, p.ID)
		}
	}
	if len(c.Positions) == 0 {
		for _, p := range a.f.positions {
			c.Positions = append(c.Positions, p.ID)
		}
	}
	return c
}

// allows: nothing that the line states speaks against the position.
func (m *Matcher) allows(v *lineView, p *catalog.Position) bool {
	var at phraseView
	m.place(p, &at)
	if v.gears != 0 && at.gears != 0 && v.gears&at.gears == 0 {
		return false
	}
	for _, axis := range sideAxes {
		if v.sides&axis != 0 && at.sides&axis != 0 && v.sides&at.sides&axis == 0 {
			return false
		}
	}
	return v.shafts == 0 || at.shafts == 0 || v.shafts&at.shafts != 0
}
