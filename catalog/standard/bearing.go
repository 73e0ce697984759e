package standard

import (
	"slices"
	"strings"

	"layshaft/catalog/quantity"
)

// Family is a kind of rolling bearing with one way of writing designations.
type Family string

// The families decoded here.
const (
	DeepGroove  Family = "deep groove ball bearing"
	Tapered     Family = "tapered roller bearing"
	Cylindrical Family = "cylindrical roller bearing"
	DrawnCup    Family = "drawn cup needle roller bearing"
	NeedleRing  Family = "needle roller bearing with machined rings"
	NeedleCage  Family = "needle roller and cage assembly"
	ThrustCage  Family = "thrust needle roller cage or washer"
	ThrustBall  Family = "thrust ball bearing"
)

// SuffixGroup says what a suffix is about.
type SuffixGroup string

// The groups of suffixes, in the order canonical designations write them.
const (
	GroupSeal      SuffixGroup = "seal"
	GroupGroove    SuffixGroup = "groove"
	GroupClearance SuffixGroup = "clearance"
	GroupClass     SuffixGroup = "tolerance class"
	GroupCage      SuffixGroup = "cage"
	GroupDesign    SuffixGroup = "design"
	GroupBore      SuffixGroup = "bore"
	GroupStability SuffixGroup = "stability"
	GroupPairing   SuffixGroup = "pairing"
	GroupBoundary  SuffixGroup = "boundary"
)

var groupOrder = []SuffixGroup{
	GroupSeal, GroupGroove, GroupClearance, GroupClass, GroupCage, GroupDesign,
	GroupBore, GroupStability, GroupPairing, GroupBoundary,
}

// Suffix is one understood suffix of a designation.
type Suffix struct {
	Text            string      // as a standard writing has it: "DDU", "C3"
	Canonical       string      // the writing compared: "2RS" for DDU; "" when it says nothing (CN, P0)
	Group           SuffixGroup // what it is about
	Meaning         string
	ChangesEnvelope bool   // true when a seat, groove or space is affected
	Basis           string // standard, "common trade code" or "from memory"
}

// Groove is the snap ring groove of an outer ring by ISO 464.
type Groove struct {
	DiameterMax, DiameterMin quantity.Length // groove diameter D1
	OffsetMax, OffsetMin     quantity.Length // distance a from the ring's side face to the groove; zero when not in the table
	WidthMax, WidthMin       quantity.Length // groove width b
	CornerMax                quantity.Length // corner radius at the groove bottom
	Source                   string
}

// Bearing is a decoded designation. Sizes are nominal boundary dimensions; a
// zero length means that the designation or the tables do not give it.
type Bearing struct {
	Family   Family
	Type     string // letters in front: "NU", "HK", "K"; empty for ball and tapered
	Base     string // canonical base designation: "6207", "NU 206", "HK 1612", "K 30x35x17", "32006 X"
	Written  string // what was read, spaces and case as found
	Series   string // "62", "320", "NU2", "NA49"; empty where the digits are sizes
	BoreCode string // "07"; empty where the digits are sizes

	Bore    quantity.Length // d of the inner ring or shaft washer; zero without an inner ring
	Outside quantity.Length // D; zero for a cage or a bearing without outer ring
	Width   quantity.Length // B, C or Bc; T of tapered bearings, cup included; thickness of thrust parts

	InnerWidth quantity.Length // B of a tapered inner ring (cone)
	OuterWidth quantity.Length // C of a tapered outer ring (cup)
	Fw         quantity.Length // diameter under the rollers, where rollers run on the shaft
	Ew         quantity.Length // diameter over the rollers of a cage

	TaperedBore  string  // "1:12" or "1:30"; empty for a cylindrical bore
	Groove       *Groove // outer ring groove; nil without one or when ISO 464 gives no data
	HasGroove    bool
	RingIncluded bool   // NR: the snap ring comes with the bearing
	Seals        string // canonical: "Z", "2Z", "RS", "2RS", "RZ", "2RZ" or ""
	Clearance    string // canonical: "C2", "C3", ...; "CN" when not stated
	Cage         string // canonical cage mark or ""

	Suffixes []Suffix // understood, in canonical order, each once
	Unknown  []string // suffix texts that no table explains

	Source   string // where the sizes come from
	Agreeing int    // how many sources of the table agree on the sizes; 0 for derived or remembered ones
}

// Canonical is the base followed by the canonical suffixes in a fixed order, so
// that two writings of one bearing give one text: "6207 2RS NR C3".
func (b Bearing) Canonical() string {
	parts := []string{b.Base}
	for _, s := range b.Suffixes {
		if s.Canonical != "" {
			parts = append(parts, s.Canonical)
		}
	}
	parts = append(parts, b.Unknown...)
	return strings.Join(parts, " ")
}

// IsZero says whether b is no bearing at all.
func (b Bearing) IsZero() bool { return b.Base == "" }

// Sizes writes the boundary dimensions the trade way, in millimetres:
// "35x72x17", for a needle part Fw first: "16x22x12".
func (b Bearing) Sizes() string {
	var parts []string
	inner, outer := b.Bore, b.Outside
	if inner == 0 {
		inner = b.Fw
	}
	if outer == 0 {
		outer = b.Ew
	}
	for _, l := range []quantity.Length{inner, outer, b.Width} {
		if l == 0 {
			parts = append(parts, "?")
			continue
		}
		parts = append(parts, l.MM())
	}
	return strings.Join(parts, "x")
}

// apply adds an understood suffix and what follows from it.
func (b *Bearing) apply(s Suffix) {
	if slices.ContainsFunc(b.Suffixes, func(have Suffix) bool {
		return have.Group == s.Group && have.Canonical == s.Canonical
	}) {
		return
	}
	if s.Group == GroupBoundary {
		return // X belongs to the base, which carries it where the table has it
	}
	b.Suffixes = append(b.Suffixes, s)
	switch s.Group {
	case GroupSeal:
		b.Seals = s.Canonical
	case GroupClearance:
		if s.Canonical != "" {
			b.Clearance = s.Canonical
		}
	case GroupCage:
		b.Cage = s.Canonical
	case GroupGroove:
		b.HasGroove = true
		b.RingIncluded = b.RingIncluded || s.Canonical == "NR"
		b.Groove = grooveFor(b.Outside, b.Series)
	case GroupBore:
		b.TaperedBore = "1:12"
		if s.Canonical == "K30" {
			b.TaperedBore = "1:30"
		}
	}
}

// settle puts the suffixes into canonical order; N beside NR says nothing.
func (b *Bearing) settle() {
	if b.RingIncluded {
		b.Suffixes = slices.DeleteFunc(b.Suffixes, func(s Suffix) bool { return s.Canonical == "N" && s.Group == GroupGroove })
	}
	slices.SortStableFunc(b.Suffixes, func(x, y Suffix) int {
		if d := slices.Index(groupOrder, x.Group) - slices.Index(groupOrder, y.Group); d != 0 {
			return d
		}
		return strings.Compare(x.Canonical, y.Canonical)
	})
	slices.Sort(b.Unknown)
	b.Unknown = slices.Compact(b.Unknown)
}
