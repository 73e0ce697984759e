package measure

import (
	"math"
	"strings"
	"testing"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
	"pgregory.net/rapid"
)

func ptr[T any](v T) *T { return &v }

// micrometer: U 0.004 and s 0.002 give u 0.0021 with 4 equal readings or fewer.
var micrometer = Instrument{Resolution: um(1), Certificate: um(4), Pooled: um(2)}

func limit(lo, hi *quantity.Length) *catalog.Limit {
	return &catalog.Limit{ID: "l", What: "journal", WearMin: lo, WearMax: hi}
}

func TestInspectDecision(t *testing.T) {
	lower := limit(ptr(44_400*quantity.Micron), nil) // TM 5-3810-294-34 table 1-4: 44.40
	for text, want := range map[string]Action{
		"44.440 mm": ActionKeep, "44.405 mm": ActionKeep, "44.402 mm": ActionAgain, "44.400 mm": ActionAgain,
		"44.398 mm": ActionAgain, "44.390 mm": ActionRenew, "1.7496 in": ActionKeep, "1.7470 in": ActionRenew,
	} {
		r := Inspect(InspectInput{Limit: lower, Values: []string{text}, Instrument: micrometer})
		if len(r.Refusals) > 0 || r.Action != want {
			t.Errorf("%s: %s, want %s; %s %v", text, r.Action, want, r.Text, r.Refusals)
		}
	}
	upper := limit(nil, ptr(um(150)))
	if r := Inspect(InspectInput{Limit: upper, Values: []string{"0.20 mm"}, Instrument: depthGauge}); r.Action != ActionRenew {
		t.Errorf("0.20 above 0.15: %s", r.Action)
	}
	if r := Inspect(InspectInput{Limit: upper, Values: []string{"0.10 mm"}, Instrument: depthGauge}); r.Action != ActionKeep {
		t.Errorf("0.10 under 0.15: %s %s", r.Action, r.Text)
	}
}

func TestInspectWithoutLimitIsNoPass(t *testing.T) {
	l := limit(nil, nil)
	l.NewMin, l.NewMax = um(850), um(1100)
	for text, says := range map[string]string{"0.90 mm": "inside the range of a new part", "0.50 mm": "outside the range of a new part"} {
		r := Inspect(InspectInput{Limit: l, Values: []string{text}})
		if r.Action != ActionNoLimit || !strings.Contains(r.Text, says) {
			t.Errorf("%s: %s, %s", text, r.Action, r.Text)
		}
	}
}

func TestInspectRefusals(t *testing.T) {
	l := limit(ptr(um(400)), nil)
	for name, in := range map[string]InspectInput{
		"no limit":  {Values: []string{"1 mm"}},
		"no value":  {Limit: l},
		"no unit":   {Limit: l, Values: []string{"0.9"}},
		"excluding": {Limit: limit(ptr(um(500)), ptr(um(400))), Values: []string{"0.45 mm"}},
		"outlier":   {Limit: l, Values: []string{"0.90 mm", "0.91 mm", "0.90 mm", "0.89 mm", "0.30 mm"}},
	} {
		if r := Inspect(in); len(r.Refusals) == 0 || r.Action != "" {
			t.Errorf("%s: %s %+v", name, r.Action, r.Refusals)
		}
	}
	// The limit's own resolution and a default unit are used.
	l.Resolution = um(50)
	r := Inspect(InspectInput{Limit: l, Values: []string{"0.9"}, Unit: quantity.Millimetre})
	near(t, "resolution", 0.05/math.Sqrt(12), r.Budget.Lines[0].U, 1e-12)
}

// Shown beside a limit, a size never moves across it.
func TestShownSizeKeepsItsSide(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		limit := rapid.Int64Range(100_000, 200_000).Draw(t, "limit")
		m := fraction(limit*3+rapid.Int64Range(-4000, 4000).Draw(t, "thirds"), 3)
		b := bounds{lo: &limit}
		if rapid.Bool().Draw(t, "upper") {
			b = bounds{hi: &limit}
		}
		shown, err := quantity.ParseLength(showBeside(m, b))
		if err != nil || b.holds(whole(int64(shown))) != b.holds(m) {
			t.Fatalf("%v shown %s at limit %d, %v", m, shown, limit, err)
		}
	})
}

