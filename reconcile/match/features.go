package match

import (
	"math/bits"
	"slices"
	"strings"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
	"layshaft/reconcile/kitlist"
)

// feature numbers the evidence; the order is that of featureNames.
type feature uint8

const (
	fNumberExact feature = iota
	fNumberFolded
	fNumberNear1
	fNumberNear2
	fNumberJoined
	fNumberOld
	fNumberOther
	fNumberStrange
	fIssuer
	fInVariant
	fStandard
	fInFamily
	fDesigFull
	fDesigBase
	fDesigConflict
	fDesigSilent
	fSuffixSilent
	fSizeAgree
	fSizePartly
	fSizeConflict
	fSizeStray
	fSizeSilent
	fThreadAgree
	fThreadConflict
	fTeethAgree
	fTeethConflict
	fTeethSilent
	fKindAgree
	fKindLast
	fKindFirst
	fKindParent
	fKindConflict
	fKindSilent
	fKindContext
	fGearEqual
	fGearSubset
	fGearSuperset
	fGearConflict
	fGearSilent
	fGearExtra
	fSideAgree
	fSideConflict
	fSideSilent
	fSideExtra
	fShaftAgree
	fShaftConflict
	fShaftSilent
	fCoverLine
	fCoverPart
	fAlike
	fSetAgree
	fSetConflict
	fPiecesFit
	fNone
	fNoneNoKind
	fNoneUnknown
	fNoneNumber
	fNoneCover
	fNoneConflict
	fNoneNothing
	featureCount
)

var featureNames = [featureCount]string{
	"number exact", "number folded", "number repaired by 1", "number repaired by 2", "number joined", "number called old",
	"number of another part", "strange number of the same shape", "supplier's own number", "in the variant", "standard part", "in the family",
	"designation agrees", "base designation agrees", "designation conflicts", "designation not stated", "suffix not stated",
	"sizes agree", "sizes agree in part", "sizes conflict", "sizes agree with another kind", "sizes not stated", "thread agrees", "thread conflicts",
	"teeth agree", "teeth conflict", "teeth not stated", "kind agrees", "kind stands last", "kind stands first",
	"wider kind agrees", "kind conflicts", "kind not stated", "kind from the heading", "gears equal", "gears within",
	"gears beyond", "gears conflict", "gears not stated", "gears the part lacks", "side agrees", "side conflicts",
	"side not stated", "side the part lacks", "shaft agrees", "shaft conflicts", "shaft not stated", "line explained",
	"name explained", "letters of the name", "set agrees", "set conflicts", "pieces fit", "none", "none: no kind named",
	"none: words unknown", "none: number unknown", "none: line unexplained", "none: sizes or teeth found nowhere",
	"none: nothing agrees anywhere",
}

// vector is the evidence for one candidate.
type vector [featureCount]float32

func (v *vector) set(f feature, on bool) {
	if on {
		v[f] = 1
	}
}

// evidence compares a line with a part. The number features are set by the
// candidate search.
func (m *Matcher) evidence(v *lineView, p *profile, x *vector) {
	x.set(fInVariant, p.inVariant)
	x.set(fStandard, p.standard && p.inVariant)
	x.set(fInFamily, p.inFamily)
	numberShape(v, p, x)
	designationEvidence(v, p, x)
	sizeEvidence(v, p, x)
	suffixEvidence(v, p, x)
	threadEvidence(v, p, x)
	teethEvidence(v, p, x)
	m.kindEvidence(v, p, x)
	if x[fSizeAgree] > 0 && x[fKindConflict] > 0 { // a washer of a seal's size is no seal
		x[fSizeAgree], x[fSizeStray] = 0, 1
	}
	placeEvidence(v, p, x)
	m.coverEvidence(v, p, x)
	if v.obscure() {
		x[fAlike] = alike(v.grams, p.grams)
	}
	other := x[fKindConflict] > 0 // a count or a set of other things says nothing
	x.set(fSetAgree, v.set && p.set && !other)
	x.set(fSetConflict, p.set && !v.set && p.part.Kind.Class() == catalog.ClassSet)
	// So many pieces speak for no part that other words speak against.
	other = other || x[fGearConflict]+x[fSideConflict]+x[fShaftConflict] > 0
	x.set(fPiecesFit, !other && p.capacity > 0 && v.pieces > 1 && v.pieces <= p.capacity &&
		(p.capacity%v.pieces == 0 || x[fGearSubset] > 0 && v.pieces == bits.OnesCount16(v.gears)))
}

