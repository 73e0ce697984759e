package quantity

import "strings"

// ISO 4217 codes in use by number of decimals of the minor unit. From memory of
// the list; the fund codes and metals are left out.
const (
	currencies0 = "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX VND VUV XAF XOF XPF"
	currencies3 = "BHD IQD JOD KWD LYD OMR TND"
	currencies2 = "AED AFN ALL AMD ANG AOA ARS AUD AWG AZN BAM BBD BDT BGN BMD BND BOB BRL BSD BTN BWP BYN BZD " +
		"CAD CDF CHF CNY COP CRC CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GTQ GYD " +
		"HKD HNL HTG HUF IDR ILS INR IRR JMD KES KGS KHR KPW KYD KZT LAK LBP LKR LRD LSL MAD MDL MGA MKD MMK " +
		"MNT MOP MRU MUR MVR MWK MXN MYR MZN NAD NGN NIO NOK NPR NZD PAB PEN PGK PHP PKR PLN QAR RON RSD RUB " +
		"SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT TOP TRY TTD TWD TZS UAH USD " +
		"UYU UZS VES WST XCD YER ZAR ZMW"
)

var currencyDecimals = func() map[string]int {
	table := map[string]int{}
	for decimals, codes := range map[int]string{0: currencies0, 2: currencies2, 3: currencies3} {
		for _, code := range strings.Fields(codes) {
			table[code] = decimals
		}
	}
	return table
}()

// CurrencyDecimals gives the decimals of the minor unit of an ISO 4217 code in
// capitals; ok is false for a code not in the list.
func CurrencyDecimals(code string) (decimals int, ok bool) {
	decimals, ok = currencyDecimals[code]
	return decimals, ok
}