func TestTrend(t *testing.T) {
	date := func(s string) quantity.Date {
		d, err := quantity.ParseDate(s)
		if err != nil {
			t.Fatal(err)
		}
		return d
	}
	l := limit(ptr(um(44_400)), nil)
	in := InspectInput{Limit: l, Values: []string{"44.420 mm"}, Instrument: micrometer, Date: date("2026-01-01"),
		Before: []Earlier{{date("2024-01-01"), []string{"44.440 mm"}}, {date("2025-01-01"), []string{"44.430 mm"}}}}
	r := Inspect(in)
	if r.Trend == nil || !r.Trend.Significant || r.Trend.Points != 3 {
		t.Fatalf("%+v", r.Trend)
	}
	near(t, "per year", -10, float64(r.Trend.PerYear)/1000, 0.05)
	if y := r.Trend.Reaches; y.Compare(date("2027-12-20")) < 0 || y.Compare(date("2028-01-10")) > 0 {
		t.Errorf("reaches the limit on %s", y)
	}
	in.Before = []Earlier{{date("2024-01-01"), []string{"44.421 mm"}}}
	if r := Inspect(in); r.Trend.Significant || !r.Trend.Reaches.IsZero() {
		t.Errorf("a micrometre is called wear: %+v", r.Trend)
	}
	in.Before = []Earlier{{date("2024-01-01"), []string{"44.405 mm"}}}
	if r := Inspect(in); !has(r.Notices, "trend-away") {
		t.Errorf("growing: %+v %s", r.Trend, codes(r.Notices))
	}
	in.Before = []Earlier{{date("2027-01-01"), []string{"44.405 mm"}}, {date("2024-01-01"), []string{"worn"}}}
	if r := Inspect(in); r.Trend != nil || len(r.Notices) < 2 || r.Action != ActionKeep {
		t.Errorf("unusable earlier readings: %+v %s", r.Trend, codes(r.Notices))
	}
}

// Our own worked example: 6207 on 35 k6, and on a journal worn to 34.998.
func TestSeatWithBearing(t *testing.T) {
	r := Seat(SeatInput{Symbol: "35 k6", Bearing: "6207", Values: []string{"34.998 mm"}, Instrument: micrometer})
	if len(r.Refusals) > 0 {
		t.Fatalf("%+v", r.Refusals)
	}
	want := "New seat: 0.002 to 0.03 mm interference. As measured: 0.01 mm interference to 0.002 mm clearance."
	if r.FitText != want {
		t.Errorf("got  %s\nwant %s", r.FitText, want)
	}
	if r.Action != ActionAgain && r.Action != ActionRenew || !has(r.Notices, "ring-may-creep") {
		t.Errorf("%s %s", r.Action, codes(r.Notices))
	}
	// A mean between two nanometres widens the fit, it does not round it.
	third := Seat(SeatInput{Symbol: "35 k6", Bearing: "6207", Values: []string{"35.010 mm", "35.010 mm", "35.010001 mm"}, Instrument: micrometer})
	if third.Now == nil || third.Now.MaxClearance != -um(10) || third.Now.MinClearance != -um(22)-1 {
		t.Errorf("fit of a mean with a third: %+v", third.Now)
	}
	if r := Seat(SeatInput{Symbol: "35 k6", Values: []string{"35.010 mm"}, Instrument: micrometer}); r.Action != ActionKeep {
		t.Errorf("in the middle: %s %s", r.Action, r.Text)
	}
	if r := Seat(SeatInput{Symbol: "72 H7", Bearing: "6207", Values: []string{"72.060 mm"}, Instrument: micrometer}); r.Action != ActionRenew || r.Now.MinClearance != um(60) {
		t.Errorf("bore: %s %+v", r.Action, r.Now)
	}
	if r := Seat(SeatInput{Symbol: "35 k6", Bearing: "6207"}); r.New == nil || r.Action != "" || len(r.Refusals) > 0 {
		t.Errorf("without readings: %+v", r)
	}
	for _, in := range []SeatInput{{Symbol: "35 q9"}, {Symbol: "35 k6", Bearing: "wheel"}, {Symbol: "40 k6", Bearing: "6207"}} {
		if r := Seat(in); len(r.Refusals) != 1 || r.Refusals[0].Remedy == "" {
			t.Errorf("%+v: %+v", in, r.Refusals)
		}
	}
}
