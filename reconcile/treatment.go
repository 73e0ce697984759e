package reconcile

import (
	"slices"
	"strings"

	"layshaft/catalog"
)

// treatment is what the trade knows of one (common practice, from memory).
type treatment struct {
	resizes bool            // sizes must be taken again afterwards
	ruins   []catalog.Class // kinds of part that it is not done to
	why     string
}

var (
	delicate   = []catalog.Class{catalog.ClassBearing, catalog.ClassSpring, catalog.ClassElastomer, catalog.ClassFriction, catalog.ClassGasket}
	softParts  = []catalog.Class{catalog.ClassElastomer, catalog.ClassFriction, catalog.ClassGasket}
	blasted    = []catalog.Class{catalog.ClassBearing, catalog.ClassElastomer, catalog.ClassFriction, catalog.ClassGasket}
	treatments = map[string]treatment{
		"grind":       {true, delicate, "its faces are finished to size and can't be ground"},
		"plate":       {true, delicate, "plating lifts, closes clearances or makes springs brittle"},
		"spray":       {true, delicate, "sprayed metal does not hold on it"},
		"weld":        {true, delicate, "the heat ruins it"},
		"sleeve":      {true, delicate, "it has no bore to sleeve"},
		"hone":        {true, delicate, "its faces are finished to size"},
		"ream":        {true, []catalog.Class{catalog.ClassSpring, catalog.ClassElastomer, catalog.ClassFriction, catalog.ClassGasket}, "it has no bore to ream"},
		"nitride":     {true, delicate, "the heat ruins it"},
		"heat-treat":  {true, delicate, "the heat ruins it"},
		"phosphate":   {false, blasted, "the bath leaves residue in it"},
		"shot-peen":   {false, blasted, "shot damages or stays in it"},
		"isotropic":   {false, blasted, "the media stay in it"},
		"polish":      {false, softParts, "it takes the friction or sealing face away"},
		"crack-test":  {false, softParts, "it shows nothing on it"},
		"stone":       {false, softParts, "it takes the friction or sealing face away"},
		"chase":       {false, softParts, "it has no thread"},
		"solvent-dip": {false, softParts, "solvent swells it"},
	}
)

// steps are the known treatments that a decision names: "plate and grind".
func steps(text string) []treatment {
	var out []treatment
	for _, word := range strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return r == ',' || r == '+' || r == ' ' || r == ';' }) {
		if t, ok := treatments[word]; ok {
			out = append(out, t)
		}
	}
	return out
}

// resizes: sizes must be taken again after the treatment.
func resizes(text string) bool {
	return slices.ContainsFunc(steps(text), func(t treatment) bool { return t.resizes })
}
