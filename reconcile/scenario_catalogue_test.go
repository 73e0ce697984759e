package reconcile

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

// catalogueText builds a catalogue from the statements of a scenario.
type catalogueText struct {
	c    *catalog.Catalogue
	fam  catalog.FamilyID
	seen map[catalog.AttributeKey]bool
}

func (t *catalogueText) line(text string) error {
	word, rest, _ := strings.Cut(text, " ")
	head, body, colon := strings.Cut(rest, ":")
	head = strings.TrimSpace(head)
	switch word {
	case "as":
		data, err := os.ReadFile(filepath.Join(scenarioDir, rest+".catalogue"))
		if err != nil {
			return err
		}
		return eachLine(rest+".catalogue", string(data), t.line)
	case "family":
		t.fam = catalog.FamilyID(rest)
		t.c.Families = append(t.c.Families, &catalog.Family{ID: t.fam, Name: rest})
		return nil
	case "variant":
		return t.variant(facts(rest))
	case "reach":
		return t.reach(rest)
	case "supersede":
		return t.supersede(rest)
	case "mesh":
		ends := strings.Fields(rest)
		fam := t.c.Families[len(t.c.Families)-1]
		fam.Meshes = append(fam.Meshes, &catalog.Mesh{ID: rest, Driving: ends[0], Driven: ends[1]})
		return nil
	case "label":
		key, label, _ := strings.Cut(rest, " ")
		t.c.Attributes = append(t.c.Attributes, &catalog.AttributeDef{Name: catalog.AttributeKey(key), Label: label})
		return nil
	}
	if !colon {
		return errors.New("a colon is missing after the name")
	}
	switch word {
	case "position":
		return t.position(head, facts(body))
	case "part":
		return t.part(head, facts(body))
	case "fits":
		return t.fits(strings.Fields(head), facts(body))
	case "mate":
		return t.mate(head, body)
	case "bond":
		return t.bond(head, body)
	case "stack":
		return t.stack(head, body)
	case "limit":
		return t.limit(head, facts(body))
	case "wheel":
		fam := t.c.Families[len(t.c.Families)-1]
		pos := parseSeat(strings.TrimSpace(body), "")
		fam.Wheels = append(fam.Wheels, &catalog.Wheel{ID: head, Position: pos.Position})
		return nil
	case "supplier":
		t.c.Suppliers = append(t.c.Suppliers, &catalog.Supplier{ID: catalog.SupplierID(head), Name: head, Currency: strings.TrimSpace(body)})
		return nil
	case "offer":
		return t.offer(strings.Fields(head), facts(body))
	}
	return fmt.Errorf("%q begins no statement of the catalogue", word)
}

func (t *catalogueText) variant(fs []string) error {
	v := &catalog.Variant{ID: catalog.VariantID(fs[0]), Family: t.fam, Name: "the " + fs[0] + " variant"}
	for _, f := range fs[1:] {
		f = strings.TrimPrefix(f, "without ")
		v.Without = append(v.Without, catalog.PositionID(f))
	}
	t.c.Variants = append(t.c.Variants, v)
	return nil
}

func (t *catalogueText) position(id string, fs []string) error {
	p := &catalog.Position{ID: catalog.PositionID(id), Family: t.fam, Name: spaced(id), Kind: catalog.PartKind(fs[0]),
		Quantity: 1, Life: catalog.Inspect, Order: len(t.c.Positions)}
	for _, f := range fs[1:] {
		n, unit := counted(f)
		switch {
		case f == "blocking":
			p.Blocking = true
		case f == "critical":
			p.Critical = true
		case f == "outside":
			p.Outside = true
		case unit == "pieces":
			p.Quantity = n
		case strings.HasPrefix(f, "called "):
			p.Name = strings.TrimPrefix(f, "called ")
		default:
			p.Life = catalog.Life(f)
		}
	}
	switch p.Life {
	case catalog.OneTime, catalog.Wear, catalog.Hard, catalog.SelectFit, catalog.Inspect:
	default:
		return fmt.Errorf("%q is no life of a position", p.Life)
	}
	t.c.Positions = append(t.c.Positions, p)
	return nil
}

// spaced turns an id into words: "cs-nut" to "Cs nut".
func spaced(id string) string { return upperFirst(strings.ReplaceAll(id, "-", " ")) }

