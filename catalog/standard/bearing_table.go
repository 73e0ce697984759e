package standard

import (
	"strconv"
	"strings"

	"layshaft/catalog/quantity"
)

// bearingRow is one base designation of the tables.
type bearingRow struct {
	Bearing
	short string // families name of the affix table
}

// bearingTables is the index over all bearing tables.
type bearingTables struct {
	byKey    map[string]*bearingRow // "6207", "NU206", "K30x35x17", "NK10/12"
	order    []*bearingRow          // in table order, for searches by size
	cupSizes map[string][]quantity.Length
}

var bearings = onceTable(buildBearings)

func buildBearings() *bearingTables {
	t := &bearingTables{byKey: map[string]*bearingRow{}, cupSizes: map[string][]quantity.Length{}}
	t.readCoded("bearings_deep_groove", DeepGroove, "ball", "B_mm", "ISO 15")
	t.readTapered()
	t.readCylindrical()
	t.readNeedles()
	t.readCages()
	t.readCoded("bearings_thrust_ball", ThrustBall, "thrustball", "T_mm", "ISO 104")
	t.readThrustNeedles()
	return t
}

func (t *bearingTables) add(short string, b Bearing) {
	t.addAs(tableKey(b.Base), short, b)
}

func (t *bearingTables) addAs(key, short string, b Bearing) {
	row := &bearingRow{Bearing: b, short: short}
	row.Clearance = "CN"
	t.byKey[key] = row
	t.order = append(t.order, row)
}

// tableKey is a base designation without spaces.
func tableKey(base string) string { return strings.ReplaceAll(base, " ", "") }

func agreeing(r record, column string) int {
	n, err := strconv.Atoi(r.text(column))
	if err != nil {
		panic("standard: table " + r.table + ": " + err.Error())
	}
	return n
}

// readCoded reads a family whose designation is series and bore code only.
func (t *bearingTables) readCoded(table string, family Family, short, width, source string) {
	for _, r := range readTable(table) {
		b := Bearing{
			Family: family, Base: r.text("designation"), Series: r.text("series"), BoreCode: r.text("bore_code"),
			Bore: r.mm("d_mm"), Outside: r.mm("D_mm"), Width: r.mm(width),
			Agreeing: agreeing(r, "sources_agreeing"), Source: source + ", bearing tables",
		}
		t.add(short, b)
		// 68xx and 69xx are the same bearings with the width digit left out.
		if series, ok := strings.CutPrefix(b.Series, "61"); ok && family == DeepGroove {
			t.byKey["6"+series+b.BoreCode] = t.byKey[b.Base]
		}
	}
}

func (t *bearingTables) readTapered() {
	for _, r := range readTable("bearings_tapered_roller") {
		b := Bearing{
			Family: Tapered, Base: r.text("designation"), Series: r.text("series"), BoreCode: r.text("bore_code"),
			Bore: r.mm("d_mm"), Outside: r.mm("D_mm"), Width: r.mm("T_mm"),
			InnerWidth: r.mm("B_mm"), OuterWidth: r.mm("C_mm"),
			Agreeing: agreeing(r, "sources_agreeing_D_T"), Source: "ISO 355, bearing tables",
		}
		t.addAs(b.Series+b.BoreCode, "taper", b)
	}
}

// readCylindrical reads the N, NU and NJ rows and adds the forms that share
// their envelope: NUP, the forms without one ring, and N where only NU or NJ
// of a size is tabled.
func (t *bearingTables) readCylindrical() {
	for _, r := range readTable("bearings_cylindrical_roller") {
		t.add("cylindrical", Bearing{
			Family: Cylindrical, Type: r.text("type"), Base: r.text("designation"),
			Series: r.text("type") + r.text("series"), BoreCode: r.text("bore_code"),
			Bore: r.mm("d_mm"), Outside: r.mm("D_mm"), Width: r.mm("B_mm"),
			Agreeing: agreeing(r, "sources_agreeing"), Source: "ISO 15, bearing tables",
		})
	}
	for _, row := range append([]*bearingRow(nil), t.order...) {
		if row.Family != Cylindrical {
			continue
		}
		for _, form := range []string{"NU", "NJ", "NUP", "N", "RNU", "RN"} {
			b := row.Bearing
			digits := strings.TrimPrefix(b.Series, b.Type)
			b.Type, b.Series, b.Base = form, form+digits, form+" "+digits+b.BoreCode
			if _, have := t.byKey[tableKey(b.Base)]; have {
				continue
			}
			b.Source = "ISO 15, envelope of " + row.Base + ", bearing tables"
			switch form {
			case "RNU":
				b.Bore = 0
				b.Source += "; Fw depends on the internal design and is not tabled"
			case "RN":
				b.Outside = 0
				b.Source += "; Ew depends on the internal design and is not tabled"
			}
			t.add("cylindrical", b)
		}
	}
}

