package gearing

import (
	"math"

	"layshaft/catalog/quantity"
)

// Wheel is a single external wheel.
type Wheel struct {
	Tooth
	Teeth int
	Shift float64 // profile shift coefficient
}

func (w Wheel) form() (form, error) {
	f, err := w.Tooth.form()
	if err == nil {
		err = teethOK(w.Teeth)
	}
	return f, err
}

// SpanTeeth is the number of teeth to span, 2 or more, so that the jaws touch
// near the circle of diameter d + 2 x m_n, about half way up the tooth.
func (w Wheel) SpanTeeth() (int, error) {
	f, err := w.form()
	if err != nil {
		return 0, err
	}
	z := float64(w.Teeth)
	// The span that touches there, put into the span formula solved for k.
	d := f.mt * z
	base := d * math.Cos(f.at)
	touch := math.Min(1, base/(d+2*w.Shift*f.mn))
	bb := math.Asin(math.Sin(f.beta) * math.Cos(f.an))
	span := base * math.Tan(math.Acos(touch)) / math.Cos(bb)
	k := math.Round((span/(f.mn*math.Cos(f.an))-2*w.Shift*math.Tan(f.an)-z*Involute(f.at))/math.Pi + 0.5)
	return int(math.Max(2, k)), nil
}

// Span is the base tangent length over k teeth, the size between the flat jaws
// of a disc micrometer: m_n cos a_n (pi (k - 1/2) + z inv a_t) + 2 x m_n sin a_n
// (ISO 21771). A helical wheel must be wide enough for the jaws to touch both
// flanks; that is not checked here.
func (w Wheel) Span(k int) (quantity.Length, error) {
	f, err := w.form()
	if err != nil {
		return 0, err
	}
	if k < 1 || k >= w.Teeth {
		return 0, refuse("a span over %d of %d teeth; give a count from 1 to %d", k, w.Teeth, w.Teeth-1)
	}
	return length(f.mn*math.Cos(f.an)*(math.Pi*(float64(k)-0.5)+float64(w.Teeth)*Involute(f.at)) +
		2*w.Shift*f.mn*math.Sin(f.an)), nil
}

// Thickness is the tooth thickness along the reference circle in the normal
// section, without backlash: m_n (pi/2 + 2 x tan a_n).
func (w Wheel) Thickness() (quantity.Length, error) {
	f, err := w.form()
	if err != nil {
		return 0, err
	}
	return length(f.mn * (math.Pi/2 + 2*w.Shift*math.Tan(f.an))), nil
}

// Chordal is what a gear tooth caliper reads at the reference circle: the chord
// and the height at which it lies below the tip, for a tooth whose addendum is
// given. Helical wheels are taken by their virtual number of teeth z/cos³ b.
func (w Wheel) Chordal(addendum quantity.Length) (thickness, height quantity.Length, err error) {
	f, err := w.form()
	if err != nil {
		return 0, 0, err
	}
	if addendum <= 0 || addendum.Millimetres() > 5*f.mn {
		return 0, 0, refuse("an addendum of %v; give one up to 5 modules", addendum)
	}
	virtual := float64(w.Teeth) / math.Pow(math.Cos(f.beta), 3)
	s := f.mn * (math.Pi/2 + 2*w.Shift*math.Tan(f.an))
	d := virtual * f.mn
	half := s / d
	return length(d * math.Sin(half)), length(addendum.Millimetres() + d/2*(1-math.Cos(half))), nil
}
