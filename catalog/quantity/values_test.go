package quantity

import (
	"encoding"
	"encoding/csv"
	"encoding/json"
	"math"
	"math/big"
	"os"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// Conversion factors of NIST SP 811:2008, Appendix B (testdata/SOURCES.md):
// 100 000 units written out and read must give the factor at the printed
// digits, rounded to the type's own unit.
func TestConversionFactors(t *testing.T) {
	f, err := os.Open("testdata/si_conversion_factors.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	units := map[string]string{
		"inch": "in", "mil (0.001 in)": "thou", "micrometre": "um", "pound-force foot": "lbf·ft", "pound-force inch": "lbf·in",
		"kilogram-force metre": "kgf·m", "kilogram-force centimetre": "kgf·cm",
	}
	checked := 0
	for _, row := range rows[1:] {
		unit, ok := units[row[0]]
		if !ok {
			continue
		}
		checked++
		want, _ := new(big.Rat).SetString(row[2])
		want.Mul(want, big.NewRat(100_000, 1))
		var got *big.Rat
		if row[1] == "m" {
			l, err := ParseLength("100000 " + unit)
			if err != nil {
				t.Fatal(err)
			}
			got = big.NewRat(int64(l), int64(1000*MM))
		} else {
			m, err := ParseTorque("100000 " + unit)
			if err != nil {
				t.Fatal(err)
			}
			got = big.NewRat(int64(m), int64(NewtonMetre))
		}
		diff := new(big.Rat).Sub(got, want)
		if diff.Abs(diff).Cmp(big.NewRat(1, 1000)) > 0 {
			t.Errorf("%s: %s, want %s", row[0], got.FloatString(6), want.FloatString(6))
		}
	}
	if checked != len(units) {
		t.Errorf("%d factors checked", checked)
	}
}

func TestAngleAndTorque(t *testing.T) {
	for text, want := range map[string]Angle{
		"25.5°": 25_500_000, "25.5 deg": 25_500_000, "25°30'": 25_500_000, `25°30'15"`: 25_504_167, "-25°20'": -25_333_333, "0°": 0,
		"9223372036854.775807°": math.MaxInt64, "-9223372036854.775808°": math.MinInt64, "1° 2' 3\u2033": 1_034_167,
	} {
		if got, err := ParseAngle(text); err != nil || got != want {
			t.Errorf("%q: %d %v", text, got, err)
		}
	}
	for _, bad := range []string{"", "3", "°", "25.5°30'", "25°60'", "25°30'15\"7", "1.0000001°", "9223372036854.775808°", "9223372036855°1'", "25°x", strings.Repeat("9", 70)} {
		if got, err := ParseAngle(bad); err == nil {
			t.Errorf("%q taken as %s", bad, got)
		}
	}
	for text, want := range map[string]Torque{
		"25 N·m": 25_000, "25Nm": 25_000, "0,5 N.m": 500, "18 lbf·ft": 24_405, "18 ft-lb": 24_405, "2.5 kgf·m": 24_517, "-1 Nm": -1_000,
		"9223372036854775.807 Nm": math.MaxInt64,
	} {
		if got, err := ParseTorque(text); err != nil || got != want {
			t.Errorf("%q: %d %v", text, got, err)
		}
	}
	for _, bad := range []string{"", "25", "25 nm", "25 mm", "Nm", "0.0001 Nm", "9223372036854775.808 Nm", "9223372036854775807 kgf·m"} {
		if got, err := ParseTorque(bad); err == nil {
			t.Errorf("%q taken as %s", bad, got)
		}
	}
}

func TestMoney(t *testing.T) {
	for text, want := range map[string]string{
		"18.40 EUR": "18.40 EUR", "EUR 18,4": "18.40 EUR", "-€5": "-5.00 EUR", "€-5": "-5.00 EUR", "1,234.50 USD": "1234.50 USD",
		"1.234.567,89 eur": "1234567.89 EUR", "1 234,50 EUR": "1234.50 EUR", "100 JPY": "100 JPY", "1.234 KWD": "1.234 KWD", "0 CHF": "0.00 CHF",
		"92233720368547758.07 EUR": "92233720368547758.07 EUR", "-92233720368547758.08 EUR": "-92233720368547758.08 EUR", "1'234.50 CHF": "1234.50 CHF",
	} {
		m, err := ParseMoney(text)
		if err != nil || m.String() != want {
			t.Errorf("%q: %s %v", text, m, err)
			continue
		}
		if again, err := ParseMoney(m.String()); err != nil || again != m {
			t.Errorf("%s reads as %v %v", m, again, err)
		}
	}
	for _, bad := range []string{"", "18.40", "18.40 XXX", "EUR 5 EUR", "1,234 USD", "1.5 JPY", "12,34,567.00 USD", "EUR", "--5 EUR", "92233720368547758.08 EUR", "1.2.3 EUR", "$5", strings.Repeat("1", 80) + " EUR"} {
		if m, err := ParseMoney(bad); err == nil {
			t.Errorf("%q taken as %s", bad, m)
		}
	}
	a, b := Money{Minor: math.MaxInt64, Currency: "EUR"}, Money{Minor: 1, Currency: "EUR"}
	if _, err := a.Add(b); err == nil {
		t.Error("sum overflowed")
	}
	if _, err := (Money{Minor: math.MinInt64, Currency: "EUR"}).Add(Money{Minor: -1, Currency: "EUR"}); err == nil {
		t.Error("sum overflowed downward")
	}
	if _, err := b.Add(Money{Minor: 1, Currency: "USD"}); err == nil {
		t.Error("currencies mixed")
	}
	if m, err := b.Add(Money{}); err != nil || m != b {
		t.Error("the zero value does not add")
	}
	if m, err := (Money{Minor: 1840, Currency: "EUR"}).Times(3); err != nil || m.Minor != 5520 {
		t.Error(m, err)
	}
	if _, err := a.Times(2); err == nil {
		t.Error("product overflowed")
	}
	if m, err := b.Times(math.MinInt64); err != nil || m.Minor != math.MinInt64 {
		t.Error(m, err)
	}
}

func TestRatio(t *testing.T) {
	r, err := NewRatio(62, 46)
	if err != nil || r.String() != "31/23" || r.Decimal(3) != "1.348" {
		t.Error(r, err)
	}
	inv, err := r.Inv()
	if err != nil || inv.String() != "23/31" || r.Cmp(inv) != 1 {
		t.Error(inv, err)
	}
	if one, err := r.Mul(inv); err != nil || one.String() != "1/1" {
		t.Error(one, err)
	}
	if _, err := NewRatio(1, 0); err == nil {
		t.Error("1/0")
	}
	if _, err := (Ratio{}).Inv(); err == nil {
		t.Error("0 inverted")
	}
	big1, _ := NewRatio(math.MaxInt64, 1)
	if _, err := big1.Mul(big1); err == nil {
		t.Error("product overflowed")
	}
	if r, err := NewRatio(math.MinInt64, 2); err != nil || r.Num() != math.MinInt64/2 {
		t.Error(r, err)
	}
	if _, err := NewRatio(math.MinInt64, 1); err == nil {
		t.Error("a term without a positive twin was taken")
	}
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.Int64Range(-300, 300).Draw(t, "a")
		b := rapid.Int64Range(1, 300).Draw(t, "b")
		c := rapid.Int64Range(1, 300).Draw(t, "c")
		x, err1 := NewRatio(a, b)
		y, err2 := NewRatio(a*c, b*c)
		if err1 != nil || err2 != nil || x != y || x.Cmp(y) != 0 {
			t.Fatalf("%s %s", x, y)
		}
		z, err := NewRatio(c, b)
		p, err3 := x.Mul(z)
		if err != nil || err3 != nil || p.rat().Cmp(big.NewRat(a*c, b*b)) != 0 || math.Abs(p.Float64()-float64(a*c)/float64(b*b)) > 1e-9 {
			t.Fatalf("%s * %s = %s", x, z, p)
		}
		if x.Cmp(z) != big.NewRat(a, b).Cmp(big.NewRat(c, b)) {
			t.Fatalf("%s against %s", x, z)
		}
	})
}

