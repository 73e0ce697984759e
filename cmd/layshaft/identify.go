package main

import (
	"fmt"
	"strings"

	"layshaft/catalog"
	"layshaft/reconcile/identify"
)

type identifyCommand struct {
	packageFlag
	Family       string   `placeholder:"ID" help:"Family that the box is known to be of; without it all families are looked at."`
	Open         bool     `help:"The case is open already, so looking inside costs nothing more."`
	JSON         bool     `help:"Print {variants: [{variant, family, permille}], nonePermille, groups: [{variants, permille, inseparable}], contradictions: [{place, found, should, cause, text}], next: [{place, text, gainBits, effortMinutes, caseClosed}], problems: [{place, cause, remedy}]}."`
	Observations []string `arg:"" optional:"" name:"observation" help:"For example gear-2nd=32, '2nd turns 10 = 4.87', cable-speedo=yes, 'input seat=35.02 mm'. Without any they are read from standard input, one a line; lines with # are remarks."`
}

// identifyResult is the shape of identify --json.
type identifyResult struct {
	Variants       []rankedVariant `json:"variants"` // likeliest first, 1 of 1000 and more
	NonePermille   int             `json:"nonePermille"`
	Groups         []variantGroup  `json:"groups"`
	Contradictions []contradiction `json:"contradictions"`
	Next           []nextLook      `json:"next"`
	Problems       []badEvidence   `json:"problems"`
}

type rankedVariant struct {
	Variant  catalog.VariantID `json:"variant"`
	Family   catalog.FamilyID  `json:"family"`
	Name     string            `json:"name"`
	Permille int               `json:"permille"`
}

type variantGroup struct {
	Variants    []catalog.VariantID `json:"variants"`
	Permille    int                 `json:"permille"`
	Inseparable bool                `json:"inseparable"`
}

type contradiction struct {
	Place  string         `json:"place"`
	Found  string         `json:"found"`
	Should string         `json:"should"`
	Cause  identify.Cause `json:"cause"`
	Text   string         `json:"text"`
}

type nextLook struct {
	Place         string  `json:"place"`
	Text          string  `json:"text"`
	GainBits      float64 `json:"gainBits"`
	EffortMinutes int     `json:"effortMinutes"`
	CaseClosed    bool    `json:"caseClosed"`
}

type badEvidence struct {
	Place  string `json:"place"`
	Cause  string `json:"cause"`
	Remedy string `json:"remedy"`
	Used   bool   `json:"used"`
}

// Run names the variant.
func (c *identifyCommand) Run(a *app) error {
	ix, err := c.index(a)
	if err != nil {
		return err
	}
	if _, err := contextOf(ix, c.Family, ""); err != nil {
		return err
	}
	evidence, err := c.evidence(a, ix)
	if err != nil {
		return err
	}
	r := identifyResultOf(ix, identify.Run(ix, identify.Input{Family: catalog.FamilyID(c.Family), Evidence: evidence, CaseOpen: c.Open}))
	if c.JSON {
		return a.out.json(r)
	}
	a.printIdentity(r)
	return nil
}

// evidence parses the arguments, or the lines of standard input.
func (c *identifyCommand) evidence(a *app, ix *catalog.Index) (out []identify.Evidence, err error) {
	texts, place := c.Observations, "observation"
	if len(texts) == 0 {
		data, err := a.file(standardInput)
		if err != nil {
			return nil, err
		}
		texts, place = strings.Split(string(data), "\n"), "standard input, line"
	}
	for i, text := range texts {
		text = strings.TrimSpace(text)
		if text == "" || strings.HasPrefix(text, "#") {
			continue
		}
		e, err := identify.ParseObservation(ix, catalog.FamilyID(c.Family), text)
		if err != nil {
			return nil, catalog.Invalid(fmt.Sprintf("%s %d", place, i+1), "", "%v", err)
		}
		e.ID = fmt.Sprint(i + 1)
		out = append(out, e)
	}
	return out, nil
}

func identifyResultOf(ix *catalog.Index, in identify.Result) identifyResult {
	r := identifyResult{NonePermille: in.NonePermille, Variants: []rankedVariant{}, Groups: []variantGroup{},
		Contradictions: []contradiction{}, Next: []nextLook{}, Problems: []badEvidence{}}
	for _, v := range in.Ranked {
		if v.Permille == 0 {
			continue
		}
		name := ""
		if rec, ok := ix.Variant(v.ID); ok {
			name = rec.Name
		}
		r.Variants = append(r.Variants, rankedVariant{v.ID, v.Family, name, v.Permille})
	}
	for _, g := range in.Groups {
		r.Groups = append(r.Groups, variantGroup{g.Variants, g.Permille, g.Inseparable})
	}
	for _, x := range in.Contradictions {
		r.Contradictions = append(r.Contradictions, contradiction{x.Place, x.Found, x.Should, x.Cause, x.Text})
	}
	for _, s := range in.Next {
		r.Next = append(r.Next, nextLook{s.Wheel + s.Feature, s.Text, s.Gain, s.Effort, s.CaseClosed})
	}
	for _, p := range in.Problems {
		r.Problems = append(r.Problems, badEvidence{p.Place, p.Cause, p.Remedy, p.Used})
	}
	return r
}

func (a *app) printIdentity(r identifyResult) {
	for _, v := range r.Variants {
		a.out.linef("%4d of 1000  %s  %s", v.Permille, v.Variant, v.Name)
	}
	a.out.linef("%4d of 1000  none of these", r.NonePermille)
	for _, g := range r.Groups {
		if len(g.Variants) < 2 {
			continue
		}
		names := make([]string, len(g.Variants))
		for i, v := range g.Variants {
			names[i] = string(v)
		}
		how := "not told apart by these observations"
		if g.Inseparable {
			how = "told apart by nothing in the catalogue"
		}
		a.out.linef("%s: %s", how, strings.Join(names, ", "))
	}
	if len(r.Contradictions) > 0 {
		a.out.section("Against the first of them:")
		for _, x := range r.Contradictions {
			a.out.linef("  %s", x.Text)
		}
	}
	if len(r.Next) > 0 {
		a.out.section("To look at next, the best first:")
		for _, s := range r.Next {
			where := "case open"
			if s.CaseClosed {
				where = "case closed"
			}
			a.out.linef("  %s (%d min, %s)", s.Text, s.EffortMinutes, where)
		}
	}
	for _, p := range r.Problems {
		a.errs.linef("layshaft: %s: %s %s", p.Place, p.Cause, p.Remedy)
	}
}