// numberShape: the line writes a number in the shape of this part's numbers that
// is none of them, so it is likely the number of another part.
func numberShape(v *lineView, p *profile, x *vector) {
	if numberLevel(x) > 0 {
		return
	}
	for i := range v.number {
		k := &v.number[i]
		if repairLimit(k.folded) == 0 {
			continue
		}
		if slices.ContainsFunc(p.numbers, func(n string) bool { return sameShape(n, k.folded) }) {
			x[fNumberStrange] = 1
			return
		}
	}
}

func designationEvidence(v *lineView, p *profile, x *vector) {
	if p.desig == nil {
		return
	}
	if len(v.desigs) == 0 {
		x.set(fDesigSilent, len(v.sizes) == 0)
		return
	}
	base := false
	for _, d := range v.desigs {
		if d.full == p.desig.full {
			x[fDesigFull] = 1
			return
		}
		base = base || d.base == p.desig.base
	}
	x.set(fDesigBase, base)
	x.set(fDesigConflict, !base)
}

// suffixEvidence: base and suffixes of a bearing are two attributes. A line that
// gives the base or its sizes without suffixes leaves them open; suffixes behind
// the sizes ("35x72x17 NR") settle the designation.
func suffixEvidence(v *lineView, p *profile, x *vector) {
	if p.desig == nil || x[fDesigFull] > 0 {
		return
	}
	switch {
	case x[fDesigBase] > 0:
		x.set(fSuffixSilent, slices.ContainsFunc(v.desigs, func(d designation) bool { return d.base == p.desig.base && d.full == d.base }))
	case x[fSizeAgree] > 0 && len(v.suffixes) > 0:
		full := readDesignation(p.desig.base+" "+strings.Join(v.suffixes, " ")).full == p.desig.full
		x.set(fDesigFull, full)
		x.set(fDesigBase, !full)
	case x[fSizeAgree] > 0:
		x.set(fSuffixSilent, p.desig.full != p.desig.base)
	}
}

// sameSize allows for the rounding of lists: 0.012 mm, a thousandth of an inch
// would be another size.
func sameSize(a, b int64) bool {
	d := a - b
	if d < 0 {
		d = -d
	}
	if a < int64(4*quantity.MM) {
		return d <= int64(2*quantity.Micron)
	}
	return d <= int64(12*quantity.Micron)
}

func sizeEvidence(v *lineView, p *profile, x *vector) {
	groups := v.sizes
	if p.desig == nil && len(p.nm) > 0 {
		for _, d := range v.desigs { // a designation stands for its sizes
			if len(d.nm) > 0 {
				groups = append(slices.Clip(groups), sizeGroup{nm: d.nm})
			}
		}
	}
	if len(groups) == 0 || len(p.nm) == 0 {
		x.set(fSizeSilent, len(p.nm) > 0 && len(v.desigs) == 0)
		return
	}
	best, full, firm := 0.0, false, len(v.desigs) > 0
	for _, g := range groups {
		firm = firm || !g.loose
		hit := 0
		for _, a := range g.nm {
			if slices.ContainsFunc(p.nm, func(b int64) bool { return sameSize(a, b) || g.guess && sameSize(a*254/10, b) }) {
				hit++
			}
		}
		all := hit == len(g.nm) || g.grades && hit > 0
		full = full || all
		best = max(best, float64(hit)/float64(len(g.nm)))
	}
	switch {
	case full:
		x[fSizeAgree] = 1
	case best >= 0.6:
		x[fSizePartly] = 1
	case firm:
		x[fSizeConflict] = 1
	default:
		x[fSizeSilent] = 1
	}
}

func threadEvidence(v *lineView, p *profile, x *vector) {
	if len(v.threads) == 0 || len(p.threads) == 0 {
		return
	}
	for _, a := range v.threads {
		for _, b := range p.threads {
			if sameThread(a, b) {
				x[fThreadAgree] = 1
				return
			}
		}
	}
	x[fThreadConflict] = 1
}

