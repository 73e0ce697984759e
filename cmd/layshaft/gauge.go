package main

import (
	"fmt"
	"math"
	"strings"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
	"layshaft/reconcile/measure"
)

// gaugeFlags say what is known of the gauge, for commands that take readings.
type gaugeFlags struct {
	Unit        string          `placeholder:"UNIT" help:"Unit of bare lengths, mm or in; without it a length without unit is refused."`
	Resolution  quantity.Length `placeholder:"SIZE" help:"Smallest step that the gauge shows, like '0.01 mm'; from the digits typed when left out."`
	Certificate quantity.Length `placeholder:"SIZE" help:"Expanded uncertainty (k = 2) of its certificate."`
	Pooled      quantity.Length `placeholder:"SIZE" help:"The shop's standard deviation of one reading."`
	Expanded    bool            `help:"Guard band g = U (k = 2) in place of 1.65 u."`
}

func (g gaugeFlags) unit() (quantity.Unit, error) {
	switch u := quantity.Unit(g.Unit); u {
	case "", quantity.Millimetre, quantity.Inch:
		return u, nil
	}
	return "", usageError(fmt.Errorf("--unit %s: use mm or in", g.Unit))
}

func (g gaugeFlags) instrument() measure.Instrument {
	return measure.Instrument{Resolution: g.Resolution, Certificate: g.Certificate, Pooled: g.Pooled}
}

func (g gaugeFlags) rule() measure.Rule {
	if g.Expanded {
		return measure.RuleExpanded
	}
	return measure.RuleConformance
}

// lines are the arguments, or without any the lines of standard input; empty
// lines and those that begin with # are left out. Place names one of them.
func (a *app) lines(args []string, what string) (lines []string, place func(int) string, err error) {
	prefix := what
	if len(args) == 0 {
		data, err := a.file(standardInput)
		if err != nil {
			return nil, nil, err
		}
		args, prefix = strings.Split(string(data), "\n"), "standard input, line"
	}
	var numbers []int
	for i, l := range args {
		if l = strings.TrimSpace(l); l != "" && !strings.HasPrefix(l, "#") {
			lines, numbers = append(lines, l), append(numbers, i+1)
		}
	}
	return lines, func(i int) string { return fmt.Sprintf("%s %d", prefix, numbers[i]) }, nil
}

// readings reads series "name = value; value", as arguments or from standard input.
func (a *app) readings(args []string) ([]measure.Reading, error) {
	lines, place, err := a.lines(args, "reading")
	if err != nil {
		return nil, err
	}
	out := make([]measure.Reading, len(lines))
	for i, l := range lines {
		if out[i], err = measure.ParseReading(l); err != nil {
			return nil, catalog.Invalid(place(i), "", "%v", err)
		}
	}
	return out, nil
}

// The shapes that stack, inspect and fit-class share in their --json.
type refusal struct {
	Code   string `json:"code"`
	Place  string `json:"place"`
	Reason string `json:"reason"`
	Remedy string `json:"remedy"`
}

type notice struct {
	Code  string        `json:"code"`
	Level measure.Level `json:"level"`
	Text  string        `json:"text"`
}

type budgetLine struct {
	Name         string  `json:"name"`
	U            float64 `json:"u"`
	Sensitivity  float64 `json:"sensitivity"`
	Contribution float64 `json:"contribution"`
	Basis        string  `json:"basis"`
	Typical      bool    `json:"typical"`
}

type budget struct {
	Lines    []budgetLine `json:"lines"`
	U        float64      `json:"u"`
	Expanded float64      `json:"expanded"`
}

func refusalsOf(in []measure.Refusal) []refusal {
	out := make([]refusal, len(in))
	for i, r := range in {
		out[i] = refusal(r)
	}
	return out
}

func noticesOf(in []measure.Notice) []notice {
	out := make([]notice, len(in))
	for i, n := range in {
		out[i] = notice(n)
	}
	return out
}

func budgetOf(in measure.Budget) budget {
	out := budget{Lines: make([]budgetLine, len(in.Lines)), U: in.U, Expanded: in.Expanded}
	for i, l := range in.Lines {
		out.Lines[i] = budgetLine{l.Name, l.U, l.Sensitivity, l.Contribution, l.Basis, l.Typical}
	}
	return out
}

func (a *app) printRefusals(in []refusal) {
	for _, r := range in {
		a.errs.linef("layshaft: %s: %s; %s", r.Place, r.Reason, r.Remedy)
	}
}

func (a *app) printBudget(b budget, unit string) {
	a.out.section("Uncertainty, in %s:", unit)
	for _, l := range b.Lines {
		typical := ""
		if l.Typical {
			typical = "; typical value"
		}
		a.out.linef("  %.4f  %s (%s%s)", math.Abs(l.Contribution), l.Name, l.Basis, typical)
	}
	a.out.linef("  %.4f  together; %.4f expanded, k = 2", b.U, b.Expanded)
}