func (t *bearingTables) readNeedles() {
	for _, r := range readTable("bearings_drawn_cup_needle") {
		b := Bearing{
			Family: DrawnCup, Type: r.text("type"), Base: r.text("designation"),
			Fw: r.mm("Fw_mm"), Outside: r.mm("D_mm"), Width: r.mm("C_mm"),
			Agreeing: agreeing(r, "sources_agreeing"), Source: "ISO 3245, bearing tables",
		}
		t.add("cup", b)
		t.noteCupSize(b)
	}
	for _, r := range readTable("bearings_needle_machined") {
		b := Bearing{
			Family: NeedleRing, Type: r.text("type"), Base: r.text("designation"),
			Bore: r.mm("d_mm"), Fw: r.mm("Fw_mm"), Outside: r.mm("D_mm"), Width: r.mm("B_or_C_mm"),
			Agreeing: agreeing(r, "sources_agreeing"), Source: "ISO 1206, bearing tables",
		}
		if digits, ok := strings.CutPrefix(b.Base, "NA "); ok {
			b.Series, b.BoreCode = "NA"+digits[:2], digits[2:]
			t.add("needle", b)
			b.Type, b.Base, b.Series, b.Bore = "RNA", "RNA "+digits, "RNA"+digits[:2], 0
			b.Source += ", NA row without inner ring"
		}
		if b.Type == "NKI" {
			b.Fw = 0 // hidden by the inner ring; the tables do not carry it
		}
		t.add("needle", b)
	}
}

// noteCupSize records the outside diameters met for one type and Fw.
func (t *bearingTables) noteCupSize(b Bearing) {
	key := b.Type + b.Fw.MM()
	for _, d := range t.cupSizes[key] {
		if d == b.Outside {
			return
		}
	}
	t.cupSizes[key] = append(t.cupSizes[key], b.Outside)
}

func (t *bearingTables) readCages() {
	for _, r := range readTable("bearings_needle_cage") {
		t.add("cage", Bearing{
			Family: NeedleCage, Type: "K", Base: r.text("designation"),
			Fw: r.mm("Fw_mm"), Ew: r.mm("Ew_mm"), Width: r.mm("Bc_mm"),
			Agreeing: agreeing(r, "sources_agreeing"), Source: "ISO 3030, bearing tables",
		})
	}
}

func (t *bearingTables) readThrustNeedles() {
	for _, r := range readTable("bearings_thrust_needle") {
		t.add("thrustneedle", Bearing{
			Family: ThrustCage, Type: r.text("type"), Base: r.text("designation"),
			Bore: r.mm("bore_mm"), Outside: r.mm("outside_d_mm"), Width: r.mm("thickness_mm"),
			Source: "ISO 3031, from memory: " + r.text("component"),
		})
	}
}

// BearingsBySize gives the base designations whose nominal sizes are inner
// (bore, or Fw without inner ring), outer (outside, or Ew of a cage) and width;
// a zero argument matches any size. Forms without one ring are left out.
func BearingsBySize(inner, outer, width quantity.Length) []Bearing {
	var found []Bearing
	same := func(want quantity.Length, have ...quantity.Length) bool {
		for _, h := range have {
			if want == 0 || h == want && h != 0 {
				return true
			}
		}
		return false
	}
	for _, row := range bearings().order {
		if row.Type == "RNU" || row.Type == "RN" {
			continue
		}
		in, out := row.Bore, row.Outside
		if in == 0 {
			in = row.Fw
		}
		if out == 0 {
			out = row.Ew
		}
		if same(inner, in) && same(outer, out) && same(width, row.Width) {
			found = append(found, row.Bearing)
		}
	}
	return found
}

// BoreOfCode gives the bore for a two-digit bore code (ISO 15 and ISO 355
// designations): 00, 01, 02, 03 are 10, 12, 15, 17 mm, 04 to 96 five times the
// code. ok is false for anything else.
func BoreOfCode(code string) (bore quantity.Length, ok bool) {
	n, err := strconv.Atoi(code)
	if err != nil || len(code) != 2 || n < 0 || n > 96 {
		return 0, false
	}
	if n < 4 {
		return []quantity.Length{10, 12, 15, 17}[n] * quantity.MM, true
	}
	return quantity.Length(n) * 5 * quantity.MM, true
}
