package standard

import (
	"fmt"
	"strings"

	"layshaft/catalog/quantity"
)

// Character is what a fit does over its whole tolerance range.
type Character string

// The three characters of a fit (ISO 286-1).
const (
	ClearanceFit    Character = "clearance"
	TransitionFit   Character = "transition"
	InterferenceFit Character = "interference"
)

// Fit is a hole and a shaft of one nominal size. A negative clearance is an
// interference.
type Fit struct {
	Hole, Shaft  Limits
	MinClearance quantity.Length // smallest hole minus largest shaft
	MaxClearance quantity.Length // largest hole minus smallest shaft
}

// Character is the character of the fit.
func (f Fit) Character() Character {
	switch {
	case f.MinClearance >= 0:
		return ClearanceFit
	case f.MaxClearance <= 0:
		return InterferenceFit
	}
	return TransitionFit
}

// Range writes the play or interference a person can expect: "0.002 to 0.030 mm
// interference", "0.010 mm interference to 0.002 mm clearance".
func (f Fit) Range() string {
	switch f.Character() {
	case ClearanceFit:
		return fmt.Sprintf("%s to %s mm clearance", f.MinClearance.MM(), f.MaxClearance.MM())
	case InterferenceFit:
		return fmt.Sprintf("%s to %s mm interference", (-f.MaxClearance).MM(), (-f.MinClearance).MM())
	}
	return fmt.Sprintf("%s mm interference to %s mm clearance", (-f.MinClearance).MM(), f.MaxClearance.MM())
}

// JoinFit puts a hole and a shaft together; they must be that and of one
// nominal size. Errors are [*DesignationError].
func JoinFit(hole, shaft Limits) (Fit, error) {
	if hole.Side != Hole || shaft.Side != Shaft {
		return Fit{}, refuse(hole.Symbol+"/"+shaft.Symbol, 0, "a fit needs a hole and a shaft", "write the hole with a capital letter first: 30 H7/k6")
	}
	if hole.Nominal != shaft.Nominal {
		return Fit{}, refuse(hole.Nominal.MM()+"/"+shaft.Nominal.MM(), 0, "the nominal sizes differ", "a fit has one nominal size")
	}
	return Fit{
		Hole: hole, Shaft: shaft,
		MinClearance: hole.Min() - shaft.Max(), MaxClearance: hole.Max() - shaft.Min(),
	}, nil
}

// ParseFit reads "30 H7/k6" (hole first, as ISO 286-1 writes it, or the other
// way round). Errors are [*DesignationError].
func ParseFit(text string) (Fit, error) {
	_, class, at, err := cutSize(text)
	if err != nil {
		return Fit{}, err
	}
	first, second, ok := strings.Cut(class, "/")
	if !ok {
		return Fit{}, refuse(text, at, "no stroke between two classes", "write it like 30 H7/k6")
	}
	size := text[:at]
	a, err := ParseLimits(size + strings.TrimSpace(first))
	if err != nil {
		return Fit{}, err
	}
	b, err := ParseLimits(size + strings.TrimSpace(second))
	if err != nil {
		return Fit{}, err
	}
	if a.Side == Shaft {
		a, b = b, a
	}
	return JoinFit(a, b)
}

var ringTolerances = onceTable(func() map[string][]span {
	table := map[string][]span{}
	for _, r := range readTable("bearing_ring_tolerances_iso492") {
		key := r.text("ring") + " " + r.text("kind")
		table[key] = append(table[key], span{r.mm("over_mm"), r.mm("up_to_mm"), r.um("lower_um")})
	}
	return table
})

const iso492Source = "ISO 492 class Normal, mean diameter, from memory"

// RingLimits gives the bore of the inner ring (Hole) or the outside diameter of
// the outer ring (Shaft) with its tolerance by ISO 492 class Normal. Drawn cups,
// cages and thrust bearings, and other tolerance classes, are refused. Errors
// are [*DesignationError].
func RingLimits(b Bearing, side Side) (Limits, error) {
	kind := "radial"
	switch b.Family {
	case Tapered:
		kind = "tapered"
	case DeepGroove, Cylindrical, NeedleRing:
	default:
		return Limits{}, refuse(b.Base, 0, "ISO 492 does not cover a "+string(b.Family), "use the maker's limits")
	}
	if class := groupText(b, GroupClass); class != "" {
		return Limits{}, refuse(b.Canonical(), 0, "only the Normal tolerance class is known, not "+class, "use the maker's limits")
	}
	if b.TaperedBore != "" && side == Hole {
		return Limits{}, refuse(b.Canonical(), 0, "a tapered bore has no cylindrical limits", "use the maker's limits")
	}
	ring, size := "inner", b.Bore
	if side == Shaft {
		ring, size = "outer", b.Outside
	}
	lower, ok := inSpans(ringTolerances()[ring+" "+kind], size)
	if !ok {
		return Limits{}, refuse(b.Base, 0, "no "+ring+" ring of a size in the table", "the table ends at 250 mm; a ring left out has no limits")
	}
	return Limits{Side: side, Symbol: "ring", Nominal: size, Lower: lower, Source: iso492Source}, nil
}

// RingOnShaft is the fit of a bearing's bore on a seat, as "35 k6" of
// [ParseLimits]. The nominal sizes must agree. Errors are [*DesignationError].
func RingOnShaft(b Bearing, seat Limits) (Fit, error) {
	bore, err := RingLimits(b, Hole)
	if err != nil {
		return Fit{}, err
	}
	return JoinFit(bore, seat)
}

// RingInHousing is the fit of a bearing's outer ring in a bore, as "72 H7".
func RingInHousing(b Bearing, bore Limits) (Fit, error) {
	outside, err := RingLimits(b, Shaft)
	if err != nil {
		return Fit{}, err
	}
	return JoinFit(bore, outside)
}

// ClearanceRange is a radial internal clearance before mounting.
type ClearanceRange struct {
	Group    string // "CN", "C3", ...
	Min, Max quantity.Length
	Source   string
}

type clearanceRow struct {
	over, upTo quantity.Length
	value      ClearanceRange
}

var clearances = onceTable(func() map[string][]clearanceRow {
	table := map[string][]clearanceRow{}
	for _, r := range readTable("bearing_radial_clearance_iso5753") {
		key := r.text("kind") + " " + r.text("group")
		table[key] = append(table[key], clearanceRow{r.mm("over_mm"), r.mm("up_to_mm"), ClearanceRange{
			Group: r.text("group"), Min: r.um("min_um"), Max: r.um("max_um"),
			Source: "ISO 5753-1, from memory; unmounted",
		}})
	}
	return table
})

// RadialClearance gives the radial internal clearance of a deep groove ball or
// a cylindrical roller bearing with cylindrical bore, before mounting, for the
// group of its designation (CN when not stated). Errors are [*DesignationError].
func RadialClearance(b Bearing) (ClearanceRange, error) {
	kind := map[Family]string{DeepGroove: "ball", Cylindrical: "cylindrical"}[b.Family]
	if kind == "" || b.TaperedBore != "" || b.Bore == 0 {
		return ClearanceRange{}, refuse(b.Canonical(), 0, "no clearance table for this bearing", "deep groove ball and cylindrical roller bearings with both rings and a straight bore have one")
	}
	for _, row := range clearances()[kind+" "+b.Clearance] {
		if row.over < b.Bore && b.Bore <= row.upTo {
			return row.value, nil
		}
	}
	return ClearanceRange{}, refuse(b.Canonical(), 0, "the clearance table has no "+b.Clearance+" for this bore", "ask the maker")
}
