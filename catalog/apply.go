package catalog

// NewRecord returns an empty record of a catalogue table; false for a table
// that is not of the catalogue.
func NewRecord(t Table) (Record, bool) {
	switch t {
	case TableFamily:
		return &Family{}, true
	case TableVariant:
		return &Variant{}, true
	case TablePosition:
		return &Position{}, true
	case TableAttribute:
		return &AttributeDef{}, true
	case TablePart:
		return &Part{}, true
	case TableFitment:
		return &Fitment{}, true
	case TableMate:
		return &Mate{}, true
	case TableBond:
		return &Bond{}, true
	case TableDisturbance:
		return &Disturbance{}, true
	case TableStack:
		return &Stack{}, true
	case TableLimit:
		return &Limit{}, true
	case TableFeature:
		return &Feature{}, true
	case TableSupersession:
		return &Supersession{}, true
	case TableSupplier:
		return &Supplier{}, true
	case TableOffer:
		return &Offer{}, true
	case TableWord:
		return &Word{}, true
	case TableAlias:
		return &Alias{}, true
	}
	return nil, false
}

// With returns a catalogue in which ops are done; c is not changed, records are
// shared. Operations on tables outside the catalogue are ignored.
func (c *Catalogue) With(ops []Op) *Catalogue {
	byTable := map[Table]map[string]Record{}
	for _, op := range ops {
		if byTable[op.Table] == nil {
			byTable[op.Table] = map[string]Record{}
		}
		byTable[op.Table][op.Key] = op.After
	}
	return &Catalogue{
		Families:      replaced(c.Families, byTable[TableFamily]),
		Variants:      replaced(c.Variants, byTable[TableVariant]),
		Positions:     replaced(c.Positions, byTable[TablePosition]),
		Attributes:    replaced(c.Attributes, byTable[TableAttribute]),
		Parts:         replaced(c.Parts, byTable[TablePart]),
		Fitments:      replaced(c.Fitments, byTable[TableFitment]),
		Mates:         replaced(c.Mates, byTable[TableMate]),
		Bonds:         replaced(c.Bonds, byTable[TableBond]),
		Disturbances:  replaced(c.Disturbances, byTable[TableDisturbance]),
		Stacks:        replaced(c.Stacks, byTable[TableStack]),
		Limits:        replaced(c.Limits, byTable[TableLimit]),
		Features:      replaced(c.Features, byTable[TableFeature]),
		Supersessions: replaced(c.Supersessions, byTable[TableSupersession]),
		Suppliers:     replaced(c.Suppliers, byTable[TableSupplier]),
		Offers:        replaced(c.Offers, byTable[TableOffer]),
		Words:         replaced(c.Words, byTable[TableWord]),
		Aliases:       replaced(c.Aliases, byTable[TableAlias]),
	}
}

// replaced returns rows with the changed ones put in place, deleted ones left
// out (nil) and new ones added at the end in key order.
func replaced[R Record](rows []R, changed map[string]Record) []R {
	if len(changed) == 0 {
		return rows
	}
	out := make([]R, 0, len(rows)+len(changed))
	seen := make(map[string]bool, len(changed))
	for _, r := range rows {
		after, hit := changed[r.Key()]
		if !hit {
			out = append(out, r)
			continue
		}
		seen[r.Key()] = true
		if a, ok := after.(R); ok {
			out = append(out, a)
		}
	}
	var fresh []R
	for k, after := range changed {
		if a, ok := after.(R); ok && !seen[k] {
			fresh = append(fresh, a)
		}
	}
	sortByKey(fresh)
	return append(out, fresh...)
}

// Find returns the record of a table with a key.
func (c *Catalogue) Find(t Table, k string) (Record, bool) {
	var found Record
	c.Records(func(r Record) {
		if r.Table() == t && r.Key() == k {
			found = r
		}
	})
	return found, found != nil
}
