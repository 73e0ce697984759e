package fit

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"layshaft/catalog"
)

// PartName is how a part is named to people: its name and its current number, or
// its designation.
func PartName(p *catalog.Part) string {
	name := p.Name
	if name == "" {
		name = string(p.ID)
	}
	for _, n := range p.Numbers {
		if n.Role == catalog.NumberCurrent {
			return name + " (" + n.Text + ")"
		}
	}
	if p.Designation != "" && !strings.Contains(name, p.Designation) {
		return name + " (" + p.Designation + ")"
	}
	return name
}

// posName is the position's word for the middle of a sentence.
func posName(p *catalog.Position) string {
	if p.Name == "" {
		return string(p.ID)
	}
	return lowerFirst(p.Name)
}

// lowerFirst leaves alone what is written in capitals: O-ring, PTO cover.
func lowerFirst(text string) string {
	first, n := utf8.DecodeRuneInString(text)
	if second, _ := utf8.DecodeRuneInString(text[n:]); n == 0 || unicode.IsUpper(second) || second == '-' {
		return text
	}
	return string(unicode.ToLower(first)) + text[n:]
}

func (p *problem) label(seat catalog.Seat) string { return seatLabel(p.ix, seat.Name, seat.At) }

func seatLabel(ix *catalog.Index, name catalog.AttributeKey, at string) string {
	text := string(name)
	if def, ok := ix.AttributeDef(name); ok && def.Label != "" {
		text = def.Label
	}
	if at != "" {
		text += " (" + at + ")"
	}
	return text
}

func shown(v catalog.Value) string {
	if !v.Stated() {
		return "not stated"
	}
	return v.String()
}

// wanted says which value a mate asks for at place i when the other end has v.
func (p *problem) wanted(r, i int, v catalog.Value) string {
	return want(p.rules[r].rec, p.rules[r].a == i, v)
}

func want(m *catalog.Mate, atA bool, v catalog.Value) string {
	if !v.Stated() {
		return "not known"
	}
	by := func(n int64) string {
		b := v
		b.Number += n
		return b.String()
	}
	switch {
	case m.Relation == catalog.Less && atA:
		return "below " + v.String()
	case m.Relation == catalog.Less:
		return "above " + v.String()
	case m.Relation == catalog.Window && atA:
		return by(m.Min) + " to " + by(m.Max)
	case m.Relation == catalog.Window:
		return by(-m.Max) + " to " + by(-m.Min)
	}
	return v.String()
}

// factOf words one fact of an explanation.
func (p *problem) factOf(f fact) *Fact {
	if f.rule < 0 {
		s := &p.places[f.place]
		what := "what is there"
		if o := s.options[0].part; o != nil {
			what = PartName(o)
		}
		return &Fact{Code: FactFixed, Position: s.pos.ID, Text: fmt.Sprintf("the %s is settled: %s", posName(s.pos), what)}
	}
	m := &p.rules[f.rule]
	near, far := m.a, m.b
	if far == p.target {
		near, far = far, near
	}
	out := &Fact{Code: FactMate, Position: p.places[near].pos.ID, Mate: m.rec}
	has, there := p.values(near, m.seat(near)), p.values(far, m.seat(far))
	out.Found = strings.Join(texts(has), " or ")
	if len(there) == 1 {
		out.Expected = p.wanted(f.rule, near, there[0])
	}
	out.Text = fmt.Sprintf("%s; %s: %s", p.side(near, m.seat(near), has), p.side(far, m.seat(far), there), lowerFirst(strings.TrimSuffix(m.rec.Reason, ".")))
	return out
}

// values are the different values at a seat over all options of a place.
func (p *problem) values(i int, seat catalog.Seat) []catalog.Value {
	var out []catalog.Value
	for x := range p.places[i].options {
		v := p.value(&p.places[i].options[x], seat)
		if v.Stated() && !slices.ContainsFunc(out, v.Same) {
			out = append(out, v)
		}
	}
	return out
}

func texts(vs []catalog.Value) []string {
	out := make([]string, len(vs))
	for i, v := range vs {
		out[i] = v.String()
	}
	return out
}

// side: "the bore of bearing 6307 N is 35 mm", "the seat of what fits the input
// shaft is 40 mm or 42 mm".
func (p *problem) side(i int, seat catalog.Seat, vs []catalog.Value) string {
	what := "all that fits the " + posName(p.places[i].pos)
	if os := p.places[i].options; len(os) == 1 && os[0].part != nil {
		what = PartName(os[0].part)
	}
	words := texts(vs)
	if len(words) > 4 {
		words = append(words[:4], "others")
	}
	if len(words) == 0 {
		words = []string{"not stated"}
	}
	return fmt.Sprintf("the %s of %s is %s", p.label(seat), what, strings.Join(words, " or "))
}
