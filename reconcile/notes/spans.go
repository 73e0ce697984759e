package notes

import (
	"unicode"
	"unicode/utf8"
)

// rolesOf gives the bytes of every item their role.
func (n *note) rolesOf(items []item) {
	for i := range items {
		if r := spanRole(items[i].role); r != "" {
			n.mark(items[i].start, items[i].end, r)
		}
	}
}

func spanRole(r role) Role {
	switch r {
	case asThing, asGears, asClass, asComplete, asEverything, asFeature, asSpec:
		return RoleThing
	case asNumber:
		return RoleCount
	case asVerb, asTreat, asTreatOut, asInHouse, asNot, asNo, asCorrect, asMaybe:
		return RoleChoice
	case asGood, asInSpec, asMeasured, asBad:
		return RoleEvidence
	case asDue, asDate:
		return RoleDue
	case asMarker:
		return RoleMarker
	case asComma, asColon, asBreak:
		return RolePunct
	case asLine:
		return RoleSpace
	case asUnknown:
		return RoleUnread
	}
	return RoleLink
}

func (n *note) mark(start, end int, r Role) {
	for i := start; i < end && i < len(n.roles); i++ {
		if n.roles[i] == "" || n.roles[i] != RoleSpace {
			n.roles[i] = r
		}
	}
}

// spans joins bytes of one role; what no item took is blank or punctuation.
func (n *note) spans(end int) {
	for i := 0; i < end; {
		r := n.roles[i]
		size := 1
		if r == "" {
			c, w := utf8.DecodeRuneInString(n.text[i:end])
			r, size = RolePunct, w
			if unicode.IsSpace(c) || c == utf8.RuneError || unicode.IsControl(c) || unicode.Is(unicode.Cf, c) {
				r = RoleSpace
			}
		}
		if k := len(n.out.Spans) - 1; k >= 0 && n.out.Spans[k].Role == r {
			n.out.Spans[k].End = i + size
		} else {
			n.out.Spans = append(n.out.Spans, Span{i, i + size, r})
		}
		i += size
	}
	if end < len(n.text) {
		n.out.Spans = append(n.out.Spans, Span{end, len(n.text), RoleUnread})
	}
}