func TestLeadTimeAndDate(t *testing.T) {
	for text, want := range map[string]LeadTime{"2/4/9": {2, 4, 9}, "3": {3, 3, 3}, " 0/0/0 ": {}, "2600": {2600, 2600, 2600}} {
		if got, err := ParseLeadTime(text); err != nil || got != want || !got.Valid() {
			t.Errorf("%q: %v %v", text, got, err)
		}
	}
	for _, bad := range []string{"", "2/4", "9/4/2", "-1", "2601", "2-5", "a", "1/2/3/4", "2 days"} {
		if got, err := ParseLeadTime(bad); err == nil {
			t.Errorf("%q taken as %s", bad, got)
		}
	}
	for _, good := range []string{"2026-02-28", "2024-02-29", "0001-01-01", "9999-12-31", "2000-02-29"} {
		if d, err := ParseDate(good); err != nil || d.String() != good {
			t.Errorf("%q: %v %v", good, d, err)
		}
	}
	for _, bad := range []string{"", "2026-02-29", "1900-02-29", "2026-13-01", "2026-00-10", "2026-01-00", "0000-01-01", "26-1-1", "2026/01/01", "2026-1-011", "20260101", "2026-01-01Z"} {
		if d, err := ParseDate(bad); err == nil {
			t.Errorf("%q taken as %s", bad, d)
		}
	}
	first, last := Date{1, 1, 1}, Date{9999, 12, 31}
	if first.AddDays(-1) != first || last.AddDays(1) != last || last.AddDays(math.MaxInt) != last || first.AddDays(math.MinInt) != first || first.AddDays(first.DaysUntil(last)) != last {
		t.Error("ends of the calendar")
	}
	if !(Date{}).AddDays(3).IsZero() || (Date{}).Compare(first) != -1 || (Date{2026, 10, 1}).Weekday() != time.Thursday {
		t.Error("zero date or weekday")
	}
	rapid.Check(t, func(t *rapid.T) {
		d := first.AddDays(rapid.IntRange(0, 3_000_000).Draw(t, "day"))
		n := rapid.IntRange(-500_000, 500_000).Draw(t, "n")
		moved := d.AddDays(n)
		if moved != first && moved != last && (d.DaysUntil(moved) != n || moved.AddDays(-n) != d) {
			t.Fatalf("%s %+d is %s", d, n, moved)
		}
		if again, err := ParseDate(moved.String()); err != nil || again != moved || moved.Compare(d) != compareInt(n, moved == d) {
			t.Fatalf("%s reads as %v %v", moved, again, err)
		}
	})
}

