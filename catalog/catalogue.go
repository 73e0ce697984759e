package catalog

// Catalogue is everything the shop knows, as tables. Rows are in any order;
// Check and NewIndex do not rely on it.
type Catalogue struct {
	Families      []*Family
	Variants      []*Variant
	Positions     []*Position
	Attributes    []*AttributeDef
	Parts         []*Part
	Fitments      []*Fitment
	Mates         []*Mate
	Bonds         []*Bond
	Disturbances  []*Disturbance
	Stacks        []*Stack
	Limits        []*Limit
	Features      []*Feature
	Supersessions []*Supersession
	Suppliers     []*Supplier
	Offers        []*Offer
	Words         []*Word
	Aliases       []*Alias
}

// Records calls fn for every record, table by table in the order of the Table
// constants.
func (c *Catalogue) Records(fn func(Record)) {
	each(c.Families, fn)
	each(c.Variants, fn)
	each(c.Positions, fn)
	each(c.Attributes, fn)
	each(c.Parts, fn)
	each(c.Fitments, fn)
	each(c.Mates, fn)
	each(c.Bonds, fn)
	each(c.Disturbances, fn)
	each(c.Stacks, fn)
	each(c.Limits, fn)
	each(c.Features, fn)
	each(c.Supersessions, fn)
	each(c.Suppliers, fn)
	each(c.Offers, fn)
	each(c.Words, fn)
	each(c.Aliases, fn)
}

func each[R Record](rows []R, fn func(Record)) {
	for _, r := range rows {
		fn(r)
	}
}

// Problem is one fault of a catalogue, as a value: never an error.
type Problem struct {
	Code   string `json:"code"`  // stable: "tooth-sum"
	Table  Table  `json:"table"` // place
	Key    string `json:"key"`
	Field  string `json:"field,omitempty"`
	Reason string `json:"reason"` // a sentence
	Repair string `json:"repair"` // what to do
	// Severe problems make a catalogue unfit for import; the others are hints.
	Severe bool `json:"severe"`
}
