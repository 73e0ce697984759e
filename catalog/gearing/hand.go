package gearing

import "layshaft/catalog/quantity"

// Hand of a helix.
type Hand string

const (
	Spur  Hand = "" // straight teeth
	Left  Hand = "left"
	Right Hand = "right"
)

// Helix is angle and hand of one wheel; the zero Helix is a spur wheel.
type Helix struct {
	Hand  Hand
	Angle quantity.Angle // at the reference cylinder, 0 for spur wheels or not known
}

// HelixFault says why two wheels cannot mesh.
type HelixFault string

const (
	HelixSuits       HelixFault = ""
	HelixSpurMixed   HelixFault = "spur and helical"
	HelixSameHand    HelixFault = "same hand"     // external pair
	HelixOppositeWay HelixFault = "opposite hand" // internal pair
	HelixAngles      HelixFault = "angles differ"
)

// helixTolerance within which two stated helix angles are the same (from
// memory: drawings round to a quarter of a degree).
const helixTolerance = quantity.Degree / 4

// MeshHelix tests two wheels on parallel shafts: equal angles, and opposite
// hands in an external pair or the same hand in an internal one (ISO 21771).
// An angle of 0 beside a hand is not known and tests nothing.
func MeshHelix(a, b Helix, internal bool) HelixFault {
	switch {
	case (a.Hand == Spur) != (b.Hand == Spur):
		return HelixSpurMixed
	case a.Hand == Spur:
		return HelixSuits
	case !internal && a.Hand == b.Hand:
		return HelixSameHand
	case internal && a.Hand != b.Hand:
		return HelixOppositeWay
	}
	if d := a.Angle - b.Angle; a.Angle != 0 && b.Angle != 0 && (d > helixTolerance || d < -helixTolerance) {
		return HelixAngles
	}
	return HelixSuits
}

// OddHands lists the wheels of one countershaft, as indexes, whose hand is not
// that of most: all its helical gears have the same hand, so that their thrusts
// partly cancel (common practice). Spur wheels are left out. With a tie nothing
// can be said and every helical wheel is listed.
func OddHands(hands []Hand) []int {
	left, right := 0, 0
	for _, h := range hands {
		switch h {
		case Left:
			left++
		case Right:
			right++
		}
	}
	var odd []int
	for i, h := range hands {
		if h == Left && left <= right && right > 0 || h == Right && right <= left && left > 0 {
			odd = append(odd, i)
		}
	}
	return odd
}
