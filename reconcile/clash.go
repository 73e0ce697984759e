package reconcile

import (
	"slices"
	"strings"

	"layshaft/catalog"
)

// clash is a mate that the finished box breaks.
type clash struct {
	m    *mate
	a, b *spot
}

// clashes lists the broken mates over what is fitted when the case closes.
func (w *work) clashes() []clash {
	var out []clash
	for k := range w.mates {
		m := &w.mates[k]
		a, b := &w.spots[m.a], &w.spots[m.b]
		if m.holds(w.valueAt(a, m.rec.A), w.valueAt(b, m.rec.B)) == broken {
			out = append(out, clash{m, a, b})
		}
	}
	return out
}

// hand reports whether a mate compares the hand of a thread or helix.
func (m *mate) hand() bool {
	return m.rec.A.Name == catalog.KeyHand || m.rec.A.Name == catalog.KeyHelix
}

// treatedAt: the size at this end was changed on this job.
func (c clash) treatedAt(s *spot) bool {
	return s.treated && s.state == FittedReused && hasSize(s.sizes, c.m.seat(s.index))
}

// untouched: what left the maker and was not changed.
func (s *spot) untouched() bool { return s.state == FittedStandard }

// subject of a clash is the end that a person would change: the part that goes
// back rather than the new one, the softer one of two, the treated one never.
func (c clash) subject() (s, other *spot) {
	a, b := c.a, c.b
	switch {
	case c.treatedAt(a) != c.treatedAt(b):
		if c.treatedAt(a) {
			return b, a
		}
		return a, b
	case (a.state == FittedNew) != (b.state == FittedNew):
		if a.state == FittedNew {
			return b, a
		}
		return a, b
	case a.hardness() > b.hardness():
		return b, a
	}
	return a, b
}

// mismatch fills a finding about a part at s that other asks another size of.
func (w *work) mismatch(f *Finding, s *spot, part *catalog.Part, ms []misfit) {
	first := ms[0]
	f.Attribute, f.Expected, f.Found = w.attribute(first.m.seat(s.index)), first.want, first.has
	if part != nil {
		f.Part = part.ID
	}
	f.Chain = w.expectation(s, first)
	f.Causes = append(slices.Clip(f.Causes), f.Chain[len(f.Chain)-1])
}

// expectation is the chain to why a size is wanted at s: what put the
// neighbour's part there, then the mate.
func (w *work) expectation(s *spot, x misfit) []*Hop {
	chain := w.chain(w.node(x.other))
	hop := &Hop{Position: s.id, From: x.other.id, Cause: CauseMate, Reason: x.m.rec.Reason}
	if len(chain) == 0 {
		chain = []*Hop{{Position: x.other.id, Cause: string(x.other.state), Reason: w.whatIs(x.other)}}
	}
	return append(slices.Clip(chain), hop)
}

// misfitWords: "bore 25 mm; 30 mm is wanted because the input shaft is now X".
func (w *work) misfitWords(s *spot, ms []misfit) string {
	text := ""
	for i, x := range ms {
		if i > 0 {
			text += "; "
		}
		text += w.attribute(x.m.seat(s.index)) + " " + x.has + ", wanted " + x.want + " because " + w.whatIs(x.other)
	}
	return text
}

// whatIs says what is at a position when the case closes, and why it is sure.
func (w *work) whatIs(s *spot) string {
	what := label(s.now.part)
	same := strings.EqualFold(what, s.name()) // nothing is gained by saying it twice
	switch {
	case s.treated && s.state == FittedReused:
		return "the " + s.name() + " was treated (" + s.dec.Treatment + ")"
	case s.state == FittedNew && s.now.part == nil:
		return "every part that fits the " + s.name() + " has it so"
	case s.state == FittedNew && same:
		return "the " + s.name() + " is new"
	case s.state == FittedReused && same:
		return "the " + s.name() + " goes back"
	case same:
		return "the " + s.name() + " stays"
	case s.state == FittedNew:
		return "the " + s.name() + " is now " + what
	case s.state == FittedReused && s.found:
		return "the " + s.name() + " found in the box is " + what
	case s.state == FittedReused:
		return "the " + s.name() + " that goes back is " + what
	}
	return "the " + s.name() + " is " + what
}

// say writes the message in the pattern of its severity: fact, then act.
func (f *Finding) say(thing, fact string) {
	switch f.Severity {
	case Stop:
		f.Message = "Do not close the case: " + fact + "."
	case Check:
		f.Message = "Check " + thing + ": " + fact + "."
	default:
		f.Message = upperFirst(fact) + "."
	}
}

// fit is the remedy that names the parts which go together with everything
// around the position.
func (w *work) fit(s *spot, act string) *Remedy {
	ids := s.accept()
	if len(ids) == 0 {
		return &Remedy{Text: "No part of the catalogue goes together with all neighbours of the " + s.name() + ". Look at the decisions around it."}
	}
	var names []string
	for i := range s.cands {
		if p := s.cands[i].part; !p.NotAvailable || s.cands[0].part.NotAvailable {
			names = append(names, label(p))
		}
	}
	if len(names) > 3 {
		names = append(names[:3], "others")
	}
	return &Remedy{Text: act + " " + either(names) + ".", Parts: ids}
}

// either writes "a", "a or b", "a, b or c".
func either(items []string) string {
	switch len(items) {
	case 1:
		return items[0]
	case 2:
		return items[0] + " or " + items[1]
	}
	return items[0] + ", " + either(items[1:])
}
