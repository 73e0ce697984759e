package measure

import (
	"fmt"
	"strings"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

// span writes a range of lengths: "0.02 to 0.08 mm".
func span(lo, hi quantity.Length) string { return lo.MM() + " to " + hi.String() }

// windowText writes the window in the words of its stack: preload as a positive
// size, nip for a hold-down cover.
func (w *stackWork) windowText() string {
	switch lo, hi := w.out.Min, w.out.Max; {
	case w.byTorque():
		return strings.TrimSuffix(w.out.TorqueMin.String(), " N·m") + " to " + w.out.TorqueMax.String()
	case hi <= 0 && lo < 0:
		return w.playWord(lo) + " " + span(-hi, -lo)
	default:
		return span(lo, hi)
	}
}

func (w *stackWork) playWord(play quantity.Length) string {
	switch {
	case w.byTorque():
		return "turning torque"
	case play < 0 && w.out.Method == catalog.MethodHoldDown:
		return "nip"
	case play < 0:
		return "preload"
	}
	return "end play"
}

// playText writes what a candidate gives. Rounding to the micrometre never
// moves it into the window: then it is written in full.
func (w *stackWork) playText(c *Candidate) string {
	if w.byTorque() {
		return "turning torque " + c.Torque.String()
	}
	shown := quantity.Length(exact{int64(c.Play), 1000}.nearest()) * quantity.Micron
	if (shown >= w.out.Min && shown <= w.out.Max) != c.Inside {
		shown = c.Play
	}
	return w.playWord(shown) + " " + shown.Abs().String()
}

func (c *Candidate) pieces() string {
	var t []string
	for _, p := range c.Pieces {
		t = append(t, p.Thickness.MM())
	}
	return strings.Join(t, " + ") + " mm"
}

// Chance writes a probability with two decimals. One that is not certain is
// never written as 1.00 or 0.00.
func Chance(p float64) string {
	switch {
	case p >= 0.995 && p < 1:
		return "more than 0.99"
	case p > 0 && p < 0.005:
		return "less than 0.01"
	}
	return fmt.Sprintf("%.2f", p)
}

func (w *stackWork) quantityWord() string {
	switch {
	case w.byTorque():
		return "turning torque"
	case w.out.Max <= 0 && w.out.Min < 0:
		return w.playWord(-1)
	}
	return "end play"
}

func (w *stackWork) text(c *Candidate) string {
	t := fmt.Sprintf("%s gives %s; window %s; %s that %s lies in the window, measurement error only",
		c.pieces(), w.playText(c), w.windowText(), Chance(c.Probability), w.quantityWord())
	if !c.Inside {
		t += "; outside the window"
	}
	if !c.OnHand {
		t += "; not in stock"
	}
	return t + "."
}
