package measure

import (
	"errors"
	"fmt"

	"layshaft/catalog/quantity"
	"layshaft/catalog/standard"
)

// SeatInput is a journal or bore measured against the limits of a symbol.
type SeatInput struct {
	Symbol string // "35 k6", "72 H7"
	// Bearing that sits there, by designation; "" for none.
	Bearing    string
	Values     []string // none: the limits and the fit of a new seat alone
	Unit       quantity.Unit
	Instrument Instrument
	Rule       Rule
}

// SeatResult is InspectResult with the limits of ISO 286 and the bearing's fit.
type SeatResult struct {
	InspectResult
	Limits standard.Limits
	// New is the fit of the bearing's ring on a seat within its limits, Now on
	// the seat as measured; nil without a bearing or without readings. The
	// ring's own tolerance is ISO 492 class Normal; the error of measurement is
	// not in it.
	New, Now *standard.Fit
	FitText  string
}

// Seat judges a journal or a bore by its ISO 286 symbol. Its limits are those of
// a new part: outside them a seat wants treatment or renewing, unless the shop
// has a wear limit of its own.
func Seat(in SeatInput) SeatResult {
	var out SeatResult
	out.Rule = in.Rule.orDefault()
	limits, err := standard.ParseLimits(in.Symbol)
	if err != nil {
		out.Refusals = []Refusal{designationRefusal("symbol", err)}
		return out
	}
	out.Limits = limits
	join := func(standard.Limits) (standard.Fit, error) { return standard.Fit{}, nil }
	if in.Bearing != "" {
		b, err := standard.ParseBearing(in.Bearing)
		if err != nil {
			out.Refusals = []Refusal{designationRefusal("bearing", err)}
			return out
		}
		join = func(seat standard.Limits) (standard.Fit, error) {
			if seat.Side == standard.Hole {
				return standard.RingInHousing(b, seat)
			}
			return standard.RingOnShaft(b, seat)
		}
		fit, err := join(limits)
		if err != nil {
			out.Refusals = []Refusal{designationRefusal("bearing", err)}
			return out
		}
		out.New, out.FitText = &fit, "New seat: "+fit.Range()+"."
	}
	if len(in.Values) == 0 {
		return out
	}
	b := window(int64(limits.Min()), int64(limits.Max()))
	m, ok := measureOne(&out.InspectResult, limits.String(), in.Values, in.Unit, in.Instrument, b)
	if !ok {
		return out
	}
	out.judge(m, b, fmt.Sprintf("%s is %s", limits, span(limits.Min(), limits.Max())))
	if in.Bearing == "" {
		return out
	}
	seat := limits
	seat.Lower, seat.Upper = quantity.Length(m.floor())-limits.Nominal, quantity.Length(m.ceil())-limits.Nominal
	fit, err := join(seat)
	if err != nil { // the same bearing on the same nominal size was joined above
		out.Refusals = []Refusal{designationRefusal("bearing", err)}
		return out
	}
	out.Now = &fit
	out.FitText += " As measured: " + fit.Range() + "."
	if out.New.MaxClearance <= 0 && fit.MaxClearance > 0 {
		out.Notices = append(out.Notices, Notice{"ring-may-creep", LevelCheck,
			"Check the seat: the ring can be loose, " + fit.Range() + ", and may creep."})
	}
	return out
}

func designationRefusal(place string, err error) Refusal {
	if d, ok := errors.AsType[*standard.DesignationError](err); ok {
		return Refusal{"not-a-designation", place, d.Problem, d.Remedy}
	}
	return Refusal{"not-a-designation", place, err.Error(), "check the designation"}
}
