package gearing

import (
	"math"

	"layshaft/catalog/quantity"
)

// Shift sums that designers mostly keep within, and the widest sum still taken
// for possible (from memory: -0.5 to +1; the wider pair leaves room for one
// tooth).
const (
	usualShiftLow, usualShiftHigh   = -0.6, 1.1
	widestShiftLow, widestShiftHigh = -1.3, 2.0
	// widestHelix of car and truck gears (from memory: 38°).
	widestHelix = 38 * quantity.Degree
)

// HelixForSum is the helix angle at which a tooth sum fills a centre distance
// with no profile shift: cos beta = m_n sum / (2 a). A sum too large for the
// distance, which no helix fills, is refused.
func HelixForSum(module quantity.Length, sum int, centre quantity.Length) (quantity.Angle, error) {
	if err := sumArguments(module, sum, centre); err != nil {
		return 0, err
	}
	cos := module.Millimetres() * float64(sum) / (2 * centre.Millimetres())
	if cos > 1 {
		return 0, refuse("a sum of %d teeth of module %v needs %v between the shafts even as spur gears; the distance is %v",
			sum, module, length(module.Millimetres()*float64(sum)/2), centre)
	}
	return angle(math.Acos(cos)), nil
}

// ShiftSum is the sum of profile shift coefficients x1+x2 with which sum teeth
// of the form t run at the centre distance. It refuses a distance that no
// involute pair of that sum can have.
func ShiftSum(t Tooth, sum int, centre quantity.Length) (float64, error) {
	f, err := t.form()
	if err != nil {
		return 0, err
	}
	if err := sumArguments(t.NormalModule, sum, centre); err != nil {
		return 0, err
	}
	a0 := f.mt * float64(sum) / 2
	cos := a0 * math.Cos(f.at) / centre.Millimetres()
	if cos >= 1 {
		return 0, refuse("%d teeth of module %v cannot mesh at %v: their base circles are too large", sum, t.NormalModule, centre)
	}
	aw := math.Acos(cos)
	return (Involute(aw) - Involute(f.at)) * float64(sum) / (2 * math.Tan(f.an)), nil
}

// Suits says how well a tooth sum suits a centre distance.
type Suits int

const (
	// SuitsWell: the shift needed is a usual one.
	SuitsWell Suits = iota
	// SuitsBadly: possible, but a sum one tooth off is the likelier design.
	SuitsBadly
	// SuitsNot: a miscount, a wrong module or another family.
	SuitsNot
)

// SumVerdict judges a tooth sum.
type SumVerdict struct {
	Suits Suits
	// Shift sum x1+x2 needed; NaN when no mesh is possible or the helix is not
	// known.
	Shift float64
	// Low and High bound the sums that suit well; High < Low when none does.
	Low, High int
}

// JudgeSum judges the tooth sum of one mesh against its centre distance. The
// helix angle 0 stands for "spur or not known": then a sum suits when some
// usual helix and shift fill the distance, which is a weak test.
func JudgeSum(t Tooth, sum int, centre quantity.Length) (SumVerdict, error) {
	if _, err := t.form(); err != nil {
		return SumVerdict{}, err
	}
	if err := sumArguments(t.NormalModule, sum, centre); err != nil {
		return SumVerdict{}, err
	}
	v := SumVerdict{Shift: math.NaN()}
	if t.Helix != 0 {
		if x, err := ShiftSum(t, sum, centre); err == nil {
			v.Shift = x
		}
	}
	v.Low, v.High = sumRange(t, centre, usualShiftLow, usualShiftHigh)
	low, high := sumRange(t, centre, widestShiftLow, widestShiftHigh)
	switch {
	case sum >= v.Low && sum <= v.High:
		v.Suits = SuitsWell
	case sum >= low && sum <= high:
		v.Suits = SuitsBadly
	default:
		v.Suits = SuitsNot
	}
	return v, nil
}

// sumRange gives the lowest and highest tooth sum whose shift lies within the
// bounds: the shift needed falls as the sum rises, and as the helix rises.
func sumRange(t Tooth, centre quantity.Length, shiftLow, shiftHigh float64) (low, high int) {
	spur, steep := t, t
	if t.Helix == 0 {
		steep.Helix = widestHelix
	}
	need := func(t Tooth, sum int) float64 {
		x, err := ShiftSum(t, sum, centre)
		if err != nil {
			return math.Inf(-1) // too many teeth: more than any negative shift
		}
		return x
	}
	low, high = 10, 2*MaxTeeth
	for low < 2*MaxTeeth && need(steep, low) > shiftHigh {
		low++
	}
	for high > 10 && need(spur, high) < shiftLow {
		high--
	}
	return low, high
}

// CentreOf is the reference centre distance m_t sum / 2 of a tooth sum with no
// profile shift.
func CentreOf(t Tooth, sum int) (quantity.Length, error) {
	f, err := t.form()
	if err != nil {
		return 0, err
	}
	if sum < 10 || sum > 2*MaxTeeth {
		return 0, refuse("a tooth sum of %d; give one between 10 and %d", sum, 2*MaxTeeth)
	}
	return length(f.mt * float64(sum) / 2), nil
}

func sumArguments(module quantity.Length, sum int, centre quantity.Length) error {
	switch {
	case module < quantity.MM/10 || module > 50*quantity.MM:
		return refuse("a normal module of %v; give one between 0.1 mm and 50 mm", module)
	case sum < 10 || sum > 2*MaxTeeth:
		return refuse("a tooth sum of %d; give one between 10 and %d", sum, 2*MaxTeeth)
	case centre < 5*quantity.MM || centre > 2000*quantity.MM:
		return refuse("a centre distance of %v; give one between 5 mm and 2000 mm", centre)
	}
	return nil
}
