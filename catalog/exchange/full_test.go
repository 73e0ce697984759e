package exchange_test

import (
	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

// full is a catalogue in which every field of every record says something.
func full() *catalog.Catalogue {
	p := catalog.Provenance{Standing: catalog.Confirmed, Source: "bench note, \"page 4\""}
	eur := func(minor int64) quantity.Money { return quantity.Money{Minor: minor, Currency: "EUR"} }
	mm := quantity.MM
	stock, low, high := 0, 29*mm, 31*mm
	return &catalog.Catalogue{
		Families: []*catalog.Family{{ID: "ex", Name: "Example five-speed", Box: catalog.Longitudinal, CentreDistance: 75 * mm,
			Shafts: []*catalog.Shaft{{ID: "main", Name: "Main shaft", Offset: 1 * mm}, {ID: "counter", Name: "Countershaft", Offset: 75 * mm}},
			Wheels: []*catalog.Wheel{{ID: "w-in", Label: "Input gear", Position: "input", At: "gear", CaseClosed: true},
				{ID: "w-cd", Label: "Counter drive gear", Position: "cluster", At: "drive"}},
			Meshes: []*catalog.Mesh{{ID: "drive", Driving: "w-in", Driven: "w-cd", CentreDistance: 75 * mm, NormalModule: 2500 * quantity.Micron,
				Helix: 25_800_000, Idler: []string{"w-in", "w-cd"}}},
			Speeds: []*catalog.Speed{{Name: "reverse", Meshes: []string{"drive"}, Reverse: true}},
			Note:   "line one\nline two", Provenance: p}},
		Variants: []*catalog.Variant{{ID: "ex-a", Family: "ex", Name: "A", Teeth: []*catalog.ToothCount{{Wheel: "w-in", Teeth: 23}, {Wheel: "w-cd", Teeth: 31}},
			Without: []catalog.PositionID{"input"}, Note: "n", Provenance: p}},
		Positions: []*catalog.Position{
			{Family: "ex", ID: "input", Name: "Input shaft", Assembly: catalog.AssemblyInput, Kind: "input shaft", Quantity: 1, Life: catalog.Hard,
				Critical: true, Blocking: true, Outside: true, Shaft: "main", From: 1 * mm, Width: 2 * mm, Places: []string{"front", "1st"}, Order: 1,
				Note: "n", Provenance: p},
			{Family: "ex", ID: "cluster", Name: "Cluster", Assembly: catalog.AssemblyCounter, Kind: "gear", Quantity: 1, Life: catalog.Hard},
		},
		Attributes: []*catalog.AttributeDef{
			{Name: "bore", Label: "bore", Kind: catalog.KindLength, HowTo: "bore gauge", Provenance: p},
			{Name: "style", Label: "style", Kind: catalog.KindChoice, Choices: []string{"keyed", "pinned"}},
			{Name: "teeth", Label: "teeth", Kind: catalog.KindCount}, {Name: "taper", Label: "taper", Kind: catalog.KindAngle},
			{Name: "thread", Label: "thread", Kind: catalog.KindText}, {Name: "seal", Label: "sealed", Kind: catalog.KindYesNo},
		},
		Parts: []*catalog.Part{
			{ID: "kit", Kind: "kit", Name: "Kit; with, marks", Designation: "6207 NR", Special: true, Unit: catalog.UnitSet, NotAvailable: true, Note: " a_x000D_b =1+1 ", Provenance: p,
				Numbers: []*catalog.Number{{Issuer: "maker", Text: "00-12 3", Role: catalog.NumberCurrent}},
				Attributes: []*catalog.Attribute{
					{Name: "bore", At: "front", Value: catalog.LengthValue(35 * mm), Provenance: p}, {Name: "style", Value: catalog.ChoiceValue("keyed")},
					{Name: "teeth", Value: catalog.CountValue(31)}, {Name: "taper", Value: catalog.AngleValue(6_500_000)},
					{Name: "thread", Value: catalog.TextValue("M10x1.25")}, {Name: "seal", Value: catalog.YesNoValue(true)},
					{Name: "seal", At: "rear", Value: catalog.YesNoValue(false)}},
				Contents: []*catalog.Content{{Part: "one", Count: 2, Choice: "a"}}},
			{ID: "one", Kind: "gasket", Name: "One", Unit: catalog.UnitPiece}},
		Fitments: []*catalog.Fitment{{Variant: "ex-a", Position: "input", Part: "one", Standard: true, Quantity: 2, Provenance: p}},
		Mates: []*catalog.Mate{
			{ID: "m", Family: "ex", A: catalog.Seat{Position: "input", Name: "bore", At: "x"}, B: catalog.Seat{Position: "cluster", Name: "bore", At: "y"},
				Relation: catalog.Window, Min: -10_000, Max: 20_000, Reason: "r", Provenance: p},
			{ID: "n", Family: "ex", A: catalog.Seat{Position: "input", Name: "teeth"}, B: catalog.Seat{Position: "cluster", Name: "teeth"},
				Relation: catalog.Window, Max: 2, Reason: "r"}},
		Bonds: []*catalog.Bond{{ID: "b", Family: "ex", Kind: catalog.WornTogether, Positions: []catalog.PositionID{"input", "cluster"},
			Advice: true, Reason: "r", Provenance: p}},
		Disturbances: []*catalog.Disturbance{{Family: "ex", Reach: "input", Undoes: "cluster", Reason: "r", Provenance: p}},
		Stacks: []*catalog.Stack{{ID: "s", Family: "ex", Name: "End play", Position: "input", Members: []catalog.PositionID{"cluster"},
			Method: catalog.MethodTrialPlay, Min: 20 * quantity.Micron, Max: 80 * quantity.Micron, Aim: 50 * quantity.Micron, ThickerOpens: true,
			TorqueMin: 500, TorqueMax: 900, TorquePerGrade: 100, Gasket: 300 * quantity.Micron, GasketSigma: 10 * quantity.Micron, MaxCount: 2,
			Thinnest: 100 * quantity.Micron, Span: 200 * mm, Material: "aluminium", Preferred: "loose", Note: "n", Provenance: p}},
		Limits: []*catalog.Limit{{ID: "l", Family: "ex", Position: "input", What: "journal", NewMin: 30 * mm, NewMax: 30*mm + 1, WearMin: &low, WearMax: &high,
			Instrument: "micrometer", Resolution: quantity.Micron, Name: "bore", At: "x", Provenance: p}},
		Features: []*catalog.Feature{
			{ID: "f", Family: "ex", Label: "L", Kind: catalog.FeatureSize, CaseClosed: true, Effort: 3, Sigma: quantity.Micron, ErrorRate: 20, Speed: "reverse",
				Values: []*catalog.FeatureValue{{Variant: "ex-a", Value: catalog.LengthValue(2 * mm)}}, Note: "n", Provenance: p},
			{ID: "r", Family: "ex", Label: "L", Kind: catalog.FeatureRatio, Values: []*catalog.FeatureValue{{Variant: "ex-a", Value: catalog.TextValue("31/23")}}}},
		Supersessions: []*catalog.Supersession{{ID: "s", Old: "one", New: "kit", Kind: catalog.SplitBySerial,
			Companions: []*catalog.Content{{Part: "one", Count: 1, Choice: "c"}}, SerialFrom: "1", SerialTo: "2", Reason: "r", Provenance: p}},
		Suppliers: []*catalog.Supplier{{ID: "sup", Name: "S", Currency: "EUR", Freight: eur(900), FreeFrom: eur(15000), MinimumOrder: eur(2000),
			SmallOrderFee: eur(0), CutOff: "16:00", Treats: true, Note: "n", Provenance: p}},
		Offers: []*catalog.Offer{{ID: "o", Supplier: "sup", Part: "one", Breaks: []*catalog.PriceBreak{{From: 1, Price: eur(1840)}, {From: 10, Price: eur(1700)}},
			Pack: 2, Minimum: 2, Stock: &stock, StockDate: quantity.Date{Year: 2026, Month: 3, Day: 9}, Lead: quantity.LeadTime{Best: 2, Likely: 4, Worst: 9},
			Quality: catalog.Original, ReturnDays: 14, ReturnFee: 10, Core: eur(500), Note: "n", Provenance: p}},
		Words: []*catalog.Word{{Canonical: "ball bearing", Variant: "brg / ball", Kind: "abbreviation", Language: "en", Ambiguous: true, Note: "n", Provenance: p}},
		Aliases: []*catalog.Alias{{Supplier: "sup", Text: "front brg", Family: "ex", Part: "one", Count: 2, Provenance: p},
			{Text: " spaces kept ", Count: 0}},
	}
}
