package reconcile

import (
	"slices"
	"strings"

	"layshaft/catalog"
	"layshaft/reconcile/measure"
)

// maxText bounds a pasted kit list: 128 KiB, far above any real one and below
// what one record may hold.
const maxText = 128 << 10

// jobOfKey reads the job's id out of a record's key.
func jobOfKey(ref catalog.Ref) JobID {
	id, _, _ := strings.Cut(ref.Key, "/")
	return JobID(id)
}

// validRecord checks a job's record against the catalogue before it is stored.
func validRecord(ix *catalog.Index, id JobID, r catalog.Record) error {
	place := string(r.Table()) + " " + r.Key()
	if err := validID(place, string(id)); err != nil {
		return err
	}
	switch r := r.(type) {
	case *Head:
		return validHead(ix, place, r)
	case *Decision:
		return validDecision(ix, place, r)
	case *KitList:
		if err := ValidText(r.Text); err != nil {
			return err
		}
		return validID(place, r.ID)
	case *Goods:
		return validGoods(ix, place, r)
	case *Observation:
		return validID(place, r.ID)
	case *Measurement:
		return validMeasurement(ix, place, r)
	case *Proposal:
		if err := validID(place, r.ID); err != nil {
			return err
		}
		return validProposal(ix, place, r)
	case *Override:
		if strings.TrimSpace(r.Reason) == "" || strings.TrimSpace(r.By) == "" {
			return catalog.Invalid(place, "Give a name and a reason", "an override must be signed")
		}
		return nil
	}
	return catalog.Invalid(place, "Use a table of a job", "not a record of a job")
}

// ValidText refuses a pasted text that is too long to keep.
func ValidText(text string) error {
	if len(text) > maxText {
		return &catalog.Error{Code: catalog.CodeTooLarge, Place: "text",
			Message: "the text is longer than 128 KiB", Remedy: "Paste the list in parts"}
	}
	return nil
}

func validHead(ix *catalog.Index, place string, h *Head) error {
	if strings.TrimSpace(h.Title) == "" {
		return catalog.Invalid(place+" title", "Give the job a title", "no title")
	}
	if _, ok := ix.Family(h.Family); !ok {
		return catalog.Invalid(place+" family", "Choose a family of the catalogue", "no family %q", h.Family)
	}
	for _, v := range append(h.Candidates[:len(h.Candidates):len(h.Candidates)], h.Variant) {
		if v == "" {
			continue
		}
		if known, ok := ix.Variant(v); !ok || known.Family != h.Family {
			return catalog.Invalid(place+" variant", "Choose a variant of the family", "family %s has no variant %q", h.Family, v)
		}
	}
	switch h.State {
	case StateReceived, StateStripped, StateWaiting, StateBuilding, StateClosed:
		return nil
	}
	return catalog.Invalid(place+" state", "Use received, stripped, waiting, building or closed", "no state %q", h.State)
}

func validDecision(ix *catalog.Index, place string, d *Decision) error {
	switch d.Choice {
	case Reuse, Replace, Rework, SendOut, NotFitted, Absent, Undecided:
	default:
		return catalog.Invalid(place+" choice", "Use reuse, replace, rework, send-out, not-fitted, absent or undecided",
			"no choice %q", d.Choice)
	}
	if d.Quantity < 0 {
		return catalog.Invalid(place+" quantity", "Give 0 for all pieces, or a count", "negative quantity %d", d.Quantity)
	}
	for _, p := range []catalog.PartID{d.Part, d.Found} {
		if _, ok := ix.Part(p); p != "" && !ok {
			return catalog.Invalid(place+" part", "Choose a part of the catalogue", "no part %q", p)
		}
	}
	if d.Position == "" || strings.Contains(string(d.Position), "/") {
		return catalog.Invalid(place+" position", "Name a position of the family", "no position %q", d.Position)
	}
	return nil
}

func validGoods(ix *catalog.Index, place string, g *Goods) error {
	if _, ok := ix.Part(g.Part); !ok {
		return catalog.Invalid(place+" part", "Choose a part of the catalogue", "no part %q", g.Part)
	}
	if g.Pieces <= 0 {
		return catalog.Invalid(place+" pieces", "Give a count of 1 or more", "%d pieces", g.Pieces)
	}
	switch g.Source {
	case FromShelf, FromOrder, FromReturn, FromReceived:
		return validID(place, g.ID)
	}
	return catalog.Invalid(place+" source", "Use shelf, order, returned or received", "no source %q", g.Source)
}

// validMeasurement refuses what would vanish without a word: a stack, a limit or a
// grade that nobody knows. Readings are kept as typed, however odd.
func validMeasurement(ix *catalog.Index, place string, m *Measurement) error {
	stack, limit := m.Stack == "", m.Limit == ""
	for _, f := range ix.Families() {
		stack = stack || slices.ContainsFunc(ix.Stacks(f.ID), func(s *catalog.Stack) bool { return s.ID == m.Stack })
		if _, err := LimitOf(ix, f.ID, m.Limit); err == nil {
			limit = true
		}
	}
	switch {
	case (m.Stack == "") == (m.Limit == ""):
		return catalog.Invalid(place, "Name a stack or a limit, one of the two", "stack %q and limit %q", m.Stack, m.Limit)
	case !stack:
		return catalog.Invalid(place+" stack", "Name a stack of the job's family", "no stack %q", m.Stack)
	case !limit:
		return catalog.Invalid(place+" limit", "Name a limit of the job's family", "no limit %q", m.Limit)
	case m.Stack == "" && len(m.Grades) > 0:
		return catalog.Invalid(place+" grades", "Leave them out, or name the stack", "a limit has no grades")
	}
	switch measure.Action(m.Verdict) {
	case measure.ActionNone, measure.ActionKeep, measure.ActionRenew, measure.ActionAgain:
	default:
		return catalog.Invalid(place+" verdict", "Use keep, renew or measure again, or leave it out", "no verdict %q", m.Verdict)
	}
	for _, g := range m.Grades {
		if _, ok := ix.Part(g); !ok {
			return catalog.Invalid(place+" grades", "Choose parts of the catalogue", "no part %q", g)
		}
	}
	return validID(place, m.ID)
}

// validID allows what can be a key: letters, digits, '-', '_', '.', 1 to 64 bytes.
func validID(place, id string) error {
	ok := id != "" && len(id) <= 64
	for i := 0; ok && i < len(id); i++ {
		c := id[i]
		ok = c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '-' || c == '_' || c == '.'
	}
	if !ok {
		return catalog.Invalid(place+" id", "Use 1 to 64 letters, digits, '-', '_' or '.'", "not an id: %q", id)
	}
	return nil
}

// ValidJob checks a whole job that was not stored record by record.
func ValidJob(ix *catalog.Index, j *Job) error {
	for _, r := range j.Records() {
		if err := validRecord(ix, j.ID, r); err != nil {
			return err
		}
	}
	return nil
}
