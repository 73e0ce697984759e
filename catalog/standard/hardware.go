package standard

import (
	"strings"

	"layshaft/catalog/quantity"
)

// RetainingRing is a retaining ring for a shaft (DIN 471) or a bore (DIN 472)
// with its groove.
type RetainingRing struct {
	Side           Side // Shaft for DIN 471, Hole for DIN 472
	Nominal        quantity.Length
	Thickness      quantity.Length // s
	GrooveDiameter quantity.Length // d2, nominal
	GrooveWidth    quantity.Length // m, minimum
	Source         string
}

var retainingRings = onceTable(func() map[Side]map[quantity.Length]RetainingRing {
	table := map[Side]map[quantity.Length]RetainingRing{}
	for side, file := range map[Side]string{Shaft: "retaining_rings_shaft_din471", Hole: "retaining_rings_bore_din472"} {
		table[side] = map[quantity.Length]RetainingRing{}
		source := map[Side]string{Shaft: "DIN 471", Hole: "DIN 472"}[side] + ", open CAD library; groove width from memory"
		for _, r := range readTable(file) {
			table[side][r.mm("nominal_d_mm")] = RetainingRing{
				Side: side, Nominal: r.mm("nominal_d_mm"), Thickness: r.mm("thickness_s_mm"),
				GrooveDiameter: r.mm("groove_d2_mm"), GrooveWidth: r.mm("groove_width_m_mm"), Source: source,
			}
		}
	}
	return table
})

// RingFor gives the standard retaining ring for a shaft or a bore of a nominal
// diameter; ok is false when the standard has none.
func RingFor(side Side, nominal quantity.Length) (ring RetainingRing, ok bool) {
	ring, ok = retainingRings()[side][nominal]
	return ring, ok
}

// Seal is a radial shaft seal's nominal sizes.
type Seal struct {
	Shaft, Bore, Width quantity.Length
}

// String writes "35x50x8".
func (s Seal) String() string { return s.Shaft.MM() + "x" + s.Bore.MM() + "x" + s.Width.MM() }

// SealSource names the list of [SealsFor].
const SealSource = "ISO 6194-1:2007 nominal sizes, from memory; the list can miss sizes"

var seals = onceTable(func() []Seal {
	var list []Seal
	for _, r := range readTable("radial_shaft_seals_iso6194") {
		list = append(list, Seal{Shaft: r.mm("shaft_d1_mm"), Bore: r.mm("bore_D_mm"), Width: r.mm("width_b_mm")})
	}
	return list
})

// SealsFor gives the standard radial shaft seals with the sizes asked for; a
// zero size matches any.
func SealsFor(want Seal) []Seal {
	var found []Seal
	for _, s := range seals() {
		if (want.Shaft == 0 || want.Shaft == s.Shaft) && (want.Bore == 0 || want.Bore == s.Bore) &&
			(want.Width == 0 || want.Width == s.Width) {
			found = append(found, s)
		}
	}
	return found
}

// ORing is an O-ring of the inch series.
type ORing struct {
	Dash    string // size code: "215"
	Inside  quantity.Length
	Section quantity.Length
	Boss    bool // 9xx: for straight thread tube fittings
	Source  string
}

var oRings = onceTable(func() map[string]ORing {
	table := map[string]ORing{}
	for _, r := range readTable("o_rings_as568") {
		table[r.text("dash")] = ORing{
			Dash: r.text("dash"), Inside: r.in("inside_diameter_in", quantity.Inch),
			Section: r.in("cross_section_in", quantity.Inch), Boss: r.text("note") == "boss",
			Source: "SAE AS568, from memory; some 3xx and 4xx inside diameters are contradicted by open lists",
		}
	}
	return table
})

// ORingOf gives the O-ring of an AS568 size code: "215", "-215", "012". Codes
// of one or two digits are filled up with zeros in front.
func ORingOf(dash string) (ring ORing, ok bool) {
	dash = strings.TrimPrefix(strings.TrimSpace(dash), "-")
	for len(dash) > 0 && len(dash) < 3 {
		dash = "0" + dash
	}
	ring, ok = oRings()[dash]
	return ring, ok
}

// Hexagon is the width across flats of hexagon nuts and bolt heads.
type Hexagon struct {
	Thread       quantity.Length // nominal thread diameter
	AcrossFlats  quantity.Length
	OlderAcross  quantity.Length // of parts to older editions; zero where it is the same
	SourceLabels string
}

var hexagons = onceTable(func() map[quantity.Length]Hexagon {
	table := map[quantity.Length]Hexagon{}
	for _, r := range readTable("hex_across_flats_iso272") {
		table[r.mm("thread_d_mm")] = Hexagon{
			Thread: r.mm("thread_d_mm"), AcrossFlats: r.mm("across_flats_s_mm"),
			OlderAcross: r.mm("older_across_flats_s_mm"), SourceLabels: r.text("sources"),
		}
	}
	return table
})

// HexagonFor gives the width across flats for a metric thread diameter (ISO 272).
func HexagonFor(thread quantity.Length) (hex Hexagon, ok bool) {
	hex, ok = hexagons()[thread]
	return hex, ok
}
