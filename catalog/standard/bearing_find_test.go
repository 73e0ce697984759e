package standard

import (
	"strings"
	"testing"
)

func TestFindBearings(t *testing.T) {
	for text, want := range map[string]string{
		"Brg frt i/p 6207 NR\t1\t18,40":         "6207 NR",
		"c/shaft brgs 30206 & 32206, 1 ea":      "30206|32206",
		"6206/6306":                             "6206|6306",
		"6206-6306":                             "6206|6306",
		"BRG 6306 N, x 1; groove":               "6306 N",
		"BRG6207-2RS/C3":                        "6207 2RS C3",
		"Roulement à aiguilles K 30x35x17 VD22": "K 30x35x17",
		"6207 M/S front":                        "6207",
		"32006 X 2":                             "32006 X",
		"32006X 2":                              "32006 X",
		"6207 Nr. 12":                           "6207",
		"6207 c3 nr":                            "6207 NR C3",
		"6207 NR 2":                             "6207 NR",
		"6207 NR 2RS":                           "6207 2RS NR",
		"6207 nr. 3":                            "6207",
		"6207 NR 104421":                        "6207",
		" 2 x 6207 2RS 12.50":                   "6207 2RS",
		"6207 - 2 RS - C 3":                     "6207 2RS C3",
		"6207x2":                                "6207",
		"6207 BANK":                             "6207",
		"6207-FRONT":                            "6207",
		"6207 (C3) 2 off":                       "6207 C3",
		"• 6207":                                "6207",
		"2×HK1612":                              "HK 1612",
		"     Front        6207NR":              "6207 NR",
		"NU206ETVP2":                            "NU 206 TVP2 E",
		"needle cages 2x K30x35x17":             "K 30x35x17",
		"6207,6306":                             "6207|6306",
		"6308, NR":                              "6308 NR",
		"TB-1001 6207 18,40":                    "6207",

		"invoice 6207 of 2026-03-09": "",
		"total 6207.00":              "",
		"€6207":                      "",
		"6207 €":                     "",
		"6207,50":                    "",
		"1.6207":                     "",
		"TB-6207":                    "",
		"VD62072":                    "",
		"6207-1234":                  "",
		"6200x15x3":                  "",
		"P/N 206":                    "",
		"same as 2035":               "",
		"2026-03-09 16:02":           "",
		"06.03.2026":                 "",
		"6205 km":                    "",
		"62072":                      "",
		"KIT BV5-220 (suite)":        "",
		"tel 6206 6306":              "6306",
		"35x62x8 seal":               "",
	} {
		var got []string
		for _, f := range FindBearings(text) {
			got = append(got, f.Bearing.Canonical())
		}
		if strings.Join(got, "|") != want {
			t.Errorf("%q: found %q, want %q", text, strings.Join(got, "|"), want)
		}
	}
}
