package catalog

// The closed sets of the catalogue, each in the order in which people are
// offered its words. Every call returns a new slice.

// Standings from the best to the worst.
func Standings() []Standing { return []Standing{Confirmed, Stated, Derived, Doubted} }

// Boxes are the layouts of a gearbox.
func Boxes() []Box { return []Box{Longitudinal, Transaxle} }

// Lives are the life policies of a position.
func Lives() []Life { return []Life{OneTime, Wear, Hard, SelectFit, Inspect} }

// Assemblies group positions.
func Assemblies() []Assembly {
	return []Assembly{AssemblyInput, AssemblyMain, AssemblyCounter, AssemblyOutput, AssemblyReverse, AssemblyShift,
		AssemblyCase, AssemblySeals, AssemblyDiff}
}

// ValueKinds are the types of attribute values.
func ValueKinds() []ValueKind {
	return []ValueKind{KindLength, KindCount, KindAngle, KindText, KindChoice, KindYesNo}
}

// SaleUnits are what one ordered piece contains.
func SaleUnits() []SaleUnit { return []SaleUnit{UnitPiece, UnitPair, UnitSet} }

// NumberRoles say how a number stands to its part.
func NumberRoles() []NumberRole {
	return []NumberRole{NumberCurrent, NumberSuperseded, NumberAlternate}
}

// Relations of a mate.
func Relations() []Relation { return []Relation{Equal, Less, Window} }

// BondKinds say why positions belong together.
func BondKinds() []BondKind { return []BondKind{WornTogether, SoldTogether} }

// StackMethods are the ways to find the room for a select-fit part.
func StackMethods() []StackMethod {
	return []StackMethod{MethodDepth, MethodTrialPlay, MethodTrialLoad, MethodFeeler, MethodSolder, MethodGroove, MethodTorque, MethodHoldDown}
}

// FeatureKinds are the kinds of observation.
func FeatureKinds() []FeatureKind {
	return []FeatureKind{FeatureCount, FeatureRatio, FeatureYesNo, FeatureSize, FeatureMark}
}

// SupersessionKinds are the edges of the supersession graph.
func SupersessionKinds() []SupersessionKind {
	return []SupersessionKind{Replaces, OneWay, Equals, SplitBySerial}
}

// Qualities of offers.
func Qualities() []Quality { return []Quality{Genuine, Original, Aftermarket, Used} }

// WordKinds of the lexicon.
func WordKinds() []string {
	return []string{"synonym", "abbreviation", "misspelling", "ocr", "plural", "loan"}
}
