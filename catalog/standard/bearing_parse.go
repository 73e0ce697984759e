package standard

import (
	"fmt"
	"strings"
)

// maxDesignation is the longest text, in bytes, read as one designation.
const maxDesignation = 80

// DesignationError says why a text was not decoded.
type DesignationError struct {
	Text    string // as given, shortened when very long
	Offset  int    // byte offset in Text
	Problem string
	Remedy  string
}

// Error gives text, place, problem and remedy in one line.
func (e *DesignationError) Error() string {
	return fmt.Sprintf("designation %q, at character %d: %s; %s", e.Text, e.Offset+1, e.Problem, e.Remedy)
}

func refuse(text string, offset int, problem, remedy string) error {
	if len(text) > maxDesignation {
		text = strings.ToValidUTF8(text[:maxDesignation], "")
	}
	return &DesignationError{Text: text, Offset: min(offset, len(text)), Problem: problem, Remedy: remedy}
}

// ParseBearing decodes one rolling-bearing designation, in any usual writing:
// "6207-2rs/c3 nr", "HK1612", "K30x35x17", "NU 206 E", "32006X". The base must
// be in the tables (a sealed drawn cup may be derived from them); suffixes that
// no table explains are kept in Unknown. Errors are [*DesignationError].
func ParseBearing(text string) (Bearing, error) {
	if len(text) > maxDesignation {
		return Bearing{}, refuse(text, maxDesignation, "the text is too long", "give one designation alone")
	}
	body := strings.TrimSpace(text)
	lead := strings.Index(text, body)
	scan := bearingScan{text: body}
	row, end := scan.base(0)
	if row == nil {
		problem, remedy := explainBase(body)
		return Bearing{}, refuse(text, lead, problem, remedy)
	}
	b := row.Bearing
	_, _ = scan.suffixes(&b, affixes()[row.short], end)
	b.settle()
	b.Written = body
	return b, nil
}

// explainBase says what is wrong with a base that is not in the tables.
func explainBase(body string) (problem, remedy string) {
	if body == "" {
		return "nothing to read", "write a designation like 6207-2RS or HK 1612"
	}
	letters := run(body, 0, isLetter)
	digits := run(body, letters, isDigit)
	if letters == 0 && (digits == 4 || digits == 5) {
		series, code := body[:digits-2], body[digits-2:digits]
		if seriesKnown(series) {
			if bore, ok := BoreOfCode(code); ok {
				return fmt.Sprintf("series %s is known, but bore code %s (%s) is not in its table", series, code, bore),
					"check the number, or give bore, outside diameter and width as sizes"
			}
			return fmt.Sprintf("series %s is known, but %s is no bore code", series, code), "check the last two digits"
		}
		return "series " + series + " is not known",
			"known are 60 62 63 64 618 619 160, 302 303 313 320 322 323 329 330 331 332, 511 512"
	}
	switch prefix := strings.ToUpper(body[:letters]); prefix {
	case "N", "NU", "NJ", "NUP", "RNU", "RN", "HK", "BK", "NK", "NKI", "NA", "RNA", "K", "AXK", "AS", "LS":
		return "no " + prefix + " of this size is in the tables", "check the digits, or give the sizes themselves"
	}
	return "no rolling-bearing designation starts here", "write a designation like 6207-2RS, NU 206, HK 1612 or K 30x35x17"
}

func seriesKnown(series string) bool {
	for _, row := range bearings().order {
		if row.Series == series {
			return true
		}
	}
	return false
}
