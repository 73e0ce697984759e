package standard

import (
	"math"
	"strings"
	"testing"

	"layshaft/catalog/quantity"
)

func TestEveryTableReads(t *testing.T) {
	files, err := tableFiles.ReadDir("tables")
	if err != nil || len(files) < 19 {
		t.Fatal(len(files), err)
	}
	for _, f := range files {
		if rows := readTable(strings.TrimSuffix(f.Name(), ".csv")); len(rows) < 10 {
			t.Errorf("%s has %d rows", f.Name(), len(rows))
		}
	}
}

// DIN 471 and 472: the groove is deeper than nothing, wider than the ring, and
// grows with the diameter. Known pairs are common practice of ring tables.
func TestRetainingRings(t *testing.T) {
	for side, count := range map[Side]int{Shaft: 121, Hole: 132} {
		rings := retainingRings()[side]
		if len(rings) != count {
			t.Errorf("%s: %d rings", side, len(rings))
		}
		for d, r := range rings {
			inward := d - r.GrooveDiameter
			if side == Hole {
				inward = -inward
			}
			if inward <= 0 || inward > d/8 || r.GrooveWidth <= r.Thickness || r.GrooveWidth > r.Thickness+quantity.MM {
				t.Errorf("%s %s: %+v", side, d, r)
			}
			for d2, r2 := range rings {
				if d < d2 && r.GrooveDiameter >= r2.GrooveDiameter {
					t.Errorf("%s: groove of %s not below that of %s", side, d, d2)
				}
			}
		}
	}
	for text, want := range map[string]string{"circlip 30 shaft": "1.5|28.6", "DIN 471 25": "1.2|23.9", "circlip 62 bore": "2|65", "DIN472 28": "1.2|29.4"} {
		a, err := Decode(text)
		if err != nil || !strings.HasPrefix(a.Title, "DIN 47") {
			t.Fatal(a, err)
		}
		s, d, _ := strings.Cut(want, "|")
		if a.Facts[1].Value != s+" mm" || a.Facts[2].Value != d+" mm" {
			t.Errorf("%s: %v", text, a.Facts)
		}
	}
}

// The printed millimetre columns of the O-ring table are the inch ones times
// 25.4, rounded to a hundredth; one size of the list is a pair of its own.
func TestORingInchesAndMillimetresAgree(t *testing.T) {
	rows := readTable("o_rings_as568")
	if len(rows) != 369 {
		t.Errorf("%d sizes, the standard has 369", len(rows))
	}
	const hundredth = quantity.MM / 100
	for _, r := range rows {
		ring, ok := ORingOf(r.text("dash"))
		if !ok {
			t.Fatal(r.text("dash"))
		}
		if d := (ring.Inside - r.mm("inside_diameter_mm")).Abs(); d > hundredth*6/10 {
			t.Errorf("%s: inside %s, printed %s", ring.Dash, ring.Inside, r.mm("inside_diameter_mm"))
		}
		if d := (ring.Section - r.mm("cross_section_mm")).Abs(); d > hundredth*6/10 {
			t.Errorf("%s: section %s, printed %s", ring.Dash, ring.Section, r.mm("cross_section_mm"))
		}
	}
	if r, ok := ORingOf("-12"); !ok || r.Dash != "012" {
		t.Error("-12 is not 012")
	}
	for _, bad := range []string{"", "-", "000", "9999", "abc"} {
		if _, ok := ORingOf(bad); ok {
			t.Errorf("%q is an O-ring", bad)
		}
	}
}

