package main

import (
	"errors"
	"fmt"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
	"layshaft/reconcile"
	"layshaft/reconcile/measure"
)

type stackCommand struct {
	recipeFlags
	gaugeFlags
	Chosen       []string `placeholder:"PART" help:"Piece that was chosen, judged whether it fits; may be repeated."`
	GasketFitted bool     `help:"The build has a gasket at this joint, whatever the stack says."`
	TorqueUnit   string   `placeholder:"UNIT" help:"Unit of bare torques, like N.m."`
	JSON         bool     `help:"Print {stack, method, refusals: [{code, place, reason, remedy}], notices: [{code, level, text}], min, max, aim, room, roomAt, steps, wanted, thinnest, thickest, budget: {lines: [{name, u, sensitivity, contribution, basis, typical}], u, expanded}, rule, guardBand, candidates: [{parts, thicknesses, thickness, play, torque, inside, probability, belowMin, aboveMax, verdict, onHand, text}], orderMin, orderMax, nextStep, chosen}; budget and guard band in mm, or N·m for turning torque."`
	Readings     []string `arg:"" optional:"" name:"reading" help:"For example 'depth = 24.86; 24.87; 24.85 mm'. Without any they are read from standard input, one series a line; lines with # are remarks."`
}

// recipeFlags name a stack of a catalogue, or give one.
type recipeFlags struct {
	Package  string   `placeholder:"DIR" help:"Catalogue: a folder with datapackage.json, or a workbook (.xlsx)."`
	Family   string   `placeholder:"ID" help:"Family of the stack."`
	Stack    string   `placeholder:"ID" help:"Stack of the family."`
	Variant  string   `placeholder:"ID" help:"Variant whose grades count; all of the family when left out."`
	Method   string   `placeholder:"WORD" help:"Without a catalogue: depth-and-height, trial-play, trial-preload, feeler, crushed-wire, groove, turning-torque or hold-down."`
	Min      string   `placeholder:"SIZE" help:"Without a catalogue: least play, negative for preload; a torque for turning-torque."`
	Max      string   `placeholder:"SIZE" help:"Without a catalogue: greatest play; a torque for turning-torque."`
	Aim      string   `placeholder:"SIZE" help:"Without a catalogue: play aimed at; the middle when left out."`
	PerGrade string   `placeholder:"TORQUE" help:"Without a catalogue: torque that one grade thicker adds."`
	Opens    bool     `help:"Without a catalogue: a thicker shim increases play."`
	Gasket   string   `placeholder:"SIZE" help:"Without a catalogue: clamped thickness of the gasket."`
	Pieces   int      `default:"1" help:"Without a catalogue: shims allowed at once."`
	Grade    []string `placeholder:"SIZE" help:"Thickness that can be fitted, in place of the catalogue's; may be repeated."`
}

// recipe is the stack and its grades.
func (r *recipeFlags) recipe(a *app, chosen []catalog.PartID) (*catalog.Index, *catalog.Stack, []measure.Grade, error) {
	grades, err := r.grades()
	if err != nil {
		return nil, nil, nil, err
	}
	if r.Package == "" {
		st, err := r.given()
		return nil, st, grades, err
	}
	if r.Method != "" || r.Family == "" || r.Stack == "" {
		return nil, nil, nil, usageError(errors.New("with --package name the stack by --family and --stack, and give no --method"))
	}
	ix, err := packageFlag{r.Package}.index(a)
	if err != nil {
		return nil, nil, nil, err
	}
	st, variants, err := reconcile.StackOf(ix, catalog.FamilyID(r.Family), r.Stack, catalog.VariantID(r.Variant))
	if err != nil {
		return nil, nil, nil, err
	}
	if len(grades) == 0 {
		grades = reconcile.Grades(ix, variants, st, chosen)
	}
	return ix, st, grades, nil
}

func (r *recipeFlags) grades() ([]measure.Grade, error) {
	out := make([]measure.Grade, len(r.Grade))
	for i, g := range r.Grade {
		t, err := quantity.ParseLength(g)
		if err != nil {
			return nil, usageError(fmt.Errorf("--grade: %w", err))
		}
		out[i] = measure.Grade{Part: catalog.PartID(g), Thickness: t}
	}
	return out, nil
}

// given is the recipe of the flags.
func (r *recipeFlags) given() (*catalog.Stack, error) {
	if r.Method == "" || r.Min == "" || r.Max == "" {
		return nil, usageError(errors.New("name a stack by --package, --family and --stack, or give --method, --min and --max"))
	}
	st := &catalog.Stack{ID: "given", Name: "the stack", Method: catalog.StackMethod(r.Method), ThickerOpens: r.Opens, MaxCount: r.Pieces}
	if st.Method == catalog.MethodTorque {
		return st, errors.Join(flagText("--min", r.Min, &st.TorqueMin), flagText("--max", r.Max, &st.TorqueMax), flagText("--per-grade", r.PerGrade, &st.TorquePerGrade))
	}
	err := errors.Join(flagText("--min", r.Min, &st.Min), flagText("--max", r.Max, &st.Max), flagText("--aim", r.Aim, &st.Aim), flagText("--gasket", r.Gasket, &st.Gasket))
	if r.Aim == "" {
		st.Aim = (st.Min + st.Max) / 2
	}
	return st, err
}

// flagText reads a flag's text; an empty one leaves to as it is.
func flagText(flag, text string, to interface{ UnmarshalText([]byte) error }) error {
	if text == "" {
		return nil
	}
	if err := to.UnmarshalText([]byte(text)); err != nil {
		return usageError(fmt.Errorf("%s: %w", flag, err))
	}
	return nil
}

