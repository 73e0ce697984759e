package gearing

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"layshaft/catalog/quantity"
)

// row of a table in testdata by column; sources in testdata/SOURCES.md.
type row map[string]string

func (r row) number(t *testing.T, col string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(r[col], 64)
	if err != nil {
		t.Fatalf("%s, column %s: %v", r["id"], col, err)
	}
	return v
}

// mm and deg read a size or an angle column, rounded to the quantity's unit.
func (r row) mm(t *testing.T, col string) quantity.Length { return length(r.number(t, col)) }
func (r row) deg(t *testing.T, col string) quantity.Angle {
	return quantity.Angle(math.Round(r.number(t, col) * 1e6))
}
func (r row) count(t *testing.T, col string) int { return int(r.number(t, col)) }

func rows(t *testing.T, name string, want int) []row {
	t.Helper()
	f, err := os.Open("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	cells, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []row
	for _, c := range cells[1:] {
		r := row{}
		for i, name := range cells[0] {
			r[name] = c[i]
		}
		out = append(out, r)
	}
	if len(out) != want {
		t.Fatalf("%s has %d rows, want %d", name, len(out), want)
	}
	return out
}

// near compares with a printed value; tolerance is half a unit of its last digit
// or what the collection's own recomputation found, whichever is larger.
func (r row) near(t *testing.T, col string, got, tolerance float64) {
	t.Helper()
	if r[col] == "" {
		return
	}
	if want := r.number(t, col); math.Abs(got-want) > tolerance {
		t.Errorf("%s %s: got %.6f, published %g", r["id"], col, got, want)
	}
}

func TestPublishedPairs(t *testing.T) {
	for _, r := range rows(t, "gear_pair_examples.csv", 5) {
		p := Pair{
			Tooth:  Tooth{r.mm(t, "normal_module_mm"), r.deg(t, "pressure_angle_deg"), r.deg(t, "helix_angle_deg")},
			Teeth1: r.count(t, "z1"), Teeth2: r.count(t, "z2_negative_if_internal"),
			Shift1: r.number(t, "x1"), Shift2: r.number(t, "x2"),
		}
		g, err := p.Geometry()
		if err != nil {
			t.Errorf("%s: %v", r["id"], err)
			continue
		}
		mm := quantity.Length.Millimetres
		r.near(t, "reference_centre_distance_mm", mm(g.ReferenceCentre), 0.0005)
		r.near(t, "centre_distance_mm", mm(g.Centre), 0.0005)
		r.near(t, "transverse_pressure_angle_deg", float64(g.Transverse)/1e6, 0.0001)
		r.near(t, "working_transverse_pressure_angle_deg", float64(g.Working)/1e6, 0.0005)
		for i, n := range []string{"1", "2"} {
			r.near(t, "d"+n+"_mm", mm(g.Reference[i]), 0.00055)
			r.near(t, "db"+n+"_mm", mm(g.Base[i]), 0.00055)
			r.near(t, "dw"+n+"_mm", mm(g.Pitch[i]), 0.00055)
			r.near(t, "da"+n+"_mm", mm(g.Tip[i]), 0.00055)
			r.near(t, "df"+n+"_mm", mm(g.Root[i]), 0.00055)
		}
		if p.Teeth2 < 0 {
			continue
		}
		// Back from the centre distance to the shift sum.
		x, err := ShiftSum(p.Tooth, p.Teeth1+p.Teeth2, g.Centre)
		if err != nil || math.Abs(x-p.Shift1-p.Shift2) > 1e-6 {
			t.Errorf("%s: shift sum %v (%v), want %v", r["id"], x, err, p.Shift1+p.Shift2)
		}
	}
}

// wheel of a span or chordal row, restated in the normal system if need be.
func (r row) wheel(t *testing.T) Wheel {
	m, a, b := r.mm(t, "module_mm"), r.deg(t, "pressure_angle_deg"), r.deg(t, "helix_angle_deg")
	w := Wheel{Tooth: Tooth{m, a, b}, Teeth: r.count(t, "z"), Shift: r.number(t, "x")}
	if r["system"] == "transverse" {
		w.Tooth = FromTransverse(m, a, b)
		w.Shift /= math.Cos(radians(b))
	}
	return w
}

func TestPublishedSpans(t *testing.T) {
	for _, r := range rows(t, "gear_span_examples.csv", 8) {
		w, k := r.wheel(t), r.count(t, "k")
		got, err := w.Span(k)
		if err != nil {
			t.Errorf("%s: %v", r["id"], err)
			continue
		}
		r.near(t, "span_W_mm", got.Millimetres(), 0.0001)
		if usual, err := w.SpanTeeth(); err != nil || usual != k {
			t.Errorf("%s: spans %d teeth (%v), published %d", r["id"], usual, err, k)
		}
	}
}

func TestPublishedChordalThickness(t *testing.T) {
	for _, r := range rows(t, "gear_chordal_thickness_examples.csv", 3) {
		w := r.wheel(t)
		thickness, height, err := w.Chordal(r.mm(t, "addendum_mm"))
		if err != nil {
			t.Errorf("%s: %v", r["id"], err)
			continue
		}
		arc, err := w.Thickness()
		if err != nil {
			t.Error(err)
		}
		r.near(t, "normal_thickness_sn_mm", arc.Millimetres(), 0.0006)
		r.near(t, "chordal_thickness_mm", thickness.Millimetres(), 0.0001)
		r.near(t, "chordal_addendum_mm", height.Millimetres(), 0.0001)
		r.near(t, "chordal_thickness_recomputed_mm", thickness.Millimetres(), 0.00002)
		r.near(t, "chordal_addendum_recomputed_mm", height.Millimetres(), 0.00002)
	}
}

func TestPublishedRatios(t *testing.T) {
	for _, r := range rows(t, "gear_ratio_examples.csv", 13) {
		var chain []Mesh
		for _, n := range []string{"1", "2", "3"} {
			if r["driver"+n+"_z"] != "" {
				chain = append(chain, Mesh{Driving: r.count(t, "driver"+n+"_z"), Driven: r.count(t, "driven"+n+"_z")})
			}
		}
		if r["idlers"] == "1" {
			chain[len(chain)-1].Idlers = []int{23}
		}
		got, err := Ratio(chain...)
		if err != nil {
			t.Errorf("%s: %v", r["id"], err)
			continue
		}
		r.near(t, "ratio_published", got.Float64(), 0.00005)
		if r["final_drive"] != "" {
			final, err := quantity.ParseRatio(r["final_drive"])
			if err != nil {
				t.Fatal(err)
			}
			all, err := got.Mul(final)
			if err != nil {
				t.Fatal(err)
			}
			r.near(t, "overall_published", all.Float64(), 0.0005)
		}
	}
}
