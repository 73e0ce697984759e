package standard

import (
	"fmt"
	"strings"
	"testing"

	"layshaft/catalog/quantity"
)

// writings gives usual ways to write a base designation with suffixes.
func writings(base string, suffix string) []string {
	tight := strings.ReplaceAll(base, " ", "")
	list := []string{
		base, tight, strings.ToLower(tight), " " + base + " ",
		strings.ReplaceAll(base, " ", "-"), strings.ReplaceAll(base, " ", "  "),
	}
	if strings.Contains(base, "x") {
		list = append(list, strings.ReplaceAll(base, "x", " X "), strings.ReplaceAll(base, "x", "×"))
	}
	if suffix != "" {
		list = append(list, base+" "+suffix, tight+"-"+suffix, tight+"/"+strings.ToLower(suffix), tight+suffix)
	}
	return list
}

// commonSuffix is one suffix each family of the affix table knows.
var commonSuffix = map[string]string{
	"ball": "C3", "taper": "P6", "cylindrical": "C3", "cup": "TN", "needle": "C3", "cage": "TN", "thrustball": "P6", "thrustneedle": "P6",
}

// Every row of every bearing table decodes to its own sizes in every writing,
// and is found in a line. The expected sizes are read from the table files
// again, field by field, so this checks the decoder's path, not the tables:
// those stand on the agreement counted in tables/SOURCES.md.
func TestEveryTabledBearingDecodes(t *testing.T) {
	type file struct {
		name                string
		bore, outside, over string
		width, fw           string
		agree               string
	}
	rows, agreed := 0, 0
	for _, f := range []file{
		{name: "bearings_deep_groove", bore: "d_mm", outside: "D_mm", width: "B_mm", agree: "sources_agreeing"},
		{name: "bearings_tapered_roller", bore: "d_mm", outside: "D_mm", width: "T_mm", agree: "sources_agreeing_D_T"},
		{name: "bearings_cylindrical_roller", bore: "d_mm", outside: "D_mm", width: "B_mm", agree: "sources_agreeing"},
		{name: "bearings_drawn_cup_needle", fw: "Fw_mm", outside: "D_mm", width: "C_mm", agree: "sources_agreeing"},
		{name: "bearings_needle_machined", bore: "d_mm", fw: "Fw_mm", outside: "D_mm", width: "B_or_C_mm", agree: "sources_agreeing"},
		{name: "bearings_needle_cage", fw: "Fw_mm", over: "Ew_mm", width: "Bc_mm", agree: "sources_agreeing"},
		{name: "bearings_thrust_ball", bore: "d_mm", outside: "D_mm", width: "T_mm", agree: "sources_agreeing"},
		{name: "bearings_thrust_needle", bore: "bore_mm", outside: "outside_d_mm", width: "thickness_mm"},
	} {
		for _, r := range readTable(f.name) {
			rows++
			if f.agree != "" && agreeing(r, f.agree) >= 2 {
				agreed++
			}
			want := [5]string{}
			for i, column := range []string{f.bore, f.outside, f.over, f.width, f.fw} {
				if column != "" {
					want[i] = r.text(column)
				}
			}
			for i, v := range want {
				if v == "" {
					want[i] = "0"
				}
			}
			base := r.text("designation")
			row := bearings().byKey[tableKey(strings.TrimSuffix(base, " X"))]
			if row == nil {
				t.Fatalf("%s is not indexed", base)
			}
			for _, text := range writings(base, commonSuffix[row.short]) {
				b, err := ParseBearing(text)
				if err != nil {
					t.Errorf("%q: %v", text, err)
					continue
				}
				got := [5]string{b.Bore.MM(), b.Outside.MM(), b.Ew.MM(), b.Width.MM(), b.Fw.MM()}
				if b.Base != base || got != want || len(b.Unknown) > 0 {
					t.Errorf("%q: %s %v %v, want %s %v", text, b.Base, got, b.Unknown, base, want)
				}
			}
			line := fmt.Sprintf("2 x %s front, 12.50", base)
			if found := FindBearings(line); len(found) != 1 || found[0].Bearing.Base != base {
				t.Errorf("%q: %v", line, found)
			}
		}
	}
	if rows != 1366 || agreed != 1204 {
		t.Errorf("%d rows, %d of them with two or more sources", rows, agreed)
	}
}

