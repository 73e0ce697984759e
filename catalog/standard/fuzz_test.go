package standard

import (
	"strings"
	"testing"
)

var fuzzSeeds = []string{
	"6207-2rs/c3 nr", "HK1612", "HK 1614 RS", "K 30x35x17.5", "NU 206 E", "32006X 2", "NK 30/20", "30 k6", "30 H7/k6", "M30x1,5-LH",
	"35x50x8 seal", "circlip 30 shaft", "o-ring 215", "2 x 6207 NR 12,50", "6206/6306", "Ø72 J7", "6207×2", "€6207", "what is a 6908zz?",
}

// FuzzFindBearings: spans lie in order inside the text, and what is found is
// what the strict parser reads there.
func FuzzFindBearings(f *testing.F) {
	for _, s := range fuzzSeeds {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		last := 0
		for _, found := range FindBearings(text) {
			if found.Start < last || found.End <= found.Start || found.End > len(text) {
				t.Fatalf("span %d-%d after %d in %q", found.Start, found.End, last, text)
			}
			last = found.End
			b := found.Bearing
			if b.Written != text[found.Start:found.End] || b.Base == "" || b.Width <= 0 {
				t.Fatalf("%q: %+v", text, b)
			}
			if len(b.Written) > maxDesignation {
				continue
			}
			again, err := ParseBearing(b.Written)
			if err != nil || again.Canonical() != b.Canonical() {
				t.Fatalf("%q: found %q, parsed %q %v", b.Written, b.Canonical(), again.Canonical(), err)
			}
		}
	})
}

// FuzzDecode: no panic; an answer has title and source; a refusal has a place
// inside the text and a remedy; a bearing's canonical text reads as itself.
func FuzzDecode(f *testing.F) {
	for _, s := range fuzzSeeds {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		a, err := Decode(text)
		if err != nil {
			e, ok := err.(*DesignationError)
			if !ok || e.Remedy == "" || e.Offset < 0 || e.Offset > len(e.Text) {
				t.Fatalf("%q: %#v", text, err)
			}
		} else if a.Title == "" || a.Source == "" || len(a.Facts)+len(a.Notes) == 0 {
			t.Fatalf("%q: %+v", text, a)
		}
		if b, err := ParseBearing(text); err == nil && len(b.Unknown) == 0 {
			again, err := ParseBearing(b.Canonical())
			if err != nil || again.Canonical() != b.Canonical() || Compare(b, again).Verdict != Equal {
				t.Fatalf("%q: %q then %q, %v", text, b.Canonical(), again.Canonical(), err)
			}
		}
		if l, err := ParseLimits(text); err == nil {
			again, err := ParseLimits(l.Nominal.MM() + " " + l.Symbol)
			if err != nil || again != l || l.Upper < l.Lower {
				t.Fatalf("%q: %v then %v, %v", text, l, again, err)
			}
		}
		if th, err := ParseThread(text); err == nil {
			if again, err := ParseThread(th.String()); err != nil || again != th {
				t.Fatalf("%q: %+v then %+v, %v", text, th, again, err)
			}
		}
	})
}

// BenchmarkFindBearings reads one line of a kit list per operation.
func BenchmarkFindBearings(b *testing.B) {
	lines := []string{
		"Brg frt i/p 6207 NR\t1\t18,40", "c/shaft brgs 30206 & 32206, 1 ea", "Synchro 3/4\t2\t21.00\t42.00",
		"Roulement à aiguilles K 30x35x17 VD22 0 17", "Gasket set incl. front seal 35x50x8", "HK1612 x2", "Nut m/s L/H 6.50",
		"Thrust washer 2.45 mm, 2 off, part TB-1042-07", strings.Repeat("no bearing in here ", 5),
	}
	FindBearings(lines[0])
	b.ReportAllocs()
	n := 0
	for b.Loop() {
		FindBearings(lines[n%len(lines)])
		n++
	}
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "lines/s")
}
