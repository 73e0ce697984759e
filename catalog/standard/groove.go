package standard

import (
	"strings"

	"layshaft/catalog/quantity"
)

type grooveRow struct {
	groove     Groove // offsets left empty
	a60, a62   [2]quantity.Length
	outerRingD quantity.Length
}

var grooves = onceTable(func() map[quantity.Length]grooveRow {
	rows := map[quantity.Length]grooveRow{}
	for _, r := range readTable("bearing_snap_ring_grooves_iso464") {
		row := grooveRow{
			groove: Groove{
				DiameterMax: r.mm("groove_D1_max_mm"), DiameterMin: r.mm("groove_D1_min_mm"),
				WidthMax: r.mm("b_max_mm"), WidthMin: r.mm("b_min_mm"), CornerMax: r.mm("r0_max_mm"),
				Source: "ISO 464, bearing tables",
			},
			a60:        [2]quantity.Length{r.mm("a_max_series60_mm"), r.mm("a_min_series60_mm")},
			a62:        [2]quantity.Length{r.mm("a_max_series62_63_64_mm"), r.mm("a_min_series62_63_64_mm")},
			outerRingD: r.mm("D_mm"),
		}
		rows[row.outerRingD] = row
	}
	return rows
})

// grooveFor gives the groove of an outer ring of diameter d in series 60, 62,
// 63 or 64 (or a cylindrical roller series of the same diameter series); nil
// where the table has none.
func grooveFor(d quantity.Length, series string) *Groove {
	row, ok := grooves()[d]
	if !ok {
		return nil
	}
	var a [2]quantity.Length
	switch strings.TrimLeft(series, "NUJP") {
	case "60", "10":
		a = row.a60
	case "62", "63", "64", "2", "3", "22", "23":
		a = row.a62
	default:
		return nil
	}
	g := row.groove
	g.OffsetMax, g.OffsetMin = a[0], a[1]
	return &g
}
