package reconcile

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

// name is the shop's word for the position, fit for the middle of a sentence.
func (s *spot) name() string {
	if s.pos.Name == "" {
		return string(s.id)
	}
	return lowerFirst(s.pos.Name)
}

func lowerFirst(text string) string {
	first, n := utf8.DecodeRuneInString(text)
	if n == 0 {
		return ""
	}
	if second, _ := utf8.DecodeRuneInString(text[n:]); unicode.IsUpper(second) {
		return text // O-ring, PTO cover
	}
	if strings.HasPrefix(text[n:], "-") {
		return text
	}
	return string(unicode.ToLower(first)) + text[n:]
}

func upperFirst(text string) string {
	first, n := utf8.DecodeRuneInString(text)
	return string(unicode.ToUpper(first)) + text[n:]
}

// label is how a part is named to people: its name, and the number that it is
// ordered by.
func label(p *catalog.Part) string {
	if p == nil {
		return "an unknown part"
	}
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

func (w *work) labelOf(id catalog.PartID) string {
	if p, ok := w.ix.Part(id); ok {
		return label(p)
	}
	return string(id)
}

// attribute is the word for what a seat names: "bore", "bore (front)".
func (w *work) attribute(seat catalog.Seat) string {
	text := string(seat.Name)
	if def, ok := w.ix.AttributeDef(seat.Name); ok && def.Label != "" {
		text = def.Label
	}
	if seat.At != "" {
		text += " (" + seat.At + ")"
	}
	return text
}

// show writes a value with its unit.
func (w *work) show(v catalog.Value) string {
	switch v.Kind {
	case catalog.KindLength:
		return v.Length().String()
	case catalog.KindAngle:
		return quantity.Angle(v.Number).String()
	case catalog.KindCount:
		return strconv.FormatInt(v.Number, 10)
	case catalog.KindYesNo:
		if v.Number != 0 {
			return "yes"
		}
		return "no"
	case "":
		return "not stated"
	}
	return v.Text
}

// want says which value a mate asks for at spot i when the other end has o.
func (w *work) want(m *mate, i int, o catalog.Value) string {
	bound := func(by int64) string {
		b := o
		b.Number += by
		return w.show(b)
	}
	switch {
	case m.rec.Relation == catalog.Less && m.a == i:
		return "below " + w.show(o)
	case m.rec.Relation == catalog.Less:
		return "above " + w.show(o)
	case m.rec.Relation == catalog.Window && m.a == i:
		return span(bound(m.rec.Min), bound(m.rec.Max))
	case m.rec.Relation == catalog.Window:
		return span(bound(-m.rec.Max), bound(-m.rec.Min))
	}
	return w.show(o)
}

func span(low, high string) string {
	if low == high {
		return low
	}
	return low + " to " + high
}

// because joins a fact and the reason that somebody gave for it.
func because(fact, reason string) string {
	reason = strings.TrimRight(strings.TrimSpace(reason), ".")
	if reason == "" {
		return fact
	}
	return fact + ": " + reason
}

// since is because for a reason that the catalogue gives as a sentence.
func since(fact, reason string) string { return because(fact, lowerFirst(strings.TrimSpace(reason))) }

func quoted(name string) string { return "\u201c" + name + "\u201d" }

// decisionWords: "replace was decided: the splines are worn".
func decisionWords(d *Decision) string { return because(choiceWords(d.Choice)+" was decided", d.Why) }

func choiceWords(c Choice) string {
	switch c {
	case SendOut:
		return "send out"
	case NotFitted:
		return "not fitted"
	}
	return string(c)
}

// count writes "1 piece", "3 pieces".
func count(n int) string {
	if n == 1 {
		return "1 piece"
	}
	return strconv.Itoa(n) + " pieces"
}

// list writes "a", "a and b", "a, b and c".
func list(items []string) string {
	switch len(items) {
	case 0:
		return ""
	case 1:
		return items[0]
	}
	return strings.Join(items[:len(items)-1], ", ") + " and " + items[len(items)-1]
}

// places writes "1 position", "3 positions".
func places(n int) string {
	if n == 1 {
		return "1 position"
	}
	return strconv.Itoa(n) + " positions"
}
