package measure

import (
	"fmt"
	"math"
	"slices"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

// Earlier is a reading of the same position in the past.
type Earlier struct {
	Date   quantity.Date
	Values []string
}

// Trend is how a size moved between dated readings.
type Trend struct {
	Points  int
	PerYear quantity.Length // by least squares over the dates, signed
	// Significant: the change from first to last exceeds 2 standard
	// uncertainties of a difference.
	Significant bool
	// Reaches is the day on which the line meets the wear limit it runs towards;
	// zero when it does not, or only after 50 years. It is a line through past
	// dates and knows no running hours.
	Reaches quantity.Date
	Text    string
}

const daysPerYear = 365.2425

type point struct {
	day  float64 // days from the first point
	size float64 // mm
	date quantity.Date
}

// trend joins the present reading to the earlier ones; nil when none is usable.
// An earlier series that cannot be read is left out with a notice.
func trend(in InspectInput, out *InspectResult) *Trend {
	if len(in.Before) == 0 {
		return nil
	}
	if !in.Date.Valid() {
		out.Notices = append(out.Notices, Notice{"no-date", LevelNote, "No wear trend: this reading has no date."})
		return nil
	}
	points := []point{{size: out.Series.mean.mm(), date: in.Date}}
	for _, e := range in.Before {
		s, refused := readSeries(Reading{in.Limit.What, e.Values}, KindLength, in.Unit, "")
		switch {
		case !e.Date.Valid() || e.Date.Compare(in.Date) >= 0:
			out.Notices = append(out.Notices, Notice{"earlier-unused", LevelNote, "An earlier reading without a date before this one was left out of the trend."})
		case len(refused) > 0 || len(s.amounts) == 0:
			out.Notices = append(out.Notices, Notice{"earlier-unused", LevelNote, "The reading of " + e.Date.String() + " was left out of the trend: it cannot be read."})
		default:
			points = append(points, point{size: s.mean.mm(), date: e.Date})
		}
	}
	if len(points) < 2 {
		return nil
	}
	slices.SortFunc(points, func(a, b point) int { return a.date.Compare(b.date) })
	for i := range points {
		points[i].day = float64(points[0].date.DaysUntil(points[i].date))
	}
	return fitTrend(points, in.Limit, out)
}

func fitTrend(points []point, l *catalog.Limit, out *InspectResult) *Trend {
	slope, mean, middle := line(points)
	first, last := points[0], points[len(points)-1]
	t := &Trend{
		Points:      len(points),
		PerYear:     quantity.Length(math.Round(slope * daysPerYear * perMM)),
		Significant: math.Abs(last.size-first.size) > 2*math.Sqrt2*out.Budget.U,
	}
	t.Text = fmt.Sprintf("%+.3f mm a year over %d readings since %s", slope*daysPerYear, t.Points, first.date)
	if !t.Significant {
		t.Text += "; within the measurement error."
		return t
	}
	var limit *quantity.Length
	switch {
	case slope < 0:
		limit = l.WearMin
	case slope > 0:
		limit = l.WearMax
	}
	if limit == nil {
		if l.WearMin != nil || l.WearMax != nil {
			t.Text += "; away from the limit."
			out.Notices = append(out.Notices, Notice{"trend-away", LevelCheck, "Check the readings: the size moved away from its wear limit. Another part, or a misreading."})
			return t
		}
		t.Text += "."
		return t
	}
	ahead := middle + (limit.Millimetres()-mean)/slope - last.day
	switch {
	case ahead <= 0:
		t.Text += "; the limit is reached."
	case ahead > 50*daysPerYear:
		t.Text += "; the limit is more than 50 years away on this line."
	default:
		t.Reaches = last.date.AddDays(int(ahead))
		t.Text += "; on this line the limit is met about " + t.Reaches.String() + ". Dates, not running hours."
	}
	return t
}

// line fits size = mean + slope (day - middle) by least squares.
func line(points []point) (slope, mean, middle float64) {
	n := float64(len(points))
	for _, p := range points {
		mean += p.size / n
		middle += p.day / n
	}
	var xy, xx float64
	for _, p := range points {
		xy += (p.day - middle) * (p.size - mean)
		xx += (p.day - middle) * (p.day - middle)
	}
	return xy / xx, mean, middle
}
