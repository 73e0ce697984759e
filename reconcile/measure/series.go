package measure

import (
	"fmt"
	"math"

	"layshaft/catalog/quantity"
)

// Instrument is what is known of the gauge. Zero fields are not known: the
// resolution is then taken from the digits typed, the others from typical
// values of a gauge of that resolution, and the budget says so.
type Instrument struct {
	Name       string
	Resolution quantity.Length
	// Certificate is the expanded uncertainty U (k = 2) of its certificate.
	Certificate quantity.Length
	// Pooled is the shop's standard deviation of a single reading, from earlier
	// work; used when a series has fewer than 4 values.
	Pooled quantity.Length
}

// TorqueInstrument is Instrument for a torque reading.
type TorqueInstrument struct {
	Name                            string
	Resolution, Certificate, Pooled quantity.Torque
}

// fewest values whose own standard deviation is used.
const ownRepeatability = 4

// Series is a named series as understood.
type Series struct {
	Name string
	Kind Kind
	Raw  []string
	// Lengths or Torques are the values in use, in the order typed.
	Lengths []quantity.Length
	Torques []quantity.Torque
	Struck  int // values kept and not used
	// Mean is rounded to the nearest nanometre or millinewton metre; the
	// computation keeps the exact fraction.
	Mean       quantity.Length
	MeanTorque quantity.Torque
	// S is the sample standard deviation in mm or N·m; 0 for one value.
	S float64
	// Spread is largest minus smallest.
	Spread       quantity.Length
	SpreadTorque quantity.Torque

	amounts    []int64
	places     []int // index into Raw of each amount
	mean       exact
	resolution int64 // finest of the digits typed
}

// perUnit is how many whole units one mm, N·m or degree has.
func (k Kind) perUnit() float64 {
	if k == KindLength {
		return perMM
	}
	return 1000
}

// readSeries parses one series; what cannot be read is refused value by value.
func readSeries(r Reading, kind Kind, unit quantity.Unit, torqueUnit string) (Series, []Refusal) {
	s := Series{Name: r.Name, Kind: kind, Raw: r.Values}
	if len(r.Values) > maxReadings {
		return s, []Refusal{{"too-many-readings", r.Name, fmt.Sprintf("%d values; at most %d are taken", len(r.Values), maxReadings), "keep the readings of one seating"}}
	}
	var refused []Refusal
	for i, text := range r.Values {
		place := r.Name
		if len(r.Values) > 1 {
			place = fmt.Sprintf("%s %d", r.Name, i+1)
		}
		v, err := parseValue(text, kind, unit, torqueUnit)
		if err != nil {
			refused = append(refused, parseRefusal(place, text, err))
			continue
		}
		if v.struck {
			s.Struck++
			continue
		}
		if bad, ok := absurd(place, kind, v.amount); ok {
			refused = append(refused, bad)
			continue
		}
		if v.resolution > 0 && (s.resolution == 0 || v.resolution < s.resolution) {
			s.resolution = v.resolution
		}
		s.amounts = append(s.amounts, v.amount)
		s.places = append(s.places, i)
	}
	if len(refused) == 0 && len(s.amounts) > 0 {
		s.summarise()
	}
	return s, refused
}

// absurd refuses a value that no bench can give.
func absurd(place string, kind Kind, amount int64) (Refusal, bool) {
	switch kind {
	case KindTemperature:
		if amount < -60_000 || amount > 300_000 {
			return Refusal{"absurd", place, "a temperature outside -60 to 300 °C", "read the thermometer again; state C or F"}, true
		}
		return Refusal{}, false
	case KindTorque:
		if amount < 0 || amount > int64(maxTorque) {
			return Refusal{"absurd", place, "turning torque " + quantity.Torque(amount).String() + " cannot be", "read again, in N·m"}, true
		}
		return Refusal{}, false
	}
	if amount < 0 {
		return Refusal{"negative", place, "a negative reading, " + quantity.Length(amount).String(), "zero the gauge and read again; enter the size without sign"}, true
	}
	if amount > int64(maxSize) {
		return Refusal{"absurd", place, quantity.Length(amount).String() + " is longer than anything on a bench", "check the unit"}, true
	}
	return Refusal{}, false
}

