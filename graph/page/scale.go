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
	const left, width, row, right = 104.0, 190.0, 28.0, 306.0
	x := func(v float64) float64 { return left + (v-from)/(to-from)*width }
	height := 34 + row*float64(len(shown))
	var b strings.Builder
	fmt.Fprintf(&b, `<svg class="scale" viewBox="0 0 384 %.0f" width="384" height="%.0f" role="img" aria-label="%s">`,
		height, height, html.EscapeString(say("measure.scale", r.Min, r.Max)))
	fmt.Fprintf(&b, `<rect class="window" x="%.1f" y="20" width="%.1f" height="%.1f"/>`, x(lo), x(hi)-x(lo), height-24)
	fmt.Fprintf(&b, `<text x="%.1f" y="14" text-anchor="middle">%s – %s mm</text>`, min(max(x((lo+hi)/2), 80), 300), html.EscapeString(r.Min), html.EscapeString(r.Max))
	for i := range shown {
		c := &shown[i]
		y := 37 + row*float64(i)
		fmt.Fprintf(&b, `<text x="92" y="%.1f" text-anchor="end">%s</text><path class="axis" d="M%.0f %.1fh%.0f"/>`, y+4, html.EscapeString(c.pieces()), left, y, width)
		if c.Inside {
			fmt.Fprintf(&b, `<circle class="in" cx="%.1f" cy="%.1f" r="6"/>`, x(number64(c.Play)), y)
		} else {
			fmt.Fprintf(&b, `<path class="out" d="M%.1f %.1fl12 12m0-12l-12 12"/>`, x(number64(c.Play))-6, y-6)
		}
		fmt.Fprintf(&b, `<text x="%.0f" y="%.1f">%s mm</text>`, right, y+4, html.EscapeString(thousandths(c.Play, 0)))
	}
	b.WriteString(`</svg>`)
	return b.String()
}

// thousandths shortens a decimal text to three places: toward the side, -1 for
// down and 1 for up, so that the ends of a window never widen; 0 for the nearer.
func thousandths(s string, side int) string {
	whole, part, _ := strings.Cut(s, ".")
	if len(part) <= 3 {
		return s
	}
	negative := strings.HasPrefix(whole, "-")
	n, err := strconv.ParseInt(strings.TrimPrefix(whole, "-")+part[:3], 10, 64)
	if err != nil {
		return s
	}
	rest := strings.TrimRight(part[3:], "0")
	away := side > 0
	if negative {
		away = side < 0
	}
	if rest != "" && (away || side == 0 && rest[0] >= '5') {
		n++
	}
	if negative {
		n = -n
	}
	sign := ""
	if n < 0 {
		sign, n = "-", -n
	}
	return fmt.Sprintf("%s%d.%03d", sign, n/1000, n%1000)
}

// pieces of a candidate as people say them.
func (c *GradeOut) pieces() string {
	var out []string
	for _, x := range c.Pieces {
		out = append(out, x.Thickness)
	}
	return strings.Join(out, " + ")
}

func number64(s string) float64 {
	f, _ := strconv.ParseFloat(s, 64) // the API writes plain decimals
	return f
}
