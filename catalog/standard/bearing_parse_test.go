package standard

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Designations from published bearing tables (ISO 15, 355, 3245, 1206, 3030,
// 3031, 104) in the writings of kit lists.
func TestParseBearing(t *testing.T) {
	for text, want := range map[string]string{
		"6207-2rs/c3 nr":    "6207 2RS NR C3|35x72x17",
		"6207 2RS C3 NR":    "6207 2RS NR C3|35x72x17",
		"6207NR/C3-2RS1":    "6207 2RS NR C3|35x72x17",
		"6207 N NR":         "6207 NR|35x72x17",
		"6207DDUCM":         "6207 2RS CM|35x72x17",
		"6207 CN":           "6207|35x72x17",
		"6207 P0":           "6207|35x72x17",
		"6207 2 RS - C 3":   "6207 2RS C3|35x72x17",
		"6207 ZZE":          "6207 2Z E|35x72x17",
		"6908zz":            "61908 2Z|40x62x12",
		"61908-2Z":          "61908 2Z|40x62x12",
		"16007":             "16007|35x62x9",
		"6205":              "6205|25x52x15",
		"6305":              "6305|25x62x17",
		"6306":              "6306|30x72x19",
		"6008":              "6008|40x68x15",
		"HK1612":            "HK 1612|16x22x12",
		"hk 2016":           "HK 2016|20x26x16",
		"HK 16x12":          "HK 1612|16x22x12",
		"HK 1614 RS":        "HK 1614 RS|16x22x14",
		"HK 1214 RS":        "HK 1214 RS|12x?x14",
		"K30x35x17":         "K 30x35x17|30x35x17",
		"k 30 X 35 × 17 TN": "K 30x35x17 TN|30x35x17",
		"NU 206 E":          "NU 206 E|30x62x16",
		"nu206ecp":          "NU 206 P E|30x62x16",
		"NJ206":             "NJ 206|30x62x16",
		"NUP 2206 EC3":      "NUP 2206 C3 E|30x62x20",
		"RNU206":            "RNU 206|?x62x16",
		"RN 206":            "RN 206|30x?x16",
		"N 2206":            "N 2206|30x62x20",
		"32006X":            "32006 X|30x55x17",
		"32006 x":           "32006 X|30x55x17",
		"32006":             "32006 X|30x55x17",
		"32006-X/P6X":       "32006 X P6X|30x55x17",
		"30206":             "30206|30x62x17.25",
		"32206 J2":          "32206 J2|30x62x21.25",
		"30207":             "30207|35x72x18.25",
		"NK30-20":           "NK 30/20|30x40x20",
		"rna4906":           "RNA 4906|35x47x17",
		"NA 4906":           "NA 4906|30x47x17",
		"AXK3047":           "AXK 3047|30x47x2",
		"51106":             "51106|30x47x11",
		"6206 K":            "6206 K|30x62x16",
		"6207 VVX9":         "6207 VVX9|35x72x17",
	} {
		b, err := ParseBearing(text)
		if err != nil {
			t.Errorf("%q: %v", text, err)
			continue
		}
		if got := b.Canonical() + "|" + b.Sizes(); got != want {
			t.Errorf("%q: %s, want %s", text, got, want)
		}
		again, err := ParseBearing(b.Canonical())
		if err != nil || again.Canonical() != b.Canonical() || Compare(b, again).Verdict != Equal {
			t.Errorf("%q: canonical %q reads as %q, %v", text, b.Canonical(), again.Canonical(), err)
		}
	}
}

func TestParseBearingRefuses(t *testing.T) {
	for text, want := range map[string]string{
		"":                       "nothing to read",
		"6250":                   "bore code 50",
		"6299":                   "99 is no bore code",
		"7207":                   "series 72 is not known",
		"HK 9999":                "no HK of this size",
		"K 30x35":                "no K of this size",
		"K 30x35x18":             "no K of this size",
		"NU 2":                   "no NU of this size",
		"bearing":                "no rolling-bearing designation",
		"\u00e9":                 "no rolling-bearing designation",
		"NK":                     "no NK of this size",
		strings.Repeat("6", 200): "too long",
	} {
		b, err := ParseBearing(text)
		if err == nil {
			t.Errorf("%q taken as %s", text, b.Canonical())
			continue
		}
		if !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %q", text, err, want)
		}
	}
}

