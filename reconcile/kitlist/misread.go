package kitlist

import (
	"strings"

	"layshaft/catalog/quantity"
)

// repairSizes reads groups of sides in which text recognition took letters for digits: "35x5Ox8", "3O x 62 x l6". The
// whole token must become a group of sides, and fewer letters than digits may be changed.
func (e *entry) repairSizes() {
	for i := e.body; i < e.b; {
		if e.at[i].class == cSpace {
			i++
			continue
		}
		b := i
		digits, letters := false, false
		for b < e.b && e.at[b].class != cSpace && e.at[b].role == none {
			digits = digits || e.at[b].class == cDigits
			letters = letters || e.at[b].class == cLetters && e.at[b].text != "x"
			b++
		}
		if digits && letters {
			e.repairSize(i, b)
		}
		i = max(b, i+1)
	}
}

func (e *entry) repairSize(a, b int) {
	raw := strings.ToLower(e.raw(a, b))
	if len(raw) > 24 {
		return
	}
	changed, digits := 0, 0
	fixed := strings.Map(func(r rune) rune {
		if d, ok := confused[r]; ok && r != 'g' && r != 'z' {
			changed++
			return rune(d)
		}
		if '0' <= r && r <= '9' {
			digits++
		}
		return r
	}, raw)
	if changed == 0 || changed > digits {
		return
	}
	g := SizeGroup{Start: e.start(a)}
	sides := strings.Split(fixed, "x")
	if len(sides) == 1 && !(strings.HasPrefix(fixed, "0.") || strings.HasPrefix(fixed, "0,")) || len(sides) > maxSides {
		return
	}
	for _, s := range sides {
		l, err := quantity.ParseLengthIn(s, quantity.Millimetre)
		if err != nil || strings.ContainsAny(s, " /-+") {
			return
		}
		g.Measures = append(g.Measures, Measure{Raw: s, Length: l, Start: e.start(a), End: e.end(b)})
	}
	e.ask("misread", "was "+e.raw(a, b)+" read rightly as "+fixed+"?", a, b)
	e.addSize(g, a, b)
}