func (t *catalogueText) part(id string, fs []string) error {
	p := &catalog.Part{ID: catalog.PartID(id), Kind: catalog.PartKind(fs[0]), Name: strings.ToLower(spaced(id)), Unit: catalog.UnitPiece}
	for _, f := range fs[1:] {
		word, rest, _ := strings.Cut(f, " ")
		switch {
		case f == "special":
			p.Special = true
		case f == "no longer made":
			p.NotAvailable = true
		case word == "called":
			p.Name = rest
		case word == "number":
			p.Numbers = append(p.Numbers, &catalog.Number{Text: rest, Role: catalog.NumberCurrent})
		case word == "designation":
			p.Designation = rest
		case word == "contains":
			p.Contents = append(p.Contents, contents(rest, "")...)
		case word == "choice":
			name, items, _ := strings.Cut(rest, ":")
			p.Contents = append(p.Contents, contents(items, name)...)
		case rest == "":
			return fmt.Errorf("%q is no fact of a part", f)
		default:
			seat := parseSeat("", word)
			p.Attributes = append(p.Attributes, &catalog.Attribute{Name: seat.Name, At: seat.At, Value: parseValue(rest)})
		}
	}
	t.c.Parts = append(t.c.Parts, p)
	return nil
}

func contents(text, choice string) []*catalog.Content {
	var out []*catalog.Content
	for _, item := range strings.Split(text, "+") {
		n, id := counted(item)
		out = append(out, &catalog.Content{Part: catalog.PartID(id), Count: n, Choice: choice})
	}
	return out
}

func (t *catalogueText) fits(head, fs []string) error {
	if len(head) < 2 {
		return errors.New("write: fits POSITION VARIANT: PARTS")
	}
	for _, v := range head[1:] {
		for i, f := range fs {
			words := strings.Fields(f)
			fit := &catalog.Fitment{Variant: catalog.VariantID(v), Position: catalog.PositionID(head[0]),
				Part: catalog.PartID(words[0]), Standard: i == 0, Provenance: catalog.Provenance{Standing: catalog.Confirmed}}
			for _, w := range words[1:] {
				switch {
				case w == "also":
					fit.Standard = false
				case strings.HasPrefix(w, "x"):
					fmt.Sscanf(w, "x%d", &fit.Quantity)
				default:
					fit.Standing = catalog.Standing(w)
				}
			}
			t.c.Fitments = append(t.c.Fitments, fit)
		}
	}
	return nil
}

func (t *catalogueText) mate(id, body string) error {
	rule, reason := cutReason(body)
	w := strings.Fields(rule)
	if len(w) < 5 {
		return errors.New("write: POSITION KEY = POSITION KEY")
	}
	m := &catalog.Mate{ID: id, Family: t.fam, A: parseSeat(w[0], w[1]), B: parseSeat(w[3], w[4]), Reason: reason}
	switch w[2] {
	case "=":
		m.Relation = catalog.Equal
	case "<":
		m.Relation = catalog.Less
	case "-":
		m.Relation = catalog.Window
		low, high, ok := strings.Cut(strings.Join(w[6:], " "), "..")
		if !ok || w[5] != "in" {
			return errors.New("write: A KEY - B KEY in LOW .. HIGH")
		}
		m.Min, m.Max = parseValue(strings.TrimSpace(low)).Number, parseValue(strings.TrimSpace(high)).Number
	default:
		return fmt.Errorf("%q is no relation", w[2])
	}
	if len(w) > 5 && w[len(w)-1] == "doubted" {
		m.Standing = catalog.Doubted
	}
	t.c.Mates = append(t.c.Mates, m)
	return nil
}

func (t *catalogueText) bond(id, body string) error {
	rule, reason := cutReason(body)
	b := &catalog.Bond{ID: id, Family: t.fam, Reason: reason}
	for _, f := range facts(rule) {
		switch rest, sold := strings.CutSuffix(f, " sold together"); {
		case sold:
			b.Kind = catalog.SoldTogether
			f = rest
		case f == "advice":
			b.Advice = true
			continue
		}
		if rest, worn := strings.CutSuffix(f, " worn together"); worn {
			b.Kind, f = catalog.WornTogether, rest
		}
		b.Positions = append(b.Positions, catalog.PositionID(f))
	}
	if b.Kind == "" || len(b.Positions) < 2 {
		return errors.New("write: A, B sold together or A, B worn together")
	}
	t.c.Bonds = append(t.c.Bonds, b)
	return nil
}

