package notes

import (
	"fmt"
	"strings"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

// Choice is what is decided for a position; the words are those of a job's
// decisions.
type Choice string

// The choices that a note can state.
const (
	Reuse     Choice = "reuse"
	Replace   Choice = "replace"
	Rework    Choice = "rework"
	SendOut   Choice = "send-out"
	NotFitted Choice = "not-fitted"
	Absent    Choice = "absent"
	Undecided Choice = "undecided"
)

// Proposal is one decision that the note states.
type Proposal struct {
	Position catalog.PositionID
	Choice   Choice
	// Quantity of pieces concerned; 0 means all of the position.
	Quantity int
	// Treatment for Rework and SendOut: "shot-peen", "plate and grind".
	Treatment string
	// Due is when a part sent out is expected back; zero when not said.
	Due quantity.Date
	// Measured is the reading or remark that backs a reuse, as written.
	Measured string
	// Start and End bound the words that were read, as bytes of the text.
	Start, End int
	// Why in words: how the position was found and what was said of it.
	Why string
}

// Code says what kind of question it is.
type Code string

// The codes of questions.
const (
	NotUnderstood Code = "not-understood" // words that mean nothing here
	NoPosition    Code = "no-position"    // named, but the gearbox has no such place
	Several       Code = "several"        // could be several positions
	Count         Code = "count"          // the count does not agree with the gearbox
	Open          Code = "open"           // a condition, an alternative or a contradiction
	DueDay        Code = "due-day"        // a day that cannot be read
	TooLong       Code = "too-long"       // more than is read
)

// Question is something that a person must decide; the text is kept.
type Question struct {
	Code       Code
	Text       string // the words of the note, cut after 200 bytes
	Why        string // what is not clear
	Start, End int
	// Positions that may be meant, in list order, at most 12.
	Positions []catalog.PositionID
}

// same: they ask the same of the same words.
func (q *Question) same(o *Question) bool {
	return q.Code == o.Code && q.Start == o.Start && q.End == o.End && q.Why == o.Why
}

// Remark is text that names no part and states no decision; it is kept.
type Remark struct {
	Text       string
	Start, End int
}

// Role says what a span of the text was read as.
type Role string

// The roles of spans.
const (
	RoleThing    Role = "thing"    // names parts or places
	RoleCount    Role = "count"    // how many
	RoleChoice   Role = "choice"   // what is decided
	RoleEvidence Role = "evidence" // condition, measurement
	RoleDue      Role = "due"      // when it is back
	RoleLink     Role = "link"     // and, with, except, all
	RoleRemark   Role = "remark"   // kept as a remark
	RoleUnread   Role = "unread"   // not understood: part of a question
	RoleMarker   Role = "marker"   // bullet
	RoleSpace    Role = "space"
	RolePunct    Role = "punct"
)

// Span is a byte range with its role.
type Span struct {
	Start, End int
	Role       Role
}

// Result is a note read.
type Result struct {
	Text string
	// Proposals in the order in which the note first names the positions; at most
	// one for each.
	Proposals []Proposal
	Questions []Question
	Remarks   []Remark
	Spans     []Span
}

// Words of the note that a proposal was read from, on one line.
func (r *Result) Words(p *Proposal) string {
	return clip(strings.Join(strings.Fields(r.Text[p.Start:p.End]), " "))
}

// Check proves that every byte belongs to exactly one span and that every other
// range lies in the text.
func (r *Result) Check() error {
	at := 0
	for _, s := range r.Spans {
		if s.Start != at || s.End <= s.Start || s.Role == "" {
			return fmt.Errorf("span %d-%d (%s) does not follow byte %d", s.Start, s.End, s.Role, at)
		}
		at = s.End
	}
	if at != len(r.Text) {
		return fmt.Errorf("spans end at byte %d of %d", at, len(r.Text))
	}
	inside := func(what string, start, end int) error {
		if start < 0 || end <= start || end > len(r.Text) {
			return fmt.Errorf("%s %d-%d is not inside the text", what, start, end)
		}
		return nil
	}
	seen := map[catalog.PositionID]bool{}
	for _, p := range r.Proposals {
		if err := inside("proposal", p.Start, p.End); err != nil {
			return err
		}
		if seen[p.Position] {
			return fmt.Errorf("position %s is proposed twice", p.Position)
		}
		seen[p.Position] = true
	}
	for _, q := range r.Questions {
		if err := inside("question", q.Start, q.End); err != nil {
			return err
		}
	}
	for _, m := range r.Remarks {
		if err := inside("remark", m.Start, m.End); err != nil {
			return err
		}
	}
	return nil
}
