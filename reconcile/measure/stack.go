package measure

import (
	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

// Grade is one thickness that can be fitted: a part of the series or a
// measured piece in the tray.
type Grade struct {
	Part      catalog.PartID
	Thickness quantity.Length
	// Measured: Thickness was read on the piece itself, not off its mark.
	Measured bool
	// Stock is how many are on hand; nil when not known.
	Stock *int
	Price quantity.Money
}

// StackInput is one measurement of a select-fit stack.
type StackInput struct {
	Stack    *catalog.Stack
	Readings []Reading
	// Unit counts for bare numbers of length; "" refuses them. TorqueUnit ("N·m")
	// does the same for turning torque.
	Unit       quantity.Unit
	TorqueUnit string
	Instrument Instrument
	// Instruments by reading name go before Instrument.
	Instruments map[string]Instrument
	TorqueMeter TorqueInstrument
	// Standard uncertainties of a shim's and of the block's size; 0 for typical.
	ShimSigma, BlockSigma quantity.Length
	// GasketFitted: the build has a gasket at this joint, whatever the stack says.
	GasketFitted bool
	Grades       []Grade
	// GradeStep for turning torque, when the grades do not show it.
	GradeStep quantity.Length
	// TorqueSpread is the half range of the torque per grade; 0 for typical.
	TorqueSpread quantity.Torque
	Rule         Rule
	// Chosen pieces by part, one entry per piece: judged whether they fit.
	Chosen []catalog.PartID
	// Keep is how many candidates are returned, 12 when 0.
	Keep int
}

// Candidate is a grade, or an allowed stack of them, with what it gives.
type Candidate struct {
	Pieces    []Grade // thickest first
	Thickness quantity.Length
	// Play that results (negative is preload), to the nanometre; for turning
	// torque the torque expected. Outside the window it is rounded away from it.
	Play   quantity.Length
	Torque quantity.Torque
	// Inside the window, decided on exact fractions.
	Inside bool
	// Probability that play (or torque) lies in the window, measurement error
	// only; BelowMin and AboveMax are the two chances of missing it.
	Probability, BelowMin, AboveMax float64
	Verdict                         Verdict
	// OnHand: no piece is known to be out of stock.
	OnHand bool
	// Price of all pieces; zero when not known or of mixed currencies.
	Price quantity.Money
	Text  string
}

// NoFit says what is nearest when no allowed grade lies in the window.
type NoFit struct {
	// Looser and Tighter are the nearest candidates on either side of the
	// window; Nearest is the closer of the two, the looser one when equal. Nil
	// where there is none. None of them is advice to fit it.
	Looser, Tighter, Nearest *Candidate
	// OrderMin to OrderMax is the thickness that would do.
	OrderMin, OrderMax quantity.Length
	// MorePieces would fit and is not allowed by the stack's count; nil if none.
	MorePieces *Candidate
	NextStep   string
}

// StackResult is the outcome. With refusals there is no thickness.
type StackResult struct {
	Stack    string
	Method   catalog.StackMethod
	Refusals []Refusal
	Notices  []Notice
	Series   []Series
	// Min, Max and Aim are the window of end play that was used.
	Min, Max, Aim                   quantity.Length
	TorqueMin, TorqueMax, TorqueAim quantity.Torque
	// Room is the play at thickness RoomAt (0: without a shim), nearest nanometre.
	Room, RoomAt quantity.Length
	// Steps of grade thicker that turning torque asks for, as a decimal.
	Steps float64
	// Wanted thickness for the aim; every thickness from Thinnest to Thickest is
	// in the window. Both ends are rounded inwards, so they hold exactly.
	Wanted, Thinnest, Thickest quantity.Length
	Budget                     Budget
	Rule                       Rule
	// GuardBand used at each limit, in mm or N·m.
	GuardBand float64
	// Candidates ranked, those inside the window and on hand first.
	Candidates []Candidate
	NoFit      *NoFit
	// Chosen is what the chosen pieces give; nil when none were chosen.
	Chosen *Candidate
}

// Best is the first candidate that lies inside the window; false when none
// does. A candidate outside is never offered.
func (r StackResult) Best() (Candidate, bool) {
	if len(r.Candidates) > 0 && r.Candidates[0].Inside {
		return r.Candidates[0], true
	}
	return Candidate{}, false
}

// Stack computes which thickness, and which grades, close a stack. Needs says
// which readings a method takes.
func Stack(in StackInput) StackResult {
	w := &stackWork{in: in, rule: in.Rule.orDefault()}
	w.out.Rule = w.rule
	if !w.recipe() || !w.read() {
		return w.out
	}
	w.room()
	if len(w.out.Refusals) > 0 {
		return w.out
	}
	w.temperature()
	w.wanted()
	if len(w.out.Refusals) > 0 {
		return w.out
	}
	w.choose()
	w.advise()
	w.chosen()
	return w.out
}

// stackWork is one run of Stack.
type stackWork struct {
	in     StackInput
	rule   Rule
	out    StackResult
	series map[string]*Series
	budget budget
	grades []Grade // usable, thinnest first
	sign   int64   // +1 when a thicker shim reduces play
	// Without torque: play y(t) = sign (base - t).
	base exact
	// With torque: torque y(t) = torque + sign perGrade (t - fitted) / step.
	torque, fitted exact
	step           int64
	limits         bounds
	aim            int64
	lo, hi, want   exact // thickness at the window's ends and at the aim, lo <= hi
}

func (w *stackWork) refuse(code, place, reason, remedy string) {
	w.out.Refusals = append(w.out.Refusals, Refusal{code, place, reason, remedy})
}

func (w *stackWork) say(code string, level Level, text string) {
	w.out.Notices = append(w.out.Notices, Notice{code, level, text})
}

func (w *stackWork) byTorque() bool { return w.out.Method == catalog.MethodTorque }

// perUnit and unit of the quantity that the window is of.
func (w *stackWork) perUnit() float64 {
	if w.byTorque() {
		return KindTorque.perUnit()
	}
	return perMM
}

// recipe checks the stack's own record: method, window, sign of the target.
func (w *stackWork) recipe() bool {
	s := w.in.Stack
	if s == nil {
		w.refuse("no-stack", "stack", "no stack is named", "choose the stack that is measured")
		return false
	}
	w.out.Stack, w.out.Method, w.sign = s.ID, s.Method, 1
	if s.ThickerOpens {
		w.sign = -1
	}
	if methodReadings(s.Method) == nil {
		w.refuse("unknown-method", "method", "the method "+string(s.Method)+" is not known", "correct the stack's record")
		return false
	}
	if w.byTorque() {
		w.torqueWindow(s)
	} else {
		w.playWindow(s)
	}
	return len(w.out.Refusals) == 0
}

func (w *stackWork) playWindow(s *catalog.Stack) {
	const repair = "correct the stack's record"
	aim := s.Aim
	switch {
	case s.Min.Abs() > maxShim || s.Max.Abs() > maxShim:
		w.refuse("absurd", "window", "a window of "+span(s.Min, s.Max)+" cannot be", repair)
		return
	case s.Min > s.Max:
		w.refuse("bad-window", "window", "its lower end "+s.Min.String()+" lies above its upper end "+s.Max.String(), repair+"; preload is negative end play")
		return
	case s.Method == catalog.MethodTrialPlay && s.Max < 0:
		w.refuse("sign", "window", "the method measures play and the window "+span(s.Min, s.Max)+" is preload", "use the method for preload, or correct the sign")
		return
	case s.Method == catalog.MethodTrialLoad && s.Max > 0, s.Method == catalog.MethodHoldDown && s.Max > 0:
		w.refuse("sign", "window", "the method sets preload and the window reaches "+s.Max.String()+" end play", "preload and nip are negative end play: correct the sign")
		return
	case s.Method == catalog.MethodGroove && s.ThickerOpens, s.Method == catalog.MethodSolder && s.ThickerOpens:
		w.refuse("sign", "method", "with this method a thicker part always reduces play", repair)
		return
	case aim < s.Min || aim > s.Max:
		if aim != 0 {
			w.refuse("bad-window", "aim", "the aim "+aim.String()+" lies outside the window "+span(s.Min, s.Max), repair)
			return
		}
		aim = s.Min + (s.Max-s.Min)/2
	}
	if s.Max-s.Min < 5*quantity.Micron {
		w.say("narrow-window", LevelCheck, "Check the window of "+w.name()+": "+span(s.Min, s.Max)+" is narrower than any gauge shows. Was it meant in inch?")
	}
	w.out.Min, w.out.Max, w.out.Aim = s.Min, s.Max, aim
	w.limits, w.aim = window(int64(s.Min), int64(s.Max)), int64(aim)
}

func (w *stackWork) torqueWindow(s *catalog.Stack) {
	switch {
	case s.TorqueMin < 0 || s.TorqueMin > s.TorqueMax || s.TorqueMax > maxTorque || s.TorqueMax == 0:
		w.refuse("bad-window", "torque window", "a window of "+s.TorqueMin.String()+" to "+s.TorqueMax.String()+" cannot be", "correct the stack's record")
	case s.TorquePerGrade <= 0 || s.TorquePerGrade > maxTorque:
		w.refuse("bad-window", "torque per grade", "the torque that one grade adds is not entered", "enter it in the stack's record")
	}
	w.out.TorqueMin, w.out.TorqueMax = s.TorqueMin, s.TorqueMax
	w.out.TorqueAim = s.TorqueMin + (s.TorqueMax-s.TorqueMin)/2
	w.limits, w.aim = window(int64(s.TorqueMin), int64(s.TorqueMax)), int64(w.out.TorqueAim)
}

func (w *stackWork) name() string {
	if w.in.Stack.Name != "" {
		return w.in.Stack.Name
	}
	return "the stack"
}