func TestSuffixesThatChangeTheEnvelope(t *testing.T) {
	for text, want := range map[string]bool{
		"6207 2RS": false, "6207 ZZ": false, "6207 C3": false, "6207 M": false, "6207 P6": false, "NU 206 E": false,
		"6207 N": true, "6207 NR": true, "6207 K": true, "NU 206 K30": true, "HK 1614 RS": true,
	} {
		b, err := ParseBearing(text)
		if err != nil || len(b.Suffixes) != 1 {
			t.Fatalf("%q: %+v %v", text, b.Suffixes, err)
		}
		if b.Suffixes[0].ChangesEnvelope != want || b.Suffixes[0].Meaning == "" || b.Suffixes[0].Basis == "" {
			t.Errorf("%q: %+v", text, b.Suffixes[0])
		}
	}
	b, _ := ParseBearing("6207 ZNR C3")
	if b.Seals != "Z" || !b.HasGroove || !b.RingIncluded || b.Clearance != "C3" || b.Groove == nil || b.Groove.WidthMax.MM() != "2.2" {
		t.Errorf("%+v", b)
	}
	if b, _ = ParseBearing("61907 N"); !b.HasGroove || b.Groove != nil {
		t.Error("a groove was invented for series 619")
	}
}

func TestCompare(t *testing.T) {
	for _, c := range []struct {
		a, b    string
		verdict Verdict
		aspects string
	}{
		{"6207-2RS C3 NR", "6207 NR/C3 DDU", Equal, ""},
		{"6908", "61908", Equal, ""},
		{"32006", "32006 X", Equal, ""},
		{"6207 CN", "6207", Equal, ""},
		{"NU 206 EC", "NU206E", Equal, ""},
		{"6207", "6207 C3", SameEnvelope, "clearance"},
		{"6207 N", "6207 NR", SameEnvelope, "groove!"},
		{"6207", "6207 2RS NR", SameEnvelope, "seal groove!"},
		{"NU 206", "NJ 206", SameEnvelope, "form"},
		{"6206", "NU 206", SameEnvelope, "kind"},
		{"HK 1612", "BK 1612", SameEnvelope, "form"},
		{"6207 VVX9", "6207", SameEnvelope, "suffix not understood"},
		{"6207", "6307", DifferentEnvelope, "outside! width! form"},
		{"6207", "6208", DifferentEnvelope, "bore! outside! width! form"},
		{"HK 1612", "HK 1614 RS", DifferentEnvelope, "width! form seal"},
		{"6206", "6206 K", DifferentEnvelope, "bore taper!"},
		{"30206", "32206", DifferentEnvelope, "width! inner ring width! outer ring width! form"},
	} {
		a, errA := ParseBearing(c.a)
		b, errB := ParseBearing(c.b)
		if errA != nil || errB != nil {
			t.Fatal(errA, errB)
		}
		for range 2 {
			got := Compare(a, b)
			var aspects []string
			for _, d := range got.Differences {
				mark := ""
				if d.Envelope {
					mark = "!"
				}
				aspects = append(aspects, d.Aspect+mark)
				if d.A == d.B || d.Note == "" {
					t.Errorf("%s, %s: %+v", c.a, c.b, d)
				}
			}
			if got.Verdict != c.verdict || strings.Join(aspects, " ") != c.aspects {
				t.Errorf("%s, %s: %s %v", c.a, c.b, got.Verdict, aspects)
			}
			a, b = b, a
		}
	}
}

// Any order and any separators of the same suffixes give one canonical
// designation, found whole in a line.
func TestSuffixOrderDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		bases := []string{"6207", "6306", "6010"}
		base := rapid.SampledFrom(bases).Draw(t, "base")
		chosen := rapid.SliceOfNDistinct(rapid.SampledFrom([]string{"2RS", "C3", "NR", "P6", "TN9", "S1"}), 0, 5, rapid.ID).Draw(t, "suffixes")
		marks := rapid.SliceOfN(rapid.SampledFrom([]string{" ", "-", "/", " - "}), len(chosen), len(chosen)).Draw(t, "marks")
		text := base
		for i, suffix := range chosen {
			text += marks[i] + suffix
		}
		plain := base
		for _, suffix := range []string{"S1", "TN9", "P6", "NR", "C3", "2RS"} {
			for _, have := range chosen {
				if have == suffix {
					plain += " " + suffix
				}
			}
		}
		got, err := ParseBearing(text)
		want, err2 := ParseBearing(plain)
		if err != nil || err2 != nil || got.Canonical() != want.Canonical() || Compare(got, want).Verdict != Equal {
			t.Fatalf("%q %q, %q %q", text, got.Canonical(), plain, want.Canonical())
		}
		line := "1 x " + text + "\t18,40"
		found := FindBearings(line)
		if len(found) != 1 || line[found[0].Start:found[0].End] != text || found[0].Bearing.Canonical() != want.Canonical() {
			t.Fatalf("%q: %+v", line, found)
		}
	})
}
