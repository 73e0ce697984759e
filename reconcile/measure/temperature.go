package measure

import (
	"layshaft/catalog/quantity"
)

// expansion in 1e-7 per kelvin (handbook values): steel 11.5e-6, cast iron
// 10.5e-6, aluminium 23e-6.
var expansion = map[string]int64{"steel": 115, "cast iron": 105, "aluminium": 230}

// Expansion is the change of a size by a temperature difference in
// millikelvins, to the nearest nanometre. ok is false for a material not known.
func Expansion(size quantity.Length, material string, milliKelvin int64) (change quantity.Length, ok bool) {
	a, ok := expansion[material]
	if !ok || size.Abs() > maxSize || milliKelvin > 1_000_000 || milliKelvin < -1_000_000 {
		return 0, false
	}
	return quantity.Length(fraction(int64(size)*a*milliKelvin, 10_000_000*1000).nearest()), true
}

// temperature warns when a difference of temperature can move the result by
// more than a quarter of the window.
func (w *stackWork) temperature() {
	c, p := w.series[CaseTemperature], w.series[PartTemperature]
	s := w.in.Stack
	if c == nil || s.Span <= 0 || w.byTorque() {
		return
	}
	if _, known := expansion[s.Material]; !known {
		w.say("material-unknown", LevelNote, "The case's material is not known; temperatures were not checked.")
		return
	}
	quarter := (w.out.Max - w.out.Min) / 4
	if p != nil {
		d, _ := Expansion(s.Span, s.Material, c.mean.plus(p.mean, -1).nearest())
		if d.Abs() > quarter {
			w.say("warm-case", LevelCheck, "Check temperatures at "+w.name()+": case and shaft differ, which moves the play by "+show(d)+
				", more than a quarter of the window. Let both come to one temperature and measure again.")
		}
	}
	away := c.mean.nearest() - 20_000 // ISO 1: sizes hold at 20 degrees
	own, _ := Expansion(s.Span, s.Material, away)
	steel, _ := Expansion(s.Span, "steel", away)
	if d := own - steel; d.Abs() > quarter {
		w.say("cold-bench", LevelCheck, "Check the bench temperature at "+w.name()+": away from 20 °C the case moves by "+show(d)+
			" against its steel shafts, more than a quarter of the window.")
	}
}
