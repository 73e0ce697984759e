package identify

import (
	"strconv"
	"strings"

	"layshaft/catalog"
)

// found writes what was observed as a person reads it.
func (o *observed) found() string {
	if o.Turns > 0 {
		return strconv.Itoa(o.Turns) + " input turns = " + decimal(o.Output, 6, 3) + " output turns"
	}
	return valueText(o.Value)
}

func valueText(v catalog.Value) string {
	switch v.Kind {
	case catalog.KindCount:
		return strconv.FormatInt(v.Number, 10)
	case catalog.KindLength:
		return v.Length().String()
	case catalog.KindYesNo:
		if v.Number != 0 {
			return "yes"
		}
		return "no"
	case "":
		return "nothing"
	default:
		return strconv.Quote(v.Text)
	}
}

// decimal writes n units of 10^-scale with the given number of decimals, cut
// off, which is enough for a reading.
func decimal(n int64, scale, decimals int) string {
	s := strconv.FormatInt(n, 10)
	for len(s) <= scale {
		s = "0" + s
	}
	return strings.TrimRight(s[:len(s)-scale]+"."+s[len(s)-scale:len(s)-scale+decimals], ".")
}
