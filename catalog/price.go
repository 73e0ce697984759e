package catalog

import "layshaft/catalog/quantity"

// Currency is the one most suppliers quote in; of equally many the first by
// name. It is empty without suppliers.
func (ix *Index) Currency() string {
	n := map[string]int{}
	best := ""
	for _, s := range ix.suppliers {
		n[s.Currency]++
	}
	for c := range n {
		if n[c] > n[best] || n[c] == n[best] && c < best {
			best = c
		}
	}
	return best
}

// LeastPrice is the lowest offered price of one piece in a currency, and whether
// there is one. Offers in other currencies are not converted.
func (ix *Index) LeastPrice(id PartID, currency string) (quantity.Money, bool) {
	var least quantity.Money
	found := false
	for _, o := range ix.Offers(id) {
		if len(o.Breaks) == 0 || o.Breaks[0].Price.Currency != currency {
			continue
		}
		if p := o.Breaks[0].Price; !found || p.Minor < least.Minor {
			least, found = p, true
		}
	}
	return least, found
}
