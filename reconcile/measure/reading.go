package measure

import "layshaft/catalog"

// Kind is what a reading is a reading of.
type Kind string

const (
	KindLength      Kind = "length"
	KindTorque      Kind = "torque"
	KindTemperature Kind = "temperature"
)

// Names of readings. They are stable: jobs store them.
const (
	Depth           = "depth"             // bearing seat below the joint face
	DepthOverBlock  = "depth-over-block"  // the same, read over a gauge block or bridge
	Height          = "height"            // ring above the other joint face
	HeightOverBlock = "height-over-block" // read from a block on the joint face down to the ring
	SecondDepth     = "second-depth"      // in place of the height
	SecondOverBlock = "second-depth-over-block"
	Block           = "block"
	Gasket          = "gasket" // clamped thickness, in place of the catalogue's
	TrialShim       = "trial-shim"
	Travel          = "travel"
	Gap             = "gap"
	Wire            = "wire"
	WireBefore      = "wire-before"
	Fitted          = "fitted"
	TurningTorque   = "torque"
	OldShim         = "old-shim"
	CaseTemperature = "case-temperature"
	PartTemperature = "shaft-temperature"
)

// Reading is one named series of raw readings, as typed, each with its unit. A
// value in parentheses, "(24.98 mm)", was struck out by a person: it is kept
// and not used.
type Reading struct {
	Name   string
	Values []string
}

// ReadingSpec tells a page which reading to ask for.
type ReadingSpec struct {
	Name  string
	Label string
	Hint  string
	Kind  Kind
	// Required: the method cannot do without it, or without one of the readings
	// of the same Group.
	Required bool
	// Group names readings of which exactly one is given; "" for none.
	Group string
	// Advised is how many repeats give a repeatability of their own.
	Advised int
}

const seatHint = "Seat the bearings first: turn both ways, load lightly, oil on. "

var (
	specBlock  = ReadingSpec{Name: Block, Label: "Gauge block or bridge", Hint: "Size of the block under the gauge, when one was used.", Kind: KindLength, Advised: 1}
	specGasket = ReadingSpec{Name: Gasket, Label: "Gasket, clamped", Hint: "Thickness under bolt load; leave empty to use the stack's own.", Kind: KindLength, Advised: 1}
	specTrial  = ReadingSpec{Name: TrialShim, Label: "Trial shim", Hint: "Measured thickness of the shim that is in.", Kind: KindLength, Required: true, Advised: 1}
	specTravel = ReadingSpec{Name: Travel, Label: "Travel on the indicator", Hint: seatHint + "Lift and press until the reading repeats.", Kind: KindLength, Required: true, Advised: 4}
	specOld    = ReadingSpec{Name: OldShim, Label: "Old shim", Hint: "Measured thickness of the shim that came out; a check only.", Kind: KindLength, Advised: 1}
	specCase   = ReadingSpec{Name: CaseTemperature, Label: "Case temperature", Hint: "With unit, 24 C or 75 F.", Kind: KindTemperature, Advised: 1}
	specShaft  = ReadingSpec{Name: PartTemperature, Label: "Shaft temperature", Hint: "With unit, 24 C or 75 F.", Kind: KindTemperature, Advised: 1}
)

// Needs lists the readings of a method, in the order of work; nil for an
// unknown method.
func Needs(method catalog.StackMethod) []ReadingSpec {
	own := methodReadings(method)
	if own == nil {
		return nil
	}
	return append(own, specOld, specCase, specShaft)
}

func methodReadings(method catalog.StackMethod) []ReadingSpec {
	length := func(name, label, hint, group string) ReadingSpec {
		return ReadingSpec{Name: name, Label: label, Hint: hint, Kind: KindLength, Required: true, Group: group, Advised: 4}
	}
	switch method {
	case catalog.MethodDepth:
		return []ReadingSpec{
			length(Depth, "Depth of the seat", "From the joint face down to the bearing seat.", "depth"),
			length(DepthOverBlock, "Depth of the seat over the block", "Gauge on the block: the block is taken off.", "depth"),
			length(Height, "Height of the ring", seatHint+"Ring above the other joint face.", "height"),
			length(HeightOverBlock, "Ring below the block", "Block on the joint face: from its top down to the ring.", "height"),
			length(SecondDepth, "Second depth", "Depth that is taken off the first, in place of a height.", "height"),
			length(SecondOverBlock, "Second depth over the block", "The same over the same block: the block cancels.", "height"),
			specBlock, specGasket,
		}
	case catalog.MethodTrialPlay, catalog.MethodTrialLoad:
		return []ReadingSpec{specTrial, specTravel}
	case catalog.MethodFeeler:
		return []ReadingSpec{length(Gap, "Gap at the cover", seatHint+"No shim in; feeler at 3 or 4 places, one value each.", "")}
	case catalog.MethodHoldDown:
		return []ReadingSpec{length(Gap, "Gap under the cover", "Without shim; feeler at 3 or 4 places, one value each.", "")}
	case catalog.MethodSolder:
		return []ReadingSpec{
			length(Wire, "Crushed wire", "Thinnest place of each piece, cover bolts at torque.", ""),
			{Name: WireBefore, Label: "Wire before", Hint: "Thickness of the new wire, to see that it was crushed.", Kind: KindLength, Advised: 1},
		}
	case catalog.MethodGroove:
		return []ReadingSpec{
			{Name: Fitted, Label: "Ring fitted", Hint: "Measured thickness of the ring in the groove.", Kind: KindLength, Required: true, Advised: 1},
			length(Gap, "Gap beside the ring", "Feeler between ring and groove side.", ""),
		}
	case catalog.MethodTorque:
		return []ReadingSpec{
			{Name: Fitted, Label: "Shim fitted", Hint: "Measured thickness of the shim that is in.", Kind: KindLength, Required: true, Advised: 1},
			{Name: TurningTorque, Label: "Turning torque", Hint: "No seals fitted, bearings oiled and seated, read while turning.", Kind: KindTorque, Required: true, Advised: 4},
		}
	}
	return nil
}
