package measure

import (
	"fmt"
	"slices"

	"layshaft/catalog"
)

func (w *stackWork) nextStep(n *NoFit) string {
	if n.OrderMin > n.OrderMax {
		return "The window is narrower than a nanometre: correct the stack's record."
	}
	t := "Order or measure out a grade of " + span(n.OrderMin, n.OrderMax) + "."
	if n.MorePieces != nil {
		t = fmt.Sprintf("%s in a stack of %d would fit, and the stack allows %d. ", n.MorePieces.pieces(), len(n.MorePieces.Pieces), w.maxCount()) + t
	}
	return t
}

// advise writes the notices about the choice.
func (w *stackWork) advise() {
	for i := range w.out.Candidates {
		w.out.Candidates[i].Text = w.text(&w.out.Candidates[i])
	}
	if n := w.out.NoFit; n != nil {
		for _, c := range []*Candidate{n.Looser, n.Tighter, n.MorePieces} {
			if c != nil {
				c.Text = w.text(c)
			}
		}
		if n.Nearest != nil {
			w.say("no-grade-fits", LevelStop, fmt.Sprintf("Do not close the case: %s of %s would be %s with shim %s; window %s. %s",
				w.quantityWord(), w.name(), w.bare(n.Nearest), n.Nearest.pieces(), w.windowText(), n.NextStep))
		} else {
			w.say("no-grade-fits", LevelStop, "Do not close the case: no grade of "+w.name()+" can be used. "+n.NextStep)
		}
		return
	}
	if best, ok := w.out.Best(); ok {
		w.adviseBest(&best)
	}
}

// bare is a candidate's play as a signed number.
func (w *stackWork) bare(c *Candidate) string {
	if w.byTorque() {
		return c.Torque.String()
	}
	if w.out.Max <= 0 && w.out.Min < 0 {
		return (-c.Play).String()
	}
	return c.Play.String()
}

func (w *stackWork) adviseBest(best *Candidate) {
	guard := w.guardText(w.out.GuardBand)
	switch half := w.halfWindow(); {
	case best.Verdict == ProvedInside:
		w.say("fits", LevelNote, "Fit "+best.Text+" Measure again after closing.")
	case w.out.GuardBand > half:
		w.say("cannot-prove", LevelCheck, fmt.Sprintf("Check the measurement of %s: the guard band %s exceeds half the window %s, so no result proves conformity. Improve the measurement. %s", w.name(), guard, w.guardText(half), best.Text))
	default:
		w.say("not-proved", LevelCheck, fmt.Sprintf("Check %s: it is inside the window and nearer to a limit than the guard band %s. %s", w.name(), guard, best.Text))
	}
	if tight := w.tooTight(best); tight >= 0.05 {
		w.say("tight-risk", LevelCheck, fmt.Sprintf("Check %s: %s that it is too tight, measurement error only; too tight seizes.", w.name(), Chance(tight)))
	}
	if !best.OnHand {
		w.say("not-in-stock", LevelCheck, "Check the tray: "+best.pieces()+" is not in stock, and nothing in stock fits.")
	}
	if slices.ContainsFunc(best.Pieces, func(g Grade) bool { return !g.Measured }) {
		w.say("nominal-grade", LevelNote, "The thickness of "+best.pieces()+" is its mark; measure the piece before it goes in.")
	}
	if len(best.Pieces) > 1 {
		w.say("stack-order", LevelNote, "Thickest piece towards the case or the bearing.")
	}
	if slices.ContainsFunc(w.out.Budget.Lines, func(l Line) bool { return l.Typical }) {
		w.say("typical-values", LevelNote, "The uncertainty uses typical values, not the shop's own, in the lines so marked.")
	}
	if dof := wholeDoF(w.out.Budget.DoF); dof > 0 && dof < 10 {
		w.say("few-readings", LevelNote, fmt.Sprintf("Few readings: %.0f effective degrees of freedom, 95 %% would take k = %.2f.", dof, w.out.Budget.Coverage95))
	}
	if w.out.Method == catalog.MethodTorque {
		w.say("torque-method", LevelNote, "New bearings drag more than run-in ones; displacement is preferred where it can be measured.")
	}
}

func (w *stackWork) halfWindow() float64 {
	return float64(*w.limits.hi-*w.limits.lo) / 2 / w.perUnit()
}

func (w *stackWork) guardText(v float64) string {
	if w.byTorque() {
		return fmt.Sprintf("%.2f N·m", v)
	}
	return fmt.Sprintf("%.3f mm", v)
}

// tooTight is the chance of missing the window on its tight side.
func (w *stackWork) tooTight(c *Candidate) float64 {
	if w.byTorque() {
		return c.AboveMax
	}
	return c.BelowMin
}

// chosen judges the pieces that a person chose.
func (w *stackWork) chosen() {
	if len(w.in.Chosen) == 0 {
		return
	}
	grades := w.grades
	var picked []int
	for _, part := range w.in.Chosen {
		i := slices.IndexFunc(grades, func(g Grade) bool { return g.Part == part })
		if i < 0 {
			w.say("chosen-unknown", LevelCheck, fmt.Sprintf("Check the pieces chosen for %s: %s is no grade of it.", w.name(), part))
			return
		}
		picked = append(picked, i)
	}
	slices.Sort(picked)
	c := w.candidate(grades, picked)
	c.Text = w.text(&c)
	w.out.Chosen = &c
	if len(picked) > max(w.in.Stack.MaxCount, 1) || len(picked) > 1 && grades[picked[0]].Thickness < w.in.Stack.Thinnest {
		w.say("chosen-not-allowed", LevelCheck, fmt.Sprintf("Check the pieces chosen for %s: %s is not a stack that its rules allow.", w.name(), c.pieces()))
	}
	if c.Inside {
		return
	}
	t := fmt.Sprintf("Do not close the case: %s of %s would be %s with shim %s; window %s.", w.quantityWord(), w.name(), w.bare(&c), c.pieces(), w.windowText())
	if best, ok := w.out.Best(); ok {
		t += fmt.Sprintf(" Fit %s (%s) and measure again.", best.pieces(), w.playText(&best))
	}
	w.say("chosen-outside", LevelStop, t)
}
