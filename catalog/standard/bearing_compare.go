package standard

import (
	"slices"
	"strings"

	"layshaft/catalog/quantity"
)

// Verdict is the outcome of comparing two bearings.
type Verdict string

// The three verdicts of [Compare].
const (
	Equal             Verdict = "equal"
	SameEnvelope      Verdict = "same envelope, other differences" // a question for a person
	DifferentEnvelope Verdict = "different envelope"
)

// Difference is one respect in which two bearings differ.
type Difference struct {
	Aspect   string // "bore", "outside", "clearance", "groove", ...
	A, B     string // what each has; "-" for nothing
	Envelope bool   // true when a seat, groove or space is affected
	Note     string // why it matters
}

// Comparison is a verdict with its reasons; no reasons when equal.
type Comparison struct {
	Verdict     Verdict
	Differences []Difference
}

// Compare says whether b can stand for a by designation. Equal means the same
// canonical designation, whatever the writing. SameEnvelope means equal sizes
// with other suffixes, rib form or kind: a question, never an answer; a groove
// or ring on one side only is marked Envelope, since the build stops without it.
// DifferentEnvelope means a size, or a tapered against a straight bore.
func Compare(a, b Bearing) Comparison {
	sizes := compareSizes(a, b)
	rest := compareFeatures(a, b)
	switch {
	case len(sizes) > 0:
		return Comparison{Verdict: DifferentEnvelope, Differences: append(sizes, rest...)}
	case len(rest) > 0:
		return Comparison{Verdict: SameEnvelope, Differences: rest}
	}
	return Comparison{Verdict: Equal}
}

func compareSizes(a, b Bearing) []Difference {
	var diffs []Difference
	size := func(aspect string, x, y quantity.Length, note string) {
		if x != y {
			diffs = append(diffs, Difference{Aspect: aspect, A: lengthOrDash(x), B: lengthOrDash(y), Envelope: true, Note: note})
		}
	}
	size("bore", a.Bore, b.Bore, "the shaft seat decides")
	size("outside", a.Outside, b.Outside, "the case bore decides")
	size("width", a.Width, b.Width, "the stack changes")
	size("diameter under the rollers", a.Fw, b.Fw, "the rollers run on the shaft")
	size("diameter over the rollers", a.Ew, b.Ew, "the rollers run in the gear or case")
	if a.InnerWidth != 0 && b.InnerWidth != 0 {
		size("inner ring width", a.InnerWidth, b.InnerWidth, "the cone seat decides")
	}
	if a.OuterWidth != 0 && b.OuterWidth != 0 {
		size("outer ring width", a.OuterWidth, b.OuterWidth, "the cup seat decides")
	}
	if a.TaperedBore != b.TaperedBore {
		diffs = append(diffs, Difference{Aspect: "bore taper", A: orDash(a.TaperedBore), B: orDash(b.TaperedBore),
			Envelope: true, Note: "a tapered bore does not sit on a cylindrical seat"})
	}
	return diffs
}

func compareFeatures(a, b Bearing) []Difference {
	var diffs []Difference
	if a.Family != b.Family {
		diffs = append(diffs, Difference{Aspect: "kind", A: string(a.Family), B: string(b.Family),
			Note: "another kind of bearing carries load and thrust in another way"})
	} else if a.Type != b.Type || a.Base != b.Base {
		diffs = append(diffs, Difference{Aspect: "form", A: a.Base, B: b.Base,
			Note: "the ribs, open or closed ends or internal geometry differ"})
	}
	for _, group := range groupOrder {
		if group == GroupBore {
			continue // a size
		}
		x, y := groupText(a, group), groupText(b, group)
		if x == y {
			continue
		}
		diffs = append(diffs, Difference{Aspect: string(group), A: orDash(x), B: orDash(y),
			Envelope: group == GroupGroove || group == GroupPairing, Note: groupNotes[group]})
	}
	if !slices.Equal(a.Unknown, b.Unknown) {
		diffs = append(diffs, Difference{Aspect: "suffix not understood", A: orDash(strings.Join(a.Unknown, " ")),
			B: orDash(strings.Join(b.Unknown, " ")), Note: "ask the maker what it means"})
	}
	return diffs
}

var groupNotes = map[SuffixGroup]string{
	GroupSeal:      "a seal where oil must flow through, or an open bearing where one must hold grease, stops the build",
	GroupGroove:    "without groove and ring nothing holds the bearing endwise",
	GroupClearance: "the radial clearance before mounting differs; the rebuilder decides",
	GroupClass:     "the tolerance class differs at the same nominal sizes",
	GroupCage:      "another cage at the same sizes",
	GroupDesign:    "another internal design at the same sizes",
	GroupStability: "heat treatment of the rings",
	GroupPairing:   "a matched pair is not one bearing",
}

// groupText is the canonical text of all suffixes of one group.
func groupText(b Bearing, group SuffixGroup) string {
	var parts []string
	for _, s := range b.Suffixes {
		if s.Group == group && s.Canonical != "" {
			parts = append(parts, s.Canonical)
		}
	}
	return strings.Join(parts, " ")
}

func lengthOrDash(l quantity.Length) string {
	if l == 0 {
		return "-"
	}
	return l.String()
}

func orDash(s string) string {
	if s == "" {
		return "-"
	}
	return s
}
