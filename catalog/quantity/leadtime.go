package quantity

import (
	"fmt"
	"strconv"
	"strings"
)

// LeadTime is a range of working days: best, likely, worst.
type LeadTime struct {
	Best   int `json:"best" cbor:"1,keyasint,omitempty"`
	Likely int `json:"likely" cbor:"2,keyasint,omitempty"`
	Worst  int `json:"worst" cbor:"3,keyasint,omitempty"`
}

// MaxLeadDays is the longest lead time accepted, about ten working years.
const MaxLeadDays = 2600

const leadRemedy = "write best/likely/worst working days, like 2/4/9, or one number when it is certain"

// ParseLeadTime reads "2/4/9" or a single number of working days. Errors are
// [*ParseError].
func ParseLeadTime(s string) (LeadTime, error) {
	const kind = "lead time"
	if len(s) > maxText {
		return LeadTime{}, refuse(kind, s, maxText, "the text is too long", leadRemedy)
	}
	fields := strings.Split(strings.TrimSpace(s), "/")
	if len(fields) != 1 && len(fields) != 3 {
		return LeadTime{}, refuse(kind, s, 0, fmt.Sprintf("%d numbers", len(fields)), leadRemedy)
	}
	days := make([]int, 0, 3)
	at := 0
	for _, field := range fields {
		v, used, ok := scanDigits(strings.TrimSpace(field), 0)
		if !ok || used == 0 || used != len(strings.TrimSpace(field)) || v > MaxLeadDays {
			return LeadTime{}, refuse(kind, s, at, "not a number of days from 0 to "+strconv.Itoa(MaxLeadDays), leadRemedy)
		}
		days = append(days, int(v))
		at += len(field) + 1
	}
	if len(days) == 1 {
		days = append(days, days[0], days[0])
	}
	l := LeadTime{Best: days[0], Likely: days[1], Worst: days[2]}
	if !l.Valid() {
		return LeadTime{}, refuse(kind, s, 0, "the three are not in rising order", leadRemedy)
	}
	return l, nil
}

// Valid says whether 0 <= best <= likely <= worst <= [MaxLeadDays].
func (l LeadTime) Valid() bool {
	return 0 <= l.Best && l.Best <= l.Likely && l.Likely <= l.Worst && l.Worst <= MaxLeadDays
}

// String writes "2/4/9".
func (l LeadTime) String() string { return fmt.Sprintf("%d/%d/%d", l.Best, l.Likely, l.Worst) }

// MarshalText writes what [LeadTime.String] writes; an invalid range is refused.
func (l LeadTime) MarshalText() ([]byte, error) {
	if !l.Valid() {
		return nil, refuse("lead time", l.String(), 0, "the three are not in rising order from 0", leadRemedy)
	}
	return []byte(l.String()), nil
}

// UnmarshalText reads what [ParseLeadTime] reads.
func (l *LeadTime) UnmarshalText(text []byte) error {
	v, err := ParseLeadTime(string(text))
	if err != nil {
		return err
	}
	*l = v
	return nil
}