// d2 and D1 printed in thread tables to ISO 724, every row to a micrometre, and
// against the formula in floating point.
func TestThreads(t *testing.T) {
	rows := readTable("iso_metric_threads")
	for _, r := range rows {
		th, err := ParseThread(r.text("designation"))
		if err != nil {
			t.Error(err)
			continue
		}
		if th.Coarse != (r.text("series") == "coarse") || !th.Listed || th.Pitch != r.mm("pitch_mm") {
			t.Errorf("%s: %+v", r.text("designation"), th)
		}
		if roundMicron(th.PitchDiameter) != r.mm("pitch_diameter_d2_mm") || roundMicron(th.MinorDiameter) != r.mm("minor_diameter_D1_mm") {
			t.Errorf("%s: d2 %s D1 %s", r.text("designation"), th.PitchDiameter, th.MinorDiameter)
		}
		d2 := th.Diameter.Millimetres() - 3*math.Sqrt(3)/8*th.Pitch.Millimetres()
		if math.Abs(d2-th.PitchDiameter.Millimetres()) > 2e-6 {
			t.Errorf("%s: d2 %s, formula %v", th, th.PitchDiameter, d2)
		}
		if again, err := ParseThread(th.String()); err != nil || again != th {
			t.Errorf("%s reads as %+v, %v", th, again, err)
		}
	}
	if len(rows) != 76 {
		t.Errorf("%d rows", len(rows))
	}
	if th, err := ParseThread("m 30 X 1,5 LH"); err != nil || th.String() != "M30x1.5-LH" || th.Listed {
		t.Error(th, err)
	}
	for _, bad := range []string{"", "M", "30x1.5", "M0", "M9.7", "M30x", "M30xx2", "M30x16", "M30x-1", "M99999x1", "Mx", "M30x1.5.2"} {
		if th, err := ParseThread(bad); err == nil {
			t.Errorf("%q taken as %s", bad, th)
		}
	}
}

// Across flats of ISO 272 as nut and bolt tables print them.
func TestHexagons(t *testing.T) {
	for d, s := range map[quantity.Length]quantity.Length{6: 10, 8: 13, 10: 16, 12: 18, 14: 21, 16: 24, 20: 30, 24: 36, 30: 46} {
		if h, ok := HexagonFor(d * quantity.MM); !ok || h.AcrossFlats != s*quantity.MM {
			t.Errorf("M%d: %+v", d, h)
		}
	}
	if _, ok := HexagonFor(31 * quantity.MM); ok {
		t.Error("M31 has a hexagon")
	}
}

func TestSealList(t *testing.T) {
	if len(seals()) != 85 {
		t.Errorf("%d sizes", len(seals()))
	}
	for _, r := range readTable("radial_shaft_seals_iso6194") {
		want := Seal{Shaft: r.mm("shaft_d1_mm"), Bore: r.mm("bore_D_mm"), Width: r.mm("width_b_mm")}
		if strings.ReplaceAll(r.text("designation"), " ", "") != want.String() || want.Shaft >= want.Bore || len(SealsFor(want)) != 1 {
			t.Errorf("%v", want)
		}
	}
}

func TestDecode(t *testing.T) {
	for text, want := range map[string]string{
		"what is a 6207-2RS C3 NR?": "rolling bearing|6207 2RS NR C3",
		"30 k6":                     "ISO 286 limits|30 k6",
		"30 k6/H7":                  "ISO 286 fit|30 H7/k6",
		"Ø72 J7":                    "ISO 286 limits|72 J7",
		"M30x1.5":                   "metric thread|M30x1.5",
		"m8":                        "metric thread|M8",
		"35x50x8 seal":              "radial shaft seal|35x50x8",
		"seal 35 x 51 x 8":          "radial shaft seal|35x51x8",
		"circlip 30 shaft":          "retaining ring|DIN 471 - 30x1.5",
		"o-ring 215":                "O-ring|AS568-215",
		"35x72x17":                  "sizes|35x72x17",
		"HK1612":                    "rolling bearing|HK 1612",
		"front brg 6207 NR":         "rolling bearing|6207 NR",
	} {
		a, err := Decode(text)
		if err != nil || string(a.Subject)+"|"+a.Title != want || a.Source == "" {
			t.Errorf("%q: %s|%s %q %v, want %s", text, a.Subject, a.Title, a.Source, err, want)
		}
	}
	for _, text := range []string{"", "?", "hello", "6250", "300 h6", "30 z6", "M7x9", "circlip 30", "circlip", "circlip 31.7 shaft", "o-ring 999", "m\u00a0?", "1x2", "0x0x0 seal", strings.Repeat("x", 1000)} {
		if a, err := Decode(text); err == nil {
			t.Errorf("%q answered as %s %s", text, a.Subject, a.Title)
		}
	}
}
