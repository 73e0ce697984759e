package kitlist

import (
	"strconv"
	"strings"
)

var currencySigns = map[string]string{"€": "EUR", "£": "GBP", "$": "USD", "¥": "JPY", "eur": "EUR", "euro": "EUR", "euros": "EUR",
	"gbp": "GBP", "usd": "USD", "chf": "CHF", "sek": "SEK", "nok": "NOK", "dkk": "DKK", "pln": "PLN", "aud": "AUD", "nzd": "NZD",
	"cad": "CAD", "zar": "ZAR", "jpy": "JPY", "mxn": "MXN", "ars": "ARS", "brl": "BRL"}

// maxAmount keeps amounts far from overflow when they are added up.
const maxAmount = 1_000_000_000_00

// amount reads money at atom i in hundredths: "18,40", "1.234,50", "1 234.50", "96". cents tells whether it was written
// with two decimals.
func (e *entry) amount(i int) (minor int64, b int, cents, ok bool) {
	if !e.is(i, cDigits) {
		return 0, i, false, false
	}
	whole, b := e.at[i].text, i+1
	frac := ""
	for e.is(b+1, cDigits) {
		s, t := e.text(b), e.at[b+1].text
		if s != "." && s != "," && s != "'" && s != " " || e.at[b].role != none {
			break
		}
		if len(t) == 3 && len(whole) <= 12 && (s != " " || len(whole) <= 3 && e.followedByCents(b+2)) && !(s != "'" && s != " " && e.text(b+2) != "." && e.text(b+2) != ",") {
			whole, b = whole+t, b+2
			continue
		}
		if s != " " && s != "'" && len(t) <= 2 {
			frac, b = t, b+2
		}
		break
	}
	if len(whole) > 12 {
		return 0, i, false, false
	}
	v, err := strconv.ParseInt(whole+(frac + "00")[:2], 10, 64)
	if err != nil || v > maxAmount {
		return 0, i, false, false
	}
	return v, b, len(frac) == 2, true
}

func (e *entry) followedByCents(i int) bool {
	return (e.text(i) == "," || e.text(i) == ".") && e.is(i+1, cDigits) && len(e.at[i+1].text) == 2
}

// scanPrices finds money: with a currency, or with two decimals at the end of an entry.
func (e *entry) scanPrices() {
	for i := e.body; i < e.b; i++ {
		if e.at[i].role != none {
			continue
		}
		if cur, ok := currencySigns[e.text(i)]; ok && !e.is(i-1, cLetters) {
			if j := e.skip(i + 1); e.is(j, cDigits) && e.free(j, j+1) {
				if v, b, _, ok := e.amount(j); ok {
					e.addPrice(i, b, v, cur)
					i = b - 1
					continue
				}
			}
		}
		if !e.is(i, cDigits) || e.sticky(i-1, -1) || e.text(i-1) == "." && e.is(i-2, cLetters) && e.is(i-3, cDigits) {
			continue
		}
		v, b, cents, ok := e.amount(i)
		if !ok {
			continue
		}
		j := e.skip(b)
		if cur, ok := currencySigns[e.text(j)]; ok && !e.is(j+1, cLetters) && !(j > b && e.is(j+1, cDigits)) {
			e.addPrice(i, j+1, v, cur)
		} else if e.text(j) == "%" {
			e.claim(i, j+1, rPrice)
		} else if cents && e.bareMoney(i, b) {
			e.addPrice(i, b, v, "")
		} else {
			continue
		}
		i = b - 1
	}
}

// bareMoney says that a number with two decimals and no currency is money: it stands at the end, set off by a gap, a
// leader, a word for price, or in a list whose lines end in such numbers.
func (e *entry) bareMoney(a, b int) bool {
	if !e.free(a, b) || e.sticky(b, 1) {
		return false
	}
	if a == e.body && e.d.startPrice && e.is(b, cSpace) {
		return true
	}
	p := e.back(a)
	switch e.text(p) {
	case "@", "à", "=", ":":
		return true
	}
	if e.has(e.body, e.b, mTotal, mCost, mTax) {
		return true
	}
	rest := e.skip(b)
	for rest < e.b && (e.at[rest].role == rPrice || e.at[rest].class == cPunct || e.text(rest) == "ea" || e.text(rest) == "each" || e.text(rest) == " ") {
		rest++
	}
	if rest < e.b && !(e.is(rest, cDigits) && e.d.endPrice) {
		return false
	}
	return e.d.endPrice || e.gap(a) >= 2 || e.depth < e.d.deepest || e.text(p) == "."
}

func (e *entry) addPrice(a, b int, minor int64, currency string) {
	if p := e.back(a); e.text(p) == "+" && e.thing(e.body, p) {
		e.extra = true // "synchro keys +£9.00"
	}
	e.prices = append(e.prices, Price{Raw: strings.TrimSpace(e.raw(a, b)), Minor: minor, Currency: currency, Start: e.start(a), End: e.end(b)})
	e.claim(a, b, rPrice)
}