func (s *Series) summarise() {
	n := len(s.amounts)
	lo, hi, sum := s.amounts[0], s.amounts[0], int64(0)
	for _, a := range s.amounts {
		lo, hi, sum = min(lo, a), max(hi, a), sum+a
	}
	s.mean = fraction(sum, int64(n))
	if n > 1 {
		var squares float64
		for _, a := range s.amounts {
			d := exact{a*s.mean.den - s.mean.num, s.mean.den}.float()
			squares += d * d
		}
		s.S = math.Sqrt(squares/float64(n-1)) / s.Kind.perUnit()
	}
	switch s.Kind {
	case KindLength:
		s.Mean, s.Spread = quantity.Length(s.mean.nearest()), quantity.Length(hi-lo)
		for _, a := range s.amounts {
			s.Lengths = append(s.Lengths, quantity.Length(a))
		}
	case KindTorque:
		s.MeanTorque, s.SpreadTorque = quantity.Torque(s.mean.nearest()), quantity.Torque(hi-lo)
		for _, a := range s.amounts {
			s.Torques = append(s.Torques, quantity.Torque(a))
		}
	}
}

func (s *Series) spread() int64 { return int64(s.Spread) + int64(s.SpreadTorque) }

// show writes an amount of the series with its unit.
func (s *Series) show(amount int64) string {
	if s.Kind == KindTorque {
		return quantity.Torque(amount).String()
	}
	return show(quantity.Length(amount))
}

// outlier applies Grubbs' test (two-sided, 5 %) to a series of three or more.
// Deviations that the last digits explain are never called outliers: the spread
// must exceed 5 times the resolution (common practice).
func (s *Series) outlier(resolution int64) (index int, found bool) {
	n := len(s.amounts)
	if n < 3 || s.S == 0 || s.spread() <= 5*resolution {
		return 0, false
	}
	worst := -1.0
	for i, a := range s.amounts {
		d := math.Abs(exact{a*s.mean.den - s.mean.num, s.mean.den}.float()) / s.Kind.perUnit()
		// Ties go to the earlier value; a float hair must not decide.
		if d > worst*(1+1e-12) {
			worst, index = d, i
		}
	}
	return index, worst/s.S > grubbsCritical(n)
}

// consistent refuses an outlier and readings that disagree beyond use, and
// warns of a wide spread. widest is the window's width, 0 when there is none.
func (s *Series) consistent(resolution, widest int64) ([]Refusal, []Notice) {
	if i, found := s.outlier(resolution); found {
		place := fmt.Sprintf("%s %d", s.Name, s.places[i]+1)
		return []Refusal{{"outlier", place,
			s.show(s.amounts[i]) + " stands apart from the other readings (Grubbs' test, 5 %)",
			"reseat and read again, or strike it by putting it in parentheses"}}, nil
	}
	if widest > 0 && s.spread() > 20*resolution && s.spread() > widest {
		return []Refusal{{"readings-disagree", s.Name,
			"the readings differ by " + s.show(s.spread()) + ", more than the whole window",
			"reseat and read the series again; check that all are in one unit"}}, nil
	}
	if len(s.amounts) > 1 && s.spread() > 5*resolution {
		return nil, []Notice{{"wide-spread", LevelCheck,
			fmt.Sprintf("Check %s: the readings differ by %s, over 5 times the resolution. Reseat and repeat.", s.Name, s.show(s.spread()))}}
	}
	return nil, nil
}

// show writes a length in mm to the micrometre where that is exact enough to
// read, and exactly where rounding would hide a value below it.
func show(l quantity.Length) string {
	if r := quantity.Length(exact{int64(l), 1000}.nearest()) * quantity.Micron; r != 0 || l == 0 {
		return r.String()
	}
	return l.String()
}
