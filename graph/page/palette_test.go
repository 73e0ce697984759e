package page_test

import (
	"fmt"
	"math"
	"os"
	"regexp"
	"testing"
)

// colour of the palette in its two looks: paper and blueprint.
type colour [2][3]float64

// TestContrast computes the contrast of every pair of colours that the style
// sheet puts on each other, by the formula of WCAG 2.2.
func TestContrast(t *testing.T) {
	p := palette(t)
	grounds := []string{"paper", "slip", "hover"}
	for _, text := range []string{"ink", "pale", "link", "stop", "check", "note", "certain", "likely", "question"} {
		for _, ground := range grounds {
			atLeast(t, p, text, ground, 4.5)
		}
	}
	atLeast(t, p, "paper", "ink", 4.5) // the main button
	for _, line := range []string{"line", "thin"} {
		for _, ground := range grounds {
			atLeast(t, p, line, ground, 3)
		}
	}
}

func atLeast(t *testing.T, p map[string]colour, a, b string, want float64) {
	t.Helper()
	for i, look := range []string{"paper", "blueprint"} {
		if got := contrast(p[a][i], p[b][i]); got < want {
			t.Errorf("%s: %s on %s has contrast %.2f, want %.1f", look, a, b, got, want)
		}
	}
}

// TestGreyscale: the marks tell states apart by shape, so no two states may use
// one mark; the outlines of states that stand beside each other differ as well.
func TestGreyscale(t *testing.T) {
	src, err := os.ReadFile("marks.templ")
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]string{}
	for _, m := range regexp.MustCompile(`<symbol id="m-([a-z-]+)"[^>]*>(.*?)</symbol>`).FindAllStringSubmatch(string(src), -1) {
		if other := seen[m[2]]; other != "" {
			t.Errorf("%s and %s have one shape", other, m[1])
		}
		seen[m[2]] = m[1]
	}
	if len(seen) < 20 {
		t.Errorf("only %d marks found", len(seen))
	}
	css := style(t)
	for _, family := range [][]string{{"stop", "check", "note"}, {"certain", "likely", "question"}, {"order-now", "after-measuring", "question", "blocked"}} {
		outlines := map[string]string{}
		for _, s := range family {
			m := regexp.MustCompile(`\.edge-` + s + `[^{]*\{ border-left: (\S+ \S+)`).FindStringSubmatch(css)
			if m == nil {
				t.Errorf("%s has no outline", s)
				continue
			}
			if other := outlines[m[1]]; other != "" {
				t.Errorf("%s and %s have one outline", other, s)
			}
			outlines[m[1]] = s
		}
	}
}

func style(t *testing.T) string { t.Helper(); return file(t, "page.css") }

func file(t *testing.T, name string) string {
	t.Helper()
	b, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

func palette(t *testing.T) map[string]colour {
	t.Helper()
	out := map[string]colour{}
	for _, m := range regexp.MustCompile(`--([a-z]+): light-dark\((#[0-9a-f]{6}), (#[0-9a-f]{6})\)`).FindAllStringSubmatch(style(t), -1) {
		out[m[1]] = colour{rgb(t, m[2]), rgb(t, m[3])}
	}
	if len(out) < 13 {
		t.Fatalf("only %d colours found", len(out))
	}
	return out
}

func rgb(t *testing.T, hex string) [3]float64 {
	var r, g, b int
	if _, err := fmt.Sscanf(hex, "#%02x%02x%02x", &r, &g, &b); err != nil {
		t.Fatal(err)
	}
	return [3]float64{float64(r) / 255, float64(g) / 255, float64(b) / 255}
}

func luminance(c [3]float64) float64 {
	lin := func(v float64) float64 {
		if v <= 0.04045 {
			return v / 12.92
		}
		return math.Pow((v+0.055)/1.055, 2.4)
	}
	return 0.2126*lin(c[0]) + 0.7152*lin(c[1]) + 0.0722*lin(c[2])
}

func contrast(a, b [3]float64) float64 {
	la, lb := luminance(a), luminance(b)
	return (max(la, lb) + 0.05) / (min(la, lb) + 0.05)
}