func compareInt(n int, same bool) int {
	switch {
	case same:
		return 0
	case n < 0:
		return -1
	}
	return 1
}

// Every type reads what it writes, as text and as JSON.
func TestTextForms(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		num, den := rapid.Int64().Draw(t, "num"), rapid.Int64().Draw(t, "den")
		ratio, err := NewRatio(num, den)
		if err != nil {
			ratio = Ratio{}
		}
		days := rapid.IntRange(0, 800).Draw(t, "days")
		in := struct {
			L Length
			A Angle
			T Torque
			R Ratio
			D LeadTime
			E Date
			F Date
			M Money
		}{
			Length(num), Angle(num), Torque(den), ratio, LeadTime{days, 2 * days, 3 * days}, Date{2026, 1, 1}.AddDays(days), Date{},
			Money{Minor: num, Currency: "EUR"},
		}
		data, err := json.Marshal(in)
		if err != nil {
			t.Fatal(err)
		}
		out := in
		out.L, out.A, out.T, out.R, out.D, out.E, out.F, out.M = 1, 1, 1, Ratio{1, 1}, LeadTime{}, Date{}, Date{1, 1, 1}, Money{}
		if err := json.Unmarshal(data, &out); err != nil || out != in {
			t.Fatalf("%s: %+v %v", data, out, err)
		}
		raw, _ := in.R.MarshalBinary()
		var r Ratio
		if err := r.UnmarshalBinary(raw); err != nil || r != in.R {
			t.Fatalf("%s: %v %v", raw, r, err)
		}
		if m, err := ParseMoney(in.M.String()); err != nil || m != in.M {
			t.Fatalf("%s: %v %v", in.M, m, err)
		}
	})
	for _, v := range []encoding.TextUnmarshaler{new(Length), new(Angle), new(Torque), new(Ratio), new(LeadTime), new(Date)} {
		if v.UnmarshalText([]byte("nonsense")) == nil {
			t.Errorf("%T took nonsense", v)
		}
	}
	for _, v := range []encoding.TextMarshaler{LeadTime{3, 2, 1}, Date{2026, 2, 30}} {
		if text, err := v.MarshalText(); err == nil {
			t.Errorf("%T wrote %s", v, text)
		}
	}
}

// FuzzParse: no parser panics, and each reads what it writes.
func FuzzParse(f *testing.F) {
	for _, s := range []string{"25°30'15\"", "-3.5 deg", "18 lbf·ft", "25 N·m", "1,234.50 USD", "€5", "31/23", "3.5:1", "2/4/9", "2026-02-28"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if v, err := ParseAngle(text); err == nil {
			if again, err := ParseAngle(v.String()); err != nil || again != v {
				t.Fatalf("%q: %s %v", text, v, err)
			}
		}
		if v, err := ParseTorque(text); err == nil {
			if again, err := ParseTorque(v.String()); err != nil || again != v {
				t.Fatalf("%q: %s %v", text, v, err)
			}
		}
		if v, err := ParseMoney(text); err == nil {
			if again, err := ParseMoney(v.String()); err != nil || again != v {
				t.Fatalf("%q: %s %v", text, v, err)
			}
		}
		if v, err := ParseRatio(text); err == nil {
			if again, err := ParseRatio(v.String()); err != nil || again != v {
				t.Fatalf("%q: %s %v", text, v, err)
			}
		}
		if v, err := ParseLeadTime(text); err == nil {
			if again, err := ParseLeadTime(v.String()); err != nil || again != v {
				t.Fatalf("%q: %s %v", text, v, err)
			}
		}
		if v, err := ParseDate(text); err == nil && v.String() != text {
			t.Fatalf("%q: %s", text, v)
		}
	})
}
