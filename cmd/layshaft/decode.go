package main

import (
	"errors"
	"strings"

	"layshaft/catalog"
	"layshaft/catalog/standard"
)

type decodeCommand struct {
	Text []string `arg:"" optional:"" name:"text" help:"One designation, like 6207-2RS C3 NR, 30 k6, '30 H7/k6', M30x1.5, '35x50x8 seal' or 'circlip 30 shaft'. Without it they are read from standard input, one a line; lines with # are remarks."`
	JSON bool     `help:"Print {answers: [{text, subject, title, facts: [{label, value, source}], notes, source}], faults: [{text, place, problem, remedy}]}."`
}

// decodeResult is the shape of decode --json.
type decodeResult struct {
	Answers []decoded     `json:"answers"`
	Faults  []decodeFault `json:"faults"`
}

type decoded struct {
	Text    string           `json:"text"`
	Subject standard.Subject `json:"subject"`
	Title   string           `json:"title"`
	Facts   []decodedFact    `json:"facts"`
	Notes   []string         `json:"notes"`
	Source  string           `json:"source"`
}

type decodedFact struct {
	Label  string `json:"label"`
	Value  string `json:"value"`
	Source string `json:"source,omitempty"`
}

type decodeFault struct {
	Text    string `json:"text"`
	Place   string `json:"place"`
	Problem string `json:"problem"`
	Remedy  string `json:"remedy"`
}

// Run says what designations mean. What can't be decoded is named, and the rest
// is still answered.
func (c *decodeCommand) Run(a *app) error {
	var args []string
	if len(c.Text) > 0 {
		args = []string{strings.Join(c.Text, " ")}
	}
	lines, place, err := a.lines(args, "text")
	if err != nil {
		return err
	}
	r := decodeResult{Answers: []decoded{}, Faults: []decodeFault{}}
	for i, text := range lines {
		answer, err := standard.Decode(text)
		if d, ok := errors.AsType[*standard.DesignationError](err); ok {
			r.Faults = append(r.Faults, decodeFault{text, place(i), d.Problem, d.Remedy})
			continue
		}
		if err != nil {
			return catalog.Invalid(place(i), "", "%v", err)
		}
		r.Answers = append(r.Answers, decodedOf(text, answer))
	}
	if c.JSON {
		err = a.out.json(r)
	} else {
		a.printDecoded(r)
	}
	if err == nil && len(r.Faults) > 0 {
		return errFaults
	}
	return err
}

func decodedOf(text string, in standard.Answer) decoded {
	out := decoded{Text: text, Subject: in.Subject, Title: in.Title, Facts: make([]decodedFact, len(in.Facts)),
		Notes: append([]string{}, in.Notes...), Source: in.Source}
	for i, f := range in.Facts {
		out.Facts[i] = decodedFact(f)
	}
	return out
}

func (a *app) printDecoded(r decodeResult) {
	for i, d := range r.Answers {
		if i > 0 {
			a.out.linef("")
		}
		a.out.linef("%s: %s", d.Title, d.Subject)
		for _, f := range d.Facts {
			from := ""
			if f.Source != "" {
				from = "  (" + f.Source + ")"
			}
			a.out.linef("  %s: %s%s", f.Label, f.Value, from)
		}
		for _, n := range d.Notes {
			a.out.linef("  mind: %s", n)
		}
		a.out.linef("  source: %s", d.Source)
	}
	for _, f := range r.Faults {
		a.errs.linef("layshaft: %s, %q: %s; %s", f.Place, f.Text, f.Problem, f.Remedy)
	}
}
