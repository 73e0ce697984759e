package reconcile

import (
	"errors"
	"fmt"
	"strings"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

// jobText builds a job from the statements of a scenario.
type jobText struct {
	job    *Job
	supply []*SupplyLine
	today  quantity.Date
}

func (t *jobText) line(text string) error {
	word, rest, _ := strings.Cut(text, " ")
	switch word {
	case "variant":
		names := strings.Split(rest, " or ")
		if len(names) == 1 {
			t.job.Variant = catalog.VariantID(rest)
			return nil
		}
		for _, n := range names {
			t.job.Candidates = append(t.job.Candidates, catalog.VariantID(strings.TrimSpace(n)))
		}
		return nil
	case "full":
		t.job.FullStrip = true
		return nil
	case "serial":
		t.job.Serial = rest
		return nil
	case "today":
		var err error
		t.today, err = quantity.ParseDate(rest)
		return err
	case "shelf", "order", "returned", "received":
		n, id := counted(rest)
		t.job.Goods = append(t.job.Goods, &Goods{ID: fmt.Sprintf("g%d", len(t.job.Goods)+1), Part: catalog.PartID(id),
			Pieces: n, Source: GoodsSource(word)})
		return nil
	case "verdict":
		f := strings.Fields(rest)
		t.job.Measurements = append(t.job.Measurements, &Measurement{ID: "m-" + f[0], Limit: f[0], Verdict: strings.Join(f[1:], " ")})
		return nil
	case "grades":
		stack, parts, _ := strings.Cut(rest, ":")
		m := &Measurement{ID: "m-" + stack, Stack: stack}
		for _, p := range facts(parts) {
			m.Grades = append(m.Grades, catalog.PartID(p))
		}
		t.job.Measurements = append(t.job.Measurements, m)
		return nil
	case "gauge":
		return t.gauge(rest)
	case "signed":
		rule, reason := cutReason(rest)
		id, by, _ := strings.Cut(rule, " by ")
		t.job.Overrides = append(t.job.Overrides, &Override{Finding: id, By: by, Reason: reason})
		return nil
	}
	return t.decision(text)
}

// gauge reads "stack ID: NAME VALUE / VALUE, NAME VALUE", or the same of a limit.
func (t *jobText) gauge(text string) error {
	head, body, _ := strings.Cut(text, ":")
	kind, id, _ := strings.Cut(head, " ")
	m := &Measurement{ID: "r-" + id}
	switch kind {
	case "stack":
		m.Stack = id
	case "limit":
		m.Limit = id
	default:
		return errors.New("write: gauge stack ID: NAME VALUE / VALUE, or gauge limit ID: ...")
	}
	for _, f := range facts(body) {
		name, values, _ := strings.Cut(f, " ")
		m.Readings = append(m.Readings, &Reading{Name: name, Values: strings.Split(values, " / ")})
	}
	t.job.Measurements = append(t.job.Measurements, m)
	return nil
}

func (t *jobText) decision(text string) error {
	pos, body, ok := strings.Cut(text, ":")
	if !ok {
		return errors.New("no statement of a job, and no POSITION: decision")
	}
	rule, why := cutReason(body)
	d := &Decision{Position: catalog.PositionID(pos), Why: why}
	for i, f := range facts(rule) {
		if i == 0 {
			if err := choice(d, f); err != nil {
				return err
			}
			continue
		}
		word, rest, _ := strings.Cut(f, " ")
		switch word {
		case "found":
			d.Found = catalog.PartID(rest)
		case "measured":
			d.Measured = rest
		case "returned":
			d.Returned = true
		case "due":
			var err error
			if d.Due, err = quantity.ParseDate(rest); err != nil {
				return err
			}
		default:
			seat := parseSeat("", word)
			d.Sizes = append(d.Sizes, &catalog.Attribute{Name: seat.Name, At: seat.At, Value: parseValue(rest)})
		}
	}
	t.job.Decisions = append(t.job.Decisions, d)
	return nil
}

func choice(d *Decision, text string) error {
	w := strings.Fields(text)
	switch {
	case w[0] == "send":
		d.Choice = SendOut
		d.Treatment = strings.Join(w[2:], " ")
	case text == "not fitted":
		d.Choice = NotFitted
	case w[0] == "rework":
		d.Choice, d.Treatment = Rework, strings.Join(w[1:], " ")
	case len(w) == 3 && w[1] == "with":
		d.Choice, d.Part = Choice(w[0]), catalog.PartID(w[2])
	case len(w) == 3 && strings.HasPrefix(w[2], "piece"):
		d.Choice = Choice(w[0])
		d.Quantity, _ = counted(w[1] + " x")
	case len(w) == 1:
		d.Choice = Choice(w[0])
	}
	switch d.Choice {
	case Reuse, Replace, Rework, SendOut, NotFitted, Absent, Undecided:
		return nil
	}
	return fmt.Errorf("%q is no decision", text)
}

// kitLines reads supply lines.
func kitLines(file, list, text string, to *[]*SupplyLine) error {
	start := 0
	for i, raw := range strings.SplitAfter(text, "\n") {
		l := strings.TrimSpace(raw)
		s := &SupplyLine{Place: &Place{List: list, Line: i + 1, Start: start, End: start + len(strings.TrimRight(raw, "\n")), Text: l},
			Source: FromKit, Outcome: Certain}
		start += len(raw)
		switch {
		case l == "":
			continue
		case strings.HasPrefix(l, "#"):
			s.Outcome = NoItem
		case strings.HasPrefix(l, "??"):
			s.Outcome = Question
		case strings.HasPrefix(l, "?"):
			s.Outcome, s.Pieces = Question, 1
			for _, id := range strings.Split(l[1:], " or ") {
				s.Candidates = append(s.Candidates, &Candidate{Part: catalog.PartID(strings.TrimSpace(id)), Permille: 500})
			}
		default:
			if err := kitLine(s, l); err != nil {
				return &lineError{file, i + 1, l, err.Error()}
			}
		}
		*to = append(*to, s)
	}
	return nil
}

func kitLine(s *SupplyLine, text string) error {
	var body string
	s.Pieces, body = counted(text)
	id, flags, _ := strings.Cut(body, " ")
	s.Part = catalog.PartID(id)
	for flags != "" {
		word, rest, _ := strings.Cut(flags, " ")
		value, after, _ := strings.Cut(rest, " ")
		switch word {
		case "excluded":
			s.Excluded, flags = true, rest
		case "likely":
			s.Outcome, flags = Likely, rest
		case "not":
			s.NotAvailable, flags = true, after
		case "if":
			s.Conditional, flags = true, after
		case "alternative":
			s.Alternative, _ = counted(value + " x")
			flags = after
		case "return":
			date, end, _ := strings.Cut(after, " ")
			var err error
			if s.ReturnBy, err = quantity.ParseDate(date); err != nil {
				return err
			}
			flags = end
		default:
			return fmt.Errorf("%q says nothing about a line", word)
		}
	}
	return nil
}
