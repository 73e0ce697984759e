package catalog

import (
	"regexp"

	"layshaft/catalog/quantity"
)

// checkOffers reports suppliers and offers that can't be bought from.
func checkOffers(k *checkup) {
	for _, s := range k.ix.suppliers {
		k.supplierMoney(s)
		if s.CutOff != "" && !clock.MatchString(s.CutOff) {
			k.severe(s, fault{"offer-lead", "cutOff", "Write hours and minutes: 16:00"}, "%q is not a time of day.", s.CutOff)
		}
	}
	for _, o := range sorted(k.c.Offers) {
		k.offerBreaks(o)
		s, ok := k.ix.Supplier(o.Supplier)
		if !ok {
			continue
		}
		for _, b := range o.Breaks {
			if b.Price.Currency != s.Currency {
				k.severe(o, fault{"offer-currency", "breaks", "Give prices in the supplier's currency"},
					"A price in %s from a supplier who sells in %s.", b.Price.Currency, s.Currency)
				break
			}
		}
		if o.Core != (quantity.Money{}) && o.Core.Currency != s.Currency {
			k.severe(o, fault{"offer-currency", "core", "Give the deposit in the supplier's currency"},
				"A deposit in %s at a supplier who sells in %s.", o.Core.Currency, s.Currency)
		}
		if !o.Lead.Valid() {
			k.severe(o, fault{"offer-lead", "lead", "Give best, likely and worst working days in rising order"}, "The lead time is %v.", o.Lead)
		}
		if !o.StockDate.IsZero() && !o.StockDate.Valid() {
			k.severe(o, fault{"offer-lead", "stockDate", "Give a day of the calendar"}, "There is no such day.")
		}
	}
}

var clock = regexp.MustCompile(`^([01][0-9]|2[0-3]):[0-5][0-9]$`)

func (k *checkup) supplierMoney(s *Supplier) {
	if _, ok := quantity.CurrencyDecimals(s.Currency); !ok {
		k.severe(s, fault{"offer-currency", "currency", "Give an ISO 4217 code, like EUR"}, "%q is not a currency.", s.Currency)
		return
	}
	for _, m := range []struct {
		field string
		money quantity.Money
	}{{"freight", s.Freight}, {"freeFrom", s.FreeFrom}, {"minimumOrder", s.MinimumOrder}, {"smallOrderFee", s.SmallOrderFee}} {
		if m.money != (quantity.Money{}) && m.money.Currency != s.Currency {
			k.severe(s, fault{"offer-currency", m.field, "Give it in the supplier's currency"}, "%v, but the supplier sells in %s.", m.money, s.Currency)
		}
		if m.money.Minor < 0 {
			k.severe(s, fault{"offer-price", m.field, "Give the real amount"}, "%v is less than nothing.", m.money)
		}
	}
}

func (k *checkup) offerBreaks(o *Offer) {
	at := fault{"offer-breaks", "breaks", "List prices by ascending quantity, beginning with the least quantity sold"}
	if len(o.Breaks) == 0 {
		k.severe(o, at, "The offer has no price.")
		return
	}
	if first := o.Breaks[0].From; first > max(o.Minimum, 1) {
		k.severe(o, at, "The first price is from %d, but %d may be bought.", first, max(o.Minimum, 1))
	}
	for i, b := range o.Breaks {
		if b.From < 1 || i > 0 && b.From <= o.Breaks[i-1].From {
			k.severe(o, at, "The price from %d is out of order.", b.From)
		}
		if b.Price.Minor < 0 {
			k.severe(o, fault{"offer-price", "breaks", "Give the real price"}, "%v is less than nothing.", b.Price)
		}
		if i > 0 && b.Price.Minor > o.Breaks[i-1].Price.Minor {
			k.hint(o, fault{"offer-price", "breaks", "Check the list"}, "The unit price rises to %v from %d.", b.Price, b.From)
		}
	}
}