// Bore codes: the rule of ISO 15 (00 10 mm, 01 12, 02 15, 03 17, then five
// times the code) is independent of the tables' bore columns.
func TestBoreCodeRule(t *testing.T) {
	checked := 0
	for _, row := range bearings().order {
		if row.BoreCode == "" || row.Bore == 0 {
			continue
		}
		want, ok := BoreOfCode(row.BoreCode)
		if !ok || want != row.Bore {
			t.Errorf("%s: bore %s, code says %s", row.Base, row.Bore, want)
		}
		checked++
	}
	if checked < 679 {
		t.Errorf("only %d rows checked", checked)
	}
	for _, bad := range []string{"", "5", "97", "ab", "-1", "100"} {
		if _, ok := BoreOfCode(bad); ok {
			t.Errorf("bore code %q taken", bad)
		}
	}
}

// ISO 15 gives one outside diameter for a bore and diameter series, whatever
// the family (ISO 355 and ISO 1206 follow the same plan); widths are shared by
// equal dimension series. The tables of the families were gathered apart.
func TestDiameterSeriesAgreeAcrossFamilies(t *testing.T) {
	sameD := map[string]string{ // series -> deep groove series of the same diameter series
		"NU2": "62", "NJ2": "62", "N2": "62", "NU22": "62", "NJ22": "62", "NU3": "63", "NJ3": "63", "N3": "63",
		"NU23": "63", "NJ23": "63", "NU10": "60", "302": "62", "322": "62", "332": "62", "303": "63", "313": "63",
		"323": "63", "320": "60", "330": "60", "160": "60", "NA49": "619", "NA69": "619", "NA48": "618", "329": "619",
	}
	sameB := map[string]bool{"NU2": true, "NJ2": true, "N2": true, "NU3": true, "NJ3": true, "N3": true, "NU10": true}
	checked, widths := 0, 0
	for _, row := range bearings().order {
		series, ok := sameD[row.Series]
		if !ok {
			continue
		}
		ball, ok := bearings().byKey[series+row.BoreCode]
		if !ok {
			continue
		}
		if ball.Outside != row.Outside {
			t.Errorf("%s has D %s, %s has %s", row.Base, row.Outside, ball.Base, ball.Outside)
		}
		checked++
		if sameB[row.Series] {
			widths++
			if ball.Width != row.Width {
				t.Errorf("%s has B %s, %s has %s", row.Base, row.Width, ball.Base, ball.Width)
			}
		}
	}
	if checked < 400 || widths < 150 {
		t.Errorf("only %d diameters and %d widths compared", checked, widths)
	}
	t.Logf("%d outside diameters and %d widths agree across families", checked, widths)
}

// The ISO 464 table prints, beside each D, the bearings that have it.
func TestGroovedBearingsHaveTheirD(t *testing.T) {
	checked := 0
	for _, r := range readTable("bearing_snap_ring_grooves_iso464") {
		for _, name := range strings.Fields(r.text("bearings_with_this_D")) {
			base := strings.TrimSuffix(name, "-N")
			if base == "6413" && r.text("D_mm") == "150" {
				continue // printed twice; ISO 15 gives 6412 for 150
			}
			b, err := ParseBearing(base + " N")
			if err != nil {
				continue // slash bores and sizes beyond the tables
			}
			checked++
			if b.Outside != r.mm("D_mm") || b.Groove == nil || b.RingIncluded || b.Groove.DiameterMax != r.mm("groove_D1_max_mm") {
				t.Errorf("%s: D %s, want %s; groove %+v", name, b.Outside, r.mm("D_mm"), b.Groove)
			}
		}
	}
	if checked < 70 {
		t.Errorf("only %d bearings checked", checked)
	}
}

func TestBearingsBySize(t *testing.T) {
	var bases []string
	for _, b := range BearingsBySize(35*quantity.MM, 72*quantity.MM, 17*quantity.MM) {
		bases = append(bases, b.Base)
	}
	if strings.Join(bases, "|") != "6207|NU 207|NJ 207|N 207|NUP 207" {
		t.Error(bases)
	}
	if got := BearingsBySize(1*quantity.Nanometre, 0, 0); len(got) != 0 {
		t.Error(got)
	}
}