func (t *catalogueText) reach(text string) error {
	rule, reason := cutReason(text)
	a, b, ok := strings.Cut(rule, " undoes ")
	if !ok {
		return errors.New("write: reach A undoes B")
	}
	t.c.Disturbances = append(t.c.Disturbances, &catalog.Disturbance{Family: t.fam,
		Reach: catalog.PositionID(a), Undoes: catalog.PositionID(strings.TrimSpace(b)), Reason: reason})
	return nil
}

func (t *catalogueText) stack(id, body string) error {
	pos, members, ok := strings.Cut(body, " set by ")
	if !ok {
		return errors.New("write: stack ID: POSITION set by MEMBERS")
	}
	s := &catalog.Stack{ID: id, Family: t.fam, Name: spaced(id), Position: catalog.PositionID(strings.TrimSpace(pos)), MaxCount: 1}
	for _, m := range facts(members) {
		if window, ok := strings.CutPrefix(m, "play "); ok {
			lo, hi, _ := strings.Cut(window, " .. ")
			var err, err2 error
			s.Min, err = quantity.ParseLength(lo)
			s.Max, err2 = quantity.ParseLength(hi)
			if err := errors.Join(err, err2); err != nil {
				return err
			}
			s.Aim = (s.Min + s.Max) / 2
			continue
		}
		if method, ok := strings.CutPrefix(m, "by "); ok {
			s.Method = catalog.StackMethod(method)
			continue
		}
		s.Members = append(s.Members, catalog.PositionID(m))
	}
	t.c.Stacks = append(slices.DeleteFunc(t.c.Stacks, func(o *catalog.Stack) bool { return o.ID == id }), s) // said again, it replaces
	return nil
}

func (t *catalogueText) limit(id string, fs []string) error {
	where := strings.Fields(fs[0])
	if len(where) != 2 {
		return errors.New("write: limit ID: POSITION KEY, at least SIZE")
	}
	seat := parseSeat(where[0], where[1])
	l := &catalog.Limit{ID: id, Family: t.fam, Position: seat.Position, What: string(seat.Name), Name: seat.Name, At: seat.At}
	for _, f := range fs[1:] {
		words, size, _ := strings.Cut(strings.TrimPrefix(f, "at "), " ")
		v, err := quantity.ParseLength(size)
		if err != nil {
			return err
		}
		if words == "least" {
			l.WearMin = &v
		} else {
			l.WearMax = &v
		}
	}
	t.c.Limits = append(t.c.Limits, l)
	return nil
}

func (t *catalogueText) supersede(text string) error {
	rule, reason := cutReason(text)
	fs := facts(rule)
	old, by, ok := strings.Cut(fs[0], " by ")
	if !ok {
		return errors.New("write: supersede A by B")
	}
	next, more, _ := strings.Cut(by, "+")
	s := &catalog.Supersession{ID: fmt.Sprintf("s%02d", len(t.c.Supersessions)), Old: catalog.PartID(strings.TrimSpace(old)),
		New: catalog.PartID(strings.TrimSpace(next)), Kind: catalog.Replaces, Reason: reason,
		Provenance: catalog.Provenance{Standing: catalog.Stated}}
	if more != "" {
		s.Companions = contents(more, "")
	}
	for _, f := range fs[1:] {
		word, rest, _ := strings.Cut(f, " ")
		switch word {
		case "one-way", "equals":
			s.Kind = catalog.SupersessionKind(word)
		case "serial":
			s.Kind = catalog.SplitBySerial
			s.SerialFrom, s.SerialTo, _ = strings.Cut(rest, "..")
		case "doubted":
			s.Standing = catalog.Doubted
		case "source":
			s.Source = rest
		default:
			return fmt.Errorf("%q says nothing about a successor", f)
		}
	}
	t.c.Supersessions = append(t.c.Supersessions, s)
	return nil
}

func (t *catalogueText) offer(head, fs []string) error {
	m, err := quantity.ParseMoney(fs[0])
	if err != nil || len(head) != 2 {
		return fmt.Errorf("write: offer PART SUPPLIER: 12.50 EUR: %v", err)
	}
	o := &catalog.Offer{ID: head[1] + "-" + head[0], Supplier: catalog.SupplierID(head[1]), Part: catalog.PartID(head[0]),
		Breaks: []*catalog.PriceBreak{{From: 1, Price: m}}, Pack: 1}
	for _, f := range fs[1:] {
		if o.Lead, err = quantity.ParseLeadTime(strings.TrimPrefix(f, "lead ")); err != nil {
			return err
		}
	}
	t.c.Offers = append(t.c.Offers, o)
	return nil
}