// stackResult is the shape of stack --json. With refusals the sizes are 0.
type stackResult struct {
	Stack      string              `json:"stack"`
	Method     catalog.StackMethod `json:"method"`
	Refusals   []refusal           `json:"refusals"`
	Notices    []notice            `json:"notices"`
	Min        quantity.Length     `json:"min"`
	Max        quantity.Length     `json:"max"`
	Aim        quantity.Length     `json:"aim"`
	Room       quantity.Length     `json:"room"`
	RoomAt     quantity.Length     `json:"roomAt"`
	Steps      float64             `json:"steps,omitempty"`
	Wanted     quantity.Length     `json:"wanted"`
	Thinnest   quantity.Length     `json:"thinnest"`
	Thickest   quantity.Length     `json:"thickest"`
	Budget     budget              `json:"budget"`
	Rule       string              `json:"rule"`
	GuardBand  float64             `json:"guardBand"`
	Candidates []stackCandidate    `json:"candidates"`
	OrderMin   *quantity.Length    `json:"orderMin,omitempty"`
	OrderMax   *quantity.Length    `json:"orderMax,omitempty"`
	NextStep   string              `json:"nextStep,omitempty"`
	Chosen     *stackCandidate     `json:"chosen,omitempty"`
}

type stackCandidate struct {
	Parts       []catalog.PartID  `json:"parts"`
	Thicknesses []quantity.Length `json:"thicknesses"`
	Thickness   quantity.Length   `json:"thickness"`
	Play        quantity.Length   `json:"play"`
	Torque      *quantity.Torque  `json:"torque,omitempty"`
	Inside      bool              `json:"inside"`
	Probability float64           `json:"probability"`
	BelowMin    float64           `json:"belowMin"`
	AboveMax    float64           `json:"aboveMax"`
	Verdict     measure.Verdict   `json:"verdict"`
	OnHand      bool              `json:"onHand"`
	Text        string            `json:"text"`
}

// Run works out which grade closes a stack.
func (c *stackCommand) Run(a *app) error {
	unit, err := c.unit()
	if err != nil {
		return err
	}
	chosen := make([]catalog.PartID, len(c.Chosen))
	for i, p := range c.Chosen {
		chosen[i] = catalog.PartID(p)
	}
	_, st, grades, err := c.recipe(a, chosen)
	if err != nil {
		return err
	}
	readings, err := a.readings(c.Readings)
	if err != nil {
		return err
	}
	r := stackResultOf(measure.Stack(measure.StackInput{Stack: st, Readings: readings, Unit: unit, TorqueUnit: c.TorqueUnit,
		Instrument: c.instrument(), GasketFitted: c.GasketFitted, Grades: grades, Rule: c.rule(), Chosen: chosen}))
	if c.JSON {
		err = a.out.json(r)
	} else {
		a.printStack(r)
	}
	settled := len(r.Refusals) == 0 && r.NextStep == "" && (r.Chosen == nil || r.Chosen.Inside)
	if err == nil && !settled {
		return errPerson
	}
	return err
}

func stackResultOf(in measure.StackResult) stackResult {
	r := stackResult{Stack: in.Stack, Method: in.Method, Refusals: refusalsOf(in.Refusals), Notices: noticesOf(in.Notices),
		Min: in.Min, Max: in.Max, Aim: in.Aim, Room: in.Room, RoomAt: in.RoomAt, Steps: in.Steps, Wanted: in.Wanted,
		Thinnest: in.Thinnest, Thickest: in.Thickest, Budget: budgetOf(in.Budget), Rule: in.Rule.Name, GuardBand: in.GuardBand,
		Candidates: make([]stackCandidate, len(in.Candidates))}
	for i := range in.Candidates {
		r.Candidates[i] = candidateOf(&in.Candidates[i], in.Method)
	}
	if n := in.NoFit; n != nil {
		r.OrderMin, r.OrderMax, r.NextStep = &n.OrderMin, &n.OrderMax, n.NextStep
	}
	if in.Chosen != nil {
		x := candidateOf(in.Chosen, in.Method)
		r.Chosen = &x
	}
	return r
}

func candidateOf(c *measure.Candidate, method catalog.StackMethod) stackCandidate {
	out := stackCandidate{Thickness: c.Thickness, Play: c.Play, Inside: c.Inside, Probability: c.Probability,
		BelowMin: c.BelowMin, AboveMax: c.AboveMax, Verdict: c.Verdict, OnHand: c.OnHand, Text: c.Text}
	if method == catalog.MethodTorque {
		out.Torque = &c.Torque
	}
	for _, p := range c.Pieces {
		out.Parts, out.Thicknesses = append(out.Parts, p.Part), append(out.Thicknesses, p.Thickness)
	}
	return out
}

func (a *app) printStack(r stackResult) {
	a.printRefusals(r.Refusals)
	if len(r.Refusals) > 0 {
		a.out.linef("no thickness: the readings can't be used")
		return
	}
	a.out.linef("wanted %s (%s), anything from %s to %s", r.Wanted, r.Wanted.Format(quantity.Inch), r.Thinnest, r.Thickest)
	for _, n := range r.Notices {
		a.out.linef("%s: %s", n.Level, n.Text)
	}
	if len(r.Candidates) > 0 {
		a.out.section("Grades, the best first:")
		for _, x := range r.Candidates {
			a.out.linef("  %s (%s)", x.Text, x.Verdict)
		}
	}
	unit := "mm"
	if r.Method == catalog.MethodTorque {
		unit = "N·m"
	}
	a.printBudget(r.Budget, unit)
	a.out.linef("  %.4f  guard band: %s", r.GuardBand, r.Rule)
}
