package catalog

import "layshaft/catalog/quantity"

// checkQuantities reports counts and sizes that can't be.
func checkQuantities(k *checkup) {
	k.c.Records(func(r Record) {
		least := func(field string, n, min int) {
			if n < min {
				k.severe(r, fault{"quantity", field, "Give the real number"}, "%d is less than %d.", n, min)
			}
		}
		size := func(field string, l quantity.Length) {
			if l < 0 {
				k.severe(r, fault{"quantity", field, "Give the real size"}, "%v is less than nothing.", l)
			}
		}
		contents := func(field string, rows []*Content) {
			for _, in := range rows {
				least(field, in.Count, 1)
			}
		}
		switch r := r.(type) {
		case *Variant:
			for _, t := range r.Teeth {
				least("teeth", t.Teeth, 1)
			}
		case *Position:
			least("quantity", r.Quantity, 1)
			size("width", r.Width)
		case *Part:
			contents("contents", r.Contents)
		case *Fitment:
			least("quantity", r.Quantity, 0)
		case *Stack:
			least("maxCount", r.MaxCount, 1)
			size("gasket", r.Gasket)
			size("gasketSigma", r.GasketSigma)
			size("thinnest", r.Thinnest)
			size("span", r.Span)
		case *Limit:
			size("resolution", r.Resolution)
		case *Feature:
			least("effort", r.Effort, 0)
			least("errorRate", r.ErrorRate, 0)
			size("sigma", r.Sigma)
		case *Supersession:
			contents("companions", r.Companions)
		case *Offer:
			least("pack", r.Pack, 1)
			least("minimum", r.Minimum, 1)
			least("returnDays", r.ReturnDays, 0)
			least("returnFee", r.ReturnFee, 0)
			if r.Stock != nil {
				least("stock", *r.Stock, 0)
			}
		case *Alias:
			least("count", r.Count, 0)
		}
	})
}
