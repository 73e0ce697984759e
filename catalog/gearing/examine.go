package gearing

import (
	"math"

	"layshaft/catalog/quantity"
)

// Examination is one pair of wheels to look at. Only the counts are needed; with
// a module the sizes follow, with a centre distance the tooth sum is judged.
type Examination struct {
	Tooth
	Mesh
	// Shift1 and Shift2 are profile shift coefficients of the driving and the
	// driven wheel.
	Shift1, Shift2 float64
	// Centre distance between the shafts; 0 when not known.
	Centre quantity.Length
}

// Examined is what follows from an Examination.
type Examined struct {
	Ratio    quantity.Ratio
	Reverses bool // the driven wheel turns against the driving one
	Sum      int
	Hunting  Hunting
	// Geometry of the pair with its shifts; nil without a module, or when an idler
	// sits between.
	Geometry *Geometry
	// Verdict on the sum; nil without module and centre distance, or with an idler.
	Verdict *SumVerdict
	// PlainHelix is the helix at which the sum fills the distance without shift;
	// 0 when not known or when none does.
	PlainHelix quantity.Angle
	// Sizes to measure, driving wheel first; nil without a module.
	Sizes []WheelSize
}

// WheelSize is what a gauge reads on one wheel.
type WheelSize struct {
	Teeth int
	// SpanTeeth spanned by a disc micrometer give Span.
	SpanTeeth int
	Span      quantity.Length
	// Chord at the height ChordHeight below the tip, addendum one module.
	Chord, ChordHeight quantity.Length
}

// Examine works out ratio, hunting tooth, centre distances, the verdict on the
// tooth sum and the measuring sizes. Errors wrap ErrGeometry.
func Examine(in Examination) (Examined, error) {
	var out Examined
	var err error
	if out.Ratio, err = in.Mesh.Ratio(); err != nil {
		return Examined{}, err
	}
	if out.Hunting, err = HuntingTooth(in.Driving, in.Driven); err != nil {
		return Examined{}, err
	}
	out.Reverses, out.Sum = in.Reverses(), in.Driving+in.Driven
	if in.NormalModule == 0 {
		return out, nil
	}
	for _, w := range []Wheel{{in.Tooth, in.Driving, in.Shift1}, {in.Tooth, in.Driven, in.Shift2}} {
		size, err := w.size()
		if err != nil {
			return Examined{}, err
		}
		out.Sizes = append(out.Sizes, size)
	}
	if len(in.Idlers) > 0 {
		return out, nil // the two wheels do not touch
	}
	g, err := Pair{in.Tooth, in.Driving, in.Driven, in.Shift1, in.Shift2}.Geometry()
	if err != nil {
		return Examined{}, err
	}
	out.Geometry = &g
	if in.Centre == 0 {
		return out, nil
	}
	v, err := JudgeSum(in.Tooth, out.Sum, in.Centre)
	if err != nil {
		return Examined{}, err
	}
	out.Verdict = &v
	if helix, err := HelixForSum(in.NormalModule, out.Sum, in.Centre); err == nil {
		out.PlainHelix = helix
	}
	return out, nil
}

func (w Wheel) size() (WheelSize, error) {
	out := WheelSize{Teeth: w.Teeth}
	var err error
	if out.SpanTeeth, err = w.SpanTeeth(); err != nil {
		return out, err
	}
	if out.Span, err = w.Span(out.SpanTeeth); err != nil {
		return out, err
	}
	out.Chord, out.ChordHeight, err = w.Chordal(w.NormalModule)
	return out, err
}

// ShiftKnown reports whether a verdict has the shift sum that is needed.
func (v SumVerdict) ShiftKnown() bool { return !math.IsNaN(v.Shift) }

// Words of a verdict on a tooth sum.
func (s Suits) Words() string {
	switch s {
	case SuitsWell:
		return "suits"
	case SuitsBadly:
		return "unusual: a sum one tooth off is likelier"
	}
	return "does not suit: a miscount, another module or another family"
}
