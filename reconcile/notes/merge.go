package notes

import (
	"fmt"
	"slices"
	"strings"

	"layshaft/catalog"
)

// said is what was proposed for a position so far.
type said struct {
	proposal *Proposal
	explicit bool
	stated   bool // by a word for what is done, not by a condition alone
	bare     bool // by no word
	single   bool // named by itself, not in a group
	clash    bool
	from     *statement
}

// merger settles what a note says of one position in several places.
type merger struct {
	by    map[catalog.PositionID]*said
	order []catalog.PositionID
}

func newMerger() *merger { return &merger{by: map[catalog.PositionID]*said{}} }

// said reports whether something was proposed for the position.
func (n *note) said(id catalog.PositionID) bool { return n.merged.by[id] != nil }

// add takes a proposal in. A correction, a choice that is stated after a mere
// condition, and a single thing after a group win over what was said before;
// any other difference is asked.
func (m *merger) add(n *note, c *Proposal, s *statement, explicit, single bool) {
	old := m.by[c.Position]
	now := &said{proposal: c, explicit: explicit, stated: explicit && !s.bare, bare: s.bare, single: single, from: s}
	switch {
	case old == nil:
		m.order = append(m.order, c.Position)
		m.by[c.Position] = now
	case s.correct || old.clash && old.from != nil && s.narrows == old.from:
		c.Why += "; it corrects what was said before"
		m.by[c.Position] = now
	case old.proposal.Choice == c.Choice:
		old.merge(now)
	case old.clash:
	case single && !old.single && (explicit || !old.explicit), explicit && !old.explicit:
		c.Why += "; the more exact word counts"
		m.by[c.Position] = now
	case !explicit && old.explicit && !single, old.single && !single && old.explicit && !explicit:
	default:
		old.clash = true
		at := &place{pos: n.position(c.Position)}
		n.question(Open, c.Start, c.End, []*place{at}, fmt.Sprintf("the %s is said to be %s here and %s before",
			lowerFirst(at.pos.Name), c.Choice, old.proposal.Choice))
	}
}

// doubt takes back what a group was said to be, when "only" some of it is meant;
// the person says what becomes of the others.
func (m *merger) doubt(n *note, s *statement) {
	for _, id := range m.order {
		if o := m.by[id]; o.from == s.narrows && !o.single {
			o.clash = true
		}
	}
	n.question(Open, s.narrows.start, s.narrows.end, nil, "it is taken back for a part of these; what happens to the others is not said")
}

// merge keeps what either of two agreeing statements says.
func (o *said) merge(now *said) {
	p, c := o.proposal, now.proposal
	if p.Treatment == "" {
		p.Treatment = c.Treatment
	}
	if p.Due.IsZero() {
		p.Due = c.Due
	}
	if p.Measured == "" {
		p.Measured = c.Measured
	}
	if p.Quantity != 0 && (c.Quantity == 0 || c.Quantity > p.Quantity) {
		p.Quantity = c.Quantity
	}
	o.stated, o.bare = o.stated || now.stated, o.bare && now.bare
	o.explicit, o.single = o.explicit || now.explicit, o.single || now.single
}

// withhold asks about what is only judged by its condition, or by no word at
// all, where words that follow it in the same sentence are not understood: they
// may be what is meant to be done.
func (m *merger) withhold(n *note) {
	asked := slices.Clone(n.out.Questions)
	for _, id := range m.order {
		s := m.by[id]
		if !s.single && !s.clash && slices.ContainsFunc(asked, func(q Question) bool {
			return strings.Contains(q.Why, "the exception is not clear") && m.together(n, s, q)
		}) {
			s.clash = true
			n.question(Open, s.proposal.Start, s.proposal.End, []*place{{pos: n.position(id)}}, "it may be what is taken out")
			continue
		}
		if s.clash || s.stated && (s.proposal.Choice != SendOut || !s.proposal.Due.IsZero()) {
			continue
		}
		if !s.single && slices.ContainsFunc(asked, func(q Question) bool {
			return (q.Code == Several || q.Code == NotUnderstood && len(q.Positions) == 1) && slices.Contains(q.Positions, id)
		}) {
			s.clash = true
			n.question(Open, s.proposal.Start, s.proposal.End, []*place{{pos: n.position(id)}}, "it may be what another question is about")
			continue
		}
		end := m.reach(n, s)
		if slices.ContainsFunc(asked, func(q Question) bool {
			return q.Start >= s.proposal.Start && q.Start < end && !q.ofOther(id) && (q.Code == NotUnderstood || q.Code == Open || q.Code == NoPosition && !s.bare)
		}) {
			s.clash = true
			n.question(Open, s.proposal.Start, s.proposal.End, []*place{{pos: n.position(id)}}, "what follows in the same sentence is not understood")
		}
	}
}

// together: a question and a proposal are of one sentence.
func (m *merger) together(n *note, s *said, q Question) bool {
	return slices.ContainsFunc(n.sentences, func(r [2]int) bool {
		return r[0] <= s.proposal.Start && s.proposal.Start < r[1] && q.Start < r[1] && r[0] < q.End
	})
}

// ofOther: it is about another part that is named.
func (q *Question) ofOther(id catalog.PositionID) bool {
	return q.Why == notSaid || len(q.Positions) > 0 && !slices.Contains(q.Positions, id)
}

// reach is where the words that may speak of a proposal end: with its sentence,
// or where something is said of another part.
func (m *merger) reach(n *note, s *said) int {
	end := s.proposal.End
	for _, r := range n.sentences {
		if r[0] <= s.proposal.Start && s.proposal.Start < r[1] {
			end = r[1]
		}
	}
	line, _, _ := strings.Cut(n.text[end:], "\n")
	if strings.Contains(line, "?") { // "noisy. Left only or both??"
		end += len(line)
	}
	for _, o := range m.by {
		if o.from != s.from && o.proposal.Start > s.proposal.Start {
			end = min(end, o.proposal.Start)
		}
	}
	return end
}

// finish lists what stands.
func (m *merger) finish(n *note) {
	m.withhold(n)
	for _, id := range m.order {
		if s := m.by[id]; !s.clash {
			n.out.Proposals = append(n.out.Proposals, *s.proposal)
		}
	}
}

func (n *note) position(id catalog.PositionID) *catalog.Position {
	for _, p := range n.places {
		if p.pos.ID == id {
			return p.pos
		}
	}
	return &catalog.Position{ID: id, Name: string(id)}
}
