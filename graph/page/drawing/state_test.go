package drawing

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"layshaft/catalog"
)

func distance(a, b []float64) float64 {
	sum := 0.0
	for i := range a {
		sum += (a[i] - b[i]) * (a[i] - b[i])
	}
	return sum
}

// naive pushes to the right, then back from the end: sound, not the nearest.
func naive(want []float64, pitch, lo, hi float64) []float64 {
	out := slices.Clone(want)
	for i := range out {
		out[i] = max(out[i], lo+pitch*float64(i))
		if i > 0 {
			out[i] = max(out[i], out[i-1]+pitch)
		}
	}
	for i, n := len(out)-1, 0; i >= 0; i, n = i-1, n+1 {
		out[i] = min(out[i], hi-pitch*float64(n))
	}
	return out
}

// Without colour every state still differs by the form of its frame or by the
// dashes and weights of its lines.
func TestStatesDifferWithoutColour(t *testing.T) {
	rule := regexp.MustCompile(`(?m)^([^{}@/]*)\{([^}]*)\}`)
	seen := map[string]State{}
	for _, e := range Legend(nil) {
		style := ""
		for _, m := range rule.FindAllStringSubmatch(CSS, -1) {
			if strings.Contains(m[1], "ly-st-"+string(e.State)) && !strings.Contains(m[1], ":not") && e.State != Plain {
				for _, decl := range strings.Split(m[2], ";") {
					if strings.Contains(decl, "dash") || strings.Contains(decl, "width") {
						style += strings.TrimSpace(decl) + ";"
					}
				}
			}
		}
		frame := regexp.MustCompile(`ly-st-[a-z-]+`).ReplaceAllString(e.SVG, "")
		if other, ok := seen[frame+style]; ok {
			t.Errorf("%q looks like %q without colour", e.State, other)
		}
		seen[frame+style] = e.State
		if e.Word == "" {
			t.Errorf("%q has no word", e.State)
		}
	}
	if len(seen) != len(States) || len(frames) != len(States) {
		t.Errorf("%d looks, %d frames for %d states", len(seen), len(frames), len(States))
	}
}

func TestStateIsSaidAndShown(t *testing.T) {
	ix := shop(t)
	p := Draw(ix, "bw76", "bw76-lw2", Options{
		States:  map[catalog.PositionID]State{"gear-2nd": Replace, "main-shim": AfterMeasuring, "breather": "nonsense"},
		Current: "gear-2nd",
		Href:    func(id catalog.PositionID) string { return "/jobs/1?at=" + string(id) + "&x=1" },
	})
	gear, _ := p.Item("gear-2nd")
	if gear.Label != "14 2nd gear, main shaft, 34 teeth: Replace" {
		t.Errorf("label %q", gear.Label)
	}
	if it, _ := p.Item("breather"); it.State != Plain {
		t.Errorf("state %q of nonsense", it.State)
	}
	svg := p.SVG()
	for _, want := range []string{
		`class="ly-i ly-st-replace ly-now" id="pic-gear-2nd" href="/jobs/1?at=gear-2nd&amp;x=1" data-position="gear-2nd"`,
		`class="ly-i ly-st-after-measuring" id="pic-main-shim"`,
	} {
		if !strings.Contains(svg, want) {
			t.Errorf("no %s", want)
		}
	}
}

func TestWordsCanBeTranslated(t *testing.T) {
	p := Draw(shop(t), "bw76", "bw76-lw2", Options{Say: func(key string) string {
		return map[string]string{"state.": "offen", "teeth": "Z\u00e4hne", "group.shift": "Schaltung"}[key]
	}})
	svg := p.SVG()
	for _, want := range []string{"34 Z\u00e4hne: offen", ">Schaltung<", ">Case<"} {
		if !strings.Contains(svg, want) {
			t.Errorf("no %q", want)
		}
	}
}

func TestCleanCutsAndStrips(t *testing.T) {
	for _, c := range []struct {
		in    string
		limit int
		want  string
	}{
		{"Main shaft", 20, "Main shaft"},
		{"Main \t\n shaft ", 20, "Main shaft"},
		{"a\u202eb\u2066c\x00d", 20, "abcd"},
		{"abcdefghij", 5, "abcd\u2026"},
		{"", 5, ""},
	} {
		if got := clean(c.in, c.limit); got != c.want {
			t.Errorf("clean(%q, %d) = %q, not %q", c.in, c.limit, got, c.want)
		}
	}
}

// Text at 4.5:1 and lines at 3:1 against the ground, in light and dark
// (WCAG 2.2, 1.4.3 and 1.4.11).
func TestPaletteContrast(t *testing.T) {
	colour := regexp.MustCompile(`--ly-([a-z-]+): light-dark\(#([0-9a-f]{6}), #([0-9a-f]{6})\)`)
	pal := map[string][2]float64{}
	for _, m := range colour.FindAllStringSubmatch(CSS, -1) {
		pal[m[1]] = [2]float64{luminance(t, m[2]), luminance(t, m[3])}
	}
	if len(pal) < 10 {
		t.Fatalf("%d colours", len(pal))
	}
	for name, l := range pal {
		if name == "paper" || name == "body" {
			continue
		}
		for mode, ground := range pal["paper"] {
			// Filled frames carry their number in the colour of the paper.
			if r := ratio(l[mode], ground); r < 4.5 {
				t.Errorf("%s on paper, mode %d: %.2f", name, mode, r)
			}
			if r := ratio(l[mode], pal["body"][mode]); r < 3 {
				t.Errorf("%s on a body, mode %d: %.2f", name, mode, r)
			}
		}
	}
}

func luminance(t *testing.T, hex string) float64 {
	sum := 0.0
	for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
		n, err := strconv.ParseUint(hex[2*i:2*i+2], 16, 8)
		if err != nil {
			t.Fatal(err)
		}
		c := float64(n) / 255
		if c <= 0.04045 {
			c /= 12.92
		} else {
			c = math.Pow((c+0.055)/1.055, 2.4)
		}
		sum += weight * c
	}
	return sum
}

func ratio(a, b float64) float64 { return (max(a, b) + 0.05) / (min(a, b) + 0.05) }

// The picture of a whole gearbox stays small on the wire.
func TestWeight(t *testing.T) {
	ix := shop(t)
	for _, v := range ix.Variants() {
		for _, form := range forms {
			svg := Draw(ix, v.Family, v.ID, Options{Form: form}).SVG()
			if n := zipped(svg); n > 20_000 {
				t.Errorf("%s %s: %d bytes compressed", v.ID, form, n)
			}
		}
	}
}

func zipped(s string) int {
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	fmt.Fprint(z, s)
	z.Close()
	return b.Len()
}

func BenchmarkDraw(b *testing.B) {
	ix := shop(b)
	for _, form := range forms {
		b.Run(string(form), func(b *testing.B) {
			b.ReportAllocs()
			svg := ""
			for b.Loop() {
				svg = Draw(ix, "bw76", "bw76-lw2", Options{Form: form}).SVG()
			}
			b.ReportMetric(float64(len(svg)), "bytes")
			b.ReportMetric(float64(zipped(svg)), "gzip-bytes")
		})
	}
}
