package quantity

import (
	"errors"
	"fmt"
	"math/bits"
	"strings"
)

// Money is an amount in minor units of an ISO 4217 currency: 1840 EUR is 18.40.
// The zero value is "no amount" and adds to anything.
type Money struct {
	Minor    int64  `json:"minor" cbor:"1,keyasint,omitempty"`
	Currency string `json:"currency" cbor:"2,keyasint,omitempty"`
}

// ErrMoney is wrapped by every refusal of money arithmetic.
var ErrMoney = errors.New("money")

const (
	moneyKind   = "money"
	moneyRemedy = "write amount and ISO 4217 code, like 18.40 EUR"
)

// ParseMoney reads "18.40 EUR", "EUR 18,40", "€18.40" or "1,234.50 USD". An
// amount needs its ISO 4217 code (the euro sign stands for EUR) and at most the
// decimals the currency has; "1,234 USD", which may mean two things, is refused.
// Errors are [*ParseError].
func ParseMoney(s string) (Money, error) {
	if len(s) > maxText {
		return Money{}, refuse(moneyKind, s, maxText, "the text is too long", moneyRemedy)
	}
	body := strings.TrimSpace(s)
	at := strings.Index(s, body)
	start := strings.IndexAny(body, "0123456789")
	if start < 0 {
		return Money{}, refuse(moneyKind, s, at, "no amount", moneyRemedy)
	}
	end := strings.LastIndexAny(body, "0123456789") + 1
	before, digits, after := body[:start], body[start:end], strings.TrimSpace(body[end:])
	before, neg, ok := moneySign(before)
	if !ok {
		return Money{}, refuse(moneyKind, s, at, "more than one sign", moneyRemedy)
	}
	if (before == "") == (after == "") {
		return Money{}, refuse(moneyKind, s, at+end, "one currency code is wanted", moneyRemedy)
	}
	code := strings.ToUpper(before + after)
	if code == "€" {
		code = "EUR"
	}
	decimals, ok := CurrencyDecimals(code)
	if !ok {
		return Money{}, refuse(moneyKind, s, at, "currency "+quoteShort(code)+" is not an ISO 4217 code", moneyRemedy)
	}
	plain, problem := ungroup(digits)
	if problem != "" {
		return Money{}, refuse(moneyKind, s, at+start, problem, moneyRemedy)
	}
	num, den, used, problem := scanDecimal(plain)
	if problem == "" && used != len(plain) {
		problem = "text inside the amount"
	}
	if problem == "" && decimals < 3 && decimalsWritten(plain) == 3 {
		problem = "a mark before three digits may be decimal or thousands"
	}
	if problem == "" && den > powersOfTen[decimals] {
		problem = fmt.Sprintf("more decimals than the %d of %s", decimals, code)
	}
	if problem != "" {
		return Money{}, refuse(moneyKind, s, at+start, problem, moneyRemedy)
	}
	v, how := number{neg: neg, num: num, den: den}.times(powersOfTen[decimals])
	if how != exact {
		return Money{}, refuse(moneyKind, s, at+start, "too large", moneyRemedy)
	}
	return Money{Minor: v, Currency: code}, nil
}

// moneySign takes one sign off the text before the digits, on either side of a
// currency mark.
func moneySign(before string) (rest string, neg, ok bool) {
	rest = strings.NewReplacer("-", "", "\u2212", "", "+", "", " ", "").Replace(before)
	minus := strings.Count(before, "-") + strings.Count(before, "\u2212")
	return rest, minus > 0, minus+strings.Count(before, "+") <= 1
}

func decimalsWritten(s string) int {
	if i := strings.IndexAny(s, ".,"); i >= 0 {
		return len(s) - i - 1
	}
	return 0
}

// ungroup removes thousands marks where their reading is certain: two kinds of
// mark, the last one once; or spaces.
func ungroup(s string) (plain, problem string) {
	const bad = "the thousands marks are not in place"
	groups, frac := s, ""
	last := strings.LastIndexAny(s, ".,")
	first := strings.IndexAny(s, "., '\u00a0\u202f")
	if last >= 0 && (first != last || strings.ContainsAny(s, " '\u00a0\u202f")) {
		if strings.Count(s, s[last:last+1]) > 1 {
			last = len(s) // 1.234.567: all marks are thousands
		}
		groups, frac = s[:last], s[last:]
	} else if last >= 0 {
		return s, ""
	}
	groups = strings.NewReplacer("\u00a0", " ", "\u202f", " ").Replace(groups)
	mark := strings.IndexAny(groups, "., '")
	if mark < 0 {
		return groups + frac, ""
	}
	parts := strings.Split(groups, groups[mark:mark+1])
	for i, part := range parts {
		if i > 0 && len(part) != 3 || i == 0 && (len(part) == 0 || len(part) > 3) {
			return "", bad
		}
	}
	return strings.Join(parts, "") + frac, ""
}

// String writes the amount with all decimals of its currency: "18.40 EUR". A
// code that is not ISO 4217 is written with two decimals.
func (m Money) String() string {
	decimals, ok := CurrencyDecimals(m.Currency)
	if !ok {
		decimals = 2
	}
	text := formatScaled(m.Minor, decimals)
	if decimals > 0 {
		if !strings.Contains(text, ".") {
			text += "."
		}
		text += strings.Repeat("0", decimals-decimalsWritten(text))
	}
	return strings.TrimSpace(text + " " + m.Currency)
}

// IsZero says whether the amount is zero, in any currency.
func (m Money) IsZero() bool { return m.Minor == 0 }

// Add is the exact sum. Different currencies (unless one side is the zero
// value) and overflow are refused.
func (m Money) Add(o Money) (Money, error) {
	switch {
	case m == Money{}:
		return o, nil
	case o == Money{}:
		return m, nil
	case m.Currency != o.Currency:
		return Money{}, fmt.Errorf("%w: %s and %s are different currencies; convert one first", ErrMoney, m, o)
	}
	sum := m.Minor + o.Minor
	if (sum > m.Minor) != (o.Minor > 0) {
		return Money{}, fmt.Errorf("%w: %s + %s is too large", ErrMoney, m, o)
	}
	return Money{Minor: sum, Currency: m.Currency}, nil
}

// Times is the exact amount n times; overflow is refused.
func (m Money) Times(n int64) (Money, error) {
	neg := (m.Minor < 0) != (n < 0)
	a, b := uint64(m.Minor), uint64(n)
	if m.Minor < 0 {
		a = -a
	}
	if n < 0 {
		b = -b
	}
	hi, lo := bits.Mul64(a, b)
	v, how := number{neg: neg, num: lo, den: 1}.times(1)
	if hi != 0 || how != exact {
		return Money{}, fmt.Errorf("%w: %d times %s is too large", ErrMoney, n, m)
	}
	return Money{Minor: v, Currency: m.Currency}, nil
}

// Compare orders two amounts of one currency; different currencies are refused.
func (m Money) Compare(o Money) (int, error) {
	if m.Currency != o.Currency && (m != Money{}) && (o != Money{}) {
		return 0, fmt.Errorf("%w: %s and %s are different currencies; convert one first", ErrMoney, m, o)
	}
	switch {
	case m.Minor < o.Minor:
		return -1, nil
	case m.Minor > o.Minor:
		return 1, nil
	}
	return 0, nil
}
