package catalog

import "layshaft/catalog/quantity"

// base is a small catalogue without any problem. Its five-speed box is the
// worked example of gear ratios: 31/23 drive, 36/13, 32/21, 29/25, direct.
func base() *Catalogue {
	c := &Catalogue{}
	baseFamily(c)
	basePositions(c)
	baseParts(c)
	baseRules(c)
	baseTrade(c)
	return c
}

func baseFamily(c *Catalogue) {
	const mm = quantity.MM
	wheel := func(id, pos, at string) *Wheel {
		return &Wheel{ID: id, Label: "wheel " + id, Position: PositionID(pos), At: at}
	}
	mesh := func(id, driving, driven string, module quantity.Length) *Mesh {
		return &Mesh{ID: id, Driving: driving, Driven: driven, NormalModule: module, Helix: 26 * quantity.Degree}
	}
	c.Families = []*Family{{ID: "ex", Name: "Example", Box: Longitudinal, CentreDistance: 75 * mm,
		Shafts: []*Shaft{{ID: "main", Name: "Main"}, {ID: "counter", Name: "Counter", Offset: 75 * mm}},
		Wheels: []*Wheel{wheel("in", "input", ""), wheel("cd", "cluster", "drive"), wheel("g1", "gear1", ""), wheel("c1", "cluster", "1st"),
			wheel("g2", "gear2", ""), wheel("c2", "cluster", "2nd"), wheel("g3", "gear3", ""), wheel("c3", "cluster", "3rd"),
			wheel("gr", "gear-rev", ""), wheel("cr", "cluster", "rev"), wheel("ri", "idler", "")},
		Meshes: []*Mesh{mesh("drive", "in", "cd", 2500*quantity.Micron), mesh("m1", "c1", "g1", 2750*quantity.Micron),
			mesh("m2", "c2", "g2", 2500*quantity.Micron), mesh("m3", "c3", "g3", 2500*quantity.Micron),
			{ID: "rev", Driving: "cr", Driven: "gr", Idler: []string{"ri"}}},
		Speeds: []*Speed{{Name: "1st", Meshes: []string{"drive", "m1"}}, {Name: "2nd", Meshes: []string{"drive", "m2"}},
			{Name: "3rd", Meshes: []string{"drive", "m3"}}, {Name: "4th"}, {Name: "reverse", Meshes: []string{"drive", "rev"}, Reverse: true}}}}
	teeth := []*ToothCount{{"in", 23}, {"cd", 31}, {"g1", 36}, {"c1", 13}, {"g2", 32}, {"c2", 21}, {"g3", 29}, {"c3", 25}, {"gr", 37}, {"cr", 15}, {"ri", 22}}
	c.Variants = []*Variant{{ID: "ex-a", Family: "ex", Name: "A", Teeth: teeth, Without: []PositionID{"adapter"}}}
	// A family of its own, for faults that take two.
	c.Families = append(c.Families, &Family{ID: "fx", Name: "Other", Box: Transaxle, CentreDistance: 80 * mm})
	c.Variants = append(c.Variants, &Variant{ID: "fx-a", Family: "fx", Name: "A"})
}

func basePositions(c *Catalogue) {
	add := func(id string, a Assembly, kind PartKind, life Life, shaft string) {
		c.Positions = append(c.Positions, &Position{Family: "ex", ID: PositionID(id), Name: "the " + id, Assembly: a, Kind: kind, Quantity: 1, Life: life, Shaft: shaft})
	}
	add("input", AssemblyInput, "input shaft", Hard, "main")
	add("cluster", AssemblyCounter, "countershaft", Hard, "counter")
	add("gear1", AssemblyMain, "gear", Hard, "main")
	add("gear2", AssemblyMain, "gear", Hard, "main")
	add("gear3", AssemblyMain, "gear", Hard, "main")
	add("gear-rev", AssemblyMain, "gear", Hard, "main")
	add("idler", AssemblyReverse, "reverse idler", Hard, "")
	add("bearing", AssemblyCounter, "ball bearing", Wear, "counter")
	add("shim", AssemblyCounter, "shim", SelectFit, "counter")
	add("adapter", AssemblyCase, "case", Hard, "")
}