// sameThread compares what both state.
func sameThread(a, b kitlist.Thread) bool {
	same := func(a, b kitlist.Measure) bool {
		return a.Length == 0 || b.Length == 0 || a.Length == b.Length
	}
	return same(a.Diameter, b.Diameter) && same(a.Pitch, b.Pitch) && same(a.Length, b.Length) &&
		(a.TPI == 0 || b.TPI == 0 || a.TPI == b.TPI) && (!a.Left || b.Left)
}

func teethEvidence(v *lineView, p *profile, x *vector) {
	if len(p.teeth) == 0 {
		return
	}
	if len(v.teeth) == 0 {
		x[fTeethSilent] = 1
		return
	}
	for _, t := range v.teeth {
		if slices.Contains(p.teeth, t) {
			x[fTeethAgree] = 1
			return
		}
	}
	x[fTeethConflict] = 1
}

func (m *Matcher) kindEvidence(v *lineView, p *profile, x *vector) {
	if len(v.kinds) == 0 {
		// A designation that a table knows names a bearing, unless it is part of a
		// number that is this part's.
		bearing := numberLevel(x) == 0 && slices.ContainsFunc(v.desigs, func(d designation) bool { return len(d.nm) > 0 })
		x.set(fKindConflict, bearing && p.desig == nil && p.part.Kind.Class() != catalog.ClassBearing)
		x.set(fKindSilent, x[fKindConflict] == 0)
		return
	}
	if slices.Contains(v.kinds, p.kind) {
		x[fKindAgree] = 1
		x.set(fKindContext, v.fromContext)
		x.set(fKindFirst, v.kinds[0] == p.kind)
		x.set(fKindLast, v.kinds[len(v.kinds)-1] == p.kind)
		return
	}
	for _, k := range v.kinds {
		if m.read.lx.isWider(k, p.kind) || m.read.lx.isWider(p.kind, k) {
			x[fKindParent] = 1
			return
		}
	}
	x[fKindConflict] = 1
}

func placeEvidence(v *lineView, p *profile, x *vector) {
	switch a, b := v.gears, p.gears; {
	case a == 0 && b == 0:
	case a == 0:
		x[fGearSilent] = 1
	case b == 0:
		x[fGearExtra] = 1
	case a == b:
		x[fGearEqual] = 1
	case a&b == a:
		x[fGearSubset] = 1
	case a&b == b:
		x[fGearSuperset] = 1
	default:
		x[fGearConflict] = 1
	}
	for _, axis := range sideAxes {
		switch a, b := v.sides&axis, p.sides&axis; {
		case a == 0 && b == 0:
		case a == 0:
			x[fSideSilent] = 1
		case b == 0:
			x[fSideExtra] = 1
		case a&b != 0:
			x[fSideAgree] = 1
		default:
			x[fSideConflict] = 1
		}
	}
	switch a, b := v.shafts, p.shafts; {
	case b == 0:
	case a == 0:
		x[fShaftSilent] = 1
	case a&b != 0:
		x[fShaftAgree] = 1
	default:
		x[fShaftConflict] = 1
	}
}

// coverEvidence measures how much of the line the part's words explain, and how
// much of the part's name the line names, rare words counting more.
func (m *Matcher) coverEvidence(v *lineView, p *profile, x *vector) {
	var total, got float32
	for _, s := range v.slots {
		w, hit := float32(0), false
		for _, t := range s.alts {
			w = max(w, m.weight(t))
			hit = hit || containsTerm(p.all, t)
		}
		if s.context {
			w /= 2
		}
		total += w
		if hit {
			got += w
		}
	}
	total += 2 * float32(v.unknown)
	if total > 0 {
		x[fCoverLine] = got / total
	}
	total, got = 0, 0
	for _, t := range p.own {
		w := m.weight(t)
		total += w
		for _, s := range v.slots {
			if containsTerm(s.alts, t) {
				got += w
				break
			}
		}
	}
	if total > 0 {
		x[fCoverPart] = got / total
	}
}
