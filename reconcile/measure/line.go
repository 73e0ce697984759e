package measure

import (
	"fmt"
	"strings"
)

// ParseReading reads a series as a person types it: "depth = 24.86; 24.87; 24.85 mm".
// Values are parted by semicolons, since a comma may be a decimal one. A unit
// behind the last value alone counts for all.
func ParseReading(text string) (Reading, error) {
	name, list, ok := strings.Cut(text, "=")
	name = strings.TrimSpace(name)
	if !ok || name == "" {
		return Reading{}, fmt.Errorf("reading %q names no place. Write it like depth = 24.86; 24.87 mm", shorten(text))
	}
	r := Reading{Name: name}
	for v := range strings.SplitSeq(list, ";") {
		if v = strings.TrimSpace(v); v != "" {
			r.Values = append(r.Values, v)
		}
	}
	if len(r.Values) == 0 {
		return Reading{}, fmt.Errorf("reading %q has no value. Write it like depth = 24.86; 24.87 mm", shorten(text))
	}
	shareUnit(r.Values)
	return r, nil
}

// shareUnit puts the last value's unit behind values that have none.
func shareUnit(values []string) {
	last := values[len(values)-1]
	unit := last[strings.LastIndexAny(last, "0123456789")+1:]
	if strings.TrimSpace(strings.Trim(unit, ")")) == "" {
		return
	}
	for i, v := range values {
		if inner := strings.Trim(v, "()"); bare(strings.TrimSpace(inner)) {
			values[i] = strings.Replace(v, inner, inner+unit, 1)
		}
	}
}
