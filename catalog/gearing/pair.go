package gearing

import (
	"errors"
	"fmt"
	"math"

	"layshaft/catalog/quantity"
)

// ErrGeometry is wrapped by every refusal of this package.
var ErrGeometry = errors.New("gear geometry")

func refuse(format string, args ...any) error {
	return fmt.Errorf("%w: %s", ErrGeometry, fmt.Sprintf(format, args...))
}

// StandardPressureAngle is the normal pressure angle of most gears, 20°
// (ISO 53). Quiet gearboxes also use 17.5° and 16° (from memory).
const StandardPressureAngle = 20 * quantity.Degree

// MaxTeeth bounds what is taken for a tooth count.
const MaxTeeth = 300

// Tooth is the tooth form that two wheels in mesh share.
type Tooth struct {
	NormalModule quantity.Length
	// PressureAngle in the normal section; 0 means StandardPressureAngle.
	PressureAngle quantity.Angle
	// Helix angle at the reference cylinder, 0 for spur gears.
	Helix quantity.Angle
}

// FromTransverse restates a tooth given by its transverse module and transverse
// pressure angle in the normal system. A transverse profile shift coefficient
// is restated by dividing it by the cosine of the helix angle.
func FromTransverse(module quantity.Length, pressure, helix quantity.Angle) Tooth {
	cos := math.Cos(radians(helix))
	return Tooth{
		NormalModule:  length(module.Millimetres() * cos),
		PressureAngle: angle(math.Atan(math.Tan(radians(pressure)) * cos)),
		Helix:         helix,
	}
}

// form is a Tooth in millimetres and radians, with its transverse values.
type form struct{ mn, an, beta, mt, at float64 }

func (t Tooth) form() (form, error) {
	if t.PressureAngle == 0 {
		t.PressureAngle = StandardPressureAngle
	}
	switch {
	case t.NormalModule < quantity.MM/10 || t.NormalModule > 50*quantity.MM:
		return form{}, refuse("a normal module of %v; give one between 0.1 mm and 50 mm", t.NormalModule)
	case t.PressureAngle < 5*quantity.Degree || t.PressureAngle > 40*quantity.Degree:
		return form{}, refuse("a pressure angle of %v; give one between 5° and 40°, usually 20°", t.PressureAngle)
	case t.Helix < 0 || t.Helix > 60*quantity.Degree:
		return form{}, refuse("a helix angle of %v; give one between 0° and 60°, the hand apart", t.Helix)
	}
	f := form{mn: t.NormalModule.Millimetres(), an: radians(t.PressureAngle), beta: radians(t.Helix)}
	f.mt = f.mn / math.Cos(f.beta)
	f.at = math.Atan(math.Tan(f.an) / math.Cos(f.beta))
	return f, nil
}

func teethOK(z int) error {
	if z < 5 || z > MaxTeeth {
		return refuse("%d teeth; give a count between 5 and %d", z, MaxTeeth)
	}
	return nil
}

// Pair is two wheels in mesh. Teeth2 is negative for an internal wheel; its
// shift is positive outwards, away from the axis.
type Pair struct {
	Tooth
	Teeth1, Teeth2 int
	Shift1, Shift2 float64
}

// Geometry is what follows from a Pair (ISO 21771). Diameters of wheel 1 come
// first.
type Geometry struct {
	ReferenceCentre quantity.Length // no shift
	Centre          quantity.Length // working, no backlash
	Transverse      quantity.Angle  // transverse pressure angle
	Working         quantity.Angle  // working transverse pressure angle
	Reference       [2]quantity.Length
	Base            [2]quantity.Length
	Pitch           [2]quantity.Length // working pitch diameters
	// Tip and Root for a full depth tooth (addendum 1, dedendum 1.25 modules,
	// tips shortened so that the clearance stays); external pairs only, else 0.
	Tip, Root [2]quantity.Length
}

// Geometry computes a pair. It refuses counts, angles and shifts for which no
// mesh exists.
func (p Pair) Geometry() (Geometry, error) {
	f, z, err := p.form2()
	if err != nil {
		return Geometry{}, err
	}
	a0 := f.mt * z / 2
	inv := Involute(f.at) + 2*math.Tan(f.an)*p.shiftSum()/z
	aw := InverseInvolute(inv)
	if math.IsNaN(aw) || aw > radians(50*quantity.Degree) {
		return Geometry{}, refuse("shifts of %g and %g leave %d and %d teeth no mesh; check the shifts", p.Shift1, p.Shift2, p.Teeth1, p.Teeth2)
	}
	a := a0 * math.Cos(f.at) / math.Cos(aw)
	g := Geometry{ReferenceCentre: length(a0), Centre: length(a), Transverse: angle(f.at), Working: angle(aw)}
	y := (a - a0) / f.mn
	for i, teeth := range [2]int{p.Teeth1, p.Teeth2} {
		d := f.mt * math.Abs(float64(teeth))
		base := d * math.Cos(f.at)
		g.Reference[i], g.Base[i], g.Pitch[i] = length(d), length(base), length(base/math.Cos(aw))
		if p.Teeth2 > 0 {
			other := [2]float64{p.Shift2, p.Shift1}[i]
			tip := d + 2*f.mn*(1+y-other)
			g.Tip[i], g.Root[i] = length(tip), length(tip-2*f.mn*(2.25+y-p.Shift1-p.Shift2))
		}
	}
	return g, nil
}

// form2 checks the pair and gives its form and the effective tooth sum, which
// is a difference for an internal pair.
func (p Pair) form2() (form, float64, error) {
	f, err := p.form()
	if err != nil {
		return f, 0, err
	}
	z2 := p.Teeth2
	if z2 < 0 {
		z2 = -z2
	}
	if err := errors.Join(teethOK(p.Teeth1), teethOK(z2)); err != nil {
		return f, 0, err
	}
	if p.Teeth2 > 0 {
		return f, float64(p.Teeth1 + p.Teeth2), nil
	}
	if z2 <= p.Teeth1 {
		return f, 0, refuse("an internal wheel of %d teeth round one of %d; the internal wheel must be the larger", z2, p.Teeth1)
	}
	return f, float64(z2 - p.Teeth1), nil
}

func (p Pair) shiftSum() float64 {
	if p.Teeth2 < 0 {
		return p.Shift2 - p.Shift1
	}
	return p.Shift1 + p.Shift2
}

func radians(a quantity.Angle) float64 { return float64(a) / float64(quantity.Degree) * math.Pi / 180 }

func angle(rad float64) quantity.Angle {
	return quantity.Angle(math.Round(rad * 180 / math.Pi * float64(quantity.Degree)))
}

func length(mm float64) quantity.Length {
	return quantity.Length(math.Round(mm * float64(quantity.MM)))
}
