package page

import (
	"fmt"
	"html"
	"strconv"
	"strings"
)

// scaleSVG draws the window and the play that every grade gives on one line.
// Floats place strokes and nothing else.
func scaleSVG(r *StackOut) string {
	lo, hi := number64(r.Min), number64(r.Max)
	shown := r.Candidates[:min(8, len(r.Candidates))]
	from, to := lo, hi
	for i := range shown {
		from, to = min(from, number64(shown[i].Play)), max(to, number64(shown[i].Play))
	}
	if to <= from {
		return ""
	}
	const left, width, row = 92.0, 430.0, 26.0
	x := func(v float64) float64 { return left + (v-from)/(to-from)*width }
	height := 34 + row*float64(len(shown))
	var b strings.Builder
	fmt.Fprintf(&b, `<svg class="scale" viewBox="0 0 620 %.0f" width="620" height="%.0f" role="img" aria-label="%s">`,
		height, height, html.EscapeString(say("measure.scale", r.Min, r.Max)))
	fmt.Fprintf(&b, `<rect class="window" x="%.1f" y="20" width="%.1f" height="%.1f"/>`, x(lo), x(hi)-x(lo), height-24)
	fmt.Fprintf(&b, `<text x="%.1f" y="14" text-anchor="middle">%s – %s mm</text>`, min(max(x((lo+hi)/2), 70), 550), html.EscapeString(r.Min), html.EscapeString(r.Max))
	for i := range shown {
		c := &shown[i]
		y := 36 + row*float64(i)
		fmt.Fprintf(&b, `<text x="84" y="%.1f" text-anchor="end">%s</text><path class="axis" d="M%.0f %.1fh%.0f"/>`, y+4, html.EscapeString(c.Thickness), left, y, width)
		if c.Inside {
			fmt.Fprintf(&b, `<circle class="in" cx="%.1f" cy="%.1f" r="6"/>`, x(number64(c.Play)), y)
		} else {
			fmt.Fprintf(&b, `<path class="out" d="M%.1f %.1fl12 12m0-12l-12 12"/>`, x(number64(c.Play))-6, y-6)
		}
		fmt.Fprintf(&b, `<text x="532" y="%.1f">%s mm</text>`, y+4, html.EscapeString(c.Play))
	}
	b.WriteString(`</svg>`)
	return b.String()
}

func number64(s string) float64 {
	f, _ := strconv.ParseFloat(s, 64) // the API writes plain decimals
	return f
}
