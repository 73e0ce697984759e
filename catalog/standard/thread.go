package standard

import (
	"strings"

	"layshaft/catalog/quantity"
)

// Thread is a metric screw thread of the ISO basic profile.
type Thread struct {
	Diameter      quantity.Length // nominal major diameter d
	Pitch         quantity.Length
	Coarse        bool            // the coarse pitch of the diameter (ISO 262)
	Listed        bool            // the diameter and pitch are in the ISO 262 selection tabled here
	LeftHand      bool            // "LH" written
	PitchDiameter quantity.Length // d2 = d - 3*sqrt(3)/8 P, to the nanometre (ISO 724)
	MinorDiameter quantity.Length // D1 = d - 5*sqrt(3)/8 P
}

// String writes "M30", "M30x2" or "M30x2-LH"; the coarse pitch is left out.
func (t Thread) String() string {
	s := "M" + t.Diameter.MM()
	if !t.Coarse {
		s += "x" + t.Pitch.MM()
	}
	if t.LeftHand {
		s += "-LH"
	}
	return s
}

type threadKey struct{ diameter, pitch quantity.Length }

type threadTables struct {
	listed map[threadKey]bool
	coarse map[quantity.Length]quantity.Length
}

var threads = onceTable(func() threadTables {
	t := threadTables{listed: map[threadKey]bool{}, coarse: map[quantity.Length]quantity.Length{}}
	for _, r := range readTable("iso_metric_threads") {
		key := threadKey{r.mm("d_mm"), r.mm("pitch_mm")}
		t.listed[key] = true
		if r.text("series") == "coarse" {
			t.coarse[key.diameter] = key.pitch
		}
	}
	return t
})

const threadRemedy = "write it like M30, M30x1.5 or M30x1.5-LH"

// ParseThread reads a metric thread: "M8", "M30x1.5", "m 30 X 1,5", "M12-LH". A
// pitch outside the ISO 262 selection is taken with Listed false; a diameter
// without pitch must have a coarse pitch in the table. Errors are
// [*DesignationError].
func ParseThread(text string) (Thread, error) {
	body := strings.TrimSpace(text)
	if len(text) > maxDesignation || body == "" || body[0]|0x20 != 'm' {
		return Thread{}, refuse(text, 0, "not a metric thread", threadRemedy)
	}
	rest := strings.TrimSpace(body[1:])
	var t Thread
	for _, mark := range []string{"-LH", " LH", "-lh", " lh"} {
		if r, ok := strings.CutSuffix(rest, mark); ok {
			rest, t.LeftHand = strings.TrimSpace(r), true
			break
		}
	}
	size, pitch, hasPitch := cutTimes(rest)
	var err error
	if t.Diameter, err = bareMM(size); err != nil || t.Diameter <= 0 {
		return Thread{}, refuse(text, 1, "no thread diameter after the M", threadRemedy)
	}
	coarse, hasCoarse := threads().coarse[t.Diameter]
	switch {
	case hasPitch:
		if t.Pitch, err = bareMM(pitch); err != nil || t.Pitch <= 0 || t.Pitch > t.Diameter/2 {
			return Thread{}, refuse(text, len(text)-len(pitch), "no possible pitch after the diameter", threadRemedy)
		}
	case hasCoarse:
		t.Pitch = coarse
	default:
		return Thread{}, refuse(text, 1, "M"+t.Diameter.MM()+" has no coarse pitch in ISO 262", "write the pitch too: M"+t.Diameter.MM()+"x1.5")
	}
	t.Coarse = hasCoarse && t.Pitch == coarse
	t.Listed = threads().listed[threadKey{t.Diameter, t.Pitch}]
	// Pitches are below 0.5 m, so that the products stay far inside int64.
	t.PitchDiameter = t.Diameter - perMillion(t.Pitch, 649_519)
	t.MinorDiameter = t.Diameter - perMillion(t.Pitch, 1_082_532)
	return t, nil
}

// perMillion is l times ppm millionths, rounded half up.
func perMillion(l quantity.Length, ppm int64) quantity.Length {
	return quantity.Length((int64(l)*ppm + 500_000) / 1_000_000)
}

// cutTimes cuts at the first times sign.
func cutTimes(s string) (before, after string, found bool) {
	s = strings.ReplaceAll(s, "×", "x")
	if i := strings.IndexAny(s, "xX*"); i >= 0 {
		return strings.TrimSpace(s[:i]), strings.TrimSpace(s[i+1:]), true
	}
	return s, "", false
}

// bareMM reads a bare number of millimetres below one metre.
func bareMM(s string) (quantity.Length, error) {
	if s == "" || !isDigit(s[0]) || !isDigit(s[len(s)-1]) {
		return 0, refuse(s, 0, "not a number", "write millimetres")
	}
	l, err := quantity.ParseLengthIn(s, quantity.Millimetre)
	if err == nil && l >= 1000*quantity.MM {
		return 0, refuse(s, 0, "a metre or more", "write millimetres")
	}
	return l, err
}
