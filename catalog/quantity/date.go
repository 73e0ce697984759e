package quantity

import (
	"cmp"
	"fmt"
	"time"
)

// Date is a calendar day, years 1 to 9999 of the Gregorian calendar. The zero
// value means "no date".
type Date struct {
	Year  int `json:"year" cbor:"1,keyasint,omitempty"`
	Month int `json:"month" cbor:"2,keyasint,omitempty"`
	Day   int `json:"day" cbor:"3,keyasint,omitempty"`
}

const dateRemedy = "write it as ISO 8601: 2026-03-09"

// ParseDate reads "2026-03-09" (ISO 8601 calendar date, extended form). Errors
// are [*ParseError].
func ParseDate(s string) (Date, error) {
	const kind = "date"
	if len(s) != 10 {
		return Date{}, refuse(kind, s, 0, "not ten characters", dateRemedy)
	}
	for i := range len(s) {
		dash := i == 4 || i == 7
		if dash != (s[i] == '-') || !dash && (s[i] < '0' || s[i] > '9') {
			return Date{}, refuse(kind, s, i, "not a digit or dash where one belongs", dateRemedy)
		}
	}
	num := func(part string) int {
		v, _, _ := scanDigits(part, 0)
		return int(v)
	}
	d := Date{Year: num(s[:4]), Month: num(s[5:7]), Day: num(s[8:])}
	if !d.Valid() {
		return Date{}, refuse(kind, s, 0, "no such day", dateRemedy)
	}
	return d, nil
}

// DateOf is the day t falls on in t's own location.
func DateOf(t time.Time) Date {
	y, m, d := t.Date()
	return Date{Year: y, Month: int(m), Day: d}
}

// Valid says whether d is a day that exists, in years 1 to 9999.
func (d Date) Valid() bool {
	return d.Year >= 1 && d.Year <= 9999 && d.Month >= 1 && d.Month <= 12 && DateOf(d.Time()) == d
}

// IsZero says whether d is "no date".
func (d Date) IsZero() bool { return d == Date{} }

// Time is midnight UTC at the start of d.
func (d Date) Time() time.Time {
	return time.Date(d.Year, time.Month(d.Month), d.Day, 0, 0, 0, 0, time.UTC)
}

// Weekday is the day of the week of a valid date.
func (d Date) Weekday() time.Weekday { return d.Time().Weekday() }

// String writes "2026-03-09"; the zero date is written "".
func (d Date) String() string {
	if d.IsZero() {
		return ""
	}
	return fmt.Sprintf("%04d-%02d-%02d", d.Year, d.Month, d.Day)
}

// Compare is -1, 0 or +1 as d is before, on or after o; "no date" comes first.
func (d Date) Compare(o Date) int {
	return cmp.Or(cmp.Compare(d.Year, o.Year), cmp.Compare(d.Month, o.Month), cmp.Compare(d.Day, o.Day))
}

// AddDays moves a valid date by n calendar days, stopping at the first and last
// day of years 1 to 9999. "No date" stays "no date".
func (d Date) AddDays(n int) Date {
	if d.IsZero() {
		return d
	}
	const span = 4_000_000 // more days than the calendar holds
	moved := DateOf(d.Time().AddDate(0, 0, min(max(n, -span), span)))
	switch {
	case moved.Year < 1:
		return Date{Year: 1, Month: 1, Day: 1}
	case moved.Year > 9999:
		return Date{Year: 9999, Month: 12, Day: 31}
	}
	return moved
}

// DaysUntil counts the calendar days from d to o, negative when o is earlier.
// Both must be valid.
func (d Date) DaysUntil(o Date) int {
	const daySeconds = 24 * 60 * 60
	return int((o.Time().Unix() - d.Time().Unix()) / daySeconds)
}

// MarshalText writes what [Date.String] writes; a day that does not exist is
// refused.
func (d Date) MarshalText() ([]byte, error) {
	if !d.IsZero() && !d.Valid() {
		return nil, refuse("date", fmt.Sprintf("%d-%d-%d", d.Year, d.Month, d.Day), 0, "no such day", dateRemedy)
	}
	return []byte(d.String()), nil
}

// UnmarshalText reads what [ParseDate] reads; the empty text is "no date".
func (d *Date) UnmarshalText(text []byte) error {
	if len(text) == 0 {
		*d = Date{}
		return nil
	}
	v, err := ParseDate(string(text))
	if err != nil {
		return err
	}
	*d = v
	return nil
}
