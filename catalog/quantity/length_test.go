package quantity

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestParseLength(t *testing.T) {
	for text, want := range map[string]Length{
		"35 mm": 35 * MM, "0,05mm": 50 * Micron, `1 3/4"`: 44_450_000, "0.003 in": 76_200, "5 µm": 5 * Micron, "5 μm": 5 * Micron,
		"-0.5mm": -500 * Micron, "\u22120.5 mm": -500 * Micron, "+2 um": 2 * Micron, "1/64 in": 396_875, "1-3/4 inch": 44_450_000,
		"5/16\u2033": 7_937_500, "2 thou": 50_800, "1 nm": 1, "2.5 cm": 25 * MM, "1.5 m": 1500 * MM, " 17.250 mm ": 17_250_000,
		".5 mm": 500 * Micron, "35 MM": 35 * MM, "0.000001 mm": 1, "9223372036854775807 nm": math.MaxInt64,
		"-9223372036854775808 nm": math.MinInt64, "9223372036854.775807 mm": math.MaxInt64, "0.5000000000000000000000 mm": 500 * Micron,
		"0 mm": 0, "-0 mm": 0,
	} {
		got, err := ParseLength(text)
		if err != nil || got != want {
			t.Errorf("%q: %d %v, want %d", text, got, err, want)
		}
	}
}

func TestParseLengthRefuses(t *testing.T) {
	for text, want := range map[string]string{
		"35": "without a unit", "": "no number", "mm": "no number", "35 furlong": "not known", "1.234,5 mm": "second decimal mark",
		"5. mm": "no digit after", "1/0 in": "division by zero", "1/3 in": "finer than a nanometre", "0.0000001 mm": "finer",
		"9223372036854775808 nm": "too large", "-9223372036854775809 nm": "too large", "99999999999999999999 mm": "too many digits",
		"1 4/3 in": "not a proper fraction", "1/ in": "no number after", "--1 mm": "no number", "1 M": "not known", "≈1.37795 in": "no number",
		"1 2 mm": "not known", "1e3 mm": "not known", "١ mm": "no number", strings.Repeat("1", 100): "too long", "1/9999999 in": "too large",
	} {
		got, err := ParseLength(text)
		var e *ParseError
		if !errors.As(err, &e) || !strings.Contains(e.Problem, want) || e.Remedy == "" || e.Offset < 0 || e.Offset > len(e.Text) {
			t.Errorf("%q: %d, %v, want %q", text, got, err, want)
		}
	}
}

func TestParseLengthIn(t *testing.T) {
	for _, c := range []struct {
		text string
		unit Unit
		want Length
	}{{"35", Millimetre, 35 * MM}, {"1.5", Inch, 38_100_000}, {"7", Micrometre, 7 * Micron}, {"1 in", Millimetre, In}, {"25.4 mm", Inch, In}} {
		if got, err := ParseLengthIn(c.text, c.unit); err != nil || got != c.want {
			t.Errorf("%q in %s: %d %v", c.text, c.unit, got, err)
		}
	}
	if _, err := ParseLengthIn("1", "ell"); err == nil {
		t.Error("unit ell taken")
	}
}

func TestFormatLength(t *testing.T) {
	for _, c := range []struct {
		l    Length
		unit Unit
		want string
	}{
		{35 * MM, Millimetre, "35 mm"}, {17_250_000, Millimetre, "17.25 mm"}, {-1, Millimetre, "-0.000001 mm"}, {50 * Micron, Micrometre, "50 um"},
		{6_500, Micrometre, "6.5 um"}, {44_450_000, Inch, "1.75 in"}, {396_875, Inch, "0.015625 in"}, {127, Inch, "0.000005 in"},
		{35 * MM, Inch, "≈1.37795 in"}, {-35 * MM, Inch, "≈-1.37795 in"}, {0, Inch, "0 in"}, {MM, "ell", "1 mm"},
		{math.MinInt64, Millimetre, "-9223372036854.775808 mm"}, {math.MaxInt64, Millimetre, "9223372036854.775807 mm"},
	} {
		if got := c.l.Format(c.unit); got != c.want {
			t.Errorf("%d in %s: %q, want %q", int64(c.l), c.unit, got, c.want)
		}
	}
	if Length(math.MinInt64).Abs() != math.MaxInt64 || Length(-3).Abs() != 3 || Length(3).Abs() != 3 {
		t.Error("Abs")
	}
}

func TestLengthRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := Length(rapid.Int64().Draw(t, "nm"))
		for _, unit := range []Unit{Millimetre, Inch, Micrometre} {
			text := l.Format(unit)
			got, err := ParseLength(text)
			if strings.HasPrefix(text, "≈") {
				if err == nil {
					t.Fatalf("rounded %q was read back", text)
				}
				continue
			}
			if err != nil || got != l {
				t.Fatalf("%d as %q: %d %v", int64(l), text, got, err)
			}
		}
		exact := l / 127 * 127
		if strings.HasPrefix(exact.Format(Inch), "≈") {
			t.Fatalf("%d nm is exact in inches", int64(exact))
		}
	})
}

func FuzzParseLength(f *testing.F) {
	for _, s := range []string{"35 mm", "0,05mm", `1 3/4"`, "-1/64 in", "5 µm", "9223372036854775807 nm", "1-3/4 in", "35"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		l, err := ParseLength(text)
		if err != nil {
			var e *ParseError
			if !errors.As(err, &e) || e.Remedy == "" || e.Offset < 0 || e.Offset > len(e.Text) {
				t.Fatalf("%q: %#v", text, err)
			}
			return
		}
		if again, err := ParseLength(l.String()); err != nil || again != l {
			t.Fatalf("%q: %d, again %d %v", text, l, again, err)
		}
		if same, err := ParseLengthIn(text, Inch); err != nil || same != l {
			t.Fatalf("%q: the unit in the text did not win", text)
		}
	})
}
