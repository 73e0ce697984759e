package measure

import (
	"slices"
	"strings"
	"testing"
)

func TestParseReading(t *testing.T) {
	for text, want := range map[string][]string{
		"depth = 24.86; 24.87; 24.85 mm":   {"depth", "24.86 mm", "24.87 mm", "24.85 mm"},
		"depth=24,86 mm":                   {"depth", "24,86 mm"},
		`travel = 0.0185; (0.03); 0.0186"`: {"travel", `0.0185"`, `(0.03")`, `0.0186"`},
		"gap = 0.46; 0.47;":                {"gap", "0.46", "0.47"},
		"torque = 1.8 N.m; 1.9 N.m":        {"torque", "1.8 N.m", "1.9 N.m"},
	} {
		r, err := ParseReading(text)
		if err != nil || !slices.Equal(append([]string{r.Name}, r.Values...), want) {
			t.Errorf("%q: %q, %v", text, r, err)
		}
	}
	for _, text := range []string{"", "24.86 mm", "= 3 mm", "depth =", "depth = ;;"} {
		if _, err := ParseReading(text); err == nil || !strings.Contains(err.Error(), "Write it like") {
			t.Errorf("%q: %v", text, err)
		}
	}
}

func FuzzParseReading(f *testing.F) {
	f.Add("depth = 24.86; 24.87; (24.85) mm")
	f.Fuzz(func(t *testing.T, text string) {
		if r, err := ParseReading(text); err == nil && (r.Name == "" || len(r.Values) == 0) {
			t.Errorf("%q gives %q", text, r)
		}
	})
}