func baseParts(c *Catalogue) {
	c.Attributes = []*AttributeDef{
		{Name: KeyTeeth, Label: "teeth", Kind: KindCount}, {Name: KeyBore, Label: "bore", Kind: KindLength},
		{Name: KeyOutside, Label: "outside", Kind: KindLength}, {Name: KeyThickness, Label: "thickness", Kind: KindLength},
		{Name: KeyHelix, Label: "helix", Kind: KindChoice, Choices: []string{"left", "right"}}, {Name: KeyThread, Label: "thread", Kind: KindText},
	}
	part := func(id string, kind PartKind, attrs ...*Attribute) *Part {
		p := &Part{ID: PartID(id), Kind: kind, Name: id, Unit: UnitPiece, Attributes: attrs,
			Numbers: []*Number{{Issuer: "maker", Text: "EX-" + id, Role: NumberCurrent}}}
		c.Parts = append(c.Parts, p)
		return p
	}
	teeth := func(n int, at string) *Attribute { return &Attribute{Name: KeyTeeth, At: at, Value: CountValue(n)} }
	hand := func(h, at string) *Attribute { return &Attribute{Name: KeyHelix, At: at, Value: ChoiceValue(h)} }
	size := func(k AttributeKey, at string, l quantity.Length) *Attribute {
		return &Attribute{Name: k, At: at, Value: LengthValue(l)}
	}
	part("p-input", "input shaft", teeth(23, ""), hand("left", ""))
	part("p-cluster", "countershaft", teeth(31, "drive"), hand("right", "drive"), teeth(13, "1st"), hand("right", "1st"), teeth(21, "2nd"),
		hand("right", "2nd"), teeth(25, "3rd"), hand("right", "3rd"), teeth(15, "rev"), size(KeyOutside, "front", 35*quantity.MM))
	part("p-gear1", "gear", teeth(36, ""), hand("left", ""))
	part("p-gear2", "gear", teeth(32, ""), hand("left", ""))
	part("p-gear3", "gear", teeth(29, ""), hand("left", ""))
	part("p-gear-rev", "gear", teeth(37, ""))
	part("p-idler", "reverse idler", teeth(22, ""))
	part("p-bearing", "ball bearing").Designation = "6207"
	part("p-bearing-old", "ball bearing", size(KeyBore, "", 35*quantity.MM))
	for _, um := range []quantity.Length{500, 540, 580} {
		part("p-shim-"+(um*quantity.Micron).MM(), "shim", size(KeyThickness, "", um*quantity.Micron))
	}
	set := part("p-set", "set")
	set.Unit, set.Contents = UnitSet, []*Content{{Part: "p-bearing", Count: 1}}
}

func baseRules(c *Catalogue) {
	fit := func(pos, part string, standard bool) {
		c.Fitments = append(c.Fitments, &Fitment{Variant: "ex-a", Position: PositionID(pos), Part: PartID(part), Standard: standard})
	}
	for _, pos := range []string{"input", "cluster", "gear1", "gear2", "gear3", "gear-rev", "idler", "bearing"} {
		fit(pos, "p-"+pos, true)
	}
	fit("bearing", "p-bearing-old", false)
	fit("shim", "p-shim-0.5", false)
	fit("shim", "p-shim-0.54", true)
	fit("shim", "p-shim-0.58", false)
	c.Mates = []*Mate{{ID: "seat", Family: "ex", A: Seat{Position: "bearing", Name: KeyBore}, B: Seat{Position: "cluster", Name: KeyOutside, At: "front"},
		Relation: Equal, Reason: "the bearing sits on the countershaft"}}
	c.Bonds = []*Bond{{ID: "pair", Family: "ex", Kind: WornTogether, Positions: []PositionID{"input", "cluster"}, Reason: "run in together"}}
	c.Disturbances = []*Disturbance{{Family: "ex", Reach: "bearing", Undoes: "shim", Reason: "behind it"}, {Family: "ex", Reach: "shim", Undoes: "bearing", Reason: "before it"}}
	c.Stacks = []*Stack{{ID: "play", Family: "ex", Name: "End play", Position: "shim", Members: []PositionID{"cluster", "bearing"}, Method: MethodTrialPlay,
		Min: 20 * quantity.Micron, Max: 80 * quantity.Micron, Aim: 50 * quantity.Micron, MaxCount: 1}}
	low := 34_900 * quantity.Micron
	c.Limits = []*Limit{{ID: "seat", Family: "ex", Position: "cluster", What: "bearing seat", NewMin: 35 * quantity.MM, NewMax: 35*quantity.MM + 15*quantity.Micron,
		WearMin: &low, Name: KeyOutside, At: "front"}}
	c.Features = []*Feature{
		{ID: "cable", Family: "ex", Label: "Cable drive", Kind: FeatureYesNo, Values: []*FeatureValue{{"ex-a", YesNoValue(true)}}},
		{ID: "turn", Family: "ex", Label: "2nd by turning", Kind: FeatureRatio, Speed: "2nd", Values: []*FeatureValue{{"ex-a", TextValue("992/483")}}}}
	c.Supersessions = []*Supersession{{ID: "bearing", Old: "p-bearing-old", New: "p-bearing", Kind: Replaces, Companions: []*Content{{Part: "p-shim-0.5", Count: 1}}}}
}

func baseTrade(c *Catalogue) {
	eur := func(minor int64) quantity.Money { return quantity.Money{Minor: minor, Currency: "EUR"} }
	c.Suppliers = []*Supplier{{ID: "sup", Name: "S", Currency: "EUR", Freight: eur(900), CutOff: "16:00"}}
	c.Offers = []*Offer{{ID: "o", Supplier: "sup", Part: "p-bearing", Breaks: []*PriceBreak{{1, eur(1840)}, {10, eur(1700)}}, Pack: 1, Minimum: 1,
		Lead: quantity.LeadTime{Best: 1, Likely: 2, Worst: 5}, Quality: Original}}
	c.Words = []*Word{{Canonical: "ball bearing", Variant: "brg", Kind: "abbreviation", Language: "en"}, {Canonical: "shim", Variant: "washer", Kind: "synonym", Ambiguous: true},
		{Canonical: "thrust washer", Variant: "washer", Kind: "plural", Ambiguous: true}}
	c.Aliases = []*Alias{{Supplier: "sup", Text: "front brg", Family: "ex", Part: "p-bearing", Count: 1}}
}
