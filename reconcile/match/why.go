package match

import (
	"fmt"
	"strings"

	"layshaft/catalog"
)

// clauses put the evidence into words, in the order in which people look at it.
var clauses = []struct {
	f    feature
	text string
}{
	{fNumberOld, "the number it calls old belongs to it"},
	{fDesigFull, "designation agrees"}, {fDesigBase, "base designation agrees, suffixes differ"}, {fDesigConflict, "designation differs"},
	{fSuffixSilent, "the suffixes of the bearing are not stated"}, {fSizeStray, "sizes agree, but of another kind of part"},
	{fSizeAgree, "sizes agree"}, {fSizePartly, "sizes agree in part"}, {fSizeConflict, "sizes differ"},
	{fThreadAgree, "thread agrees"}, {fThreadConflict, "thread differs"},
	{fTeethAgree, "tooth count agrees"}, {fTeethConflict, "tooth count differs"},
	{fKindConflict, "another kind of part is named"}, {fKindContext, "kind taken from the heading"},
	{fGearEqual, "gear agrees"}, {fGearSubset, "gear is one of its gears"}, {fGearSuperset, "only some of the gears named"},
	{fGearConflict, "other gears named"},
	{fSideAgree, "place agrees"}, {fSideConflict, "another place named"},
	{fShaftAgree, "shaft agrees"}, {fShaftConflict, "another shaft named"},
}

// why says in words what speaks for and against a candidate.
func why(v *lineView, a *alternative) string {
	var out []string
	switch numberLevel(&a.x) {
	case 4:
		out = append(out, "number "+a.read+" is its number")
	case 3:
		out = append(out, "number "+a.read+" read with look-alike characters")
	case 2:
		out = append(out, fmt.Sprintf("number read as %s, one character repaired", a.near))
	case 1:
		out = append(out, fmt.Sprintf("number read as %s, two characters repaired", a.near))
	default:
		if a.x[fNumberOther] > 0 {
			out = append(out, "the number belongs to another part")
		}
	}
	if a.x[fKindAgree] > 0 {
		out = append(out, "name agrees")
	} else if a.x[fKindParent] > 0 {
		out = append(out, "name agrees in general")
	}
	for _, c := range clauses {
		if a.x[c.f] > 0 {
			out = append(out, c.text)
		}
	}
	for _, s := range v.slots {
		if s.fixed {
			out = append(out, "spelling repaired")
			break
		}
	}
	if len(out) == 0 {
		return "nothing stated agrees"
	}
	return strings.Join(out, "; ")
}

func joinWhy(why, doubt string) string {
	if doubt == "" {
		return why
	}
	return why + "; to confirm, since " + doubt
}

func questionWhy(telling string, rivals int) string {
	switch {
	case rivals > 0 && telling != "":
		return fmt.Sprintf("%d parts answer to the text; it does not state the %s", rivals+1, telling)
	case rivals > 0:
		return fmt.Sprintf("%d parts answer to the text alike", rivals+1)
	}
	return "no part answers to the text well enough"
}

func (m *Matcher) noneWhy(o *open) string {
	switch {
	case len(o.alts) > 0 && foreign(o):
		return "the line names goods that are in no gearbox"
	case o.none[fNoneNumber] > 0 && o.none[fNoneNoKind] > 0:
		return "the number is unknown and no kind of part is named"
	case o.none[fNoneConflict] > 0:
		return "no part in the catalogue has what the line states"
	case o.none[fNoneNoKind] > 0:
		return "no kind of part is named"
	}
	return "no part in the catalogue answers to the text"
}

// telling names the attribute that tells the leader from its rivals.
func (m *Matcher) telling(top *alternative, rivals []*alternative) string {
	if len(rivals) == 0 {
		return ""
	}
	a, b := top.f, rivals[0].f
	switch {
	case a.gears != b.gears:
		return "gear"
	case a.sides != b.sides:
		return "side"
	case a.shafts != b.shafts:
		return "shaft"
	case a.desig != nil && b.desig != nil && a.desig.full != b.desig.full:
		return "designation"
	}
	for _, x := range m.ix.Attributes(a.part.ID) {
		y, ok := m.ix.Attribute(b.part.ID, x.Name, x.At)
		if ok && y.Value != x.Value {
			return m.label(x.Name)
		}
	}
	if a.kind != b.kind {
		return "kind of part"
	}
	return "part number"
}

func (m *Matcher) label(k catalog.AttributeKey) string {
	if d, ok := m.ix.AttributeDef(k); ok && d.Label != "" {
		return d.Label
	}
	return string(k)
}
