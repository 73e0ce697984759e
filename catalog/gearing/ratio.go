package gearing

import "layshaft/catalog/quantity"

// Mesh is the tooth counts of one driving and one driven wheel, with the idler
// wheels between them, if any, in order of power flow.
type Mesh struct {
	Driving, Driven int
	// Idlers: none, one wheel (a plain idler, whose teeth cancel and may be 0 for
	// "not known"), or two wheels on one body (a two-step idler: first the wheel
	// that is driven, then the wheel that drives).
	Idlers []int
}

// Ratio is input turns per output turn of a chain of meshes in order of power
// flow: a layshaft speed has two, a transaxle speed one and the final drive. No
// mesh at all is direct drive, exactly 1.
func Ratio(chain ...Mesh) (quantity.Ratio, error) {
	r, err := quantity.NewRatio(1, 1)
	if err != nil {
		return r, err
	}
	for _, m := range chain {
		step, err := m.Ratio()
		if err != nil {
			return quantity.Ratio{}, err
		}
		if r, err = r.Mul(step); err != nil {
			return quantity.Ratio{}, err
		}
	}
	return r, nil
}

// Ratio is the ratio of one mesh, driven over driving, times the step of a
// two-step idler.
func (m Mesh) Ratio() (quantity.Ratio, error) {
	num, den := int64(m.Driven), int64(m.Driving)
	for _, z := range [2]int{m.Driving, m.Driven} {
		if err := teethOK(z); err != nil {
			return quantity.Ratio{}, err
		}
	}
	switch len(m.Idlers) {
	case 0, 1:
	case 2:
		for _, z := range m.Idlers {
			if err := teethOK(z); err != nil {
				return quantity.Ratio{}, err
			}
		}
		num *= int64(m.Idlers[0])
		den *= int64(m.Idlers[1])
	default:
		return quantity.Ratio{}, refuse("%d idler wheels in one mesh; give one, or the two of a two-step idler", len(m.Idlers))
	}
	return quantity.NewRatio(num, den)
}

// Reverses reports whether the driven wheel turns against the driving one, as
// it does in a plain external mesh and no longer does with an idler between.
func (m Mesh) Reverses() bool { return len(m.Idlers) == 0 }

// Hunting says how a pair wears in.
type Hunting struct {
	// Common factor of the two counts; 1 means that every tooth meets every tooth.
	Common int
	// Meshes until the same two teeth meet again: the least common multiple.
	Meshes int
	// Turns of wheel 1 and wheel 2 until then.
	Turns1, Turns2 int
}

// HuntingTooth computes when the same two teeth meet again. A common factor
// above 1 is legal; designers avoid it (common practice), so in a counted pair
// it is a weak hint of a miscount.
func HuntingTooth(z1, z2 int) (Hunting, error) {
	for _, z := range [2]int{z1, z2} {
		if err := teethOK(z); err != nil {
			return Hunting{}, err
		}
	}
	g, b := z1, z2
	for b != 0 {
		g, b = b, g%b
	}
	return Hunting{Common: g, Meshes: z1 / g * z2, Turns1: z2 / g, Turns2: z1 / g}, nil
}
